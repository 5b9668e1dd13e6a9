"""After the heat: when the packet is safe to unwrap, how warm the rinse is, what it means when it is not clear."""

from __future__ import annotations

import msgspec

from studio.craft.cooling import fit_cooling
from studio.craft.rinse import (
    MEANINGS,
    ROUNDS_BEFORE_GUIDANCE,
    STAINING,
    STEP_LIMIT_C,
    guidance,
    temperature_step,
)
from studio.plan.shapes import Caution, Figure, Step
from studio.plan.steps.lay import in_set
from studio.plan.work.energy import UNWRAP_C
from studio.quantity.reading_in import apart, told, told_number
from studio.quantity.showing import show
from studio.session.clock import Reading
from studio.session.events import Kept
from studio.session.kinds.heat import ReadingTaken, RinseRound
from studio.session.live.given import (
    Told,
    clock_of,
    measured,
    minute_of,
    minutes_gone,
    off_the_heat,
    read_words,
    record_of,
    warning,
)
from studio.session.sheet import worked_now
from studio.session.state import State
from studio.session.timers import counted_min

SOURCE = (
    "Newton's law of cooling fitted to the readings; 40 °C: house rule, below the 43 °C surface and "
    "44 °C water of HSE (UK), Health Services Information Sheet 6"
)

ROOM_READ_C, ROOM_ASSUMED_C = 1.0, 2.5
"""Half widths of the room's temperature, read with a thermometer or only assumed. House rule."""


UNSURE = (
    "The computer lost count: trust the probe, not the clock, and say how long the cooling has run "
    "({bench.true_time})."
)


def packet_readings(state: State) -> tuple[Kept[ReadingTaken], ...]:
    """Readings of the packet, or of the bath, since it came from the heat, in order."""
    out = off_the_heat(state)
    if not out.closed:
        return ()
    place = state.worksheet.read_at
    return tuple(r for r in state.kept(ReadingTaken) if r.event.where == place and r.n > out.n)


def newest_reading(state: State) -> Kept[ReadingTaken] | None:
    """The newest temperature of the goods since the heat, read beside the steps or at the step that asks for it."""
    asked = record_of(state, "goods temperature", number=state.sets)
    read = list(packet_readings(state))
    if asked.value is not None and asked.moment is not None:
        told = ReadingTaken(state.worksheet.read_at, asked.value, "degC", asked.typed)
        read.append(Kept(asked.n, asked.moment, told))
    return max(read, key=lambda r: r.n, default=None)


def beyond_limit(state: State, step: Step) -> Kept[ReadingTaken] | None:
    """The newest reading where it is above the limit of a step; None at or below, and where nothing was read."""
    read = newest_reading(state)
    return read if read is not None and step.limit_c is not None and read.event.value > step.limit_c else None


def ended_by(state: State, step: Step) -> Kept[ReadingTaken] | None:
    """The newest reading where it is at or below the limit of a wait, and so ends it."""
    read = newest_reading(state)
    waits = step.kind == "wait" and step.limit_c is not None
    return read if waits and read is not None and beyond_limit(state, step) is None else None


def too_hot(state: State, step: Step) -> str:
    """Why a gate stays shut, and what to do; empty where its limit does not stand against it."""
    read = beyond_limit(state, step)
    if read is None or step.limit_c is None or step.kind != "gate":
        return ""
    read_c = told(read.event.value, "degC")
    return (
        f"Last read at {read_c}, and {told(step.limit_c, 'degC')} is the limit: let it cool and "
        "read it again ({bench.reading}), or pass it with a reason ({bench.override})."
    )


def think_hot(state: State, step: Step) -> Told:
    """At a gate, that it stays shut; after one that was passed all the same, that the goods are still too hot."""
    at_gate = too_hot(state, step)
    if at_gate:
        yield _danger("cool.hot", at_gate)
        return
    cool = (s for made in state.worksheet.procedure if made.kind == "cool" for s in made.steps)
    gates = (s for s in cool if s.kind == "gate" and s.set_number == state.sets)
    passed = (s for s in gates if state.step(s.id).state == "overridden")
    gate = next((s for s in passed if beyond_limit(state, s) is not None), None)
    read = beyond_limit(state, gate) if gate is not None else None
    if gate is None or gate.limit_c is None or read is None:
        return
    read_c = told(read.event.value, "degC")
    text = (
        f"Still at {read_c}, above the limit of {told(gate.limit_c, 'degC')}: it scalds, and wool "
        "felts in cooler water. Leave it alone until it reads less ({bench.reading})."
    )
    yield _danger("cool.opened-hot", text)


def _danger(warning_id: str, text: str) -> Caution:
    return msgspec.structs.replace(warning(warning_id, text, SOURCE), level="stop")


