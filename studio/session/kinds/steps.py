"""Steps: done, measured, left out, passed; a warning taken on; a value put right."""

from __future__ import annotations

from functools import cache
from typing import Annotated, ClassVar

import msgspec
from msgspec import Meta, field

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.quantity.reading_in import as_read, told
from studio.session.events import Doubted, Event, EventN, Head, Typed, Undo, Words
from studio.session.kinds.clocks import AlarmAcknowledged, Happened, TimerStarted, TimerStopped
from studio.session.state import Earlier, State, StepRecord, StepState

StepId = Annotated[str, Meta(description="Id of a step of the worksheet's procedure, `stocks.rust.dye`.")]
Asked = Annotated[float, Meta(description="What the step asked for at that moment, in its unit.")]
Fixed = Annotated[
    dict[str, float],
    Meta(
        description="Amounts that stand from now on, by the id of their figure: the value, and what goes with it."
    ),
]
_KEPT = frozenset({"value", "unit", "typed", "why", "read_c", "flagged", "asked", "fixed"})


@cache
def _kept(kind: type[Event]) -> tuple[str, ...]:
    return tuple(name for name in kind.__struct_fields__ if name in _KEPT)


class OfAStep(Event, frozen=True):
    """What befell one step."""

    undo: ClassVar[Undo] = "last"
    leaves: ClassVar[StepState]
    """How the step stands after it."""

    step: StepId

    def taken_back(self, state: State, head: Head) -> None:
        what: str = self.leaves
        if isinstance(self, (StepMeasured, Corrected)):
            what = value_text(self.value, self.unit, state.find_step(self.step))
        why = f"undo; corrected before: {self.why}" if isinstance(self, Corrected) else "undo"
        record = state.step(self.step)
        back = Earlier(what, head.at.wall_ns, why)
        state.steps[self.step] = msgspec.structs.replace(record, earlier=(*record.earlier, back))

    def done(self, state: State) -> str:
        """The step as the record names it."""
        step = state.find_step(self.step)
        return clean(step.done if step else self.step)


class ClosesAStep(OfAStep, frozen=True, kw_only=True):
    """A step is closed by it, with the clocks that hang on it."""

    within: ClassVar[str] = "closes"

    stops: tuple[TimerStopped, ...] = ()
    ends: tuple[AlarmAcknowledged, ...] = ()
    starts: tuple[TimerStarted, ...] = ()

    def apply(self, state: State, head: Head) -> None:
        state.steps[self.step] = StepRecord(
            state=self.leaves,
            n=head.n,
            at_ns=head.at.wall_ns,
            moment=head.at,
            earlier=state.step(self.step).earlier,
            **{name: getattr(self, name) for name in _kept(type(self))},
        )


class StepDone(ClosesAStep, frozen=True, tag="step.done"):
    """A step was done, or looked at and found right, or its wait is over."""

    leaves: ClassVar[StepState] = "done"

    read_c: Annotated[float | None, Meta(description="degC; the reading that ended the wait.")] = None
    flagged: Doubted = False
    happened: Happened | None = None

    def says(self, state: State) -> str:
        read = self.read_c
        ended = f": ended by the reading of {told(read, 'degC', 5)}" if read is not None else ""
        return f"{self.done(state)}{ended}{doubted(self.flagged)}"


class StepMeasured(ClosesAStep, frozen=True, tag="step.measured"):
    """A value was read; a later `corrected` or `undone` for this step takes its place."""

    leaves: ClassVar[StepState] = "measured"

    value: float
    unit: str
    typed: Typed
    flagged: Doubted
    asked: Asked | None = None
    fixed: Fixed = field(default_factory=dict)

    def says(self, state: State) -> str:
        return _measured(self, state)


class StepNotMeasured(ClosesAStep, frozen=True, tag="step.not_measured"):
    """A value that was not measured, and why."""

    leaves: ClassVar[StepState] = "not measured"

    why: Words
    asked: Asked | None = None
    fixed: Fixed = field(default_factory=dict)

    def says(self, state: State) -> str:
        return f"{self.done(state)}: not measured - {clean(self.why, limit=400)}"


class StepSkipped(StepNotMeasured, frozen=True, tag="step.skipped"):
    """A step that was left out, and why."""

    leaves: ClassVar[StepState] = "skipped"

    def says(self, state: State) -> str:
        return f"{self.done(state)}: left out - {clean(self.why, limit=400)}"


