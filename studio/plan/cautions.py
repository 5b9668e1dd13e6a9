"""All cautions of a plan, most serious first, in the order of work."""

from __future__ import annotations

import msgspec

from studio.plan.cautions_cost import cost_cautions
from studio.plan.cautions_dye import dye_cautions
from studio.plan.cautions_fibre import fibre_cautions
from studio.plan.cautions_heat import heat_cautions
from studio.plan.cautions_kit import kit_cautions
from studio.plan.cautions_liquid import liquid_cautions
from studio.plan.cautions_shelf import shelf_cautions
from studio.plan.shapes import STAGE_ORDER, Caution
from studio.plan.worked import Worked

_LEVELS = {"stop": 0, "warn": 1, "note": 2}


def all_cautions(worked: Worked) -> tuple[Caution, ...]:
    """Stops, then warnings, then notes; within a level by stage, those of the whole plan first."""
    put_on, set_by = worked.method.put_on, worked.method.set_by
    found = [
        *kit_cautions(worked),
        *fibre_cautions(worked),
        *dye_cautions(worked),
        *put_on.cautions(worked),
        *liquid_cautions(worked),
        *heat_cautions(worked),
        *set_by.cautions(worked),
        *cost_cautions(worked),
        *shelf_cautions(worked),
    ]
    # What is said of painting is said where the colour is put on.
    placed = [msgspec.structs.replace(c, stage=put_on.stage) if c.stage == "paint" else c for c in found]
    return tuple(
        sorted(placed, key=lambda c: (_LEVELS[c.level], STAGE_ORDER.index(c.stage) if c.stage else -1))
    )
