"""The sheet: all that follows from a plan's choices and from what was measured so far."""

from __future__ import annotations

from collections.abc import Mapping

from studio.plan.cautions import all_cautions
from studio.plan.gathering import procedure_facts
from studio.plan.procedure import build_procedure
from studio.plan.settled import Settled, measure
from studio.plan.shapes import Worksheet
from studio.plan.worked import work_all


def work_sheet(choices: Settled, measured: Mapping[str, float] = {}) -> Worksheet:
    """Figures, cautions, steps and clocks; pure, about a millisecond.

    `measured`: by the id of the figure, in its unit. ValueError where a value cannot be worked with, such as wet
    fibre that weighs less than it did dry; nothing else is raised for any finite values.
    """
    worked = work_all(measure(choices, measured) if measured else choices)
    figures, cautions = worked.figures, all_cautions(worked)
    facts = procedure_facts(worked, cautions)
    stages, timers = build_procedure(choices.plan, {f.id: f for f in figures}, cautions, facts)
    return Worksheet(
        title=choices.plan.title,
        figures=figures,
        cautions=cautions,
        procedure=stages,
        timers=timers,
        facts=facts,
    )
