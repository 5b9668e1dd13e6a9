"""After the steam: how long the packet cools, and how warm the rinse is."""

from __future__ import annotations

import math

import msgspec

from studio.craft import heat
from studio.plan.figure_text import HOUSE, fig, num
from studio.plan.settled import Known, Settled
from studio.plan.shapes import Figure

UNWRAP_C = 40.0
STILL_AIR_W_M2K = 10.0
"""Free convection and radiation of a warm packet in a room. Estimate."""
HSE = (
    "HSE (UK), Scalding and burning, Health Services Information Sheet 6: 43 degC surface, 44 degC water for "
    "vulnerable people; 40 degC stays below both"
)


GUESSED_WIDTH_CM = 20.0
"""Of a flat packet whose width is not written. Estimate."""


class CoolWork(msgspec.Struct, frozen=True, kw_only=True):
    minutes: float
    unwrap_c: float
    rinse_c: float
    figures: tuple[Figure, ...]


def work_cool(settled: Settled, steam_c: float, target_percent: float) -> CoolWork:
    """cool.time and rinse.temperature."""
    plan, room = settled.plan.set, settled.room.value
    water_g = settled.piece_g * target_percent / 100.0
    length_m, width_m, guessed = _size_m(settled, water_g)
    across_m = plan.thickness.value / 100.0
    own = settled.own("cooling")
    air_w_m2k = STILL_AIR_W_M2K * (own.value / 100.0 if own else 1.0)
    k = heat.packet_k_per_min(
        plan.shape, across_m, length_m, settled.piece_g, water_g, air_w_m2k, width_m=width_m
    )
    minutes = heat.newton_minutes(steam_c, room, k, UNWRAP_C)
    body = f"{plan.shape} {num(plan.thickness.value)} cm by {num(length_m * 100)} cm"
    body += (f" by {num(width_m * 100)} cm" if plan.shape == "flat packet" else "") + guessed
    return CoolWork(
        minutes=minutes,
        unwrap_c=UNWRAP_C,
        rinse_c=UNWRAP_C,
        figures=(
            fig(
                "cool.time",
                minutes,
                "min",
                "cooling in the wrap",
                f"ln(({num(steam_c)} - {num(room)}) / ({UNWRAP_C:g} - {num(room)})) / {num(k)} per min = "
                f"{num(minutes)} min; {body}, {num(settled.piece_g)} g of fibre and {num(water_g)} g of "
                "liquid, "
                f"{num(air_w_m2k)} W/m2K to still air",
                own.origin if own else "estimate",
                f"Newton's law of cooling; surface coefficient {_air_source(own)}; room: "
                f"{settled.room.source}; measure before opening",
            ),
            fig(
                "rinse.temperature",
                UNWRAP_C,
                "degC",
                "open and rinse at or below",
                f"packet down to {UNWRAP_C:g} degC; rinse water within 10 degC of it, so that wool does not "
                "felt",
                "house rule",
                f"{HOUSE}; {HSE}",
            ),
        ),
    )


def _air_source(own: Known | None) -> str:
    usual = "from memory (Incropera, table 1.1: 2 to 25)"
    return usual if own is None else f"{STILL_AIR_W_M2K:g} W/m2K {usual} x {num(own.value)} %: {own.source}"


def _size_m(settled: Settled, water_g: float) -> tuple[float, float, str]:
    """Length and width of the packet; a length not written, from the room its contents take up."""
    plan = settled.plan.set
    across_cm = plan.thickness.value
    width_cm = plan.width.value if plan.width else GUESSED_WIDTH_CM
    if plan.length is not None:
        return plan.length.value / 100.0, width_cm / 100.0, ""
    # Wool of 1.31 g/mL and water, with a fifth of air: an estimate that only sets the surface.
    volume_ml = (settled.piece_g / 1.31 + water_g) / 0.8
    area_cm2 = math.pi * across_cm**2 / 4.0 if plan.shape == "roll" else across_cm * width_cm
    return min(max(volume_ml / area_cm2, 1.0), 300.0) / 100.0, width_cm / 100.0, " (length estimated)"
