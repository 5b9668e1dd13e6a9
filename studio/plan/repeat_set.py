"""The set of a repeat: as it was done at the same weight; at another, worked out for the new packet."""

from __future__ import annotations

import math

from studio.plan.figures_set import work_set
from studio.plan.model import Plan, SetPlan
from studio.plan.plan_text import PlanText
from studio.plan.reading import read_plan
from studio.plan.repeat_facts import Done
from studio.plan.settled import settle
from studio.plan.shelf import Shelf
from studio.quantity import show

WHOLE_ML = 10.0
"""Pot water is rounded up to this. House rule."""
LOST_WORTH_NOTING_MIN = 0.5


def write_set(
    new: PlanText, planned: Plan, done: Done, shelf: Shelf, factor: float, *, as_it_was: bool
) -> tuple[str, ...]:
    """Write packet, hold and pot water for `factor` times the weight; what was assumed, one sentence each.

    as_it_was: same base and same weight, so that hold and pot water stand as they were done.
    """
    made = planned.set
    if made is None:
        return ()
    notes = _packet(new, made, factor)
    notes += _hold(new, made, done, shelf, as_it_was)
    _pot(new, made, done, shelf, as_it_was)
    return notes


def _packet(new: PlanText, made: SetPlan, factor: float) -> tuple[str, ...]:
    """A roll grows thicker as the root of its weight; a flat packet grows wider and stays as thick."""
    if factor == 1.0:
        return ()
    if made.shape == "roll":
        across = made.thickness.value * math.sqrt(factor)
        new.put("set", "thickness", show(across, "cm", 4))
        return (
            f"One roll as long as before, so {show(across, 'cm')} across instead of "
            f"{show(made.thickness.value, 'cm')}; write the old thickness where it becomes several rolls.",
        )
    if made.width is not None:
        new.put("set", "width", show(made.width.value * factor, "cm", 4))
    return ("The packet is laid as thick as before, and so wider; write the thickness where it is stacked.",)


def _hold(new: PlanText, planned: SetPlan, done: Done, shelf: Shelf, as_it_was: bool) -> tuple[str, ...]:
    """As long as the steam was held; for another packet never shorter than is advised for it."""
    held = float(round(done.hold_min)) if done.hold_min is not None and done.hold_min >= 1 else None
    before = held or (planned.hold.value if planned.hold else None)
    if before is None:
        return ()
    new.drop("set", "hold")
    new.drop("set", "practice")
    hold = before if as_it_was else max(before, math.ceil(_set_figure(new, shelf, "set.hold")))
    new.put("set", "hold", show(hold, "min", 5))
    if held is not None and done.lost_min >= LOST_WORTH_NOTING_MIN:
        lost = show(done.lost_min, "min", 2)
        new.comment("set", "hold", f"steam was lost for {lost} beside it; the clock stood still")
    if hold <= before:
        return ()
    return (f"Held {show(before, 'min')} before; for this packet {show(hold, 'min')} is advised.",)


def _pot(new: PlanText, planned: SetPlan, done: Done, shelf: Shelf, as_it_was: bool) -> None:
    """As much as was poured; for another packet never less than its hold needs."""
    before = done.pot_ml or (planned.pot_water.value if planned.pot_water else None)
    if before is None:
        return
    pot_ml = before
    if not as_it_was:
        pot_ml = max(before, math.ceil(_set_figure(new, shelf, "set.pot_needed") / WHOLE_ML) * WHOLE_ML)
    new.put("set", "pot_water", show(pot_ml, "mL", 5))
    if done.filled_up_ml > 0:
        new.comment("set", "pot_water", f"and {show(done.filled_up_ml, 'mL')} filled up while it steamed")


def _set_figure(new: PlanText, shelf: Shelf, figure_id: str) -> float:
    """A figure of the set for the plan as it stands now; 0 where it has none of that name."""
    plan = read_plan(new.text(), name=new.name, drops_per_ml=shelf.studio.drops_per_ml)
    return next((f.value for f in work_set(settle(plan, shelf)).figures if f.id == figure_id), 0.0)
