"""Cautions about the dyes: mixtures, classes, salt, pH, light and powder."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from studio.plaintext import slug
from studio.plan.jars import StockPlan
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Caution, Role, StageId, listed
from studio.plan.ways import method_of
from studio.plan.work.cautions import caution
from studio.plan.work.fibre import binding, taken_mmol_g, takes, uptake_source
from studio.plan.work.worked import Worked
from studio.tables.rows import UNKNOWN, hazards

PH_SLACK = 0.5
"""A soak this far outside a class's range is noted. House rule."""
DEEP_PERCENT = 4.0
MOST_FILLED = 0.9
"""Of the sites of a fibre, for each of which an ion of dye needs one. House rule."""


def dye_cautions(worked: Worked) -> Iterator[Caution]:
    """dye.*, hazard.*, salt.*, light.food and powder.dust."""
    settled = worked.settled
    yield from _mixtures(worked)
    yield from _sites(worked)
    yield from _salt(worked)
    if settled.acid is None:
        yield caution("acid.none", table=settled.plan.sour.table, stage=worked.method.put_on.acid_at)
    else:
        yield from _ph(worked)
    for colour in (one.plan for one in settled.colours):
        if colour.depth is not None and colour.depth.value > DEEP_PERCENT:
            yield caution("dye.deep", colour=colour)
    if any(d.food for d in settled.dyes):
        yield caution("light.food")
    yield from _unknown_class(settled)
    yield from _hazards(worked)
    weighed = tuple(work.stock.slug for work in worked.stocks.stocks if work.weighed)
    if weighed:
        yield caution("powder.dust", of=weighed)


def _hazards(worked: Worked) -> Iterator[Caution]:
    """hazard.*: one for each hazard of the dyes, where it matters; that of a powder where it is weighed."""
    weighed = {work.stock.dye.name for work in worked.stocks.stocks if work.weighed}
    shown_at: dict[str, tuple[StageId | Literal[""], Role | Literal[""], tuple[str, ...]]] = {
        "": ("", "", ()),
        "weighing": ("stocks", "weigh dye", ()),
        "acid": worked.acid_poured,
        "rinse": ("rinse", "dry", ()),
        "leftovers": ("record", "leftovers", ()),
    }
    found: dict[str, list[StockPlan]] = {}
    for stock in (stock for colour in worked.settled.colours for stock in colour.stocks):
        for one in stock.dye.hazards:
            if hazards()[one].matters_to != "weighing" or stock.dye.name in weighed:
                found.setdefault(one, []).append(stock)
    for one, stocks in found.items():
        row = hazards()[one]
        stage, role, of = shown_at[row.matters_to]
        if row.matters_to == "acid" and (meets := _soured_in_paint(worked, stocks)):
            stage, role, of = "colour", "mix", meets[:1]
        yield Caution(
            id=f"hazard.{one}",
            level=row.level,
            text=f"{listed([*dict.fromkeys(s.dye.name for s in stocks)])}: {row.text}",
            source=row.source,
            stage=stage,
            role=role,
            of=of or tuple(stock.slug for stock in stocks),
            where=stocks[0].key,
        )


def _soured_in_paint(worked: Worked, stocks: list[StockPlan]) -> tuple[str, ...]:
    """The paints that acid meets these stocks in; a soak that is sour too has none of them in it."""
    soured = (liquid.colour for liquid in worked.liquids if liquid.added("acid"))
    return tuple(colour.plan.slug for colour in soured if any(stock in stocks for stock in colour.stocks))


def _unknown_class(settled: Settled) -> Iterator[Caution]:
    """What is done for want of knowing, and how it would be known."""
    acid_at = method_of(settled).put_on.acid_at
    for colour in settled.colours:
        unknown = [s.dye.name for s in colour.stocks if s.dye.dye_class.id == UNKNOWN]
        if unknown:
            said = " and ".join(unknown)
            yield caution("dye.class-unknown", colour=colour.plan, unknown=said, stage=acid_at)


def _mixtures(worked: Worked) -> Iterator[Caution]:
    for colour in worked.settled.colours:
        ready = [s.dye.name for s in colour.stocks if s.dye.mixture]
        if len(colour.stocks) < 2 and not ready:
            continue
        what, how = _what(colour, ready), worked.method.put_on.breaks
        yield caution("dye.mixture-breaks", colour=colour.plan, what=what, how=how, of=(colour.plan.slug,))
        classes = {s.dye.dye_class.id: s.dye.dye_class.name for s in colour.stocks}
        if len(classes) > 1:
            strike = "may strike" if UNKNOWN in classes else "strike"
            said, of = " with ".join(sorted(classes.values())), (colour.stocks[0].slug,)
            yield caution("dye.mixture-classes", colour=colour.plan, classes=said, strike=strike, of=of)


