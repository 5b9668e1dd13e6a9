"""The worksheet of now: as it was begun, with what was measured and done put in; and the stages of a
second set.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from functools import lru_cache
from typing import TypeVar

import msgspec

from studio.plan.shapes import Added, Figure, Stage, Step, Worksheet
from studio.plan.sheet import SameChoices, laid_out
from studio.plan.steps.lay import laid_again, paint_path
from studio.plan.ways import MORE
from studio.plan.work.worked import Worked
from studio.session.bands import fibre_painted
from studio.session.kinds.heat import AcidDosed
from studio.session.kinds.paint import BatchMixed, LeftoverKept
from studio.session.state import State

# A second set: heat, cool and rinse once more, as stages of their own.


def with_second_set(sheet: Worksheet, number: int, closed: frozenset[str]) -> Worksheet:
    """The worksheet with what is done again before the record, as set `number`.

    What was still open of the last rinse moves into the new one, so that goods are washed and dried once,
    at the end. `closed`: ids of the steps that are closed.
    """
    *stages, record = sheet.procedure
    rinsed = next(s for s in reversed(stages) if s.kind == "rinse")
    done = tuple(s for s in rinsed.steps if s.id in closed)
    stages = [msgspec.structs.replace(s, steps=done) if s is rinsed else s for s in stages]
    added, clocks = laid_again(sheet.again, sheet.timers, number)
    added = (_after(added[0], *(s.id for s in done[-1:])), *added[1:])
    return msgspec.structs.replace(
        sheet,
        procedure=(*stages, *added, _after(record, added[-1].steps[-1].id)),
        timers=(*sheet.timers, *clocks),
    )


def _after(stage: Stage, *steps: str) -> Stage:
    first, *rest = stage.steps
    return msgspec.structs.replace(stage, steps=(msgspec.structs.replace(first, after=steps), *rest))


# The sheet of now: figures, cautions and what each step asks, worked out from what was measured so far.
# There is no second set of live figures: bench, line mode and record read this one. What depends on the
# time of day alone (minutes left, minutes at heat) is worked out where it is shown.

Part = TypeVar("Part")


_NOTHING_FOLLOWS = (ValueError, ArithmeticError, LookupError)
"""The rules refuse an amount by ValueError alone, tested where they are asked; the others come of a forged file, or
would be a fault of ours, and the bench stands all the same."""


def measured_now(state: State) -> dict[str, float]:
    """Every amount that stands, by the id of its figure, in the order in which the steps were closed."""
    closed = sorted((r for r in state.steps.values() if r.fixed), key=lambda record: record.n)
    found: dict[str, float] = {}
    for record in closed:
        found.update(record.fixed)
    more: list[tuple[Added, float]] = [("acid", dose.event.amount) for dose in state.kept(AcidDosed)]
    more += [(each.what, each.amount) for kept in state.kept(BatchMixed) for each in kept.event.added]
    for added, amount in more:
        found[MORE[added]] = found.get(MORE[added], 0.0) + amount
    for batch in (kept.event for kept in state.kept(BatchMixed)):
        own = batch.strength_percent
        taken = ("more.stock", batch.stock_ml) if own is None else ("more.dye", batch.stock_ml * own / 100.0)
        for what, value in (("more", batch.ml), taken):
            path = paint_path(batch.colour, what)
            found[path] = found.get(path, 0.0) + value
    for kept in state.kept(LeftoverKept):
        path = paint_path(kept.event.colour, "left")
        found[path] = found.get(path, 0.0) + kept.event.ml
    painted = fibre_painted(state, found.get("fibre.weight", state.choices.dry_g))
    return {**found, **{paint_path(jar, "fibre"): grams for jar, grams in painted.items()}}


def counted(state: State, more: Mapping[str, float] = {}) -> dict[str, float]:
    """The amounts that stand and go together, in the order of work, and then `more`.

    What a rule writes was tried on the sheet before; but once something was taken back, the rest may no longer go
    together (a wet weight that was right for another dry one). Then amounts count as far as they do.
    """
    measured = {**measured_now(state), **more}
    return dict(_together(SameChoices(state.choices), tuple(measured.items()), state.sets))


def _as_closed(state: State) -> Worksheet:
    """The sheet as begun with what its figures came to, as the file has it: no formula is worked anew."""
    came_to = {figure.id: figure for figure in state.came_to}
    begun = tuple(came_to.pop(figure.id, figure) for figure in state.worksheet.figures)
    return msgspec.structs.replace(state.worksheet, figures=(*begun, *came_to.values()))


def sheet_now(state: State, more: Mapping[str, float] = {}) -> Worksheet:
    """Figures, cautions and clocks as they follow from what was measured, and from `more`; once closed, by the file.

    As begun where a file changed by hand holds choices that nothing can be worked out from.
    """
    if state.closed:
        return _as_closed(state)
    worked = _worked(state, counted(state, more))
    return state.worksheet if worked is None else worked[0]


def figures_moved(state: State, more: Mapping[str, float] = {}) -> tuple[Figure, ...]:
    """The figures that are not as they were begun: what they come to, and why."""
    begun = {figure.id: figure for figure in state.worksheet.figures}
    return tuple(f for f in sheet_now(state, more).figures if begun.get(f.id) != f)


def as_laid_out(state: State) -> Worksheet:
    """The sheet of now as if every band were painted from its own jar: what the plan's rate is read off."""
    if state.closed or not state.coats:
        return sheet_now(state)
    own = {paint_path(colour.plan.slug, "fibre") for colour in state.choices.colours}
    kept = {path: value for path, value in counted(state).items() if path not in own}
    worked = _worked(state, kept)
    return state.worksheet if worked is None else worked[0]


