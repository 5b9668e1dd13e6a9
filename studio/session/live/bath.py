"""The dye bath on its ramp: where it should be, where it was read, how fast it climbs, whether it clears."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from studio.craft import bath_heat as ramp
from studio.methods.set_by.bath_work import HeatWork
from studio.plan.shapes import Caution, Figure, fig
from studio.quantity.reading_in import apart, told
from studio.quantity.showing import show
from studio.session.clock import Reading, time_of_day
from studio.session.kinds.heat import AcidDosed, BathLooked, ReadingTaken
from studio.session.live.given import (
    Told,
    allowed,
    clock_of,
    minute_of,
    minutes_gone,
    read_words,
    record_of,
    warning,
)
from studio.session.sheet import heat_now, worked_now
from studio.session.state import State

NEAR_C = 2.0
"""No further from the ramp than this is on it. House rule: a kitchen thermometer, read while it climbs."""
FAR_C = 6.0
"""This far from the ramp is warned about. House rule."""
NEAR_BOIL_C = 1.5
UNDER_TOP_C = 4.0
SOURCE = "straight line of the ramp; slope of the readings of the last six minutes (least squares)"
UNSURE = (
    "The computer lost count: trust the thermometer, and say how long the ramp has run ({bench.true_time})."
)


class Ramp(msgspec.Struct, frozen=True):
    """A ramp with what was read on it; minutes count from when the heat went on."""

    heat: HeatWork
    readings: tuple[tuple[float, float], ...]
    now_min: float
    read_at: str = ""
    """Time of day of the last reading."""

    def planned_c(self, minute: float) -> float:
        """What the ramp asks for."""
        heat = self.heat
        return ramp.planned_c(heat.start_c, heat.top_c, heat.slope_c_min, max(0.0, minute))

    @property
    def off_c(self) -> float | None:
        """How far the last reading was above the ramp at its own minute; None before the first."""
        if not self.readings:
            return None
        minute, c = self.readings[-1]
        return c - self.planned_c(minute)

    @property
    def rate_now(self) -> float | None:
        """degC a minute of the latest readings; None for fewer than two."""
        return ramp.rate_now_c_min(self.readings)


def ramp_of(state: State, now: Reading, set_number: int | None = None) -> Ramp | None:
    """The ramp of the present set (or of another), None before the heat is on, or while nobody knows how long."""
    heat = heat_now(state, HeatWork)
    if heat is None:
        return None
    number = set_number or state.sets
    on, off = record_of(state, "heat on", number=number), record_of(state, "heat off", number=number)
    if on.moment is None:
        return None
    gone = minutes_gone(on.moment, clock_of(state, "ramp", number), now)
    if gone is None:
        return None
    if off.moment is not None:
        gone = minute_of(on.moment, off.moment, now, gone) or gone
    read = [(r.at, r.event.value) for r in state.kept(ReadingTaken) if r.event.where == "bath" and r.n > on.n]
    top = record_of(state, "at the top", number=number)
    if top.moment is not None and top.value is not None:
        read.append((top.moment, top.value))
    found = [(minute_of(on.moment, at, now, gone), c, at.wall_ns) for at, c in read]
    points = sorted((m, c, at) for m, c, at in found if m is not None and 0 <= m <= gone + 0.01)
    told = time_of_day(points[-1][2], state.utc_offset_min) if points else ""
    return Ramp(heat, tuple((m, c) for m, c, _ in points), gone, told)


def think_ramp(state: State, now: Reading) -> Told:
    """What the ramp asks now, how far off the last reading was, how fast the bath climbs, when it is there."""
    if not allowed(state, "more acid") or record_of(state, "heat on").moment is None:
        return
    seen = ramp_of(state, now)
    if seen is None:
        yield warning("ramp.unsure", UNSURE, "house rule")
        return
    planned = seen.planned_c(seen.now_min)
    because = (
        f"{seen.heat.start_c:.1f} + {seen.heat.slope_c_min:.2f} °C/min x {seen.now_min:.1f} min, no more than "
        f"{seen.heat.top_c:.1f} °C"
    )
    label = "the ramp asks for now"
    yield fig("live.bath.planned", planned, "degC", label, because, "plan", "the plan's ramp")
    if seen.readings:
        yield from _read(seen)
        yield from _boils(seen) or _off(seen)


def _read(seen: Ramp) -> Iterator[Figure]:
    minute, c = seen.readings[-1]
    label = f"bath at {seen.read_at}, {off_words(seen)}"
    because = f"read at {minute:.0f} min, where the ramp asks for {seen.planned_c(minute):.1f} °C"
    yield fig("live.bath.bath", c, "degC", label, because, "measured", SOURCE)
    rate, points_told = seen.rate_now, read_words(seen.readings)
    if rate is not None:
        yield fig("live.bath.rate", rate, "degC/min", "climbing at", points_told, "measured", SOURCE)
    if rate is not None and rate > 0.05 and c < seen.heat.top_c - NEAR_C:
        left = ramp.minutes_to_top(c, seen.heat.top_c, rate) - (seen.now_min - minute)
        since = f"{seen.now_min - minute:.0f} min since"
        because = f"({seen.heat.top_c:.1f} - {c:g}) °C / {rate:.2f} °C/min, less {since}"
        yield fig("live.bath.to-top", max(0.0, left), "min", "at full heat in", because, "measured", SOURCE)


def off_words(seen: Ramp) -> str:
    """`3 degC behind`, `on the ramp`; empty before the first reading."""
    off = seen.off_c
    if off is None:
        return ""
    if abs(off) <= NEAR_C:
        return "on the ramp"
    by, sign = apart(abs(off))
    return f"{by:.0f} {sign} {'ahead' if off > 0 else 'behind'}"


def _boils(seen: Ramp) -> list[Caution]:
    _, c = seen.readings[-1]
    if c < seen.heat.boil_c - NEAR_BOIL_C:
        return []
    boil = f"the boil ({told(seen.heat.boil_c, 'degC')} here)"
    text = f"{told(c, 'degC')} at {seen.read_at} is all but {boil}: turn it down now, boiling felts."
    return [warning("ramp.boils", text, "house rule")]


def _off(seen: Ramp) -> Iterator[Caution]:
    off, rule = seen.off_c or 0.0, "house rule"
    was = f"At {seen.read_at} the bath was"
    if off > FAR_C:
        text = f"{was} {off_words(seen)}: turn the ring down, or the colour strikes unevenly."
        yield warning("ramp.ahead", text, rule)
    elif off < -FAR_C:
        text = f"{was} {off_words(seen)}: turn the ring up, or put the lid on; being late does no harm."
        yield warning("ramp.behind", text, rule)


def think_hold(state: State, now: Reading) -> Told:
    """Whether the bath is still at its top."""
    seen = ramp_of(state, now)
    if seen is None or not seen.readings:
        return
    minute, c = seen.readings[-1]
    label = f"bath, {max(0.0, seen.now_min - minute):.0f} min ago"
    because = f"read at {minute:.0f} min; to be held at {seen.heat.top_c:.1f} °C"
    yield fig("live.bath.bath", c, "degC", label, because, "measured", SOURCE)
    yield from _boils(seen)
    if c < seen.heat.top_c - UNDER_TOP_C:
        held = f"the {told(seen.heat.top_c, 'degC')} to be held"
        text = f"{told(c, 'degC')} is below {held}: turn the ring up, and hold it longer ({{bench.extend}})."
        yield warning("hold.cold", text, "house rule")


def think_clear(state: State) -> Told:
    """After a look that was not clear: hold on, or more acid, whichever fits."""
    mine = [look for look in state.kept(BathLooked) if look.event.set_number == state.sets]
    worked, acid = worked_now(state), state.choices.acid
    if not mine or mine[-1].event.clear or worked is None:
        return
    dosed = sum(d.event.amount for d in state.kept(AcidDosed))
    unit = "mL" if acid is not None and acid.row.state == "liquid" else "g"
    more = (
        f", or add acid ({{bench.acid}}), {show(worked.soured.acid_amount / 4, unit, 2)} at a time"
        if allowed(state, "more acid")
        else ""
    )
    if dosed > 0:
        more += f"; {show(dosed, unit, 3)} more went in already"
    text = (
        f"Not clear at {mine[-1].event.grade} of 5: keep it hot until the new clock is over{more}. "
        "Or go on as it is ({bench.not_measured})."
    )
    yield warning("bath.not-clear", text, "common practice: again until it is clear, acid late and little")
