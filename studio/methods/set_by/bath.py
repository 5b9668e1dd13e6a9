"""Set in a bath: up a ramp, held at its top until it is clear, cooled in the bath.

What goes in on the way up (the rest of the acid, later parts of the dye) is woven into the clock of the ramp.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from studio.craft.bath_heat import FASTEST_C_MIN
from studio.methods.put_on.bath_work import ACID_ADDED, BathWork, KettlePlan
from studio.methods.set_by.bath_cautions import bath_cautions
from studio.methods.set_by.bath_steps import IN_THE_BATH, WET_AGAIN, clocks, heat_steps
from studio.methods.set_by.bath_work import HeatWork, bath_energy, work_bath_cool, work_heat
from studio.plan.fields import FieldSection, figure, known, row, usual
from studio.plan.keys import Keys
from studio.plan.settled import Settled
from studio.plan.shapes import Caution, Step, Timer
from studio.plan.ways import SetBy, StageHands
from studio.plan.work.energy import CoolWork, EnergyUse

MOST_PARTS = 3
SECTION = FieldSection(
    name="kettle",
    table="kettle",
    either=(("acid_amount", "target_ph"),),
    figures=("kettle", "cool and rinse"),
    fields=(
        row("acid", "acid", "text", "white vinegar", "Into the bath; an acid of the shelf or the tables.",
            names="acid"),
        row("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", figure("kettle.ph"), low=2.0,
            high=7.0),
        row("acid_amount", "acid", "amount", "60 mL", "Instead of a target pH.", figure(),
           decides=(("kettle.acid", "fibre.weight"),), high=20_000.0),
        row("acid_added", "acid goes in", "choice", "staged", "Half later, which evens out, or all at the start.",
           usual("staged", "default"), choices=ACID_ADDED),
        row("liquor_ratio", "liquor ratio", "number", "30", "Litres of bath to a kilogram of fibre.",
           usual("30", "common practice"),
           decides=(("kettle.bath", "fibre.weight"),), low=5.0, high=200.0),
        row("start", "start", "temperature", "40 C", "Of the bath when the fibre goes in.", figure(),
           decides=(("kettle.start", ""),), low=5.0, high=80.0),
        row("ramp", "ramp", "number", "1.5", "Degrees Celsius a minute.", usual("by the dye class"), low=0.2,
            high=FASTEST_C_MIN),
        row("top", "top", "temperature", "88 C", "What is held.", figure("kettle.top"), low=30.0, high=100.0),
        row("hold", "hold", "duration", "45 min", "At the top.", figure(),
           decides=(("kettle.hold", ""),), low=1.0, high=6 * 60.0),
        row("parts", "parts of dye", "whole", "1", "2 or 3 let it strike unevenly: a semi-solid.",
           usual("1", "default"), low=1, high=MOST_PARTS),
        row("hob", "hob", "power", "1000 W", "What the ring gives.", known("hob_w"), low=50.0, high=20_000.0),
        row("hob_efficiency", "hob efficiency", "number", "0.8", "Share of it that reaches the pot.",
           usual("1", "house rule"), low=0.1, high=1.0),
        row("pot", "empty pot", "mass", "1.5 kg", "It is warmed too.", usual("1.5 kg", "estimate"), high=50_000.0),
        row("lid", "lid on", "flag", "yes", "Whether the lid stays on.", usual("yes", "default"),
           choices=("yes", "no")),
    ),
)  # fmt: skip
HEAT_MIN = 15.0
"""Minutes with hands on the work: looks at the thermometer and turns of the fibre. Estimate."""


class HeatedBath(SetBy[BathWork, HeatWork]):
    """The heat of a bath with the fibre in it."""

    table = "kettle"
    stage = "heat"
    shade = ("kettle.ph", "kettle.ramp", "kettle.top")
    section = SECTION
    own = KettlePlan
    wet_again = WET_AGAIN
    cooling = IN_THE_BATH
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
                "top", f"is not above the start ({start.typed}); write the temperature that is held."
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
        return bath_cautions(settled, put, heat)

    def steps(self, settled: Settled, put: BathWork, heat: HeatWork, put_on: str) -> tuple[Step, ...]:
        """Up the ramp, with what goes in on the way, and held."""
        return heat_steps(settled.acid, put, heat, put_on)

    def clocks(self, put: BathWork, heat: HeatWork) -> Iterator[Timer]:
        """The ramp, the hold and what goes in."""
        return clocks(put, heat)

    def hands_on(self, pieces: int) -> StageHands:
        """All pieces lie in one bath. Estimate."""
        return StageHands("heat", HEAT_MIN)
