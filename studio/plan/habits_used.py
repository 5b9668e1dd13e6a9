"""Which of the studio's habits a plan was worked out with: those the plan itself does not overrule."""

from __future__ import annotations

from studio.plan.facts import HabitUsed
from studio.plan.habits import as_used
from studio.plan.settled import Settled


def habits_used(settled: Settled) -> tuple[HabitUsed, ...]:
    """The habits that stand in a figure of this plan. The spread of edges stands in forecasts alone."""
    plan = settled.plan
    needed = {
        "held": plan.kettle is None and plan.fibre.squeezed_weight is None,
        "painted": plan.kettle is None and plan.fibre.target_pickup is None,
        "drops": any(colour.drops is not None for colour in plan.colours),
        "to-steam": plan.set is not None,
        "boil-off": plan.set is not None and plan.set.hob_efficiency is None,
        "cooling": plan.kettle is None,
        "hands-on": settled.shelf.studio.hourly_rate is not None and bool(settled.shelf.studio.currency),
    }
    return tuple(as_used(h) for h in settled.shelf.habits if h.used and needed.get(h.id, False))
