"""Set in a bath: up a ramp, held at its top until it is clear, cooled in the bath; and what is to be minded of it.

What goes in on the way up (the rest of the acid, later parts of the dye) is woven into the clock of the ramp.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from studio.craft.bath_heat import FASTEST_C_MIN
from studio.craft.rinse import STEP_LIMIT_C
from studio.methods.put_on.bath import acid_step
from studio.methods.put_on.bath_work import (
    ACID_ADDED,
    ACID_AFTER_MIN,
    RATIO_HIGH,
    RATIO_LOW,
    RATIO_SOURCE,
    BathWork,
    KettlePlan,
    kettle_of,
)
from studio.methods.said import caution, clock, step
from studio.methods.set_by.bath_work import (
    BALANCE,
    COOKSON,
    SILK,
    SILK_C,
    SUPERWASH_C,
    HeatWork,
    bath_energy,
    work_bath_cool,
    work_heat,
)
from studio.plan.fields import WEIGHT, FieldSection, figure, known, row, usual
from studio.plan.keys import Keys
from studio.plan.settled import Settled
from studio.plan.shapes import Caution, Step, Timer
from studio.plan.steps.stages import CLEAR_GRADE, READ_SAFE, SAFE, Cooling, as_shown, end_ph
from studio.plan.ways import SetBy
from studio.plan.work.cautions import pot_too_small
from studio.plan.work.energy import CoolWork, EnergyUse, hob_gives_w
from studio.plan.work.presoak import soaked_c
from studio.quantity.showing import show

MOST_PARTS = 3
"""In which the dye may go in. House rule."""
SECTION = FieldSection(
    name="kettle",
    table="kettle",
    either=(("acid_amount", "target_ph"),),
    figures=("kettle", "cool and rinse"),
    fields=(
        row("acid", "acid", "text", "white vinegar", "An acid from your shelf or the tables; it goes into the bath.",
            names="acid"),
        row("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", figure("kettle.ph"), low=2.0,
            high=7.0),
        row("acid_amount", "acid amount", "amount", "60 mL", "Instead of a target pH.", figure(),
           decides=(("kettle.acid", WEIGHT),), worked_last=True, high=20_000.0),
        row("acid_added", "acid goes in", "choice", "staged", "Half later, which evens the colour, or all at once.",
           usual("staged", "default"), choices=ACID_ADDED),
        row("liquor_ratio", "liquor ratio", "number", "30", "Litres of bath to a kilogram of fibre.",
           usual("30", "common practice"),
           decides=(("kettle.bath", WEIGHT),), low=5.0, high=200.0),
        row("start", "start", "temperature", "40 C", "Of the bath when the fibre goes in.", figure(),
           decides=(("kettle.start", ""),), low=5.0, high=80.0),
        row("ramp", "ramp", "number", "1.5", "Degrees Celsius a minute.", usual("by the dye class"), low=0.2,
            high=FASTEST_C_MIN),
        row("top", "full heat", "temperature", "88 C", "What the ramp goes up to.", figure("kettle.top"), low=30.0,
            high=100.0),
        row("hold", "hold", "duration", "45 min", "At full heat.", figure(),
           decides=(("kettle.hold", ""),), worked_last=True, low=1.0, high=6 * 60.0),
        row("parts", "parts of dye", "whole", "1", "2 or 3 make it strike unevenly: a semi-solid.",
           usual("1", "default"), low=1, high=MOST_PARTS),
        row("hob", "hob", "power", "1000 W", "Power of the ring.", known("hob_w"), low=50.0, high=20_000.0),
        row("hob_efficiency", "hob efficiency", "number", "0.8", "Share of its heat that reaches the pot.",
           usual("0.75", "from memory"), low=0.1, high=1.0),
        row("pot", "empty pot", "mass", "1.5 kg", "Its weight, for it is warmed too.",
            usual("1.5 kg", "estimate"), high=50_000.0),
        row("lid", "lid on", "flag", "yes", "Whether the lid stays on.", usual("yes", "default"),
           choices=("yes", "no")),
    ),
)  # fmt: skip

UNDER_TOP_C, OVER_TOP_C = 4.0, 3.0
"""So far under and over its top a bath may be read. House rule."""


LOOK_MIN = 10.0
"""Longest time between two looks at the thermometer on the way up. House rule."""
TURN_MIN = 15.0
"""Between two turns of the fibre at the top. House rule."""
MORE_MIN = 10.0
"""Held on where the bath is not clear. House rule."""
IN_THE_BATH = Cooling(
    what="bath",
    leave=step("kettle.wait", **SAFE),
    read=step("kettle.temperature", **READ_SAFE),
    free=step("kettle.lift", **SAFE),
    strip=end_ph(
        "kettle", "Read the pH of the cooled bath, for the record: fibre and dye have taken up acid"
    ),
)


class HeatedBath(SetBy[BathWork, HeatWork]):
    """The heat of a bath with the fibre in it."""

    table = "kettle"
    stage = "heat"
    shade = ("kettle.ph", "kettle.ramp", "kettle.top")
    section = SECTION
    own = KettlePlan
    wet_again = step("kettle.again")
    cooling = IN_THE_BATH
    job = (
        ("{} to {} in {}", "kettle.start", "kettle.top", "kettle.ramp"),
        ("{} there", "kettle.hold"),
    )
    hands_min = 15.0
    """Looks at the thermometer and turns of the fibre."""
    allows = ("top up", "more acid")
    read_at = "bath"

    def check(self, keys: Keys, told: Mapping[str, Any]) -> None:
        """Parts and stages work against each other; the top is above the start."""
        if told.get("parts", 1) > 1 and told.get("acid_added") == "staged":
            raise keys.wrong(
                "acid_added",
                'is "staged", which evens a colour out, and parts let it strike unevenly; leave one of them out.',
            )
        start, top = told.get("start"), told.get("top")
        if start is not None and top is not None and top.value <= start.value:
            raise keys.wrong(
                "top", f"is not above the start ({start.typed}); write the full heat that is held."
            )

    def uneven(self, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
        """Dye in parts lets a colour strike unevenly; acid in stages evens it out."""
        if key == "parts" and value not in (1, "1") and row.get("acid_added") == "staged":
            return ("acid_added",)
        staged = key == "acid_added" and value == "staged"
        return ("parts",) if staged and row.get("parts") not in (None, 1) else ()

    def work(self, settled: Settled, put: BathWork) -> HeatWork:
        """kettle.* of the heat."""
        return work_heat(settled, put)

    def cool(self, settled: Settled, put: BathWork, heat: HeatWork) -> CoolWork:
        """Bath and fibre cool together."""
        return work_bath_cool(settled, put, heat.top_c)

    def energy(self, settled: Settled, put: BathWork, heat: HeatWork) -> EnergyUse:
        """Ramp and hold."""
        return bath_energy(settled, heat)

    def cautions(self, settled: Settled, put: BathWork, heat: HeatWork) -> Iterator[Caution]:
        """kettle.*, of the bath as of its heat."""
        yield from _liquor(settled, put)
        yield from pot_too_small(
            settled,
            (put.bath_ml + settled.dry_g * FIBRE_ML_G) * (1 + ROOM_TO_TURN),
            "bath and fibre, with room to turn it, need",
            "take a larger pot, a smaller liquor ratio, or dye it in two lots",
            ("kettle", "liquor_ratio"),
        )
        yield from _hob(settled, heat)
        yield from _top(settled, heat)
        yield from _times(settled, heat)
        yield from _vapour(settled, put, heat)
        yield caution("kettle.felting")
        yield caution("steam.burns")
        yield caution("kettle.hot-water")

    def steps(self, settled: Settled, put: BathWork, heat: HeatWork, put_on: str) -> tuple[Step, ...]:
        """Up the ramp, with what goes in on the way, and held."""
        acid, name = settled.acid, put.colours[0].colour.plan
        top = {"expected": heat.top_c, "low": heat.top_c - UNDER_TOP_C, "high": heat.top_c + OVER_TOP_C}
        return (
            step("kettle.safe", after=(put_on,)),
            step("kettle.on", heat=heat),
            *(
                step(
                    "kettle.dye-{number}",
                    number=number,
                    bath=put,
                    colour=name,
                    warm=part_c(put, heat, number),
                )
                for number in range(2, put.parts + 1)
            ),
            *(
                (step("kettle.acid-wait"), acid_step("kettle.acid", acid))
                if acid and put.rest_acid > 0
                else ()
            ),
            step("kettle.ramp"),
            step("kettle.top", top=show(heat.top_c, "degC"), **{k: round(c, 1) for k, c in top.items()}),
            step("kettle.hold"),
            step("kettle.clear", low=CLEAR_GRADE),
            step("kettle.off"),
        )

    def clocks(self, put: BathWork, heat: HeatWork) -> Iterator[Timer]:
        """The ramp, the hold and what goes in."""
        warm, ramp, hold = show(heat.top_c, "degC"), heat.ramp_min, heat.hold_min
        yield clock("ramp", minutes=max(1, as_shown(ramp)), top=warm)
        yield clock("ramp-look", minutes=max(1, math.floor(min(LOOK_MIN, ramp / 3.0))))
        yield clock("hold", minutes=max(1, as_shown(hold)))
        yield clock("hold-turn", minutes=max(1, math.floor(min(TURN_MIN, hold / 2.0))))
        yield clock("hold-more", minutes=MORE_MIN)
        if put.rest_acid > 0:
            yield clock("acid", minutes=ACID_AFTER_MIN)
        for number in range(2, put.parts + 1):
            minutes, warm_c = max(1, round(ramp * (number - 1) / put.parts)), part_c(put, heat, number)
            yield clock("part-{number}", number=number, minutes=minutes, warm=warm_c)


def part_c(bath: BathWork, heat: HeatWork, number: int) -> float:
    """Temperature at which a part goes in: the ramp cut into as many stretches as there are parts.

    In whole degrees, so that the step, its clock and a doubt say one number.
    """
    return float(round(heat.start_c + (heat.top_c - heat.start_c) * (number - 1) / bath.parts))


MOST_VAPOUR = 0.2
"""Share of the bath that may go off in the hold before it is warned about. House rule."""
FIBRE_ML_G = 0.76
"""Wool's own volume, at 1.31 g/mL. **Source:** common practice."""
ROOM_TO_TURN = 0.1
"""Of the bath, left free below the brim. House rule."""
MUCH_FASTER = 1.34
"""A ramp this much faster than usual for the class is noted. House rule."""


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
