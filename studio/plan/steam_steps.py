"""Stages and clocks of a painted, steamed session."""

from __future__ import annotations

import math

from studio.plan.clocks import cool_timer, presoak_timer, whole
from studio.plan.facts import ProcedureFacts
from studio.plan.finishing import cool_stage, record_stage, rinse_stage
from studio.plan.lay import Laid, clock_id, laid_clocks, step_id
from studio.plan.mixing_steps import stocks_stage
from studio.plan.painting import paint_stage, steam_stage
from studio.plan.preparing import presoak_stage, ready_stage
from studio.plan.shapes import Step, Timer

WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Wet it with water as sour as the presoak was, lay it flat and wrap it closed again.",
    done="Wrapped again",
)


def steamed(facts: ProcedureFacts) -> Laid:
    """Ready, presoak, stocks, paint, steam, cool, rinse, record."""
    stocks = stocks_stage(facts)
    stages = (
        ready_stage(facts),
        presoak_stage(facts),
        stocks,
        paint_stage(facts, stocks.steps[-1].id),
        steam_stage(facts),
        cool_stage(facts, step_id("steam", "out")),
        rinse_stage(facts, step_id("cool", "unwrap")),
        record_stage(facts),
    )
    return Laid(
        stages=stages,
        timers=laid_clocks(*_timers(facts)),
        wet_again=WET_AGAIN,
        allows=("lose steam", "packets", "top up"),
    )


def _timers(facts: ProcedureFacts) -> tuple[Timer, ...]:
    return (
        presoak_timer(facts, "squeeze the fibre when the paints are ready"),
        Timer(
            role="hold",
            of="steam",
            counts="set.hold",
            label="steam set",
            minutes=whole(facts.hold_min),
            action="The set is over: heat off, lid away from you.",
            priority="high",
            needs_steam=True,
        ),
        Timer(
            role="pot look",
            label="look at the pot",
            minutes=max(1, math.floor(facts.pot_check_min)),
            action="Look at the pot water; top up with boiling water.",
            priority="medium",
            repeats=True,
            with_timer=clock_id("hold", "steam"),
            needs_steam=True,
        ),
        cool_timer(facts, "The packet should be cool enough to measure."),
    )
