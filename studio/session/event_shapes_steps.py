"""What the events about steps hold; and how a step is closed by what was done beside it."""

from __future__ import annotations

from typing import Annotated

from msgspec import UNSET, Meta, Struct, UnsetType

from studio.session import events as e
from studio.session.event_shapes_time import Clocks, EventData, EventN, Happened, Words

StepId = Annotated[str, Meta(description="Id of a step of the worksheet's procedure, `stocks.rust.dye`.")]
Asked = Annotated[float, Meta(description="What the step asked for at that moment, in its unit.")]
Fixed = Annotated[
    dict[str, float],
    Meta(
        description="Amounts that stand from now on, by the id of their figure: the value, and what goes with it."
    ),
]
Typed = Annotated[str, Meta(description="As it was typed; empty where it was worked out.")]
Doubted = Annotated[bool, Meta(description="It was doubted, and said to be so.")]


class StepClosed(Clocks, frozen=True):
    """A step was done, or looked at and found right, or its wait is over."""

    step: StepId
    read_c: Annotated[float, Meta(description="degC; the reading that ended the wait.")] | UnsetType = UNSET
    flagged: Doubted | UnsetType = UNSET
    happened: Happened | UnsetType = UNSET


class StepMeasured(Clocks, frozen=True):
    """A value was read; a later `corrected` or `undone` for this step takes its place."""

    step: StepId
    value: float
    unit: str
    typed: Typed
    flagged: Annotated[bool, Meta(description="Outside the expected range, and said to be meant.")]
    asked: Asked | UnsetType = UNSET
    fixed: Fixed | UnsetType = UNSET


class StepLeftOut(Clocks, frozen=True):
    """A step that was not measured or skipped, and why."""

    step: StepId
    why: Words
    asked: Asked | UnsetType = UNSET
    fixed: Fixed | UnsetType = UNSET


class Overridden(Clocks, frozen=True):
    """A gate was passed or a wait ended against its rule, and why; with the reading that stood against it."""

    step: StepId
    why: Words
    read_c: Annotated[float, Meta(description="degC; last read, above the limit.")] | UnsetType = UNSET
    limit_c: Annotated[float, Meta(description="degC; the limit of the step.")] | UnsetType = UNSET
    flagged: Doubted | UnsetType = UNSET


class GatePassed(Clocks, frozen=True):
    """The digit that a gate showed was pressed; 0 for the gate that opens by itself."""

    step: StepId
    digit: Annotated[int, Meta(ge=0, le=9)]


class DoneBeside(StepClosed, frozen=True, tag_field="kind", tag=e.STEP_DONE):
    """A wait that was ended by what was done beside it."""


class MeasuredBeside(StepMeasured, frozen=True, tag_field="kind", tag=e.STEP_MEASURED):
    """A step whose value was told by what was done beside it."""


class PassedBeside(GatePassed, frozen=True, tag_field="kind", tag=e.GATE_PASSED):
    """The gate of the warnings, opened by the last of them."""


ClosesSteps = list[DoneBeside | MeasuredBeside | PassedBeside] | UnsetType


class Closes(EventData, frozen=True, kw_only=True):
    """An event that closes a step as well."""

    closes: ClosesSteps = UNSET


class ClosesWithClocks(Clocks, frozen=True, kw_only=True):
    """An event that may close a step, with the clocks that hang on it."""

    closes: ClosesSteps = UNSET


class CautionAccepted(Closes, frozen=True):
    """A warning was taken on; with the last of them its gate opens."""

    caution: Annotated[str, Meta(description="Id of a caution of the worksheet.")]
    why: Words


class Corrected(EventData, frozen=True):
    """A better value in the place of a recorded one; the old one stays where it is."""

    ref: EventN
    step: StepId
    value: float
    unit: str
    typed: Typed
    flagged: bool
    why: Words
    fixed: Fixed | UnsetType = UNSET


SHAPES: dict[str, type[Struct]] = {
    e.STEP_DONE: StepClosed,
    e.STEP_MEASURED: StepMeasured,
    e.STEP_NOT_MEASURED: StepLeftOut,
    e.STEP_SKIPPED: StepLeftOut,
    e.GATE_PASSED: GatePassed,
    e.OVERRIDDEN: Overridden,
    e.CAUTION_ACCEPTED: CautionAccepted,
    e.CORRECTED: Corrected,
}
"""The shape of the data of each of these kinds."""