def _sites(worked: Worked) -> Iterator[Caution]:
    """dye.sites.<colour>: about as much dye as the fibre has sites that hold it by, or more."""
    settled = worked.settled
    for liquid in worked.liquids:
        colour = liquid.colour
        fibre = binding(settled, colour.fibre_g)
        if fibre is None or colour.dyed_g <= 0:
            continue
        sites = fibre.free_mol_l * 1000.0
        taken = taken_mmol_g(colour) * liquid.dye_on_g
        if taken > MOST_FILLED * sites:
            yield caution(
                "dye.sites",
                colour=colour.plan,
                percent=taken / sites * 100.0,
                enough=MOST_FILLED * sites / taken * 100.0,
                binds=uptake_source(settled),
                most=MOST_FILLED,
                of=(colour.plan.slug,),
                where=("colour", colour.plan.name, "depth" if colour.plan.depth else "drops"),
            )


def _what(colour: SettledColour, ready: list[str]) -> str:
    if len(colour.stocks) > 1:
        return f"mixed from {len(colour.stocks)} dyes"
    return (
        f"{ready[0]}, a mixture of several dyes,"
        if ready[0] != colour.plan.name
        else "a mixture of several dyes"
    )


def _salt(worked: Worked) -> Iterator[Caution]:
    settled = worked.settled
    if settled.plan.salt == "none":
        return
    for dye_class in settled.classes:
        if dye_class.glauber != "allowed":
            told, stage = slug(dye_class.id), worked.method.put_on.acid_at
            yield caution(f"salt.{dye_class.glauber}", slug=told, dyes=dye_class, stage=stage)


def _ph(worked: Worked) -> Iterator[Caution]:
    soaks = worked.soured.soaks
    table = worked.settled.plan.sour.table
    what = "soak" if table == "presoak" else "bath"
    for dye_class in worked.settled.classes:
        ph = soaks.most.ph if soaks.most.ph < dye_class.ph_low - PH_SLACK else soaks.least.ph
        if dye_class.ph_low - PH_SLACK <= ph <= dye_class.ph_high + PH_SLACK:
            continue
        effect = (
            "it may strike too fast and unevenly"
            if ph < dye_class.ph_low
            else "part of it may not take and will rinse out"
        )
        told = {"what": what, "ph": ph, "dyes": dye_class, "effect": effect, "table": table}
        yield caution("dye.ph", slug=slug(dye_class.id), stage=worked.method.put_on.acid_at, **told)


# Cautions about the blend: what stays white, what takes weakly, what takes faster.

MUCH_PERCENT = 5.0
"""More undyed fibre than this is asked about; less is noted. House rule."""
OTHER_DYE = {
    "cellulose": "reactive or direct dye",
    "polyester": "disperse dye with its own heat",
    "acrylic": "basic or disperse dye",
}


def fibre_cautions(worked: Worked) -> Iterator[Caution]:
    """fibre.nothing-takes, fibre.undyed, fibre.white.*, fibre.weak.*, fibre.superwash."""
    settled = worked.settled
    if worked.fibre.dyeable_percent <= 0:
        yield caution("fibre.nothing-takes")
    else:
        yield from _undyed(worked)
    yield from _white(worked)
    for kind in worked.fibre.kinds:
        weak = [f.row.name for f in settled.blend if takes(settled, kind)[f.row.name] == "weak"]
        if weak:
            dye = "food colour" if kind == "food" else "acid dye"
            source = "; ".join(dict.fromkeys(f.row.source for f in settled.blend if f.row.name in weak))
            yield caution("fibre.weak", kind=kind, weak=weak, dye=dye, source=source)
    if settled.superwash:
        yield caution("fibre.superwash", how=worked.method.put_on.superwash)


def _undyed(worked: Worked) -> Iterator[Caution]:
    white = 100.0 - worked.fibre.dyeable_percent
    if white <= 0.05:
        return
    level = "warn" if white > MUCH_PERCENT else "note"
    settled, times = worked.settled, 100 / worked.fibre.dyeable_percent
    # Those that at least one kind of the plan's dyes leaves white.
    untaken = {
        name for kind in worked.fibre.kinds for name, how in takes(settled, kind).items() if how == "no"
    }
    names = [f.row.name for f in settled.blend if f.row.name in untaken]
    yield caution("fibre.undyed", white=white, fibres=names, times=times, much=MUCH_PERCENT, level=level)


def _white(worked: Worked) -> Iterator[Caution]:
    for row in (part.row for part in worked.settled.blend):
        if (other := OTHER_DYE.get(row.family)) is not None:
            name = row.name.capitalize()
            yield caution("fibre.white", slug=slug(row.name), fibre=name, other=other, row=row)
