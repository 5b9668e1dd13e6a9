"""Set in a microwave: a wrapped packet in its dish, heated in bursts, looked at, left to stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import msgspec

from studio.methods.put_on.paint_work import PaintWork
from studio.methods.set_by.microwave_cautions import microwave_cautions
from studio.methods.set_by.microwave_steps import WET_AGAIN, bursts_stage, clocks
from studio.methods.set_by.microwave_work import (
    MicrowavePlan,
    MicrowaveWork,
    microwaved_packet,
    oven_energy,
    work_microwave,
)
from studio.plan.draft.fields import FieldSection, figure, row, usual
from studio.plan.facts import BurstFacts, ProcedureFacts
from studio.plan.keys import Keys
from studio.plan.settled import Settled
from studio.plan.shapes import Caution, Stage
from studio.plan.steps.finishing import cool_stage
from studio.plan.steps.lay import Laid, laid_clocks
from studio.plan.ways import StageHands
from studio.plan.work.costs import MICROWAVE_MIN
from studio.plan.work.energy import CoolWork, EnergyUse, work_cool
from studio.plan.work.worked import Worked

MOST_BURSTS = 4
"""More would need more than nine items in a stage. House rule."""
KEYS = ("power", "burst", "rest", "rounds", "stand", "thickness")
SECTION = FieldSection(
    name="microwave",
    table="microwave",
    figures=("microwave", "cool and rinse"),
    fields=(
        row("power", "power", "power", "600 W", "What the oven gives at the setting used."),
        row("burst", "burst", "duration", "2 min", "Each time.", figure("microwave.burst")),
        row("rest", "rest", "duration", "2 min", "After each burst.", figure("microwave.rest")),
        row("rounds", "bursts", "whole", "2", "How many, before the first look.", figure("microwave.bursts")),
        row("stand", "stand", "duration", "10 min", "In the shut oven, before it is lifted out.",
           figure("microwave.stand")),
        row("thickness", "thickness", "length", "3 cm", "Of the packet in its dish.", usual("3 cm", "estimate")),
    ),
)  # fmt: skip


class Microwave:
    """Bursts of a microwave oven."""

    table = "microwave"
    stage = "microwave"
    keys: tuple[str, ...] = KEYS
    either: tuple[tuple[str, str], ...] = ()
    shade: tuple[str, ...] = ("microwave.burst", "microwave.rest", "microwave.bursts")
    section = SECTION

    def read(self, keys: Keys) -> dict[str, Any]:
        """[microwave]; its power must be there."""
        keys.only(KEYS)
        return {"own": msgspec.to_builtins(_read(keys))}

    def uneven(self, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
        """None."""
        return ()

    def scaled(self, settled: Settled, factor: float) -> tuple[dict[str, str], tuple[str, ...]]:
        """Nothing of its table goes with the weight."""
        return {}, ()

    def work(self, settled: Settled, put: PaintWork) -> MicrowaveWork:
        """microwave.*"""
        return work_microwave(settled, put)

    def cool(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> CoolWork:
        """In the wrap, in the air."""
        return work_cool(settled, microwaved_packet(settled), heat.end_c, put.target_percent)

    def energy(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> EnergyUse:
        """The bursts."""
        return oven_energy(settled, heat)

    def facts(self, worked: Worked, facts: ProcedureFacts) -> ProcedureFacts:
        """Bursts and rests."""
        work: MicrowaveWork = worked.heat
        made = BurstFacts(
            power_w=work.power_w,
            burst_min=work.burst_min,
            rest_min=work.rest_min,
            count=work.count,
            stand_min=work.stand_min,
        )
        return msgspec.structs.replace(facts, shape="flat packet", bursts=made)

    def cautions(self, worked: Worked) -> Iterator[Caution]:
        """microwave.*"""
        return microwave_cautions(worked.settled, worked.heat)

    def lay(self, facts: ProcedureFacts, before: tuple[Stage, ...]) -> Laid:
        """Bursts, and cooling in the wrap."""
        assert facts.bursts is not None, "told before"
        heat = bursts_stage(facts.bursts, before[-1].steps[-1].id)
        return Laid(
            stages=(*before, heat, cool_stage(facts, heat.steps[-1].id)),
            timers=laid_clocks(*clocks(facts, facts.bursts)),
            wet_again=WET_AGAIN,
        )

    def habits(self, settled: Settled) -> frozenset[str]:
        """How it cools."""
        return frozenset({"cooling"})

    def hands_on(self, pieces: int) -> StageHands:
        """One stays beside it. Estimate."""
        return StageHands("microwave", MICROWAVE_MIN * pieces)


def _read(keys: Keys) -> MicrowavePlan:
    return MicrowavePlan(
        power=keys.needed("power", "power", "600 W", low=80.0, high=3_000.0),
        burst=keys.measure("burst", "duration", low=0.25, high=5.0),
        rest=keys.measure("rest", "duration", low=0.5, high=30.0),
        rounds=keys.whole("rounds", 1, MOST_BURSTS, "2"),
        stand=keys.measure("stand", "duration", low=1.0, high=12 * 60.0),
        thickness=keys.measure("thickness", "length", low=0.2, high=15.0),
    )
