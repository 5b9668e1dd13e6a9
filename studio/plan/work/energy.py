"""The energy a plan draws, how long the packet cools, and how warm the rinse is."""

from __future__ import annotations

import math

import msgspec

from studio.craft import heat, pot
from studio.plan.model import Shape
from studio.plan.settled import Known, Settled
from studio.plan.shapes import HOUSE, Figure, fig, num

# After the steam: how long the packet cools, and how warm the rinse is.

UNWRAP_C = 40.0
IF97 = "ISO 2533 standard atmosphere; IAPWS R7-97(2012), equations 30 and 31"
STILL_AIR_W_M2K = 10.0
"""Free convection and radiation of a warm packet in a room. Estimate."""
HSE = (
    "HSE (UK), Scalding and burning, Health Services Information Sheet 6: 43 degC surface, 44 degC water for "
    "vulnerable people; 40 degC stays below both"
)

GUESSED_WIDTH_CM = 20.0
"""Of a flat packet whose width is not written. Estimate."""


class Packet(msgspec.Struct, frozen=True, kw_only=True):
    """What cools, as far as its plan says."""

    shape: Shape
    thickness_cm: float
    length_cm: float | None = None
    width_cm: float | None = None


class CoolWork(msgspec.Struct, frozen=True, kw_only=True):
    hot_c: float
    """What it cools from."""
    minutes: float
    figures: tuple[Figure, ...]
    packet: Packet | None = None
    """None where the goods cool in their bath."""


def work_cool(settled: Settled, packet: Packet, hot_c: float, target_percent: float) -> CoolWork:
    """cool.time and rinse.temperature of a wrapped packet."""
    room = settled.room.value
    water_g = settled.piece_g * target_percent / 100.0
    length_m, width_m, guessed = _size_m(settled, packet, water_g)
    across_m = packet.thickness_cm / 100.0
    own = settled.own("cooling")
    air_w_m2k = STILL_AIR_W_M2K * (own.value / 100.0 if own else 1.0)
    k = heat.packet_k_per_min(
        packet.shape, across_m, length_m, settled.piece_g, water_g, air_w_m2k, width_m=width_m
    )
    minutes = heat.newton_minutes(hot_c, room, k, UNWRAP_C)
    body = f"{packet.shape} {num(packet.thickness_cm)} cm by {num(length_m * 100)} cm"
    body += (f" by {num(width_m * 100)} cm" if packet.shape == "flat packet" else "") + guessed
    return CoolWork(
        hot_c=hot_c,
        minutes=minutes,
        packet=packet,
        figures=(
            fig(
                "cool.time",
                minutes,
                "min",
                "cooling in the wrap",
                f"ln(({num(hot_c)} - {num(room)}) / ({UNWRAP_C:g} - {num(room)})) / {num(k)} per min = "
                f"{num(minutes)} min; {body}, {num(settled.piece_g)} g of fibre and {num(water_g)} g of "
                "liquid, "
                f"{num(air_w_m2k)} W/m2K to still air",
                own.origin if own else "estimate",
                f"Newton's law of cooling; surface coefficient {_air_source(own)}; room: "
                f"{settled.room.source}; measure before opening",
            ),
            rinse_figure("packet"),
        ),
    )


def _air_source(own: Known | None) -> str:
    usual = "from memory (Incropera, table 1.1: 2 to 25)"
    return usual if own is None else f"{STILL_AIR_W_M2K:g} W/m2K {usual} x {num(own.value)} %: {own.source}"


def rinse_figure(what: str) -> Figure:
    """rinse.temperature: how warm the packet or the bath may be when hands go in."""
    return fig(
        "rinse.temperature",
        UNWRAP_C,
        "degC",
        "open and rinse at or below" if what == "packet" else "lift out and rinse at or below",
        f"{what} down to {UNWRAP_C:g} degC; rinse water within 10 degC of it, so that wool does not felt",
        "house rule",
        f"{HOUSE}; {HSE}",
    )


def _size_m(settled: Settled, packet: Packet, water_g: float) -> tuple[float, float, str]:
    """Length and width of the packet; a length not written, from the room its contents take up."""
    across_cm = packet.thickness_cm
    width_cm = packet.width_cm or GUESSED_WIDTH_CM
    if packet.length_cm is not None:
        return packet.length_cm / 100.0, width_cm / 100.0, ""
    # Wool of 1.31 g/mL and water, with a fifth of air: an estimate that only sets the surface.
    volume_ml = (settled.piece_g / 1.31 + water_g) / 0.8
    area_cm2 = math.pi * across_cm**2 / 4.0 if packet.shape == "roll" else across_cm * width_cm
    return min(max(volume_ml / area_cm2, 1.0), 300.0) / 100.0, width_cm / 100.0, " (length estimated)"


# The energy a plan draws: pot and goods brought to the boil, and the hob while the steam is held.

POT_G = 1_500.0
"""A steel pot with its rack and lid. Estimate."""
EFFICIENCY = 0.75
"""Share of an electric hob's power that reaches the water while it heats up: 0.7 to 0.8. From memory."""


class EnergyUse(msgspec.Struct, frozen=True, kw_only=True):
    """What heating up and holding draw, and why."""

    kwh: float
    because: str
    source: str


COLD_C = 20.0
"""Water that is filled up, before it was heated; from a cold tap it takes a little more. Estimate."""


def every_set(settled: Settled, heat_j: float, end_c: float) -> tuple[float, str]:
    """J for every set and for the water filled up, and how that is told: both known of a session alone."""
    sets, filled_ml = settled.measured.get("energy.sets", 1.0), settled.measured.get("energy.filled", 0.0)
    told = f" x {num(sets)} sets" if sets != 1 else ""
    if filled_ml > 0:
        told += f" + {num(filled_ml)} mL filled up x 4.19 x {num(end_c - COLD_C)} K"
    return heat_j * sets + pot.sensible_j(filled_ml, COLD_C, end_c), told


def held_min(settled: Settled, planned_min: float) -> float:
    """As the clocks ran; no more than a week, which is what `pot.held_kwh` takes."""
    return min(10_000.0, settled.measured.get("energy.held", planned_min))
