"""The procedure of a painted, steamed session: stages, steps, gates and clocks.

Order within a stage is the order of work; across stages `after` names what physics wants first, so that
stocks are mixed while the fibre soaks. No stage has more than nine items.
Source: checklist practice (short lists, values instead of ticks, critical items early), from Degani &
Wiener, Human Factors 35(2), 1993; the work itself is common practice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import msgspec

from studio.plan.facts import ProcedureFacts
from studio.plan.finishing import cool_stage, record_stage, rinse_stage
from studio.plan.mixing_steps import stocks_stage
from studio.plan.painting import paint_stage, steam_stage
from studio.plan.preparing import presoak_stage, ready_stage
from studio.plan.shapes import Caution, Figure, Stage, Timer
from studio.plan.step_parts import MOST_ITEMS

__all__ = ["MOST_COLOURS", "MOST_ITEMS", "MOST_STOCKS", "build_procedure"]

MOST_COLOURS = 5
"""More would need more than nine items in a stage. House rule."""
MOST_STOCKS = 8


def build_procedure(
    plan: object,
    figures: Mapping[str, Figure],
    cautions: Sequence[Caution],
    facts: ProcedureFacts,
) -> tuple[tuple[Stage, ...], tuple[Timer, ...]]:
    """Stages and timers for the plan; the figures a step shows are only those that exist."""
    stocks = stocks_stage(facts)
    stages = (
        ready_stage(facts),
        presoak_stage(facts),
        stocks,
        paint_stage(facts, stocks.steps[-1].id),
        steam_stage(facts),
        cool_stage(facts),
        rinse_stage(facts),
        record_stage(facts),
    )
    by_stage: dict[str, tuple[str, ...]] = {}
    for caution in cautions:
        by_stage[caution.stage] = (*by_stage.get(caution.stage, ()), caution.id)
    return tuple(_tidy(s, figures, by_stage.get(s.stage, ())) for s in stages), _timers(facts)


def _tidy(stage: Stage, figures: Mapping[str, Figure], caution_ids: tuple[str, ...]) -> Stage:
    """Drop figures the plan does not have; hang the stage's cautions on its first step."""
    steps = []
    for index, step in enumerate(stage.steps):
        kept = tuple(f for f in step.figures if f in figures)
        here = caution_ids if index == 0 else ()
        steps.append(msgspec.structs.replace(step, figures=kept, cautions=(*step.cautions, *here)))
    return Stage(stage=stage.stage, steps=tuple(steps))


def whole(minutes: float) -> int:
    """A clock runs in whole minutes, rounded up: never shorter than what was worked out.

    >>> whole(34.4), whole(30.0)
    (35, 30)
    """
    return math.ceil(minutes - 1e-9)


def _timers(facts: ProcedureFacts) -> tuple[Timer, ...]:
    return (
        Timer(
            id="presoak",
            label="presoak",
            minutes=whole(facts.presoak_min),
            action="The soak is over: squeeze the fibre when the paints are ready.",
            priority="medium",
        ),
        Timer(
            id="steam",
            label="steam set",
            minutes=whole(facts.hold_min),
            action="The set is over: heat off, lid away from you.",
            priority="high",
            needs_steam=True,
        ),
        Timer(
            id="pot-water",
            label="pot water",
            minutes=max(1, math.floor(facts.pot_check_min)),
            action="Look at the pot water; top up with boiling water.",
            priority="medium",
            repeats=True,
            with_timer="steam",
            needs_steam=True,
        ),
        Timer(
            id="cool",
            label="cooling",
            minutes=whole(facts.cool_min),
            action="The packet should be cool enough to measure.",
            priority="medium",
        ),
    )
