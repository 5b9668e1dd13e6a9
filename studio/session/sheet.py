"""The sheet of now: figures, cautions and what each step asks, worked out from what was measured so far.

There is no second set of live figures: the bench, the record and the cost read this one. What depends on the time of
day alone (minutes left, minutes at heat) is worked out where it is shown.
"""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from studio.plan.settled import Settled
from studio.plan.shapes import Step, Worksheet
from studio.plan.sheet import work_sheet
from studio.session.state import State

MOST_KEPT = 16
"""Sheets kept at hand; a bench needs the one of now and those it tries an entry on."""

_kept: dict[tuple[int, frozenset[tuple[str, float]]], tuple[Settled, Worksheet]] = {}


def measured_now(state: State) -> dict[str, float]:
    """Every amount that stands, by the id of its figure, in the order in which the steps were closed."""
    closed = sorted((r for r in state.steps.values() if r.fixed), key=lambda record: record.n)
    found: dict[str, float] = {}
    for record in closed:
        found.update(record.fixed)
    if state.acid_doses:
        found["kettle.acid.more"] = sum(dose.amount for dose in state.acid_doses)
    return found


def sheet_now(state: State) -> Worksheet:
    """Figures, cautions and clocks as they follow from what was measured; as begun where there are no choices."""
    return state.worksheet if state.choices is None else _worked(state.choices, measured_now(state))


def tried(state: State, more: Mapping[str, float]) -> Worksheet:
    """The sheet if these amounts stood too; ValueError, with a sentence, where they cannot be worked with."""
    if state.choices is None:
        return state.worksheet
    return _worked(state.choices, {**measured_now(state), **more})


def _worked(choices: Settled, measured: Mapping[str, float]) -> Worksheet:
    key = (id(choices), frozenset(measured.items()))
    found = _kept.get(key)
    # The choices are kept beside the sheet, so that their identity is not another's while the sheet is at hand.
    if found is None or found[0] is not choices:
        found = (choices, work_sheet(choices, measured))
        while len(_kept) >= MOST_KEPT:
            _kept.pop(next(iter(_kept)), None)
        _kept[key] = found
    return found[1]


def step_now(state: State, step: Step) -> Step:
    """The step with its sentence, its figures, cautions and what it asks as they follow from what was measured.

    Which steps there are is fixed when a session begins; a step that the sheet of now would not have stays.
    """
    if state.choices is None or state.step(step.id).closed:
        return step
    found = sheet_now(state).step(step.id)
    if found is None:
        return step
    return msgspec.structs.replace(
        step,
        text=found.text,
        figures=found.figures,
        cautions=found.cautions,
        expected=found.expected,
        low=found.low,
        high=found.high,
    )


def fixes(state: State, step: Step, value: float | None) -> dict[str, float]:
    """What stands once a step is closed on a value, or as asked (None): its own amount and those that go with it.

    An amount that cannot be worked with is left out, and its figure keeps its formula.
    """
    sheet = sheet_now(state)
    asked = {i: figure.value for i in step.fixes if (figure := sheet.figure(i)) is not None}
    own = sheet.figure(step.sets) if step.sets else None
    if own is not None:
        asked[step.sets] = own.value if value is None else value
    try:
        tried(state, asked)
    except ValueError:
        return {}
    return asked


def unworkable(state: State, step: Step, value: float) -> str:
    """Why nothing can be worked out from a value, in a sentence; empty where the sheet takes it."""
    if not step.sets:
        return ""
    try:
        tried(state, {step.sets: value})
    except ValueError as problem:
        return str(problem)
    return ""
