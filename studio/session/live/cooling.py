"""When the packet is safe to unwrap, from its own readings."""

from __future__ import annotations

from studio.craft.cooling_fit import fit_cooling
from studio.plan.shapes import Figure
from studio.session.clock import Reading
from studio.session.live.given import (
    NOTHING,
    Thought,
    facts_of,
    minute_of,
    minutes_gone,
    off_the_heat,
    set_suffix,
    usual_place,
    warning,
)
from studio.session.records import Read
from studio.session.state import State

SOURCE = (
    "Newton's law of cooling fitted to the readings; 40 degC: house rule, below the 43 degC surface and "
    "44 degC water of HSE (UK), Health Services Information Sheet 6"
)

ROOM_READ_C, ROOM_ASSUMED_C = 1.0, 2.5
"""Half widths of the room's temperature, read with a thermometer or only assumed. House rule."""


UNSURE = (
    "The computer was restarted: trust the probe, not the clock, and say how long the cooling has run (T)."
)


def packet_readings(state: State) -> tuple[Read, ...]:
    """Readings of the packet, or of the bath, since it came from the heat, in order."""
    out = off_the_heat(state)
    if not out.closed:
        return ()
    place = usual_place(state)
    return tuple(r for r in state.readings if r.where == place and r.n > out.n)


def think_cooling(state: State, now: Reading) -> Thought:
    """Minutes until it is safe: the slow end of the fit leads, with its spread; a poor fit says so."""
    read_so_far, known = packet_readings(state), facts_of(state)
    out = off_the_heat(state).moment
    if known is None or out is None or len(read_so_far) < 2:
        return NOTHING
    live = known[1]
    gone = minutes_gone(state, out, f"cool{set_suffix(state)}", now)
    if gone is None:
        return Thought((), (warning("cool.unsure", UNSURE, "house rule"),))
    minutes = [(minute_of(out, r.at, now, gone), r.value) for r in read_so_far]
    points = [(minute, c) for minute, c in minutes if minute is not None]
    read = next((r.value for r in reversed(state.readings) if r.where == "room"), None)
    room, unsure = (live.room_c, ROOM_ASSUMED_C) if read is None else (read, ROOM_READ_C)
    try:
        fit = fit_cooling(points, room, live.unwrap_c, ambient_half_width_c=unsure)
    except ValueError as problem:
        return Thought((), (warning("cool.fit", f"No time can be fitted: {problem}", SOURCE),))
    told = ", ".join(f"{c:g} degC at {m:.0f} min" for m, c in points[-4:])
    if fit.poor:
        text = f"The readings do not cool as one body does ({fit.poor}); trust the probe, not the clock."
        return Thought((), (warning("cool.poor", text, SOURCE),))
    figure = Figure(
        id="live.cool.time",
        value=max(0.0, fit.slow_min - gone),
        unit="min",
        label=f"safely at {live.unwrap_c:g} degC in",
        because=f"{told}; room {room:g} degC: k {fit.k_per_min:.3g} per min, {fit.target_min:.3g} min from the pot",
        origin="measured",
        source=SOURCE,
        low=max(0.0, fit.fast_min - gone),
        high=max(0.0, fit.slow_min - gone),
    )
    return Thought((figure,))
