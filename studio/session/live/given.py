"""What has been measured so far, and how the steps and clocks of a role stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TypeAlias

import msgspec

from studio.plan.settled import SettledColour
from studio.plan.shapes import Allowed, Caution, ClockRole, Figure, Role, Step
from studio.quantity.showing import show
from studio.session.asked import Refused
from studio.session.clock import Moment, Reading, elapsed_since
from studio.session.kinds.paint import LeftoverKept
from studio.session.state import OPEN_STEP, State, StepRecord, TimerRecord
from studio.session.timers import elapsed_s

Told: TypeAlias = Iterator[Figure | Caution]
"""What a function of this room tells: figures and warnings, as they come."""


class Thought(msgspec.Struct, frozen=True):
    """What the bench makes of what happened."""

    figures: tuple[Figure, ...] = ()
    warnings: tuple[Caution, ...] = ()


def gathered(told: Iterable[Figure | Caution]) -> Thought:
    """Figures and warnings apart."""
    found = tuple(told)
    figures = tuple(one for one in found if isinstance(one, Figure))
    return Thought(figures, tuple(one for one in found if isinstance(one, Caution)))


def record_of(state: State, role: Role, of: str = "", number: int | None = None) -> StepRecord:
    """How the step of that role and subject stands, in that set, else in the newest that has one."""
    step = state.worksheet.step_for(role, of, number)
    return OPEN_STEP if step is None else state.step(step.id)


def measured(state: State, role: Role, of: str = "", number: int | None = None) -> float | None:
    """The value given at the step of that role and subject, if it was given and something follows from it.

    What makes no sense but was meant is kept and marked, and its figure keeps its formula.
    """
    step, record = state.worksheet.step_for(role, of, number), record_of(state, role, of, number)
    follows = step is None or not step.sets or step.sets in record.fixed
    return record.value if record.closed and follows else None


def clock_of(state: State, role: ClockRole, number: int | None = None) -> TimerRecord | None:
    """The clock of that role in the present set, or another, once it was started."""
    planned = state.worksheet.clock_for(role, number or state.sets)
    return None if planned is None else state.timers.get(planned.id)


def colour_of(state: State, slug: str) -> SettledColour | None:
    """The colour of that slug."""
    return next((c for c in state.choices.colours if c.plan.slug == slug), None)


def leftovers_untold(state: State) -> tuple[SettledColour, ...]:
    """Colours of which it was not told yet what became of the rest."""
    told = {kept.event.colour for kept in state.kept(LeftoverKept)}
    return tuple(colour for colour in state.choices.colours if colour.plan.slug not in told)


def minutes_between(start: Moment, end: Moment | Reading) -> float:
    """Minutes from one moment to another."""
    return elapsed_since(start, end).seconds / 60


def minutes_gone(start: Moment, timer: TimerRecord | None, now: Reading) -> float | None:
    """Minutes from a start to now. After a restart of the machine those of the clock that began with it, and
    None until the dyer has said how long that one has run."""
    if start.boot == now.boot:
        return minutes_between(start, now)
    gone, sure = elapsed_s(timer, now) if timer is not None else (0.0, False)
    return gone / 60 if sure else None


def minute_of(start: Moment, moment: Moment, now: Reading, gone_min: float) -> float | None:
    """Minute of a moment after a start, `gone_min` being now's; None where only the wall clock could tell."""
    if moment.boot == start.boot:
        return minutes_between(start, moment)
    return gone_min - minutes_between(moment, now) if moment.boot == now.boot else None


def read_words(points: Sequence[tuple[float, float]]) -> str:
    """The newest readings, in minutes and degC, as a reason names them: what reads alike stands once.

    >>> read_words([(0.1, 98.0), (0.3, 98.0), (7.2, 61.5)])
    '98 °C at 0 min, 61.5 °C at 7 min'
    """
    told = dict.fromkeys(f"{show(c, 'degC')} at {minute:.0f} min" for minute, c in points)
    return ", ".join([*told][-4:])


def warning(warning_id: str, text: str, source: str) -> Caution:
    """A warning of the bench; it stands as long as what it says is so."""
    return Caution(id=f"live.{warning_id}", level="warn", text=text, source=source)


def allowed(state: State, what: Allowed) -> bool:
    """Whether this way of setting the colour lets that be done."""
    return what in state.worksheet.allows


def acid_poured(state: State) -> Step:
    """The step that measured the acid of a bath which may get more of it; Refused where there is none."""
    poured = [step for step in state.all_steps() if step.role == "acid" and allowed(state, "more acid")]
    if not poured:
        raise Refused("Only a bath on the heat takes more acid, and only the acid its plan names.")
    return poured[0]


def off_the_heat(state: State) -> StepRecord:
    """How the step stands that takes the goods from the heat in the present set: cooling starts with it."""
    cooling = state.worksheet.clock_for("cool", state.sets)
    starts = (s for s in state.all_steps() if cooling is not None and s.starts == cooling.id)
    return next((state.step(s.id) for s in starts), OPEN_STEP)


def onto_the_heat(state: State) -> StepRecord:
    """How the step stands with which the present set meets its heat: the first that starts a clock of it."""
    heated = (s for s in state.worksheet.procedure if s.kind == "heat")
    steps = (t for s in heated for t in s.steps if t.set_number == state.sets and t.starts)
    return next((state.step(step.id) for step in steps), OPEN_STEP)
