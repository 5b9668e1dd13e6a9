"""The bath of a repeat: as it was made and held; at another weight in proportion to it."""

from __future__ import annotations

from studio.plan.model import Plan
from studio.plan.plan_text import PlanText
from studio.plan.repeat_facts import Done
from studio.quantity import show

DIGITS = 5


def write_kettle(new: PlanText, planned: Plan, done: Done, factor: float) -> tuple[str, ...]:
    """Write liquor ratio, acid and hold of a kettle as done; what was assumed, one sentence each.

    **Source:** liquor ratio and acid go with the weight (common practice); a bath is held as long whatever its
    size, while its ramp may take longer (house rule).
    """
    made = planned.kettle
    if made is None:
        return ()
    dyed_g = done.fibre_g or 1.0
    if done.bath_ml:
        new.put("kettle", "liquor_ratio", float(f"{done.bath_ml / dyed_g:.5g}"))
    if made.acid and done.acid_amount:
        new.drop("kettle", "target_ph")
        new.put("kettle", "acid_amount", show(done.acid_amount * factor, done.acid_unit, DIGITS))
    elif made.acid_amount is not None:
        new.put("kettle", "acid_amount", show(made.acid_amount.value * factor, made.acid_amount.unit, DIGITS))
    if done.hold_min is not None and round(done.hold_min) >= 1:
        new.put("kettle", "hold", show(round(done.hold_min), "min", DIGITS))
    if factor == 1.0:
        return ()
    return (
        "Another weight needs another pot and may need a slower ramp; the worksheet says what the hob can do.",
    )
