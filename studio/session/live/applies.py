"""What can be done at the bench now: one condition a name, for every front end."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property

from studio.plan.shapes import Step
from studio.session import alarms
from studio.session.bands import bands_of
from studio.session.clock import Reading
from studio.session.heat_rules import may_lose_steam
from studio.session.live import cooling, steam
from studio.session.live.given import allowed, onto_the_heat, record_of
from studio.session.live.painting import in_jar_ml
from studio.session.path import current_step, stage_of
from studio.session.state import State
from studio.session.step_rules import correctable, digit_asked, never_left_out
from studio.session.taking_back import newest, takes_back
from studio.session.time_rules import unsure_timers
from studio.session.timers import packets_in, ran_out, running


class Here:
    """A session at one reading of the clock: what several conditions ask of it is looked for once."""

    def __init__(self, state: State, now: Reading) -> None:
        self.state = state
        self.now = now

    @cached_property
    def step(self) -> Step | None:
        """The step to do now."""
        return current_step(self.state, self.now)


Condition = Callable[[Here], bool]


def _of_step(test: Callable[[Step], bool]) -> Condition:
    return lambda here: here.step is not None and test(here.step)


def _in_stage(*names: str) -> Condition:
    """In one of these stages, in whichever set; `heat` is the one in which the colour is set."""

    return lambda here: here.step is not None and stage_of(here.state, here.step).kind in names


def _or(*conditions: Condition) -> Condition:
    return lambda here: any(holds(here) for holds in conditions)


def _but(condition: Condition, *others: Condition) -> Condition:
    return lambda here: condition(here) and not any(holds(here) for holds in others)


def _open(test: Callable[[State], object]) -> Condition:
    """Until the session is closed: nothing in it changes after that."""
    return lambda here: not here.state.closed and bool(test(here.state))


def _alarm(here: Here) -> bool:
    return bool(alarms.standing(here.state))


def _digit(here: Here) -> bool:
    """At a gate that a digit opens."""
    step = here.step
    return step is not None and digit_asked(here.state, step) is not None


def _waiting(here: Here) -> bool:
    """At a wait whose clock has not run out."""
    step = here.step
    return step is not None and step.kind == "wait" and not ran_out(here.state, step.timer, here.now)


def _was_hot(state: State) -> bool:
    """The present set has been put on the heat."""
    return onto_the_heat(state).closed


def _pot(here: Here) -> bool:
    return (
        allowed(here.state, "top up")
        and _was_hot(here.state)
        and not record_of(here.state, "heat off").closed
    )


def _acid(here: Here) -> bool:
    return allowed(here.state, "more acid") and _pot(here)


def _mixed(here: Here) -> bool:
    """Paint is mixed, and the goods are not hot yet."""
    return not _was_hot(here.state) and any(
        in_jar_ml(here.state, colour.plan.slug) is not None for colour in here.state.choices.colours
    )


def _bands(here: Here) -> bool:
    """While colour is put on in bands; and once they have coats wherever packets are not to be kept, for that another
    jar was used is often seen only when the goods lie open.
    """
    later = bool(here.state.coats) and not _packets(here) and here.step is not None
    return (_in_stage("colour")(here) or later) and bool(bands_of(here.state))


def _packets(here: Here) -> bool:
    heated = allowed(here.state, "packets") and _in_stage("heat")(here)
    return heated or bool(packets_in(here.state))


_STEP = _of_step(lambda step: True)
_VALUE = _of_step(lambda step: step.kind == "measure")
_GATE = _of_step(lambda step: step.kind == "gate" and step.role != "accept cautions")
_HOT = _in_stage("heat", "cool")

CONDITIONS: dict[str, Condition] = {
    "alarm": _alarm,
    "step": _STEP,
    "blank": lambda here: here.step is not None and here.state.choices.form == "blank",
    "ended": lambda here: here.step is None and not _alarm(here),
    "go": _but(_STEP, _alarm, _digit, _waiting),
    "waiting": _but(_waiting, _alarm),
    "digit": _but(_digit, _alarm),
    "number": _or(_VALUE, _GATE),
    "value": _VALUE,
    "gate": _or(_GATE, _waiting),
    "left_out": _of_step(lambda step: not never_left_out(step) and step.role != "sound"),
    "bell": _of_step(lambda step: step.role == "sound"),
    "rating": _of_step(lambda step: step.quantity == "rating"),
    "closing": _of_step(lambda step: step.role == "close"),
    "unsure": lambda here: bool(unsure_timers(here.state, here.now)),
    "clock": lambda here: bool(running(here.state, here.now)),
    "undo": _open(lambda state: newest(state) is not None),
    "takes_back": _open(takes_back),
    "given": _open(correctable),
    "hot": _HOT,
    "not_hot": _but(_STEP, _HOT),
    "bands": _bands,
    "packets": _but(_packets, _bands),
    "steam": lambda here: may_lose_steam(here.state) and not steam.steam_is_lost(here.state),
    "steam_lost": lambda here: steam.steam_is_lost(here.state),
    "pot": _pot,
    "acid": _acid,
    "mixed": _mixed,
    "rinsed": _open(cooling.rounds_now),
}
"""By the names the table of actions uses."""
