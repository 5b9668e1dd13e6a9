"""A packet set in the microwave: bursts and rests, how warm it gets, what steams away."""

from __future__ import annotations

import msgspec

from studio.craft import pot
from studio.methods.put_on.paint_work import PaintWork
from studio.plan.settled import Settled, own_table
from studio.plan.shapes import Figure, as_written, fig, num
from studio.plan.work.energy import EnergyUse, Packet, held_min
from studio.quantity.kinds import Quantity

DEFAULT_BURST_MIN = 2.0
DEFAULT_REST_MIN = 2.0
DEFAULT_BURSTS = 2
SCHEDULES = (
    "hobby pages, second hand: 2 min high, 2 min rest, 2 min high, then again until the liquid is clear; or "
    "2.5 min, 2.5 to 5 min rest, 2.5 min; no supplier's minutes were found"
)
SHORTEST = "the shortest schedule that dyers share"
STAND_MIN = 10.0
"""Before the packet is touched: steam inside settles. House rule."""
PACKET_CM = 3.0
"""Thickness of a packet in its dish where none is written. Estimate."""
POWER = "heat balance, all of the rated power into the packet (an upper bound; IEC 60705, from memory, rates it in 1 L)"


class MicrowavePlan(msgspec.Struct, frozen=True, kw_only=True):
    """A painted, wrapped packet set in bursts."""

    power: Quantity
    """W, the oven's output at the setting used."""
    burst: Quantity | None = None
    rest: Quantity | None = None
    rounds: int | None = None
    """Bursts."""
    stand: Quantity | None = None
    """Minutes it stands before it is opened."""
    thickness: Quantity | None = None
    """cm, of the packet as it lies in its dish."""


def oven_of(settled: Settled) -> MicrowavePlan:
    """[microwave] of a plan."""
    return own_table(settled, MicrowavePlan, "microwave")


class MicrowaveWork(msgspec.Struct, frozen=True, kw_only=True):
    power_w: float
    burst_min: float
    rest_min: float
    count: int
    stand_min: float
    liquid_ml: float
    """In the packet when it goes in."""
    first_c: float
    """After the first burst."""
    end_c: float
    steamed_ml: float
    """In all bursts."""
    boil_c: float
    figures: tuple[Figure, ...]


def microwaved_packet(settled: Settled) -> Packet:
    """The packet as it lies in its dish."""
    written = oven_of(settled).thickness
    return Packet(shape="flat packet", thickness_cm=written.value if written else PACKET_CM)


def work_microwave(settled: Settled, paint: PaintWork) -> MicrowaveWork:
    """microwave.power, .burst, .rest, .bursts, .first, .end, .steamed, .stand."""
    plan, room_c, boil_c = oven_of(settled), settled.room.value, settled.boil_c
    power_w, count, schedule = plan.power.value, plan.rounds or DEFAULT_BURSTS, _schedule(plan)
    burst, rest, _, stand = (figure.value for figure in schedule)
    liquid = max(1.0, settled.dry_g * max(paint.target_percent, paint.room.held_percent) / 100.0)
    done = pot.bursts(settled.dry_g, liquid, power_w, burst, min(room_c, boil_c), boil_c, count)
    work = MicrowaveWork(
        power_w=power_w,
        burst_min=burst,
        rest_min=rest,
        count=count,
        stand_min=stand,
        liquid_ml=liquid,
        first_c=done[0].end_c,
        end_c=done[-1].end_c,
        steamed_ml=sum(b.steamed_ml for b in done),
        boil_c=boil_c,
        figures=(),
    )
    figures = (*schedule[:3], *_warmth(settled, work), schedule[3])
    return msgspec.structs.replace(work, figures=figures)


def _schedule(plan: MicrowavePlan) -> tuple[Figure, Figure, Figure, Figure]:
    """Burst, rest, how many, and the stand."""

    def told(figure_id: str, written: Quantity | None, usual: float, label: str) -> Figure:
        because = f"{num(usual)}, {SHORTEST}"
        return as_written(figure_id, written, usual, "min", label, because, "common practice", SCHEDULES)

    bursts = fig(
        "microwave.bursts",
        float(plan.rounds or DEFAULT_BURSTS),
        "1",
        "bursts",
        f"{plan.rounds} as written" if plan.rounds else f"{DEFAULT_BURSTS}, {SHORTEST}",
        "plan" if plan.rounds else "common practice",
        "the plan" if plan.rounds else SCHEDULES,
    )
    stand = as_written(
        "microwave.stand",
        plan.stand,
        STAND_MIN,
        "min",
        "standing in the shut oven",
        f"{num(STAND_MIN)} min, so that the steam inside settles",
        "house rule",
    )
    return (
        told("microwave.burst", plan.burst, DEFAULT_BURST_MIN, "each burst"),
        told("microwave.rest", plan.rest, DEFAULT_REST_MIN, "rest after each burst"),
        bursts,
        stand,
    )


def _warmth(settled: Settled, work: MicrowaveWork) -> tuple[Figure, ...]:
    energy_kj = work.power_w * work.burst_min * 0.06
    body = f"{num(settled.dry_g)} g of fibre x 1.36 + {num(work.liquid_ml)} g of liquid x 4.19 J/gK"
    return (
        fig(
            "microwave.first",
            work.first_c,
            "degC",
            "packet after the first burst, at most",
            f"{num(work.power_w)} W x {num(work.burst_min)} min = {num(energy_kj)} kJ into {body}, from "
            f"{num(settled.room.value)} °C: {num(work.first_c)} °C",
            "estimate",
            POWER,
        ),
        fig(
            "microwave.end",
            work.end_c,
            "degC",
            "packet after the last burst, at most",
            f"{work.count} bursts of {num(energy_kj)} kJ, rests counted as keeping the heat, no hotter than "
            f"the boil at {num(work.boil_c)} °C",
            "estimate",
            POWER,
        ),
        fig(
            "microwave.steamed",
            work.steamed_ml,
            "mL",
            "liquid that may steam off",
            f"what the bursts give beyond the boil: {num(work.steamed_ml)} mL of {num(work.liquid_ml)} mL",
            "estimate",
            f"{POWER}; latent heat: IAPWS R7-97(2012)",
        ),
    )


OVEN_EFFICIENCY = 0.6
"""Share of what an oven draws that comes out as microwaves: 0.5 to 0.65. From memory."""


def oven_energy(settled: Settled, work: MicrowaveWork) -> EnergyUse:
    """What the oven draws in its bursts (estimate)."""
    minutes, drawn_w = held_min(settled, work.burst_min * work.count), work.power_w / OVEN_EFFICIENCY
    held = pot.held_kwh(drawn_w, minutes)
    return EnergyUse(
        kwh=held,
        because=f"{num(work.power_w)} W / {num(OVEN_EFFICIENCY)} x {num(minutes)} min = {num(held)} kWh",
        source=f"share that leaves the oven as microwaves {num(OVEN_EFFICIENCY)}, from memory",
    )
