"""Plan and shelf to Worksheet: figures, cautions, procedure and clocks."""

from __future__ import annotations

from studio.plan.errors import PlanError, refuse
from studio.plan.gathering import procedure_facts
from studio.plan.model import Plan
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_sheet
from studio.plan.shelf import Shelf

__all__ = ["procedure_facts", "work_out", "worked_out"]


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
