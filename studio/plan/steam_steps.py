"""Stages and clocks of a painted, steamed session."""

from __future__ import annotations

import math

from studio.plan.clocks import cool_timer, presoak_timer, whole
from studio.plan.facts import ProcedureFacts
from studio.plan.finishing import cool_stage, record_stage, rinse_stage
from studio.plan.mixing_steps import stocks_stage
from studio.plan.painting import paint_stage, steam_stage
from studio.plan.preparing import presoak_stage, ready_stage
from studio.plan.shapes import Stage, Timer


def steamed(facts: ProcedureFacts) -> tuple[tuple[Stage, ...], tuple[Timer, ...]]:
    """Ready, presoak, stocks, paint, steam, cool, rinse, record."""
    stocks = stocks_stage(facts)
    stages = (
        ready_stage(facts),
        presoak_stage(facts),
        stocks,
        paint_stage(facts, stocks.steps[-1].id),
        steam_stage(facts),
        cool_stage(facts, "steam.out"),
        rinse_stage(facts, "cool.unwrap"),
        record_stage(facts),
    )
    return stages, _timers(facts)


def _timers(facts: ProcedureFacts) -> tuple[Timer, ...]:
    return (
        presoak_timer(facts, "squeeze the fibre when the paints are ready"),
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
            label="look at the pot",
            minutes=max(1, math.floor(facts.pot_check_min)),
            action="Look at the pot water; top up with boiling water.",
            priority="medium",
            repeats=True,
            with_timer="steam",
            needs_steam=True,
        ),
        cool_timer(facts, "The packet should be cool enough to measure."),
    )
