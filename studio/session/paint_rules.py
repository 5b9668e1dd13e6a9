"""What is done with paint: more of it mixed, jars read, bands painted, and what becomes of the rest."""

from __future__ import annotations

import math
import re
from datetime import timedelta
from functools import wraps

import msgspec

from studio.craft.shade import is_another_lot, lot_difference_percent, use_by_days
from studio.plan.settled import SettledColour
from studio.plan.steps.lay import paint_path, stock_path
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session import doubts
from studio.session.asked import Refused, value_of
from studio.session.bands import bands_of, face_up
from studio.session.clock import Reading, day_of
from studio.session.events import Event
from studio.session.kinds.paint import BandPainted, BatchMixed, JarRead, LeftoverKept
from studio.session.live import painting
from studio.session.live.given import colour_of
from studio.session.sheet import sheet_now, value_now, worked_now
from studio.session.state import State

JAR_READING_SLACK = 1.05
"""A jar may read so many times what was mixed in it: a wet scale at the wall. House rule."""

_LEFT = re.compile(r"^(.*?)(?:\s+(?:(out)(?: to dispose of)?|into a jar))?$", re.DOTALL | re.IGNORECASE)


def _in_words(rule: c.Rule[c.C]) -> c.Rule[c.C]:
    """What the sums refuse is refused with their own sentence."""

    @wraps(rule)
    def refusing(state: State, command: c.C, now: Reading) -> list[Event]:
        try:
            return list(rule(state, command, now))
        except Refused:
            raise
        except ValueError as problem:
            raise Refused(str(problem)) from problem

    return refusing


def _colour(state: State, named: str) -> SettledColour:
    found = colour_of(state, named)
    if found is None:
        raise Refused(f"There is no colour {named} in this session; there are {_names(state)}.")
    return found


def _names(state: State) -> str:
    return ", ".join(colour.plan.name for colour in state.choices.colours)


@c.rule(c.MixMore)
@_in_words
def mix_more(state: State, command: c.MixMore, now: Reading) -> list[Event]:
    """More of a colour in its jar's own proportions, as a batch of its own; `20 mL at 2 %` from a stock of its own."""
    colour = _colour(state, command.colour)
    amount, _, own = command.text.partition("at")
    wanted = value_of(amount.strip(), "volume")
    if not 0 < wanted <= 5_000:
        raise Refused("Write how much more is needed, for example 20 mL.")
    slug, worked = colour.plan.slug, worked_now(state)
    liquids = worked.liquids if worked is not None else ()
    jar = next((q for q in liquids if q.colour.plan.slug == slug and q.mixed_ml), None)
    part = wanted / jar.mixed_ml if jar else 0.0
    stock_ml, added_ml = (part * jar.stock_ml, part * jar.added_ml) if jar else (0.0, 0.0)
    added = (
        msgspec.structs.replace(a, amount=round(part * a.amount, 4), ml=round(part * a.ml, 4))
        for a in (jar.additions if jar else ())
    )
    flagged, strength, off = False, None, None
    if own:
        first = value_now(state, stock_path(colour.stocks[0].slug, "strength"))
        strength = value_of(own.strip(), "strength")
        if first is not None and first > 0 and is_another_lot(first, strength):
            off = round(lot_difference_percent(first, strength), 2)
    else:
        flagged = doubts.taken(doubts.batch(state, colour, stock_ml), meant=command.meant)
    batch = BatchMixed(
        colour=slug,
        ml=round(wanted, 4),
        stock_ml=round(stock_ml, 4),
        water_ml=round(wanted - stock_ml - added_ml, 4),
        added=tuple(added),
        typed=command.text.strip(),
        strength_percent=None if strength is None else round(strength, 5),
        lot_difference_percent=off,
        flagged=flagged,
    )
    return [batch]


