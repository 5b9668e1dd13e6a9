"""Which of the studio's habits a plan was worked out with: those the plan itself does not overrule."""

from __future__ import annotations

from studio.plan.facts import HabitUsed
from studio.plan.habits import as_used
from studio.plan.settled import Settled
from studio.plan.ways import method_of


def habits_used(settled: Settled) -> tuple[HabitUsed, ...]:
    """The habits that stand in a figure of this plan. The spread of edges stands in forecasts alone."""
    method, studio = method_of(settled), settled.shelf.studio
    needed = {*method.put_on.habits(settled), *method.set_by.habits(settled)}
    if any(colour.drops is not None for colour in settled.plan.colours):
        needed.add("drops")
    if studio.hourly_rate is not None and studio.currency:
        needed.add("hands-on")
    return tuple(as_used(h) for h in settled.shelf.habits if h.used and h.id in needed)
