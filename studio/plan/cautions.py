"""All cautions of a plan, most serious first, in the order of work."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import msgspec

from studio.plan import model
from studio.plan.cautions_cost import cost_cautions
from studio.plan.cautions_dye import dye_cautions
from studio.plan.cautions_fibre import fibre_cautions
from studio.plan.cautions_heat import heat_cautions, steam_cautions
from studio.plan.cautions_kettle import kettle_cautions
from studio.plan.cautions_kit import kit_cautions
from studio.plan.cautions_liquid import liquid_cautions
from studio.plan.cautions_microwave import microwave_cautions
from studio.plan.cautions_shelf import shelf_cautions
from studio.plan.shapes import STAGE_ORDER, Caution, StageId
from studio.plan.worked import Worked

_LEVELS = {"stop": 0, "warn": 1, "note": 2}
_OF_METHOD: dict[str, Callable[[Worked], Iterator[Caution]]] = {
    model.STEAM: steam_cautions,
    model.KETTLE: kettle_cautions,
    model.MICROWAVE: microwave_cautions,
}
_MOVED: dict[str, dict[str, StageId]] = {model.KETTLE: {"paint": "bath"}}
"""Where a caution of the paint stage is said in a method that has none."""


def all_cautions(worked: Worked) -> tuple[Caution, ...]:
    """Stops, then warnings, then notes; within a level by stage, those of the whole plan first."""
    method = worked.settled.plan.method
    found = [
        *kit_cautions(worked),
        *fibre_cautions(worked),
        *dye_cautions(worked),
        *liquid_cautions(worked),
        *heat_cautions(worked),
        *_OF_METHOD[method](worked),
        *cost_cautions(worked),
        *shelf_cautions(worked),
    ]
    moved = _MOVED.get(method, {})
    placed = [msgspec.structs.replace(c, stage=moved[c.stage]) if c.stage in moved else c for c in found]
    return tuple(
        sorted(placed, key=lambda c: (_LEVELS[c.level], STAGE_ORDER.index(c.stage) if c.stage else -1))
    )
