"""Cautions about a kettle: liquor, ramp, top, hob, felting and the hot bath."""

from __future__ import annotations

import math
from collections.abc import Iterator

from studio.craft.rinse import STEP_LIMIT_C
from studio.methods.put_on.bath_work import RATIO_HIGH, RATIO_LOW, RATIO_SOURCE, BathWork, kettle_of
from studio.methods.set_by import cautioned
from studio.methods.set_by.bath_work import BALANCE, COOKSON, SILK, SILK_C, SUPERWASH_C, HeatWork
from studio.plan.settled import Settled
from studio.plan.shapes import HOUSE, Caution, brief
from studio.plan.work.cautions import caution, pot_too_small
from studio.plan.work.energy import hob_gives_w
from studio.plan.work.presoak import soaked_c

FELTING = (
    "common practice, told by suppliers and teachers: rapid change of warmth, rubbing and alkali felt wool, "
    "not warmth alone; wool cools in its bath (Earth Guild, US, instruction sheets for acid dyes, no year)"
)
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
    text = (
        "Turn the fibre over gently now and then and let the bath warm and cool slowly: rapid change and "
        "rubbing felt wool."
    )
    yield cautioned("kettle.felting", "note", text, FELTING)
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
        text = (
            f"A liquor ratio of {brief(ratio)} is outside the published {RATIO_LOW:g} to {RATIO_HIGH:g}: "
            f"{effect}."
        )
        yield cautioned("kettle.ratio", "note", text, RATIO_SOURCE, "liquor_ratio", stage="colour")
    dye_ml = bath.bath_ml - bath.fill_ml
    if bath.fill_ml < bath.bath_ml / 2.0:
        yield Caution(
            id="kettle.dye-fills-bath",
            level="warn",
            text=f"{brief(dye_ml)} mL of dye is more than half of the {brief(bath.bath_ml)} mL bath: use a "
            "stronger stock, or a higher liquor ratio.",
            source=HOUSE,
            stage="colour",
            where=("colour", "stock"),
        )
    if bath.parts > 1:
        text = (
            f"Dye in {bath.parts} parts strikes where it meets the fibre: the colour comes out "
            "semi-solid, and differently each time."
        )
        yield cautioned("kettle.semi-solid", "note", text, "common practice", "parts", stage="colour")


def _hob(settled: Settled, heat: HeatWork) -> Iterator[Caution]:
    if math.isinf(heat.fastest_min):
        text = (
            f"This hob gives {brief(hob_gives_w(settled))} W, which only replaces the heat lost: the bath does "
            f"not come to {brief(heat.top_c)} °C. Use a stronger hob, a lid or a smaller bath."
        )
        yield cautioned("kettle.hob-cannot", "warn", text, BALANCE, "hob")
    elif heat.fastest_min > (heat.top_c - heat.start_c) / heat.rate_c_min * 1.001:
        text = (
            f"This hob brings the bath to {brief(heat.top_c)} °C in {brief(heat.fastest_min)} min at the "
            f"soonest, slower than {brief(heat.rate_c_min)} °C a minute: the ramp keeps to what the hob can do."
        )
        yield cautioned("kettle.hob-slow", "note", text, BALANCE, "ramp")


def _top(settled: Settled, heat: HeatWork) -> Iterator[Caution]:
    written = kettle_of(settled).top
    if heat.top_c < heat.wanted_top_c:
        text = (
            f"Water boils at {brief(heat.boil_c)} °C here, so the bath is held at {brief(heat.top_c)} °C "
            f"and not at {brief(heat.wanted_top_c)} °C: hold it longer, until it is clear. A boiling bath tumbles "
            "and felts wool."
        )
        source = "ISO 2533; IAPWS R7-97(2012); that it tumbles and felts is common practice"
        yield cautioned("kettle.boils", "warn" if written else "note", text, source, "top")
    if settled.superwash and heat.top_c > SUPERWASH_C[1]:
        text = (
            f"{brief(heat.top_c)} °C is hotter than the {SUPERWASH_C[0]:g} to {SUPERWASH_C[1]:g} °C "
            "usual for superwash wool, which a hot bath harms more than plain wool."
        )
        yield cautioned("kettle.superwash-hot", "warn", text, COOKSON, "top")
    if settled.silk and heat.top_c > SILK_C + 1.0:
        text = f"{brief(heat.top_c)} °C takes lustre from silk; {SILK_C:g} °C is usual."
        yield cautioned("kettle.silk-hot", "note", text, SILK, "top")


def _times(settled: Settled, heat: HeatWork) -> Iterator[Caution]:
    plan = kettle_of(settled)
    if plan.hold is not None and plan.hold.value < heat.least_hold_min - 0.05:
        text = (
            f"A hold of {brief(plan.hold.value)} min is shorter than the {brief(heat.least_hold_min)} min "
            "usual for these dyes: part of the colour may rinse out."
        )
        source = max(settled.classes, key=lambda c: c.bath_hold_min).bath_source
        yield cautioned("kettle.hold-short", "warn", text, source, "hold")
    usual = min(settled.classes, key=lambda c: c.bath_ramp_c_min)
    if plan.ramp is not None and plan.ramp > usual.bath_ramp_c_min * MUCH_FASTER:
        text = (
            f"{brief(plan.ramp)} °C a minute is faster than the {brief(usual.bath_ramp_c_min)} °C a minute "
            f"usual for {usual.name}: the dye may strike unevenly."
        )
        yield cautioned("kettle.ramp-fast", "note", text, usual.ramp_source, "ramp")
    soaked = soaked_c(settled)
    if abs(heat.start_c - soaked) > STEP_LIMIT_C:
        text = (
            f"The fibre goes from {brief(soaked)} °C into a bath of {brief(heat.start_c)} °C: wool felts "
            f"at a step of more than {STEP_LIMIT_C:g} °C. Make the soak as warm as the bath."
        )
        source = f"{FELTING}; the limit is a house rule"
        yield cautioned("kettle.start-step", "note", text, source, "start", stage="colour")


def _vapour(settled: Settled, bath: BathWork, heat: HeatWork) -> Iterator[Caution]:
    gone, bath_ml = heat.evaporation_ml, bath.bath_ml
    if gone > bath_ml * MOST_VAPOUR:
        lid = "" if kettle_of(settled).lid else " Put a lid on."
        text = (
            f"About {brief(gone)} mL of the {brief(bath_ml)} mL bath may steam off while it is held: top it up "
            f"with water as hot as the bath, away from the fibre.{lid}"
        )
        source = "heat and mass transfer (Lewis), estimate; a fifth of the bath is a house rule"
        yield cautioned("kettle.vapour", "warn", text, source, "lid")