def worked_now(state: State) -> Worked | None:
    """What stands behind the sheet of now, of the first set; None once closed, and where `sheet_now` is as begun."""
    worked = None if state.closed else _worked(state, counted(state))
    return None if worked is None else worked[1]


def value_now(state: State, figure_id: str) -> float | None:
    """What a figure of the sheet of now stands at, in its unit; None where the sheet has none of that name."""
    figure = sheet_now(state).figure(figure_id)
    return None if figure is None else figure.value


def weight_now(state: State) -> float:
    """g of dry fibre: as weighed, else as planned."""
    return value_now(state, "fibre.weight") or state.choices.dry_g


def heat_now(state: State, kind: type[Part]) -> Part | None:
    """What the way of setting comes to on the sheet of now, where it is one of that kind."""
    worked = worked_now(state)
    return worked.heat if worked is not None and isinstance(worked.heat, kind) else None


def tried(state: State, more: Mapping[str, float]) -> Worksheet:
    """The sheet if these amounts stood too; ValueError, with a sentence, where they cannot be worked with."""
    measured = {**measured_now(state), **more}
    return laid_out(state.choices, measured, sets=state.sets)[0]


def _worked(state: State, measured: Mapping[str, float]) -> tuple[Worksheet, Worked] | None:
    """What follows from these amounts; None where they, or choices that were changed by hand, cannot be worked with."""
    try:
        return laid_out(state.choices, measured, sets=state.sets)
    except _NOTHING_FOLLOWS:
        return None


@lru_cache(maxsize=16)
def _together(
    choices: SameChoices, measured: tuple[tuple[str, float], ...], sets: int
) -> tuple[tuple[str, float], ...]:
    """All of them, else each that goes with those before it: that takes a sheet for each, and is asked many times."""
    with suppress(*_NOTHING_FOLLOWS):
        laid_out(choices.settled, dict(measured), sets=sets)
        return measured
    found: list[tuple[str, float]] = []
    for one in measured:
        with suppress(*_NOTHING_FOLLOWS):
            laid_out(choices.settled, dict((*found, one)), sets=sets)
            found.append(one)
    return tuple(found)


def step_now(state: State, step: Step) -> Step:
    """The step with its sentence, its figures, cautions and what it asks as they follow from what was measured.

    Which steps there are is fixed when a session begins; a step that the sheet of now would not have stays,
    and asks for what its figure says.
    """
    return step if state.step(step.id).closed else _as_in(sheet_now(state), step)


def step_anew(state: State, step: Step) -> Step:
    """The step as it would ask were it still open: with all that was measured but what it asked for itself."""
    own = state.step(step.id).fixed
    others = {path: value for path, value in measured_now(state).items() if path not in own}
    worked = _worked(state, others)
    return step if worked is None else _as_in(worked[0], step)


def _as_in(sheet: Worksheet, step: Step) -> Step:
    found, figure = sheet.step(step.id), sheet.figure(step.sets)
    if found is None:
        return (
            step
            if figure is None
            else msgspec.structs.replace(step, expected=figure.value, low=None, high=None)
        )
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
    return {} if _worked(state, {**measured_now(state), **asked}) is None else asked


def unworkable(state: State, step: Step, value: float) -> str:
    """Why nothing can be worked out from a value, in a sentence; empty where the sheet takes it."""
    if not step.sets:
        return ""
    try:
        tried(state, {step.sets: value})
    except ValueError as problem:
        return str(problem)
    return ""
