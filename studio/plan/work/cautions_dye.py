"""Cautions about the dyes: mixtures, classes, salt, pH, light and powder."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from studio.plaintext import slug
from studio.plan.jars import StockPlan
from studio.plan.materials import FibreInBlend
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import BROADBENT, Caution, Role, StageId, brief, listed
from studio.plan.ways import method_of
from studio.plan.work.cautions_liquid import hazard
from studio.plan.work.fibre import takes
from studio.plan.work.uptake import binding, taken_mmol_g, uptake_source
from studio.plan.work.worked import Worked
from studio.tables.loading import hazards
from studio.tables.rows import UNKNOWN

PH_SLACK = 0.5
"""A soak this far outside a class's range is noted. House rule."""
DEEP_PERCENT = 4.0
MOST_FILLED = 0.9
"""Of the sites of a fibre, for each of which an ion of dye needs one. House rule."""
BREAKS = f"common practice; {BROADBENT}, pp. 242-246: dyes differ in rate, pH and migration"


def dye_cautions(worked: Worked) -> Iterator[Caution]:
    """dye.*, hazard.*, salt.*, light.food and powder.dust."""
    settled = worked.settled
    yield from _mixtures(worked)
    yield from _sites(worked)
    yield from _salt(worked)
    if settled.acid is None:
        yield _no_acid(worked)
    else:
        yield from _ph(worked)
    for colour in settled.colours:
        depth = colour.plan.depth
        if depth is not None and depth.value > DEEP_PERCENT:
            yield Caution(
                id=f"dye.deep.{colour.plan.slug}",
                level="note",
                text=f"{colour.plan.name} at {brief(depth.value)} % is deeper than the deepest usual shade of 4 %: "
                "expect loose dye in the rinse.",
                source="suppliers' ladders of depth: 2 to 4 % is deep, black 4 % (Gaywool Dyes; Earth "
                "Guild, US, no year)",
                stage="rinse",
                where=("colour", colour.plan.name, "depth"),
            )
    if any(d.food for d in settled.dyes):
        yield Caution(
            id="light.food",
            level="note",
            text="Food colour fades sooner in light and washing than dye made for textiles, and faster wet than dry: "
            "dry it out of the sun, and say so on the label.",
            source="common practice; no published test on wool was found",
            stage="rinse",
        )
    yield from _unknown_class(settled)
    yield from _hazards(worked)
    if any(work.weighed for work in worked.stocks.stocks):
        yield hazard("powder", "powder.dust", "note", "stocks", "weigh dye")


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
    for colour in settled.colours:
        unknown = [s.dye.name for s in colour.stocks if s.dye.dye_class.id == UNKNOWN]
        if unknown:
            yield Caution(
                id=f"dye.class-unknown.{colour.plan.slug}",
                level="note",
                text=f"The class of {' and '.join(unknown)} is not known. It may not even out: use pH 4 to 5, warm "
                "slowly, add no salt. It may bleed: rinse long and wash separately. A label that names a C.I. Acid "
                "dye settles it, and so does a small test.",
                source="house rule",
                stage=method_of(settled).put_on.acid_at,
                where=("colour", colour.plan.name, "dye"),
            )


