"""Cautions about a kettle: liquor, ramp, top, hob, felting and the hot bath."""

from __future__ import annotations

import math
from collections.abc import Iterator

from studio.craft.rinse import STEP_LIMIT_C
from studio.methods.put_on.bath_work import RATIO_HIGH, RATIO_LOW, RATIO_SOURCE, BathWork, kettle_of
from studio.methods.said import caution
from studio.methods.set_by.bath_work import BALANCE, COOKSON, SILK, SILK_C, SUPERWASH_C, HeatWork
from studio.plan.settled import Settled
from studio.plan.shapes import Caution
from studio.plan.work.cautions import pot_too_small
from studio.plan.work.energy import hob_gives_w
from studio.plan.work.presoak import soaked_c

MOST_VAPOUR = 0.2
"""Share of the bath that may go off in the hold before it is warned about. House rule."""
FIBRE_ML_G = 0.76
"""Wool's own volume, at 1.31 g/mL. **Source:** common practice."""
ROOM_TO_TURN = 0.1
"""Of the bath, left free below the brim. House rule."""
MUCH_FASTER = 1.34
"""A ramp this much faster than usual for the class is noted. House rule."""


def bath_cautions(settled: Settled, bath: BathWork, heat: HeatWork) -> Iterator[Caution]:
    """kettle.*, and the hazards of a hot bath."""
    yield from _liquor(settled, bath)
    yield from pot_too_small(
        settled,
        (bath.bath_ml + settled.dry_g * FIBRE_ML_G) * (1 + ROOM_TO_TURN),
        "bath and fibre, with room to turn it, need",
        "take a larger pot, a smaller liquor ratio, or dye it in two lots",
        ("kettle", "liquor_ratio"),
    )
    yield from _hob(settled, heat)
    yield from _top(settled, heat)
    yield from _times(settled, heat)
    yield from _vapour(settled, bath, heat)
    yield caution("kettle.felting")
    yield caution("steam.burns")
    yield caution("kettle.hot-water")


def _liquor(settled: Settled, bath: BathWork) -> Iterator[Caution]:
    ratio = kettle_of(settled).liquor_ratio
    if ratio is not None and not RATIO_LOW <= ratio <= RATIO_HIGH:
        effect = (
            "the fibre is crowded and dyes unevenly"
            if ratio < RATIO_LOW
            else "dye and acid are thin and the bath is slow to clear"
        )
        usual = {"low": RATIO_LOW, "high": RATIO_HIGH, "source": RATIO_SOURCE}
        yield caution("kettle.ratio", ratio=ratio, effect=effect, **usual)
    if bath.fill_ml < bath.bath_ml / 2.0:
        yield caution("kettle.dye-fills-bath", dye=bath.bath_ml - bath.fill_ml, bath=bath)
    if bath.parts > 1:
        yield caution("kettle.semi-solid", bath=bath)


def _hob(settled: Settled, heat: HeatWork) -> Iterator[Caution]:
    if math.isinf(heat.fastest_min):
        yield caution("kettle.hob-cannot", heat=heat, gives=hob_gives_w(settled), source=BALANCE)
    elif heat.fastest_min > (heat.top_c - heat.start_c) / heat.rate_c_min * 1.001:
        yield caution("kettle.hob-slow", heat=heat, source=BALANCE)


def _top(settled: Settled, heat: HeatWork) -> Iterator[Caution]:
    if heat.top_c < heat.wanted_top_c:
        yield caution("kettle.boils", heat=heat, level="warn" if kettle_of(settled).top else "note")
    if settled.superwash and heat.top_c > SUPERWASH_C[1]:
        yield caution("kettle.superwash-hot", heat=heat, usual=SUPERWASH_C, source=COOKSON)
    if settled.silk and heat.top_c > SILK_C + 1.0:
        yield caution("kettle.silk-hot", heat=heat, usual=SILK_C, source=SILK)


def _times(settled: Settled, heat: HeatWork) -> Iterator[Caution]:
    plan = kettle_of(settled)
    if plan.hold is not None and plan.hold.value < heat.least_hold_min - 0.05:
        source = max(settled.classes, key=lambda c: c.bath_hold_min).bath_source
        yield caution("kettle.hold-short", hold=plan.hold.value, heat=heat, source=source)
    usual = min(settled.classes, key=lambda c: c.bath_ramp_c_min)
    if plan.ramp is not None and plan.ramp > usual.bath_ramp_c_min * MUCH_FASTER:
        yield caution("kettle.ramp-fast", ramp=plan.ramp, usual=usual)
    soaked = soaked_c(settled)
    if abs(heat.start_c - soaked) > STEP_LIMIT_C:
        yield caution("kettle.start-step", soaked=soaked, heat=heat, limit=STEP_LIMIT_C)


def _vapour(settled: Settled, bath: BathWork, heat: HeatWork) -> Iterator[Caution]:
    if heat.evaporation_ml > bath.bath_ml * MOST_VAPOUR:
        lid = "" if kettle_of(settled).lid else " Put a lid on."
        yield caution("kettle.vapour", bath=bath, heat=heat, lid=lid)
