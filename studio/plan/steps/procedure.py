"""The procedure of a session: stages, steps, gates and clocks; each method has its own.

Order within a stage is the order of work; across stages `after` names what physics wants first, so that
stocks are mixed while the fibre soaks. No stage has more than nine items.
Source: checklist practice (short lists, values instead of ticks, critical items early), from Degani &
Wiener, Human Factors 35(2), 1993; the work itself is common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from studio.plan.shapes import Caution, Figure, Stage, Step, Worksheet
from studio.plan.steps.finishing import cool_stage, cool_timer, presoak_timer, record_stage, rinse_stage
from studio.plan.steps.lay import laid_clocks, laid_stage
from studio.plan.steps.preparing import presoak_stage, ready_stage, stocks_stage
from studio.plan.work.worked import Worked

MOST_COLOURS = 5
"""More would need more than nine items in a stage. House rule."""
MOST_STOCKS = 8


WEIGHT_SLACK = 0.1
"""A weighing or pouring off by more than a tenth is asked about once. House rule."""


def lay_sheet(worked: Worked, cautions: tuple[Caution, ...]) -> Worksheet:
    """The worksheet of a worked plan; the figures a step shows are only those that exist."""
    figures, set_by = worked.figures, worked.method.set_by
    clocks = set_by.clocks(worked.put, worked.heat)
    warned = any(caution.level == "warn" for caution in cautions)
    stages = _tidied(_stages(worked, warned), {f.id: f for f in figures}, cautions)
    return Worksheet(
        title=worked.settled.plan.title,
        figures=figures,
        cautions=cautions,
        procedure=stages,
        timers=laid_clocks(presoak_timer(worked), *clocks, cool_timer(worked)),
        allows=tuple(a for a in set_by.allows if a != "more acid" or worked.soured.acid_amount > 0),
        read_at=set_by.read_at,
        again=_again(stages, set_by.wet_again),
    )


def _stages(worked: Worked, warned: bool) -> tuple[Stage, ...]:
    """Ready, presoak, stocks, colour put on, set, cool, rinse, record."""
    put_on, set_by = worked.method.put_on, worked.method.set_by
    stocks = stocks_stage(worked.stocks.stocks)
    colour = laid_stage("colour", *put_on.steps(worked, worked.put, stocks.steps[-1].id), name=put_on.stage)
    heated = set_by.steps(worked.settled, worked.put, worked.heat, colour.steps[-1].id)
    heat = laid_stage("heat", *heated, name=set_by.stage)
    cool = cool_stage(set_by.cooling, heat.steps[-1].id)
    rinse = rinse_stage(worked, cool.steps[-1].id)
    before = (ready_stage(worked, warned), presoak_stage(worked), stocks)
    return (*before, colour, heat, cool, rinse, record_stage(worked))


def _again(stages: tuple[Stage, ...], wet_again: Step) -> tuple[Stage, ...]:
    """What a second set does over: from the heat to the record, the goods wetted again first."""
    at = next(i for i, stage in enumerate(stages) if stage.kind == "heat")
    heated, *others = stages[at:-1]
    first, *rest = heated.steps
    steps = (wet_again, msgspec.structs.replace(first, after=()), *rest)
    return (laid_stage("heat", *steps, name=heated.stage), *others)


def _tidied(
    stages: tuple[Stage, ...], figures: Mapping[str, Figure], cautions: Sequence[Caution]
) -> tuple[Stage, ...]:
    by_stage: dict[str, tuple[str, ...]] = {}
    for caution in cautions:
        by_stage[caution.stage] = (*by_stage.get(caution.stage, ()), caution.id)
    return tuple(_tidy(s, figures, by_stage.get(s.stage, ())) for s in stages)


def _tidy(stage: Stage, figures: Mapping[str, Figure], caution_ids: tuple[str, ...]) -> Stage:
    """Drop figures the plan does not have, ask for each value as its figure stands, hang the stage's cautions on
    its first step."""
    steps = []
    for index, step in enumerate(stage.steps):
        kept = tuple(f for f in step.figures if f in figures)
        here = caution_ids if index == 0 else ()
        step = msgspec.structs.replace(step, figures=kept, cautions=(*step.cautions, *here))
        steps.append(_asked(step, figures.get(step.sets)) if step.sets else step)
    return msgspec.structs.replace(stage, steps=tuple(steps))


def _asked(step: Step, figure: Figure | None) -> Step:
    """The step asking for what its figure says: the one number, wherever it is shown. Of a colour on no fibre there
    is no figure, and nothing is asked for."""
    value = figure.value if figure is not None else 0.0
    if step.role == "squeeze":
        return msgspec.structs.replace(step, expected=value)
    if step.quantity in ("mass", "volume", "count"):
        low, high = value * (1 - WEIGHT_SLACK), value * (1 + WEIGHT_SLACK)
        return msgspec.structs.replace(step, expected=value, low=low, high=high)
    if step.quantity == "ph":
        low, high = max(0.0, value - 1), min(14.0, value + 1)
        return msgspec.structs.replace(step, expected=round(value, 2), low=low, high=high)
    return step
