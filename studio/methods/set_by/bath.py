"""Set in a bath: up a ramp, held at its top until it is clear, cooled in the bath.

What goes in on the way up (the rest of the acid, later parts of the dye) is woven into the clock of the ramp.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, cast

import msgspec

from studio.craft.bath_heat import FASTEST_C_MIN
from studio.methods.put_on.bath_work import ACID_ADDED, AcidAdded, BathWork, KettlePlan
from studio.methods.set_by.bath_cautions import bath_cautions
from studio.methods.set_by.bath_steps import IN_THE_BATH, WET_AGAIN, clocks, heat_steps
from studio.methods.set_by.bath_work import HeatWork, bath_energy, work_bath_cool, work_heat
from studio.plan.draft.fields import FieldSection, figure, known, row, usual
from studio.plan.keys import Keys, missing
from studio.plan.model import AcidPlan
from studio.plan.reading import read_amount, read_ph
from studio.plan.settled import Settled
from studio.plan.shapes import Allowed, Caution, Place, Step, Timer
from studio.plan.ways import StageHands
from studio.plan.work.energy import CoolWork, EnergyUse
from studio.plan.work.worked import Worked

KEYS = (
    "acid",
    "target_ph",
    "acid_amount",
    "acid_added",
    "liquor_ratio",
    "start",
    "ramp",
    "top",
    "hold",
    "parts",
    "hob",
    "hob_efficiency",
    "pot",
    "lid",
)
EITHER = (("acid_amount", "target_ph"),)
SECTION = FieldSection(
    name="kettle",
    table="kettle",
    figures=("kettle", "cool and rinse"),
    fields=(
        row("acid", "acid", "text", "white vinegar", "Into the bath; an acid of the shelf or the tables.",
            names="acid"),
        row("target_ph", "target pH", "ph", "4.0", "The acid is worked out for it.", figure("kettle.ph")),
        row("acid_amount", "acid", "amount", "60 mL", "Instead of a target pH.", figure(),
           decides=(("kettle.acid", "fibre.weight"),)),
        row("acid_added", "acid goes in", "choice", "staged", "Half later, which evens out, or all at the start.",
           usual("staged", "default"), choices=ACID_ADDED),
        row("liquor_ratio", "liquor ratio", "number", "30", "Litres of bath to a kilogram of fibre.",
           usual("30", "common practice"),
           decides=(("kettle.bath", "fibre.weight"),)),
        row("start", "start", "temperature", "40 C", "Of the bath when the fibre goes in.", figure(),
           decides=(("kettle.start", ""),)),
        row("ramp", "ramp", "number", "1.5", "Degrees Celsius a minute.", usual("by the dye class")),
        row("top", "top", "temperature", "88 C", "What is held.", figure("kettle.top")),
        row("hold", "hold", "duration", "45 min", "At the top.", figure(),
           decides=(("kettle.hold", ""),)),
        row("parts", "parts of dye", "whole", "1", "2 or 3 let it strike unevenly: a semi-solid.",
           usual("1", "default")),
        row("hob", "hob", "power", "1000 W", "What the ring gives.", known("hob_w")),
        row("hob_efficiency", "hob efficiency", "number", "0.8", "Share of it that reaches the pot.",
           usual("1", "house rule")),
        row("pot", "empty pot", "mass", "1.5 kg", "It is warmed too.", usual("1.5 kg", "estimate")),
        row("lid", "lid on", "flag", "yes", "Whether the lid stays on.", usual("yes", "default"),
           choices=("yes", "no")),
    ),
)  # fmt: skip
MOST_PARTS = 3
HEAT_MIN = 15.0
"""Minutes with hands on the work: looks at the thermometer and turns of the fibre. Estimate."""


class HeatedBath:
    """The heat of a bath with the fibre in it."""

    table = "kettle"
    stage = "heat"
    keys: tuple[str, ...] = KEYS
    either: tuple[tuple[str, str], ...] = EITHER
    shade: tuple[str, ...] = ("kettle.ph", "kettle.ramp", "kettle.top")
    section = SECTION
    wet_again = WET_AGAIN
    cooling = IN_THE_BATH
    allows: tuple[Allowed, ...] = ("top up", "more acid")
    read_at: Place = "bath"

    def read(self, keys: Keys) -> dict[str, Any]:
        """[kettle]; every key of it may be left out."""
        keys.only(KEYS)
        acid = keys.text("acid")
        target, amount = read_ph(keys, "target_ph", 2.0, 7.0), read_amount(keys)
        keys.one_of(EITHER)
        if not acid and (target is not None or amount is not None):
            raise keys.wrong("acid", *missing("acid", "white vinegar"))
        return {
            "own": msgspec.to_builtins(_read(keys)),
            "sour": AcidPlan(table="kettle", acid=acid, target_ph=target, acid_amount=amount),
            "hob": keys.measure("hob", "power", low=50.0, high=20_000.0),
            "hob_efficiency": keys.number("hob_efficiency", 0.1, 1.0, "0.8"),
        }

    def uneven(self, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
        """Dye in parts lets a colour strike unevenly; acid in stages evens it out."""
        if key == "parts" and value not in (1, "1") and row.get("acid_added") == "staged":
            return ("acid_added",)
        staged = key == "acid_added" and value == "staged"
        return ("parts",) if staged and row.get("parts") not in (None, 1) else ()

    def scaled(self, settled: Settled, factor: float) -> tuple[dict[str, str], tuple[str, ...]]:
        """Nothing of its table goes with the weight."""
        return {}, ()

    def work(self, settled: Settled, put: BathWork) -> HeatWork:
        """kettle.* of the heat."""
        return work_heat(settled, put)

    def cool(self, settled: Settled, put: BathWork, heat: HeatWork) -> CoolWork:
        """Bath and fibre cool together."""
        return work_bath_cool(settled, put, heat.top_c)

    def energy(self, settled: Settled, put: BathWork, heat: HeatWork) -> EnergyUse:
        """Ramp and hold."""
        return bath_energy(settled, heat)

    def cautions(self, worked: Worked) -> Iterator[Caution]:
        """kettle.*, of the bath as of its heat."""
        return bath_cautions(worked.settled, worked.put, worked.heat)

    def steps(self, worked: Worked, put_on: str) -> tuple[Step, ...]:
        """Up the ramp, with what goes in on the way, and held."""
        return heat_steps(worked.settled.acid, worked.put, worked.heat, put_on)

    def clocks(self, worked: Worked) -> Iterator[Timer]:
        """The ramp, the hold and what goes in."""
        return clocks(worked.put, worked.heat)

    def hands_on(self, pieces: int) -> StageHands:
        """All pieces lie in one bath. Estimate."""
        return StageHands("heat", HEAT_MIN)


def _read(keys: Keys) -> KettlePlan:
    parts = keys.whole("parts", 1, MOST_PARTS, "2") or 1
    added = keys.choice("acid_added", ACID_ADDED, "")
    if parts > 1 and added == "staged":
        raise keys.wrong(
            "acid_added",
            'is "staged", which evens a colour out, and parts let it strike unevenly; leave one of them out.',
        )
    start = keys.measure("start", "temperature", low=5.0, high=80.0)
    top = keys.measure("top", "temperature", low=30.0, high=100.0)
    if start is not None and top is not None and top.value <= start.value:
        raise keys.wrong(
            "top", f"is not above the start ({start.typed}); write the temperature that is held."
        )
    return KettlePlan(
        acid_added=cast(AcidAdded, added) if added else None,
        liquor_ratio=keys.number("liquor_ratio", 5.0, 200.0, "30"),
        start=start,
        ramp=keys.number("ramp", 0.2, FASTEST_C_MIN, "1.5"),
        top=top,
        hold=keys.measure("hold", "duration", low=1.0, high=6 * 60.0),
        parts=parts,
        pot=keys.measure("pot", "mass", high=50_000.0),
        lid=keys.flag("lid", True),
    )
