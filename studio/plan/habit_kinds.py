"""What a studio's habits are: the values a plan takes from a default until the studio's own sessions tell.

Defaults are those the figures have always had; how much a default weighs, in sessions, and how far sessions of
one studio are expected to lie apart are house rules.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.craft.credibility import Prior
from studio.plan.shapes import Origin

HabitId = Literal["held", "painted", "drops", "to-steam", "boil-off", "cooling", "spread", "hands-on"]
Counted = Literal["session", "count", "swatch"]


class HabitKind(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that can be learned."""

    id: HabitId
    label: str
    unit: str
    default: float
    origin: Origin
    """Of the default."""
    standing: str
    """Where the default comes from, in words."""
    weight: float
    """The default counts as much as so many measurements."""
    spread: float
    """Standard deviation that is expected from one measurement to the next."""
    low: float
    high: float
    """No habit lies outside; a measurement that does is a slip and is not counted."""
    counted: Counted = "session"
    """What a measurement is one of."""
    measured_by: str
    """How it is measured, and from what."""

    def prior(self, default: float | None = None) -> Prior:
        """The belief before anything was measured; around another default where the shelf has one."""
        return Prior(self.default if default is None else default, self.weight, self.spread, 4)


HABITS: tuple[HabitKind, ...] = (
    HabitKind(
        id="held",
        label="water held after squeezing",
        unit="%",
        default=100.0,
        origin="estimate",
        standing="squeezed by hand in a towel",
        weight=2.0,
        spread=15.0,
        low=20.0,
        high=400.0,
        measured_by="squeezed weight less dry weight, of dry weight; weigh both at the bench",
    ),
    HabitKind(
        id="painted",
        label="wet pick-up when painted",
        unit="%",
        default=150.0,
        origin="estimate",
        standing="painted until it is wet and does not drip",
        weight=2.0,
        spread=20.0,
        low=30.0,
        high=600.0,
        measured_by="water held, and mL of paint mixed less left over for each g painted; "
        "write down the leftovers at the bench",
    ),
    HabitKind(
        id="drops",
        label="drops in a mL",
        unit="drops/mL",
        default=20.0,
        origin="published",
        standing="USP 32, general chapter 1101, medicine dropper",
        weight=1.0,
        spread=2.0,
        low=5.0,
        high=60.0,
        counted="count",
        measured_by="drops of the dropper counted into a measure, 40 drops in 2 mL",
    ),
    HabitKind(
        id="to-steam",
        label="time until steam rolls",
        unit="%",
        default=100.0,
        origin="estimate",
        standing="of the heat balance: all of the hob's heat goes into the water",
        weight=1.0,
        spread=25.0,
        low=5.0,
        high=1000.0,
        measured_by="from pot on to steam rolling, beside the heat balance of the water poured",
    ),
    HabitKind(
        id="boil-off",
        label="heat that boils water off",
        unit="%",
        default=100.0,
        origin="estimate",
        standing="all of it, an upper bound: a lid returns some",
        weight=1.0,
        spread=10.0,
        low=5.0,
        high=120.0,
        measured_by="water poured and filled up less water left, over the minutes of rolling steam; "
        "measure what is left in the pot after the set",
    ),
    HabitKind(
        id="cooling",
        label="cooling beside still air",
        unit="%",
        default=100.0,
        origin="estimate",
        standing="of the rate for still air, 10 W/m2K",
        weight=2.0,
        spread=25.0,
        low=10.0,
        high=600.0,
        measured_by="Newton's law of cooling fitted to the packet's readings; "
        "read the packet twice while it cools",
    ),
    HabitKind(
        id="spread",
        label="spread of an edge",
        unit="rows",
        default=0.8,
        origin="estimate",
        standing="a careful hand with a foam brush",
        weight=1.0,
        spread=0.4,
        low=0.0,
        high=50.0,
        counted="swatch",
        measured_by="fitted to the rounds counted on a knitted swatch, rust 3 solid 2 mixed",
    ),
    HabitKind(
        id="hands-on",
        label="hands-on work",
        unit="%",
        default=100.0,
        origin="estimate",
        standing="of minutes counted from jars, colours and grams",
        weight=1.0,
        spread=25.0,
        low=10.0,
        high=1000.0,
        measured_by="time between ticks, without waits and breaks, beside the minutes counted for the same plan",
    ),
)

KIND_OF: dict[str, HabitKind] = {kind.id: kind for kind in HABITS}