@c.rule(c.PaintLeft)
def paint_left(state: State, command: c.PaintLeft, now: Reading) -> list[Event]:
    """What a jar holds now; not more than was ever mixed."""
    colour = _colour(state, command.colour)
    mixed = painting.in_jar_ml(state, colour.plan.slug)
    if mixed is None:
        raise Refused(f"The paint for {colour.plan.name} has not been mixed yet.")
    ml = value_of(command.text, "volume")
    _no_more_than_mixed(colour, ml, mixed)
    return [JarRead(colour.plan.slug, ml, command.text.strip())]


def _no_more_than_mixed(colour: SettledColour, ml: float, mixed_ml: float) -> None:
    if ml > mixed_ml * JAR_READING_SLACK:
        raise Refused(
            f"Only {show(mixed_ml, 'mL')} of {colour.plan.name} were mixed; write what is left of them."
        )


@c.rule(c.PaintBand)
def paint_band(state: State, command: c.PaintBand, now: Reading) -> list[Event]:
    """A coat on any band, in any order; or, of a face that has one, the jar its newest coat was from."""
    bands = bands_of(state)
    band = next((b for b in bands if b.number == command.band), None)
    if band is None:
        raise Refused(
            f"There is no band {command.band}; they are numbered 1 to {len(bands)}."
            if bands
            else "This session has no bands to paint."
        )
    jar, face = _jar_to_paint_from(state, command.jar or band.jar), command.face or face_up(state)
    coats = band.on(face)
    if not coats or command.again:
        return [BandPainted(band.number, band.jar, jar.plan.slug, len(coats) + 1, face=face)]
    newest = coats[-1].jar
    if not command.jar or jar.plan.slug == newest:
        named = painting.jar_called(state, newest)
        raise Refused(
            f"Band {band.number} has a coat from the {named.plan.name if named else newest} jar already; "
            "give it another ({painting.coat}), or name another jar."
        )
    return [BandPainted(band.number, band.jar, jar.plan.slug, len(coats), newest, face)]


def _jar_to_paint_from(state: State, text: str) -> SettledColour:
    """The colour of that slug, name or number, once its paint is mixed or its mixing was left out."""
    jar = painting.jar_called(state, text)
    if jar is None:
        raise Refused(f"There is no jar of {text.strip()[:40]}; there are {_names(state)}.")
    mixing = state.worksheet.step_for("mix", jar.plan.slug)
    if mixing is not None and not state.step(mixing.id).closed:
        raise Refused(f"The paint for {jar.plan.name} has not been mixed yet.")
    return jar


@c.rule(c.KeepLeftover)
@_in_words
def keep_leftover(state: State, command: c.KeepLeftover, now: Reading) -> list[Event]:
    """`12 mL` into a labelled jar with a use-by date, `12 mL out` to disposal, `0` for nothing left."""
    colour = _colour(state, command.colour)
    text = command.text.strip()
    amount, out = _LEFT.findall(text)[0]
    ml = value_of(amount, "volume") if any(sign.isnumeric() for sign in amount) else math.inf
    if ml > 20_000:
        ml_told = painting.left_example(state, colour)
        raise Refused(
            f"Write how much is left: {ml_told} into a jar, {ml_told} out to dispose of it, or 0 for none; "
            "20 L at most."
        )
    slug = colour.plan.slug
    mixed = painting.in_jar_ml(state, slug)
    if mixed is not None:
        told_ml = sum(kept.event.ml for kept in state.kept(LeftoverKept) if kept.event.colour == slug)
        _no_more_than_mixed(colour, ml + told_ml, mixed)
    sheet = sheet_now(state, {paint_path(slug, "left"): ml})
    figure = sheet.figure(paint_path(slug, "left.strength")) if len(colour.stocks) == 1 else None
    strength = None if figure is None else round(figure.value, 5)
    if out or ml == 0:
        return [LeftoverKept(slug, ml, "disposed", text, strength)]
    limit = use_by_days(colour.plan.kept_as)
    last_day = day_of(now.wall_ns, state.utc_offset_min) + timedelta(days=limit.days)
    return [LeftoverKept(slug, ml, "jar", text, strength, f"{last_day:%Y-%m-%d}", limit.source)]
