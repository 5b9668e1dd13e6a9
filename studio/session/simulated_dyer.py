"""The simulated dyer: what an unattended rehearsal does next, one command at a time.

It answers every step as a dyer would, with weighings and pourings a little off, the way real ones are.
"""

from __future__ import annotations

import random

import msgspec

from studio.plan.shapes import Step
from studio.session import alarms
from studio.session import commands as c
from studio.session.bands import next_band
from studio.session.clock import Reading
from studio.session.doubts import clock_is_ahead
from studio.session.kinds.heat import BathLooked, ReadingTaken
from studio.session.live.bath import ramp_of
from studio.session.live.cooling import rounds_now
from studio.session.live.given import leftovers_untold
from studio.session.live.steam import POT_LEVELS, level_now_ml, time_to_steam, water_ml
from studio.session.live.thinking import effective
from studio.session.path import current_step
from studio.session.state import State
from studio.session.step_rules import gate_digit, open_warnings
from studio.session.timers import running

SPREAD = 0.02
"""Weighings and pourings of the rehearsal lie within about 2 % of the plan. Invented, for practice only."""

SECONDS = {"do": 120.0, "check": 20.0, "measure": 75.0, "gate": 30.0, "wait": 10.0}
"""How long the hand takes for a step. Invented, for practice only."""


class Move(msgspec.Struct, frozen=True):
    """Let `wait_s` pass, then do `command`; a command of None only lets time pass."""

    wait_s: float
    command: c.Command | None


def next_move(state: State, now: Reading, chance: random.Random) -> Move | None:
    """What comes next, or None when the session is closed."""
    if state.closed:
        return None
    standing = alarms.standing(state)
    if standing:
        wants_water = standing[0].level in POT_LEVELS
        return (
            Move(40.0, c.Refill(_fill(state, now)))
            if wants_water
            else Move(8.0, c.Acknowledge(standing[0].n))
        )
    step = current_step(state, now)
    if step is None:
        return Move(5.0, c.Finish())
    ahead = clock_is_ahead(state, step, now)
    if ahead and _reading_due(state):
        return Move(15.0, c.TakeReading(state.worksheet.read_at, _bath_now(state, now, chance)))
    going = [v.left_s for v in running(state, now) if v.left_s > 0]
    if ahead and going:
        return Move(max(0.25, min(going)), None)
    return Move(_takes_s(state, step, chance), _answer(state, effective(state, step), chance))


def _fill(state: State, now: Reading) -> str:
    """As much boiling water as has gone, to the next 50 mL."""
    return f"{max(50.0, 50.0 * round(((water_ml(state) or 0.0) - level_now_ml(state, now)) / 50.0)):.0f} mL"


def _takes_s(state: State, step: Step, chance: random.Random) -> float:
    """As long as a step takes by hand; steam takes its own time, about what the heat balance says."""
    if step.role == "steam rolling":
        expected = sum(f.value for f in time_to_steam(state))
        return max(SECONDS["do"], 60.0 * expected * chance.uniform(1.05, 1.35))
    return SECONDS[step.kind]


def _answer(state: State, step: Step, chance: random.Random) -> c.Command:
    if step.role == "accept cautions":
        return c.AcceptCaution(open_warnings(state)[0].id, "Read; this is a rehearsal.")
    beside = _beside(state, step)
    if beside is not None:
        return beside
    if step.kind == "gate":
        return c.PassGate(step.id, gate_digit(state, step.id))
    if step.kind == "measure":
        return c.Measure(step.id, _reading(step, chance), meant=True)
    return c.Close(step.id)


def _beside(state: State, step: Step) -> c.Command | None:
    """What belongs to a step but is more than a tick: bands, rinse rounds, leftovers."""
    if step.role == "paint":
        band = next_band(state)
        return c.PaintBand(band) if band is not None else None
    if step.quantity == "look":
        looks = sum(look.event.set_number == state.sets for look in state.kept(BathLooked))
        return c.Measure(step.id, str(min(5, 3 + looks)))
    if step.role == "rinse rounds":
        return c.Measure(step.id, str(min(5, 3 + len(rounds_now(state)))))
    if step.role == "leftovers":
        waiting = leftovers_untold(state)
        return c.KeepLeftover(waiting[0].plan.slug, "4 mL") if waiting else None
    return None


def _reading_due(state: State) -> bool:
    """Whether the clock that asks for a reading of the bath was answered and the bath not yet read."""
    looks = {t.id for t in state.timers.values() if t.role == "ramp look"}
    asked = [a for a in state.alarms if a.timer in looks and a.level == "due"]
    return bool(asked) and not asked[-1].standing and all(r.n < asked[-1].n for r in state.kept(ReadingTaken))


def _bath_now(state: State, now: Reading, chance: random.Random) -> str:
    """A bath that lags a little behind its ramp, as baths do. Invented, for practice only."""
    seen = ramp_of(state, now)
    planned = seen.planned_c(seen.now_min) if seen is not None else 40.0
    return f"{planned - chance.uniform(-1.0, 4.0):.0f} degC"


def _reading(step: Step, chance: random.Random) -> str:
    """What is typed, with its unit: a number alone is in whatever unit the prompt shows."""
    if step.quantity == "rating":
        return str(chance.choice((3, 4, 4, 5)))
    if step.quantity == "count":
        return str(max(1, round(step.expected or 1)))
    if step.quantity == "temperature":
        return f"{(step.expected or 20.0) - chance.uniform(0.5, 3.0):.0f} {step.unit}"
    if step.quantity == "ph":
        return f"{(step.expected or 7.0) + chance.uniform(-0.3, 0.3):.1f}"
    value = (step.expected or 1.0) * (1 + chance.uniform(-SPREAD, SPREAD))
    number = f"{value:.2f}" if value < 10 else f"{value:.0f}" if value >= 100 else f"{value:.1f}"
    return f"{number} {step.unit}"
