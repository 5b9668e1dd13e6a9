"""What can be done at the bench now: one condition a name, for every front end."""

from __future__ import annotations

from collections.abc import Callable

from studio.plan.shapes import Step
from studio.session import alarms
from studio.session.bench_rules import may_lose_steam
from studio.session.clock import Reading
from studio.session.gate_digit import CAUTIONS_STEP, digit_asked
from studio.session.live import rinsing, steam
from studio.session.live.given import facts_of, heat_stage, set_suffix
from studio.session.live.painting import in_jar_ml
from studio.session.path import current_step
from studio.session.state import State
from studio.session.step_rules import correctable
from studio.session.taking_back import newest, takes_back
from studio.session.time_rules import unsure_timers
from studio.session.timers import packets_in, ran_out, running

Condition = Callable[[State, Reading], bool]


def _of_step(test: Callable[[Step], bool]) -> Condition:
    def holds(state: State, now: Reading) -> bool:
        step = current_step(state, now)
        return step is not None and test(step)

    return holds


def _in_stage(*names: str) -> Condition:
    """In one of these stages, in whichever set."""
    return _of_step(lambda step: step.id.partition(".")[0].partition("-")[0] in names)


def _or(*conditions: Condition) -> Condition:
    return lambda state, now: any(holds(state, now) for holds in conditions)


def _but(condition: Condition, *others: Condition) -> Condition:
    return lambda state, now: condition(state, now) and not any(holds(state, now) for holds in others)


def _alarm(state: State, now: Reading) -> bool:
    return bool(alarms.standing(state))


def _digit(state: State, now: Reading) -> bool:
    """At a gate that a digit opens."""
    step = current_step(state, now)
    return step is not None and digit_asked(state, step) is not None


def _waiting(state: State, now: Reading) -> bool:
    """At a wait whose clock has not run out."""
    step = current_step(state, now)
    return step is not None and step.kind == "wait" and not ran_out(state, step.timer, now)


def _number(state: State, now: Reading) -> bool:
    """A digit is wanted: for a value, for what is left of a colour, or to open a gate."""
    step = current_step(state, now)
    return step is not None and (step.kind == "measure" or (step.kind == "gate" and step.id != CAUTIONS_STEP))


def _lost(state: State, now: Reading) -> bool:
    return steam.steam_is_lost(state)


def _was_hot(state: State) -> bool:
    """The present set has been put on the heat."""
    if heat_stage(state) == "heat":
        return state.step(f"heat{set_suffix(state)}.on").closed
    return heat_stage(state) == "steam" and steam.rolling_since(state) is not None


def _pot(state: State, now: Reading) -> bool:
    return _was_hot(state) and not state.step(f"{heat_stage(state)}{set_suffix(state)}.off").closed


def _acid(state: State, now: Reading) -> bool:
    known = facts_of(state)
    return heat_stage(state) == "heat" and _pot(state, now) and known is not None and known[0].acid_amount > 0


def _mixed(state: State, now: Reading) -> bool:
    """Paint is mixed, and the goods are not hot yet."""
    known = facts_of(state)
    colours = known[0].colours if known is not None else ()
    return not _was_hot(state) and any(in_jar_ml(state, colour.slug) is not None for colour in colours)


_STEP = _of_step(lambda step: True)
_HOT = _in_stage("steam", "heat", "microwave", "cool")

CONDITIONS: dict[str, Condition] = {
    "alarm": _alarm,
    "step": _STEP,
    "ended": lambda state, now: current_step(state, now) is None and not _alarm(state, now),
    "go": _but(_STEP, _alarm, _digit, _waiting),
    "waiting": _but(_waiting, _alarm),
    "digit": _but(_digit, _alarm),
    "number": _number,
    "value": _of_step(lambda step: step.kind == "measure"),
    "gate": _of_step(lambda step: step.kind in ("gate", "wait") and step.id != CAUTIONS_STEP),
    "rating": _of_step(lambda step: step.quantity == "rating"),
    "closing": _of_step(lambda step: step.id == "record.close"),
    "unsure": lambda state, now: bool(unsure_timers(state, now)),
    "clock": lambda state, now: bool(running(state, now)),
    "undo": lambda state, now: newest(state) is not None,
    "takes_back": lambda state, now: takes_back(state),
    "given": lambda state, now: bool(correctable(state)),
    "hot": _HOT,
    "not_hot": _but(_STEP, _HOT),
    "bands": _in_stage("paint"),
    "packets": _but(_or(_in_stage("steam"), lambda state, now: bool(packets_in(state))), _in_stage("paint")),
    "steam": lambda state, now: may_lose_steam(state) and not steam.steam_is_lost(state),
    "steam_lost": _lost,
    "pot": _pot,
    "acid": _acid,
    "mixed": _mixed,
    "rinsed": lambda state, now: bool(rinsing.rounds_now(state)),
}
"""By the names the table of actions uses."""
