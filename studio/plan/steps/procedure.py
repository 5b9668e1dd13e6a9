"""The procedure of a session: stages, steps, gates and clocks; each method has its own.

Order within a stage is the order of work; across stages `after` names what physics wants first, so that
stocks are mixed while the fibre soaks. No stage has more than nine items.
Source: checklist practice (short lists, values instead of ticks, critical items early), from Degani &
Wiener, Human Factors 35(2), 1993; the work itself is common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from studio.plan.facts import ProcedureFacts
from studio.plan.shapes import Caution, Figure, Stage, Step
from studio.plan.steps.finishing import record_stage, rinse_stage
from studio.plan.steps.lay import Laid
from studio.plan.steps.preparing import MOST_ITEMS, near, presoak_stage, ready_stage, stocks_stage
from studio.plan.ways import method_called

__all__ = ["MOST_COLOURS", "MOST_ITEMS", "MOST_STOCKS", "build_procedure"]

MOST_COLOURS = 5
"""More would need more than nine items in a stage. House rule."""
MOST_STOCKS = 8


def build_procedure(
    figures: Mapping[str, Figure], cautions: Sequence[Caution], facts: ProcedureFacts
) -> Laid:
    """The procedure of the plan; the figures a step shows are only those that exist."""
    laid = _laid(facts)
    by_stage: dict[str, tuple[str, ...]] = {}
    for caution in cautions:
        by_stage[caution.stage] = (*by_stage.get(caution.stage, ()), caution.id)
    stages = tuple(_tidy(s, figures, by_stage.get(s.stage, ())) for s in laid.stages)
    return msgspec.structs.replace(laid, stages=stages)


def _laid(facts: ProcedureFacts) -> Laid:
    """Ready, presoak, stocks, colour put on, set, cool, rinse, record."""
    method, stocks = method_called(facts.method), stocks_stage(facts)
    before = (ready_stage(facts), presoak_stage(facts), stocks)
    put = method.put_on.lay(facts, stocks.steps[-1].id)
    laid = method.set_by.lay(facts, (*before, put))
    rinse = rinse_stage(facts, laid.stages[-1].steps[-1].id)
    return msgspec.structs.replace(laid, stages=(*laid.stages, rinse, record_stage(facts)))


def _tidy(stage: Stage, figures: Mapping[str, Figure], caution_ids: tuple[str, ...]) -> Stage:
    """Drop figures the plan does not have, ask for each value as its figure stands, hang the stage's cautions on
    its first step."""
    steps = []
    for index, step in enumerate(stage.steps):
        kept = tuple(f for f in step.figures if f in figures)
        here = caution_ids if index == 0 else ()
        step = msgspec.structs.replace(step, figures=kept, cautions=(*step.cautions, *here))
        steps.append(_asked(step, figures[step.sets]) if step.sets in figures else step)
    return msgspec.structs.replace(stage, steps=tuple(steps))


def _asked(step: Step, figure: Figure) -> Step:
    """The step asking for what its figure says: the one number, wherever it is shown."""
    if step.role == "squeeze":
        return msgspec.structs.replace(step, expected=figure.value)
    if step.quantity in ("mass", "volume", "count"):
        return msgspec.structs.replace(step, **near(figure.value))
    if step.quantity == "ph":
        ph = figure.value
        return msgspec.structs.replace(
            step, expected=round(ph, 2), low=max(0.0, ph - 1), high=min(14.0, ph + 1)
        )
    return step
