"""What can be done at the bench now: one condition a name, for every front end."""

from __future__ import annotations

from collections.abc import Callable

from studio.plan.shapes import Step
from studio.session import alarms
from studio.session.bench_rules import may_lose_steam
from studio.session.clock import Reading
from studio.session.live import rinsing, steam
from studio.session.live.given import allowed, onto_the_heat, record_of
from studio.session.live.painting import bands_of, in_jar_ml
from studio.session.path import current_step, stage_of
from studio.session.state import State
from studio.session.step_rules import correctable, digit_asked
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
    """In one of these stages, in whichever set; `heat` is the one in which the colour is set."""

    def holds(state: State, now: Reading) -> bool:
        step = current_step(state, now)
        stage = None if step is None else stage_of(state, step.id)
        return stage is not None and stage.kind in names

    return holds


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
    return step is not None and (
        step.kind == "measure" or (step.kind == "gate" and step.role != "accept cautions")
    )


def _lost(state: State, now: Reading) -> bool:
    return steam.steam_is_lost(state)


def _was_hot(state: State) -> bool:
    """The present set has been put on the heat."""
    return onto_the_heat(state).closed


def _pot(state: State, now: Reading) -> bool:
    return allowed(state, "top up") and _was_hot(state) and not record_of(state, "heat off").closed


def _acid(state: State, now: Reading) -> bool:
    return allowed(state, "more acid") and _pot(state, now)


def _mixed(state: State, now: Reading) -> bool:
    """Paint is mixed, and the goods are not hot yet."""
    return not _was_hot(state) and any(
        in_jar_ml(state, colour.plan.slug) is not None for colour in state.choices.colours
    )


def _bands(state: State, now: Reading) -> bool:
    """While colour is put on in bands."""
    return _in_stage("colour")(state, now) and bool(bands_of(state))


def _packets(state: State, now: Reading) -> bool:
    return allowed(state, "packets") and _in_stage("heat")(state, now)


_STEP = _of_step(lambda step: True)
_HOT = _in_stage("heat", "cool")

CONDITIONS: dict[str, Condition] = {
    "alarm": _alarm,
    "step": _STEP,
    "ended": lambda state, now: current_step(state, now) is None and not _alarm(state, now),
    "go": _but(_STEP, _alarm, _digit, _waiting),
    "waiting": _but(_waiting, _alarm),
    "digit": _but(_digit, _alarm),
    "number": _number,
    "value": _of_step(lambda step: step.kind == "measure"),
    "gate": _of_step(lambda step: step.kind in ("gate", "wait") and step.role != "accept cautions"),
    "rating": _of_step(lambda step: step.quantity == "rating"),
    "closing": _of_step(lambda step: step.role == "close"),
    "unsure": lambda state, now: bool(unsure_timers(state, now)),
    "clock": lambda state, now: bool(running(state, now)),
    "undo": lambda state, now: newest(state) is not None,
    "takes_back": lambda state, now: takes_back(state),
    "given": lambda state, now: bool(correctable(state)),
    "hot": _HOT,
    "not_hot": _but(_STEP, _HOT),
    "bands": _bands,
    "packets": _but(_or(_packets, lambda state, now: bool(packets_in(state))), _bands),
    "steam": lambda state, now: may_lose_steam(state) and not steam.steam_is_lost(state),
    "steam_lost": _lost,
    "pot": _pot,
    "acid": _acid,
    "mixed": _mixed,
    "rinsed": lambda state, now: bool(rinsing.rounds_now(state)),
}
"""By the names the table of actions uses."""
