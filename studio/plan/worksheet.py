"""Plan and shelf to Worksheet: figures, cautions, procedure and clocks."""

from __future__ import annotations

from studio.plan.cautions import all_cautions
from studio.plan.errors import PlanError, refuse
from studio.plan.gathering import procedure_facts
from studio.plan.model import Plan
from studio.plan.procedure import build_procedure
from studio.plan.settled import settle
from studio.plan.shapes import Worksheet
from studio.plan.shelf import Shelf
from studio.plan.worked import work_all

__all__ = ["procedure_facts", "work_out"]


def work_out(plan: Plan, shelf: Shelf) -> Worksheet:
    """The worksheet of a plan; PlanError where a name is unknown or the bands exceed the rows.

    A plan that must not begin still gives a worksheet: its cautions hold a `stop`.
    """
    settled = settle(plan, shelf)
    try:
        worked = work_all(settled)
    except PlanError:
        raise
    except ValueError as error:
        # The craft refuses what lies outside its ranges, in a sentence of its own.
        raise refuse(plan.file, "", f": {error}") from error
    figures = worked.figures
    cautions = all_cautions(worked)
    facts = procedure_facts(worked, cautions)
    stages, timers = build_procedure(plan, {f.id: f for f in figures}, cautions, facts)
    return Worksheet(
        title=plan.title,
        figures=figures,
        cautions=cautions,
        procedure=stages,
        timers=timers,
        facts=facts,
    )
