"""The sheet: all that follows from a plan's choices and from what was measured so far.

Order within a stage is the order of work; across stages `after` names what physics wants first, so that
stocks are mixed while the fibre soaks. No stage has more than nine items.
Source: checklist practice (short lists, values instead of ticks, critical items early), from Degani &
Wiener, Human Factors 35(2), 1993; the work itself is common practice.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

import msgspec

from studio.plan.errors import PlanError
from studio.plan.model import Plan
from studio.plan.settled import Settled, measure, settle
from studio.plan.shapes import STAGE_ORDER, Caution, Figure, Stage, Step, Worksheet
from studio.plan.shelf import Shelf
from studio.plan.steps.lay import in_set, laid_again, laid_stage
from studio.plan.steps.stages import (
    cool_stage,
    cool_timer,
    presoak_stage,
    presoak_timer,
    ready_stage,
    record_stage,
    rinse_stage,
    stocks_stage,
)
from studio.plan.work.cautions import (
    cost_cautions,
    heat_cautions,
    kit_cautions,
    liquid_cautions,
    shelf_cautions,
)
from studio.plan.work.cautions_dye import dye_cautions, fibre_cautions
from studio.plan.work.souring import PH_SLACK
from studio.plan.work.worked import Worked, work_all


def work_sheet(choices: Settled, measured: Mapping[str, float] = {}, *, sets: int = 1) -> Worksheet:
    """Figures, cautions, steps and clocks.

    `measured`: by the id of the figure, in its unit. ValueError where a value cannot be worked with, such as wet
    fibre that weighs less than it did dry; nothing else is raised for any finite values.
    """
    return laid_out(choices, measured, sets=sets)[0]


def laid_out(
    choices: Settled, measured: Mapping[str, float] = {}, *, sets: int = 1
) -> tuple[Worksheet, Worked]:
    """The sheet as `work_sheet` has it, and what stands behind it, of the first set."""
    return _kept(SameChoices(choices), frozenset(measured.items()), sets)


class SameChoices:
    """Choices as a key: the same only where they are the very same record, which is what is handed on."""

    __slots__ = ("settled",)

    def __init__(self, settled: Settled) -> None:
        self.settled = settled

    def __eq__(self, other: object) -> bool:
        return isinstance(other, SameChoices) and other.settled is self.settled

    def __hash__(self) -> int:
        return id(self.settled)


@lru_cache(maxsize=16)
def _kept(
    choices: SameChoices, measured: frozenset[tuple[str, float]], sets: int
) -> tuple[Worksheet, Worked]:
    """A bench needs the sheet it was begun with, that of now and those it tries an entry on, many times each."""
    settled, amounts = choices.settled, dict(measured)
    worked = work_all(measure(settled, amounts) if amounts else settled)
    sheet = lay_sheet(worked, all_cautions(worked))
    for number in range(2, sets + 1):
        sheet = _with_set(sheet, settled, amounts, number)
    return sheet, worked


def _with_set(sheet: Worksheet, choices: Settled, measured: Mapping[str, float], number: int) -> Worksheet:
    """The sheet with the stages of a later set, whose own amounts stand in paths of their own."""
    first = {path for stage in sheet.again for step in stage.steps for path in (step.sets, *step.fixes)}
    mine = {path: measured[own] for path in first if (own := in_set(path, number)) in measured}
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
        figure, id=in_set(figure.id, number), label=f"{figure.label}, set {number}"
    )


# All cautions of a plan, most serious first, in the order of work.

_LEVELS = {"stop": 0, "warn": 1, "note": 2}


def all_cautions(worked: Worked) -> tuple[Caution, ...]:
    """Stops, then warnings, then notes; within a level by stage, those of the whole plan first."""
    put_on, set_by = worked.method.put_on, worked.method.set_by
    found = [
        *kit_cautions(worked),
        *fibre_cautions(worked),
        *dye_cautions(worked),
        *put_on.cautions(worked.settled, worked.put),
        *liquid_cautions(worked),
        *heat_cautions(worked),
        *set_by.cautions(worked.settled, worked.put, worked.heat),
        *cost_cautions(worked),
        *shelf_cautions(worked),
    ]
    order = [str(stage) for stage in STAGE_ORDER]
    shown = {"colour": put_on.stage, "heat": set_by.stage}
    found.sort(key=lambda c: (_LEVELS[c.level], order.index(c.stage) if c.stage else -1))
    return tuple(msgspec.structs.replace(c, stage=shown.get(c.stage, c.stage)) for c in found)


# The procedure of a session: stages, steps, gates and clocks, round what the two ways lay.

WEIGHT_SLACK = 0.1
"""A weighing or pouring off by more than a tenth is asked about once. House rule."""


def lay_sheet(worked: Worked, cautions: tuple[Caution, ...]) -> Worksheet:
    """The worksheet of a worked plan; the figures a step shows are only those that exist."""
    figures, set_by = worked.figures, worked.method.set_by
    clocks = (*worked.method.put_on.clocks(worked), *set_by.clocks(worked.put, worked.heat))
    warned = any(caution.level == "warn" for caution in cautions)
    stages = _tidied(_stages(worked, warned), {f.id: f for f in figures}, cautions)
    return Worksheet(
        title=worked.settled.plan.title,
        figures=figures,
        cautions=cautions,
        procedure=stages,
        timers=(presoak_timer(worked), *clocks, cool_timer(worked)),
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
    """Each caution in its stage, and wherever else is done what it is about: the rest of an acid is poured hot."""
    roles = {stage.stage: {step.role for step in stage.steps if step.role} for stage in stages}
    return tuple(
        _tidy(s, figures, [c for c in cautions if c.stage == s.stage or c.role in roles[s.stage]])
        for s in stages
    )


def _tidy(stage: Stage, figures: Mapping[str, Figure], cautions: Sequence[Caution]) -> Stage:
    """Drop figures the plan does not have, ask for each value as its figure stands, hang each of the stage's cautions
    on its step."""
    steps = []
    hung = [(at, caution.id) for caution in cautions for at in _shown_at(caution, stage.steps)]
    for index, step in enumerate(stage.steps):
        kept = tuple(f for f in step.figures if f in figures)
        here = (caution_id for at, caution_id in hung if at == index)
        step = msgspec.structs.replace(step, figures=kept, cautions=(*step.cautions, *here))
        steps.append(_asked(step, figures.get(step.sets)) if step.sets else step)
    return msgspec.structs.replace(stage, steps=tuple(steps))


def _shown_at(caution: Caution, steps: Sequence[Step]) -> Sequence[int]:
    """Where a caution is shown: one told of a jar where that jar is first handled, so that none is read too early."""
    fit = [at for at, step in enumerate(steps) if caution.role in ("", step.role)]
    first = {steps[at].of: at for at in reversed(fit)}
    return [first[of] for of in caution.of if of in first] or fit[:1] or [0]


def _asked(step: Step, figure: Figure | None) -> Step:
    """The step asking for what its figure says: the one number, wherever it is shown. Of a colour on no fibre there
    is no figure, and nothing is asked for."""
    value = figure.value if figure is not None else 0.0
    if step.role == "squeeze":
        return msgspec.structs.replace(step, expected=value)
    if step.quantity in ("mass", "volume", "count"):
        low, high = value * (1 - WEIGHT_SLACK), value * (1 + WEIGHT_SLACK)
        return msgspec.structs.replace(step, expected=value, low=low, high=high)
    if step.role == "end pH":
        return msgspec.structs.replace(step, expected=round(value, 2))
    if step.quantity == "ph":
        low, high = max(0.0, value - PH_SLACK), min(14.0, value + PH_SLACK)
        return msgspec.structs.replace(step, expected=round(value, 2), low=low, high=high)
    return step


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
        raise settled.plan.wrong((), f": {error}") from error