def think_cooling(state: State, now: Reading) -> Told:
    """Minutes until it is safe: the slow end of the fit leads, with its spread; a poor fit says so."""
    read_so_far, worked = packet_readings(state), worked_now(state)
    out = off_the_heat(state).moment
    if worked is None or out is None or len(read_so_far) < 2:
        return
    safe_c = UNWRAP_C
    gone = minutes_gone(out, clock_of(state, "cool"), now)
    if gone is None:
        yield warning("cool.unsure", UNSURE, "house rule")
        return
    minutes = [(minute_of(out, r.at, now, gone), r.event.value) for r in read_so_far]
    points = [(minute, c) for minute, c in minutes if minute is not None]
    read = next((r.event.value for r in reversed(state.kept(ReadingTaken)) if r.event.where == "room"), None)
    room, unsure = (state.choices.room.value, ROOM_ASSUMED_C) if read is None else (read, ROOM_READ_C)
    try:
        fit = fit_cooling(points, room, safe_c, ambient_half_width_c=unsure)
    except ValueError as problem:
        yield warning("cool.fit", f"No time can be fitted: {problem}", SOURCE)
        return
    points_told = read_words(points)
    if fit.poor:
        yield warning("cool.poor", f"{fit.poor} Trust the probe, not the clock.", SOURCE)
        return
    yield Figure(
        id="live.cool.time",
        instead_of=in_set("cool.time", state.sets),
        value=max(0.0, fit.slow_min - gone),
        unit="min",
        label=f"safely at {told(safe_c, 'degC')} in",
        because=f"{points_told}; room {show(room, 'degC')}: k {fit.k_per_min:.3g} per min, "
        f"{fit.target_min:.3g} min from the heat",
        origin="measured",
        source=SOURCE,
        low=max(0.0, fit.fast_min - gone),
        high=max(0.0, fit.slow_min - gone),
    )


def foretold(state: State, now: Reading) -> Figure | None:
    """When it is safely cool by its readings, where they say so."""
    return next((one for one in think_cooling(state, now) if isinstance(one, Figure)), None)


def moved_min(state: State, clock: str) -> float:
    """By how much the readings since the heat have moved that clock, in minutes."""
    moves = (move for read in packet_readings(state) for move in read.event.extends)
    return sum(move.minutes for move in moves if move.timer == clock)


FELTING = "common practice: wool is rinsed at its own warmth; the limit is a house rule"


def staining_words() -> str:
    """The five steps of rinse water, for the question."""
    return "   ".join(f"{s.grade} {s.words}" for s in STAINING)


def fibre_c(state: State) -> float | None:
    """Temperature of the fibre when it was last read since the heat."""
    read = newest_reading(state)
    return None if read is None else read.event.value


def water_c(state: State) -> float | None:
    """How warm the rinse water should be: as the fibre, and never above what hands may meet; None where nobody read."""
    fibre = fibre_c(state)
    return None if fibre is None or worked_now(state) is None else min(fibre, UNWRAP_C)


def think_rinse_water(state: State) -> Told:
    """A warning where the rinse water is too far from the fibre; what is still too hot is warned of elsewhere."""
    fibre, water = fibre_c(state), measured(state, "rinse water", number=state.sets)
    if fibre is None or water is None or fibre != water_c(state):
        return
    step = temperature_step(fibre, water)
    if not step.too_large:
        return
    (off, sign), (limit, _) = apart(abs(step.step_c)), apart(STEP_LIMIT_C)
    text = (
        f"The water is {off:.0f} {sign} from the fibre and wool felts at a step of more than {limit:g} {sign}: "
        f"bring it between {told_number(step.low_c, 'degC', 0.0)} and {told(step.high_c, 'degC')} first."
    )
    yield warning("rinse.step", text, FELTING)


def rounds_now(state: State) -> tuple[int, ...]:
    """Grades of the rinse rounds of the present set."""
    return tuple(r.event.staining for r in state.kept(RinseRound) if r.event.set_number == state.sets)


def think_rounds(state: State) -> Told:
    """After three rounds that are not clear: what it can mean, and that it can be set again."""
    grades = rounds_now(state)
    if len(grades) < ROUNDS_BEFORE_GUIDANCE or state.kept(RinseRound)[-1].event.clear:
        return
    timer, hold = clock_of(state, "hold"), state.worksheet.clock_for("hold", state.sets)
    held = None if hold is None else counted_min(state, state.sets).get(hold.counts)
    depths = [c.plan.depth.value for c in state.choices.colours if c.plan.depth is not None]
    ids = guidance(
        grades,
        ph=measured(state, "pH"),
        held_min=held,
        hold_min=timer.minutes if timer is not None else None,
        depth_percent=max(depths, default=None),
    )
    yield from (warning(f"rinse.{i}", MEANINGS[i].sentence, MEANINGS[i].source) for i in ids)
