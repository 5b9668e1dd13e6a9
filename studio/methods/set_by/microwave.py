"""Set in a microwave: bursts and rests of a wrapped packet, how warm it gets, a look, a stand, cooled in its wrap."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from studio.craft import pot
from studio.methods.put_on.paint_work import PaintWork
from studio.methods.said import caution, clock, step
from studio.plan.fields import FieldSection, figure, row, usual
from studio.plan.settled import Settled, own_table
from studio.plan.shapes import Caution, Figure, Step, Timer, as_written, fig, num
from studio.plan.shelf import KitItem
from studio.plan.steps.stages import CLEAR_GRADE, IN_THE_WRAP
from studio.plan.ways import SetBy
from studio.plan.work.energy import CoolWork, EnergyUse, Packet, held_min, work_cool
from studio.quantity.kinds import Quantity
from studio.quantity.showing import show
from studio.tables.rows import hazards

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


def work_microwave(settled: Settled, paint: PaintWork) -> MicrowaveWork:
    """microwave.power, .burst, .rest, .bursts, .first, .end, .steamed, .stand."""
    plan, room_c, boil_c = oven_of(settled), settled.room.value, settled.boil_c
    power_w, count, schedule = plan.power.value, plan.rounds or DEFAULT_BURSTS, _schedule(plan)
    burst, rest, _, stand = (figure.value for figure in schedule)
    liquid = max(1.0, paint.held_ml(settled))
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


MOST_BURSTS = 4
"""More would need more than nine items in a stage. House rule."""
SECTION = FieldSection(
    name="microwave",
    table="microwave",
    figures=("microwave", "cool and rinse"),
    fields=(
        row("power", "power", "power", "600 W", "What the oven gives at the setting used.", needed=True, low=80.0,
           high=3_000.0),
        row("burst", "burst", "duration", "2 min", "Each time.", figure("microwave.burst"), low=0.25, high=5.0),
        row("rest", "rest", "duration", "2 min", "After each burst.", figure("microwave.rest"), low=0.5, high=30.0),
        row("rounds", "bursts", "whole", "2", "How many, before the first look.", figure("microwave.bursts"),
           low=1, high=MOST_BURSTS),
        row("stand", "stand", "duration", "10 min", "In the shut oven, before it is lifted out.",
           figure("microwave.stand"), low=1.0, high=12 * 60.0),
        row("thickness", "thickness", "length", "3 cm", "Of the packet in its dish.", usual("3 cm", "estimate"),
           low=0.2, high=15.0),
    ),
)  # fmt: skip


class Microwave(SetBy[PaintWork, MicrowaveWork]):
    """Bursts of a microwave oven."""

    table = "microwave"
    stage = "microwave"
    shade = ("microwave.burst", "microwave.rest", "microwave.bursts")
    section = SECTION
    own = MicrowavePlan
    wet_again = step("microwave.again")
    cooling = IN_THE_WRAP
    job = (
        ("{} bursts of {}", "microwave.bursts", "microwave.burst"),
        ("{} rest after each", "microwave.rest"),
        ("then {} shut", "microwave.stand"),
    )
    hands_min = 20.0
    """One stays beside it."""

    def work(self, settled: Settled, put: PaintWork) -> MicrowaveWork:
        """microwave.*"""
        return work_microwave(settled, put)

    def cool(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> CoolWork:
        """In the wrap, in the air."""
        written = oven_of(settled).thickness
        packet = Packet(shape="flat packet", thickness_cm=written.value if written else PACKET_CM)
        return work_cool(settled, packet, heat.end_c, put.pick_up(settled))

    def energy(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> EnergyUse:
        """What the oven draws in its bursts (estimate)."""
        minutes, drawn_w = held_min(settled, heat.burst_min * heat.count), heat.power_w / OVEN_EFFICIENCY
        held = pot.held_kwh(drawn_w, minutes)
        return EnergyUse(
            kwh=held,
            because=f"{num(heat.power_w)} W / {num(OVEN_EFFICIENCY)} x {num(minutes)} min = {num(held)} kWh",
            source=f"share that leaves the oven as microwaves {num(OVEN_EFFICIENCY)}, from memory",
        )

    def cautions(self, settled: Settled, put: PaintWork, heat: MicrowaveWork) -> Iterator[Caution]:
        """method.microwave, microwave.*, and the hazards of dryness, steam and unwrapping."""
        yield from _oven(settled)
        yield caution("microwave.wet", source=hazards()["microwave"].source)
        yield caution("microwave.superheating")
        if heat.burst_min > LONG_BURST_MIN or heat.rest_min < heat.burst_min * 0.99:
            yield caution("microwave.schedule", heat=heat, source=SCHEDULES)
        if heat.steamed_ml > heat.liquid_ml * MOST_STEAM:
            yield caution("microwave.dries", heat=heat)
        if heat.end_c < min(HOT_C, heat.boil_c - 3.0):
            yield caution("microwave.cold", heat=heat, hot=HOT_C)
        yield caution("cool.unwrap")

    def steps(self, settled: Settled, put: PaintWork, heat: MicrowaveWork, put_on: str) -> tuple[Step, ...]:
        """At the oven."""
        told = {"count": heat.count, "clock": _clock(heat.burst_min), "power": show(heat.power_w, "W")}
        bursts = [
            step("microwave.burst-{number}", number=number, before=number - 1, **told)
            for number in range(2, heat.count + 1)
        ]
        return (
            step("microwave.safe", after=(put_on,)),
            step("microwave.burst-1", **told),
            *bursts,
            step("microwave.rest", **told),
            step("microwave.clear", low=CLEAR_GRADE),
            step("microwave.stand"),
            step("microwave.out"),
        )

    def clocks(self, put: PaintWork, heat: MicrowaveWork) -> Iterator[Timer]:
        """Bursts, rests and the stand."""
        for name in (*map(str, range(1, heat.count + 1)), "more"):
            burst = f"burst {name} of {heat.count}" if name != "more" else "extra burst"
            told = {"name": name, "burst": burst}
            yield clock("burst-{name}", minutes=heat.burst_min, **told)
            yield clock("rest-{name}", minutes=heat.rest_min, **told)
        yield clock("stand", minutes=heat.stand_min)


def _clock(minutes: float) -> str:
    """As an oven's clock shows it.

    >>> _clock(2.5), _clock(0.25)
    ('2:30', '0:15')
    """
    whole, seconds = divmod(round(minutes * 60), 60)
    return f"{whole}:{seconds:02d}"


# Cautions: dryness, long bursts, steam in the wrap.

LONG_BURST_MIN = 2.5
"""A burst is taken to be long from here on. House rule."""
MOST_STEAM = 0.15
"""Share of the packet's liquid that may steam away before it is warned about. House rule."""
HOT_C = 85.0
"""The packet should come to this at the least. House rule, as for the centre of a steamed one."""


def _oven(settled: Settled) -> Iterator[Caution]:
    """A microwave takes food colour, or is listed on the shelf as kept for dye only."""
    if settled.food_only:
        return
    ovens = [item for item in settled.kit if isinstance(item, KitItem) and item.oven]
    if ovens and all(oven.kept_for == "dye only" for oven in ovens):
        return
    others = ", ".join(d.name for d in settled.dyes if not d.food)
    told = f"{ovens[0].name} is kept for the kitchen" if ovens else "the plan's kit has none"
    yield caution("method.microwave", others=others, told=told, source=hazards()["microwave"].source)
