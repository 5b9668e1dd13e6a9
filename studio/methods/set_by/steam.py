"""Set in steam: a wrapped packet over boiling water, held from rolling steam, cooled in its wrap."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from studio.craft.pot import REFILL_LEFT_MIN
from studio.methods.put_on.paint_work import PaintWork
from studio.methods.said import caution, clock, step
from studio.methods.set_by.steam_packet import (
    MOST_THICK_CM,
    SetPlan,
    packet_cautions,
    packet_of,
    sides_needed,
)
from studio.methods.set_by.steam_work import SetWork, steam_energy, work_set
from studio.plan.errors import write
from studio.plan.fields import FieldSection, figure, known, row, usual
from studio.plan.keys import Keys
from studio.plan.model import MOST_PIECES, SHAPES
from studio.plan.settled import Settled
from studio.plan.shapes import Caution, Step, Timer, listed
from studio.plan.shelf import KitItem
from studio.plan.steps.stages import IN_THE_WRAP, as_shown
from studio.plan.ways import SetBy
from studio.plan.work.cautions import pot_too_small
from studio.plan.work.energy import CoolWork, EnergyUse, work_cool
from studio.quantity.showing import show
from studio.tables.rows import hazards

SECTION = FieldSection(
    name="set",
    table="set",
    either=(("practice", "hold"),),
    figures=("set", "cool and rinse"),
    fields=(
        row("shape", "shape", "choice", "roll", "Of the wrapped packet.", usual("roll", "default"), choices=SHAPES),
        row("thickness", "thickness", "length", "5 cm", "The diameter of a roll; measure it once it is wrapped.",
           figure("set.thickness"), low=0.2, high=MOST_THICK_CM),
        row("length", "length", "length", "14 cm", "Of the packet.", low=0.5, high=300.0),
        row("width", "width", "length", "14 cm", "Of a flat packet.", low=0.5, high=300.0),
        row("layers", "layers", "whole", "8", "Of a folded sheet; length and width are then the whole sheet's.",
           low=1, high=200),
        row("hob", "hob", "power", "1000 W", "Power of the ring.", known("hob_w"), low=50.0, high=20_000.0),
        row("hob_efficiency", "hob efficiency", "number", "0.8", "Share of its heat that reaches the water.",
           usual("0.75", "from memory"), low=0.1, high=1.0),
        row("hold", "steam set", "duration", "30 min", "Counted from rolling steam.", figure(),
           decides=(("set.hold", ""),), at_least=True, low=1.0,
           high=60 * 60.0),  # as long as is advised for the thickest packet above, so that a repeat can write it
        row("pot_water", "water in the pot", "volume", "1.5 L", "Below the packet, at the start.",
           figure(),
           decides=(("set.pot_water", ""),), at_least=True, worked_last=True, high=100_000.0, kitchen=True),
        row(
            "practice",
            "published time",
            "text",
            "steam-packet-least",
            "A published time at heat, instead of a time of your own.",
            names="hold",
        ),
        row("places", "places in the pot", "whole", "1", "Packets that are steamed side by side.",
           usual("1", "default"), low=1, high=MOST_PIECES),
        row("lid", "lid on", "flag", "yes", "Whether the lid stays on.", usual("yes", "default"),
           choices=("yes", "no")),
    ),
)  # fmt: skip


class Steam(SetBy[PaintWork, SetWork]):
    """Rolling steam round a wrapped packet."""

    table = "set"
    stage = "steam"
    section = SECTION
    own = SetPlan
    wet_again = step("steam.again")
    cooling = IN_THE_WRAP
    job = (("{} from rolling steam", "set.hold"),)
    hands_min = 8.0
    """Each packet is put in and lifted out. Estimate."""
    allows = ("lose steam", "packets", "top up")

    def scaled(self, settled: Settled, factor: float) -> tuple[dict[str, str], tuple[str, ...]]:
        """A roll grows thicker as the root of its weight; a flat packet grows wider and stays as thick."""
        made = packet_of(settled)
        if made.shape == "roll":
            if made.thickness is None:
                return {}, ()
            across, before = (show(made.thickness.value * k, "cm", 4) for k in (math.sqrt(factor), 1.0))
            note = f"One roll as long as before, so {across} across instead of {before}"
            return {"thickness": across}, (
                f"{note}; write the old thickness if you make several rolls of it.",
            )
        wider = {} if made.width is None else {"width": show(made.width.value * factor, "cm", 4)}
        note = "The packet stays as thick as before, and so gets wider; write the thickness if you stack it."
        return wider, (note,)

    def check(self, keys: Keys, told: Mapping[str, Any]) -> None:
        """Where the thickness is left out, the other sides must give it; a roll has no layers to count."""
        sides = sides_needed(told.get("shape", ""))
        if "layers" in told and len(sides) == 1:
            raise keys.wrong("layers", "are of a flat packet, and this is a roll; leave them out.")
        if "thickness" not in told and not all(side in told for side in sides):
            raise keys.wrong(
                "thickness",
                "is missing; write for example ",
                write("thickness", "5 cm"),
                f", or the {listed(sides)}, and it is worked out.",
            )

    def uneven(self, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
        """A roll has no layers to count."""
        return ("layers",) if key == "shape" and value == "roll" else ()

    def work(self, settled: Settled, put: PaintWork) -> SetWork:
        """set.*"""
        return work_set(settled, put.pick_up(settled))

    def cool(self, settled: Settled, put: PaintWork, heat: SetWork) -> CoolWork:
        """In the wrap, in the air."""
        return work_cool(settled, heat.packet, heat.steam_c, put.pick_up(settled))

    def energy(self, settled: Settled, put: PaintWork, heat: SetWork) -> EnergyUse:
        """Pot and goods to the boil, and the hold."""
        return steam_energy(settled, heat, put)

    def cautions(self, settled: Settled, put: PaintWork, heat: SetWork) -> Iterator[Caution]:
        """set.*, the pot on the shelf, and the hazards of steam and unwrapping."""
        yield from _set(packet_of(settled), heat)
        yield from packet_cautions(settled, heat.packet, heat.slow_min, put.pick_up(settled))
        yield caution("steam.burns", role="heat off")
        yield caution("cool.unwrap")
        yield from _pots(settled, heat)

    def steps(self, settled: Settled, put: PaintWork, heat: SetWork, put_on: str) -> tuple[Step, ...]:
        """At the pot."""
        others = settled.pieces - 1
        return (
            step("steam.water", after=(put_on,)),
            step("steam.safe"),
            step("steam.on of several", others=others) if others else step("steam.on"),
            step("steam.rolling"),
            step("steam.hold"),
            step("steam.off"),
            step("steam.out"),
        )

    def clocks(self, put: PaintWork, heat: SetWork) -> tuple[Timer, ...]:
        """The set, and looks at the pot."""
        look_min = max(1, math.floor(heat.look_min))
        hold = clock("steam", minutes=as_shown(heat.hold_min))
        return hold, clock("pot-water", minutes=look_min)


def _set(plan: SetPlan, work: SetWork) -> Iterator[Caution]:
    if work.lasts_min < work.hold_min:
        # A pot is filled up at its last ten minutes: one that never holds more cannot be kept up.
        low = work.lasts_min <= REFILL_LEFT_MIN
        source = hazards()["boil-dry"].source
        yield caution("set.pot-dry soon" if low else "set.pot-dry", heat=work, source=source)
    if (plan.hold is not None or plan.practice) and work.hold_min < work.advised_min - 0.05:
        key = "practice" if plan.practice else "hold"
        yield caution("set.hold-short", heat=work, where=("set", key))
    if not plan.lid:
        yield caution("set.lid-off")


def _pots(settled: Settled, steam: SetWork) -> Iterator[Caution]:
    yield from pot_too_small(
        settled,
        steam.pot_ml,
        "the pot water is",
        "take a larger pot, or fill it up while it steams",
        ("set", "pot_water"),
    )
    if steam.rounds > 1:
        places = "place" if steam.places == 1 else "places"
        yield caution("set.places", heat=steam, pieces=settled.pieces, places=places)
    for item in settled.kit:
        if isinstance(item, KitItem) and item.steam_time_min and steam.hold_min < item.steam_time_min:
            yield caution("kit.steam-time", heat=steam, item=item)
