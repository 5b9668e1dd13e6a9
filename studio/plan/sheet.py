"""The sheet: all that follows from a plan's choices and from what was measured so far."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec

from studio.plan.errors import PlanError, refuse
from studio.plan.model import Plan
from studio.plan.settled import Settled, measure, settle
from studio.plan.shapes import Figure, Worksheet
from studio.plan.shelf import Shelf
from studio.plan.steps.lay import figure_id, laid_again
from studio.plan.steps.procedure import lay_sheet
from studio.plan.work.cautions import all_cautions
from studio.plan.work.worked import Worked, work_all


def work_sheet(choices: Settled, measured: Mapping[str, float] = {}, *, sets: int = 1) -> Worksheet:
    """Figures, cautions, steps and clocks; pure, about a millisecond, and half of one more for each further set.

    `measured`: by the id of the figure, in its unit. ValueError where a value cannot be worked with, such as wet
    fibre that weighs less than it did dry; nothing else is raised for any finite values.
    """
    return laid_out(choices, measured, sets=sets)[0]


def laid_out(
    choices: Settled, measured: Mapping[str, float] = {}, *, sets: int = 1
) -> tuple[Worksheet, Worked]:
    """The sheet as `work_sheet` has it, and what stands behind it, of the first set."""
    worked = work_all(measure(choices, measured) if measured else choices)
    sheet = lay_sheet(worked, all_cautions(worked))
    for number in range(2, sets + 1):
        sheet = _with_set(sheet, choices, measured, number)
    return sheet, worked


def _with_set(sheet: Worksheet, choices: Settled, measured: Mapping[str, float], number: int) -> Worksheet:
    """The sheet with the stages of a later set, whose own amounts stand in paths of their own."""
    first = {path for stage in sheet.again for step in stage.steps for path in (step.sets, *step.fixes)}
    mine = {path: measured[own] for path in first if (own := figure_id(path, number)) in measured}
    others = {path: value for path, value in measured.items() if path not in first}
    anew = work_sheet(choices, {**others, **mine})
    stages, clocks = laid_again(anew.again, anew.timers, number)
    shown = {path for stage in anew.again for step in stage.steps for path in (step.sets, *step.figures)}
    figures = tuple(_of_set(f, number) for f in anew.figures if f.id in shown)
    return msgspec.structs.replace(
        sheet,
        figures=(*sheet.figures, *figures),
        procedure=(*sheet.procedure, *stages),
        timers=(*sheet.timers, *clocks),
    )


def _of_set(figure: Figure, number: int) -> Figure:
    return msgspec.structs.replace(
        figure, id=figure_id(figure.id, number), label=f"{figure.label}, set {number}"
    )


# Plan and shelf to Worksheet: figures, cautions, procedure and clocks.


def work_out(plan: Plan, shelf: Shelf) -> Worksheet:
    """The worksheet of a plan; PlanError where a name is unknown or the bands exceed the rows.

    A plan that must not begin still gives a worksheet: its cautions hold a `stop`.
    """
    return worked_out(settle(plan, shelf))


def worked_out(settled: Settled) -> Worksheet:
    """The worksheet of a settled plan; PlanError where a value lies outside what the craft can work with."""
    try:
        return work_sheet(settled)
    except PlanError:
        raise
    except ValueError as error:
        # The craft refuses what lies outside its ranges, in a sentence of its own.
        raise refuse(settled.plan.file, (), f": {error}") from error
