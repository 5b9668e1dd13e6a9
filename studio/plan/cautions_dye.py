"""Cautions about the dyes: mixtures, classes, salt, pH, light and powder."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.figure_text import brief
from studio.plan.settled import Settled, SettledColour
from studio.plan.shapes import Caution
from studio.plan.ways import method_of
from studio.plan.worked import Worked
from studio.tables import UNKNOWN, find_hazard

PH_SLACK = 0.5
"""A soak this far outside a class's range is noted. House rule."""
DEEP_PERCENT = 4.0
BREAKS = (
    "common practice; A. D. Broadbent, Basic Principles of Textile Coloration, Society of Dyers and "
    "Colourists 2001, "
    "pp. 242-246: dyes differ in rate, pH and migration"
)


def dye_cautions(worked: Worked) -> Iterator[Caution]:
    """dye.*, salt.* and light.food."""
    settled = worked.settled
    yield from _mixtures(worked)
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
                text=f"{colour.plan.name} at {brief(depth.value)} % is deeper than the trade's deepest usual "
                "shade of "
                "4 %: expect loose dye in the rinse.",
                source="suppliers' ladders of depth: 2 to 4 % is deep, black 4 % (Gaywool Dyes; Earth "
                "Guild, undated)",
                stage="rinse",
                where=f"colour.{colour.plan.name}.depth",
            )
    if any(d.food for d in settled.dyes):
        yield Caution(
            id="light.food",
            level="note",
            text="Food colour is less fast to light and washing than dye made for textiles, and fades "
            "faster wet than "
            "dry: dry it out of the sun, and say so on the label.",
            source="common practice; no published test on wool was found",
            stage="rinse",
        )
    yield from _unknown_class(settled)
    yield from _dust(settled)


def _unknown_class(settled: Settled) -> Iterator[Caution]:
    """What is done for want of knowing, and how it would be known."""
    for colour in settled.colours:
        unknown = [s.dye.name for s in colour.stocks if s.dye.dye_class.id == UNKNOWN]
        if unknown:
            yield Caution(
                id=f"dye.class-unknown.{colour.plan.slug}",
                level="note",
                text=f"The class of {' and '.join(unknown)} is not known, so it is handled with care both ways: "
                "pH 4 to 5, warmed slowly and without salt, for it may not even out; rinsed long and washed "
                "separately, for it may bleed. A label or sheet that names a C.I. Acid dye settles it; so does "
                "a small test.",
                source="house rule",
                stage=method_of(settled).put_on.acid_at,
                where=f"colour.{colour.plan.name}.dye",
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
            stage=worked.method.put_on.stage,
            where=f"colour.{colour.plan.name}",
        )
        classes = {s.dye.dye_class.id: s.dye.dye_class.name for s in colour.stocks}
        if len(classes) > 1:
            yield Caution(
                id=f"dye.mixture-classes.{colour.plan.slug}",
                level="warn",
                text=f"{colour.plan.name} mixes {' with '.join(sorted(classes.values()))}: they "
                f"{'may ' if UNKNOWN in classes else ''}strike at different rates and the shade will not even "
                "out; use dyes of one class.",
                source=BREAKS,
                stage="stocks",
                where=f"colour.{colour.plan.name}.mix",
            )


def _what(colour: SettledColour, ready: list[str]) -> str:
    if len(colour.stocks) > 1:
        return f"mixed of {len(colour.stocks)} dyes"
    return (
        f"{ready[0]}, a mixture of several dyes"
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
            id="salt.milling"
            if dye_class.id == "milling"
            else f"salt.{dye_class.id.replace(':', '-').replace(' ', '-')}",
            level="warn" if forbidden else "note",
            text=f"Glauber's salt harms a {dye_class.name} bath: leave it out."
            if forbidden
            else f"What Glauber's salt does with {dye_class.name} is not known: leave it out, or test first.",
            source=dye_class.glauber_source,
            stage=worked.method.put_on.acid_at,
            where="salt",
        )


def _no_acid(worked: Worked) -> Caution:
    table = worked.settled.plan.sour.table
    return Caution(
        id="acid.none",
        level="warn",
        text="The plan has no acid: these dyes take on wool with acid and heat. Name one for the "
        f"{table}, for example white vinegar.",
        source="common practice",
        stage=worked.method.put_on.acid_at,
        where=f"{table}.acid",
    )


def _ph(worked: Worked) -> Iterator[Caution]:
    ph = worked.soured.ph
    table = worked.settled.plan.sour.table
    what = "soak" if table == "presoak" else "bath"
    for dye_class in worked.settled.classes:
        if dye_class.ph_low - PH_SLACK <= ph <= dye_class.ph_high + PH_SLACK:
            continue
        effect = (
            "it may strike too fast and unevenly"
            if ph < dye_class.ph_low
            else "part of it may not take and will rinse out"
        )
        name = dye_class.id.replace(":", "-").replace(" ", "-")
        yield Caution(
            id=f"dye.ph.{name}",
            level="note",
            text=f"The {what} comes to pH {ph:.1f}; {dye_class.name} works at pH {brief(dye_class.ph_low)} to "
            f"{brief(dye_class.ph_high)}: {effect}.",
            source=dye_class.ph_source,
            stage=worked.method.put_on.acid_at,
            where=f"{table}.target_ph",
        )


def _dust(settled: Settled) -> Iterator[Caution]:
    """What is said before a jar of powder is opened."""
    weighed = any(s.dye.powder and c.plan.drops is None for c in settled.colours for s in c.stocks)
    hazard = find_hazard("powder")
    if weighed and hazard is not None:
        yield Caution(id="powder.dust", level="note", text=hazard.text, source=hazard.source, stage="stocks")