class Overridden(ClosesAStep, frozen=True, tag="step.overridden"):
    """A gate was passed or a wait ended against its rule, and why; with the reading that stood against it."""

    leaves: ClassVar[StepState] = "overridden"

    why: Words
    read_c: Annotated[float | None, Meta(description="degC; last read, above the limit.")] = None
    limit_c: Annotated[float | None, Meta(description="degC; the limit of the step.")] = None
    flagged: Doubted = False

    def says(self, state: State) -> str:
        hot = ""
        if self.read_c is not None and self.limit_c is not None:
            hot = f" at {told(self.read_c, 'degC', 5)}, above the limit of {told(self.limit_c, 'degC', 5)},"
        why = clean(self.why, limit=400)
        return f"{self.done(state)}: passed{hot} with a reason{doubted(self.flagged)} - {why}"


class GatePassed(ClosesAStep, frozen=True, tag="gate.passed"):
    """The digit that a gate showed was pressed; 0 for the gate that opens by itself."""

    leaves: ClassVar[StepState] = "passed"

    digit: Annotated[int, Meta(ge=0, le=9)]

    def apply(self, state: State, head: Head) -> None:
        super().apply(state, head)
        state.gate_digit = self.digit or state.gate_digit

    def taken_back(self, state: State, head: Head) -> None:
        super().taken_back(state, head)
        state.gate_digit = self.digit or state.gate_digit

    def says(self, state: State) -> str:
        return self.done(state)


class Closes(Event, frozen=True, kw_only=True):
    """An event that may close a step as well."""

    closes: tuple[StepDone | StepMeasured | GatePassed, ...] = ()


class ClosesWithClocks(Closes, frozen=True, kw_only=True):
    """The same, with the clocks that hang on it."""

    stops: tuple[TimerStopped, ...] = ()
    ends: tuple[AlarmAcknowledged, ...] = ()
    starts: tuple[TimerStarted, ...] = ()


class CautionAccepted(Closes, frozen=True, tag="caution.accepted"):
    """A warning was taken on; with the last of them its gate opens."""

    undo: ClassVar[Undo] = "last"

    caution: Annotated[str, Meta(description="Id of a caution of the worksheet.")]
    why: Words

    def apply(self, state: State, head: Head) -> None:
        state.accepted[self.caution] = self.why

    def says(self, state: State) -> str:
        caution = state.worksheet.caution(self.caution)
        said = as_read(caution.text if caution else "", limit=300)
        return f"warning accepted: {said} - {clean(self.why, limit=400)}"


class Corrected(OfAStep, frozen=True, tag="corrected"):
    """A better value in the place of a recorded one; the old one stays where it is."""

    leaves: ClassVar[StepState] = "measured"

    ref: EventN
    value: float
    unit: str
    typed: Typed
    flagged: bool
    why: Words
    fixed: Fixed = field(default_factory=dict)

    def apply(self, state: State, head: Head) -> None:
        old = state.step(self.step)
        if not old.closed:
            return  # What it corrects does not stand.
        was = old.state if old.value is None else value_text(old.value, old.unit, state.find_step(self.step))
        state.steps[self.step] = msgspec.structs.replace(
            old,
            state=self.leaves,
            value=self.value,
            unit=self.unit,
            typed=self.typed,
            flagged=self.flagged,
            fixed=self.fixed,
            earlier=(*old.earlier, Earlier(was, head.at.wall_ns, self.why)),
        )

    def says(self, state: State) -> str:
        return f"corrected: {_measured(self, state)} - {clean(self.why, limit=400)}"


def _measured(event: StepMeasured | Corrected, state: State) -> str:
    value = value_text(event.value, event.unit, state.find_step(event.step))
    return f"{event.done(state)}: {value}{doubted(event.flagged)}"


def value_text(value: float | None, unit: str, step: Step | None) -> str:
    """What was recorded at a step: grams as they were weighed, litres to the mL, the rest as all is shown."""
    if value is None:
        return "no value"
    kitchen = step is not None and step.kitchen
    return told(value, clean(unit), digits_weighed(value, unit), kitchen=kitchen)


def digits_weighed(value: float, unit: str) -> int | None:
    """Of a recorded value: as many as a scale and a jug show."""
    return {"g": 5, "mL": 4 if value >= 1000 else 3}.get(unit)


def doubted(flagged: bool) -> str:
    """Behind what was doubted, and said to be so all the same."""
    return " (doubted, confirmed)" if flagged else ""
