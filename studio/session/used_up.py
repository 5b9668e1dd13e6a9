"""What a session really took off the shelf, part by part, as it was weighed, poured and counted."""

from __future__ import annotations

import msgspec

from studio.plan.shapes import Worksheet, brief
from studio.session.records import StepRecord
from studio.session.sheet import sheet_now
from studio.session.state import State
from studio.shelf.shopping import Kind, Use, uses

VERBS = {"g": "weighed", "drops": "counted"}


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """So much of one thing, taken at one place of the session."""

    id: str
    """The same whenever the session is read: `stock.rust`, `acid`, `base`."""
    kind: Kind
    name: str
    """As the plan calls it: a dye or a jar, an acid, a base."""
    amount: float
    unit: str
    """`g` or `mL`; of a base the g that were weighed."""
    because: str


def used_up(state: State) -> tuple[Part, ...]:
    """Dyes and jars stock by stock, then acid, then the base; what was skipped or never reached is left out.

    A value that was given up as not measured counts as asked, and says so.
    **Source:** the figures of the sheet as it is worked out from the session's own values.
    """
    sheet = sheet_now(state)
    parts = (_part(state, sheet, use) for use in uses(state.choices))
    return tuple(part for part in parts if part is not None)


def asked_at(state: State, figure_id: str) -> tuple[StepRecord, str] | None:
    """How the step stands that sets a figure, with the unit it is asked in; None where no step does."""
    step = next((step for step in state.all_steps() if step.sets == figure_id), None)
    return None if step is None else (state.step(step.id), step.unit)


def _part(state: State, sheet: Worksheet, use: Use) -> Part | None:
    amount, told = 0.0, []
    for takes, asks in zip(use.figures, use.asks, strict=True):
        figure, given = sheet.figure(takes), sheet.figure(asks)
        if figure is None or given is None or figure.value <= 0 or not _taken(state, use, asks):
            continue
        amount += figure.value
        told.append(_told(state, asks, given.value))
        if takes != asks and abs(figure.value - given.value) > 1e-9:
            told.append(f"{brief(figure.value)} {use.unit} of it")
    later = sheet.figure(use.later)
    if later is not None:
        amount += later.value
        told.append(f"{brief(later.value)} {use.unit} more later")
    if not told:
        return None
    purpose = f", for {use.purpose}" if use.purpose else ""
    return Part(
        id=use.id,
        kind=use.kind,
        name=use.name,
        amount=amount,
        unit=use.unit,
        because=f"{', '.join(told)}{purpose}",
    )


def _taken(state: State, use: Use, figure_id: str) -> bool:
    """Whether it is off the shelf: fibre once it is wet, all else once its step is closed."""
    wet = state.worksheet.step_for("into the soak")
    if use.kind == "base" and wet is not None:
        return state.step(wet.id).closed
    asked = asked_at(state, figure_id)
    return asked is not None and asked[0].closed


def _told(state: State, figure_id: str, value: float) -> str:
    record, unit = asked_at(state, figure_id) or (StepRecord(), "")
    how = (
        VERBS.get(unit, "measured") if record.value is not None and figure_id in record.fixed else "as asked"
    )
    return f"{brief(value)} {unit} {how}"