def _mixtures(worked: Worked) -> Iterator[Caution]:
    settled = worked.settled
    how = worked.method.put_on.breaks
    for colour in settled.colours:
        ready = [s.dye.name for s in colour.stocks if s.dye.mixture]
        if len(colour.stocks) < 2 and not ready:
            continue
        yield Caution(
            id=f"dye.mixture-breaks.{colour.plan.slug}",
            level="note",
            text=f"{colour.plan.name} is {_what(colour, ready)} and may break: {how}",
            source=BREAKS,
            stage="colour",
            role="mix",
            of=(colour.plan.slug,),
            where=("colour", colour.plan.name),
        )
        classes = {s.dye.dye_class.id: s.dye.dye_class.name for s in colour.stocks}
        if len(classes) > 1:
            yield Caution(
                id=f"dye.mixture-classes.{colour.plan.slug}",
                level="warn",
                text=f"{colour.plan.name} mixes {' with '.join(sorted(classes.values()))}: they "
                f"{'may ' if UNKNOWN in classes else ''}strike at different rates and the shade will not even "
                "out. Use dyes of one class.",
                source=BREAKS,
                stage="stocks",
                of=(colour.stocks[0].slug,),
                where=("colour", colour.plan.name, "mix"),
            )


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
            yield Caution(
                id=f"dye.sites.{colour.plan.slug}",
                level="note",
                text=f"{colour.plan.name} has dye for {brief(taken / sites * 100.0)} % of the places its fibre can "
                f"hold dye at: part will rinse out or rub off. Take {brief(MOST_FILLED * sites / taken * 100.0)} % "
                "of the dye, or more fibre.",
                source=f"{uptake_source(settled)}; above {MOST_FILLED:g} of them is a house rule",
                stage="colour",
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
        if dye_class.glauber == "allowed":
            continue
        forbidden = dye_class.glauber == "forbidden"
        yield Caution(
            id=f"salt.{slug(dye_class.id)}",
            level="warn" if forbidden else "note",
            text=f"Glauber's salt harms a {dye_class.name} bath: leave it out."
            if forbidden
            else f"It is not known what Glauber's salt does with {dye_class.name}: leave it out, or test first.",
            source=dye_class.glauber_source,
            stage=worked.method.put_on.acid_at,
            where=("salt",),
        )


def _no_acid(worked: Worked) -> Caution:
    table = worked.settled.plan.sour.table
    return Caution(
        id="acid.none",
        level="warn",
        text="The plan has no acid, and these dyes need acid and heat to take on wool. Name one for the "
        f"{table}, for example white vinegar.",
        source="common practice",
        stage=worked.method.put_on.acid_at,
        where=(table, "acid"),
    )


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
        yield Caution(
            id=f"dye.ph.{slug(dye_class.id)}",
            level="note",
            text=f"The {what} reaches pH {ph:.1f}; {dye_class.name} works at pH {brief(dye_class.ph_low)} to "
            f"{brief(dye_class.ph_high)}: {effect}.",
            source=dye_class.ph_source,
            stage=worked.method.put_on.acid_at,
            where=(table, "target_ph"),
        )


# Cautions about the blend: what stays white, what takes weakly, what takes faster.

MUCH_PERCENT = 5.0
"""More undyed fibre than this is asked about; less is noted. House rule."""
BLENDS = f"{BROADBENT}, fig. 1.9"
OTHER_DYE = {
    "cellulose": "reactive or direct dye",
    "polyester": "disperse dye with its own heat",
    "acrylic": "basic or disperse dye",
}


def fibre_cautions(worked: Worked) -> Iterator[Caution]:
    """fibre.nothing-takes, fibre.undyed, fibre.white.*, fibre.weak.*, fibre.superwash."""
    settled = worked.settled
    if worked.fibre.dyeable_percent <= 0:
        yield Caution(
            id="fibre.nothing-takes",
            level="stop",
            text="No fibre of this blend takes these dyes: choose wool, another hair, silk or nylon, or "
            "another kind of dye.",
            source=f"table of fibres; {BLENDS}",
            where=("fibre", "blend"),
        )
    else:
        yield from _undyed(worked)
    yield from _white(worked)
    for kind in worked.fibre.kinds:
        weak = [f.row.name for f in settled.blend if takes(settled, kind)[f.row.name] == "weak"]
        if weak:
            yield Caution(
                id=f"fibre.weak.{kind}",
                level="note",
                text=f"{listed(weak)} takes {'food colour' if kind == 'food' else 'acid dye'} weakly or "
                "unevenly: expect a heathered, paler shade there.",
                source=_sources(f for f in settled.blend if f.row.name in weak),
                stage="colour",
                where=("fibre", "blend"),
            )
    if settled.superwash:
        how = worked.method.put_on.superwash
        yield Caution(
            id="fibre.superwash",
            level="note",
            text="Superwash wool takes dye faster and deeper than plain wool, and long boiling harms it "
            f"more: {how}.",
            source="Cookson, Hine & McPhee, J. Soc. Dyers Colour. 1964 (abstract); chlorinated wool has "
            "more affinity: Dictionary of English textile terms",
            stage="colour",
            where=("fibre", "blend"),
        )


def _undyed(worked: Worked) -> Iterator[Caution]:
    white = 100.0 - worked.fibre.dyeable_percent
    if white <= 0.05:
        return
    settled = worked.settled
    names = _untaken(settled, worked)
    yield Caution(
        id="fibre.undyed",
        level="warn" if white > MUCH_PERCENT else "note",
        text=f"{brief(white)} % of the blend stays undyed ({listed(names)}): the yarn comes out heathered, and paler "
        "from afar. The depth is on the fibre that takes the dye; for as much dye as on all of it, write "
        f"{brief(100 / worked.fibre.dyeable_percent)} times the depth.",
        source=f"table of fibres; level from {MUCH_PERCENT:g} % is a house rule",
        stage="colour",
        where=("fibre", "blend"),
    )


def _untaken(settled: Settled, worked: Worked) -> list[str]:
    """Fibres that at least one kind of the plan's dyes leaves white."""
    return [
        f.row.name
        for f in settled.blend
        if any(takes(settled, k)[f.row.name] == "no" for k in worked.fibre.kinds)
    ]


def _white(worked: Worked) -> Iterator[Caution]:
    for part in worked.settled.blend:
        other = OTHER_DYE.get(part.row.family)
        if other is None:
            continue
        yield Caution(
            id=f"fibre.white.{slug(part.row.name)}",
            level="note",
            text=f"{part.row.name.capitalize()} will stay white, or near it: it needs {other}, which this "
            "session does not use.",
            source=f"{part.row.source}; {BLENDS}",
            stage="colour",
            where=("fibre", "blend"),
        )


def _sources(parts: Iterator[FibreInBlend]) -> str:
    return "; ".join(dict.fromkeys(part.row.source for part in parts))
