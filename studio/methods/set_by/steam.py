"""Set in steam: a wrapped packet over boiling water, held from rolling steam, cooled in its wrap."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from typing import Any

from studio.craft.pot import REFILL_LEFT_MIN
from studio.methods.put_on.paint_work import PaintWork
from studio.methods.set_by import cautioned
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
from studio.plan.shapes import HOUSE, Caution, Step, Timer, brief, listed
from studio.plan.shelf import KitItem
from studio.plan.steps.lay import clock_id
from studio.plan.steps.stages import IN_THE_WRAP, as_shown
from studio.plan.ways import SetBy
from studio.plan.work.cautions import caution, pot_too_small
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

WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Wet it with water of the same pH as the presoak, lay it flat and wrap it closed again.",
    done="Wrapped again",
)


class Steam(SetBy[PaintWork, SetWork]):
    """Rolling steam round a wrapped packet."""

    table = "set"
    stage = "steam"
    section = SECTION
    own = SetPlan
    wet_again = WET_AGAIN
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
        return work_set(settled, put.target_percent / 100.0)

    def cool(self, settled: Settled, put: PaintWork, heat: SetWork) -> CoolWork:
        """In the wrap, in the air."""
        return work_cool(settled, heat.packet, heat.steam_c, put.target_percent)

    def energy(self, settled: Settled, put: PaintWork, heat: SetWork) -> EnergyUse:
        """Pot and goods to the boil, and the hold."""
        return steam_energy(settled, heat, put)

    def cautions(self, settled: Settled, put: PaintWork, heat: SetWork) -> Iterator[Caution]:
        """set.*, the pot on the shelf, and the hazards of steam and unwrapping."""
        yield from _set(packet_of(settled), heat)
        yield from packet_cautions(settled, heat.packet, heat.slow_min, put.target_percent / 100.0)
        yield caution("steam.burns")
        yield caution("cool.unwrap")
        yield from _pots(settled, heat)

    def steps(self, settled: Settled, put: PaintWork, heat: SetWork, put_on: str) -> tuple[Step, ...]:
        """At the pot."""
        return (*_into_the_pot(settled.pieces, put_on), *HELD_AND_OUT)

    def clocks(self, put: PaintWork, heat: SetWork) -> tuple[Timer, ...]:
        """The set, and looks at the pot."""
        return (
            Timer(
                role="hold",
                of="steam",
                counts="set.hold",
                label="steam set",
                minutes=as_shown(heat.hold_min),
                action="The set is over: heat off, lid away from you.",
                priority="high",
                needs_steam=True,
            ),
            Timer(
                role="pot look",
                label="look at the pot",
                minutes=max(1, math.floor(heat.look_min)),
                action="Look at the pot water; top up with boiling water.",
                repeats=True,
                with_timer=clock_id("hold", "steam"),
                needs_steam=True,
            ),
        )


def _set(plan: SetPlan, work: SetWork) -> Iterator[Caution]:
    if work.lasts_min < work.hold_min:
        # A pot is filled up at its last ten minutes: one that never holds more cannot be kept up.
        low = work.lasts_min <= REFILL_LEFT_MIN
        told = (
            ", too soon for a look: pour" if low else f" and the set takes {brief(work.hold_min)} min: pour"
        )
        text = (
            f"{brief(work.pot_ml)} mL of pot water may last {brief(work.lasts_min)} min{told} "
            f"{brief(work.needed_ml)} mL{'.' if low else ', or top up with boiling water.'}"
        )
        yield cautioned("set.pot-dry", "warn", text, hazards()["boil-dry"].source, "pot_water")
    if (plan.hold is not None or plan.practice) and work.hold_min < work.advised_min - 0.05:
        text = (
            f"The set of {brief(work.hold_min)} min is shorter than the {brief(work.advised_min)} min "
            "advised for this packet and these dyes: the middle may wash out."
        )
        source, key = f"{HOUSE}, as the steam set says why", "practice" if plan.practice else "hold"
        yield cautioned("set.hold-short", "warn", text, source, key)
    if not plan.lid:
        text = (
            "Without a lid, air mixes into the steam: the packet stays cooler than boiling and the pot dries "
            "faster. Put a lid on."
        )
        source = "computed from IAPWS R7-97(2012): a tenth of air brings steam at sea level down to 97 °C"
        yield cautioned("set.lid-off", "warn", text, source, "lid")


def _pots(settled: Settled, steam: SetWork) -> Iterator[Caution]:
    yield from pot_too_small(
        settled,
        steam.pot_ml,
        "the pot water is",
        "take a larger pot, or fill it up while it steams",
        ("set", "pot_water"),
    )
    if steam.rounds > 1:
        text = (
            f"{settled.pieces} packets and {steam.places} {'place' if steam.places == 1 else 'places'} in the "
            f"steamer: {steam.rounds} fillings of {brief(steam.hold_min)} min. Keep waiting packets wrapped and damp."
        )
        yield cautioned("set.places", "note", text, "arithmetic on the plan's pieces and places", "places")
    kit = [item for item in settled.kit if isinstance(item, KitItem)]
    for item in kit:
        if item.steam_time_min and steam.hold_min < item.steam_time_min:
            yield Caution(
                id="kit.steam-time",
                level="note",
                text=f"You usually steam {brief(item.steam_time_min)} min in {item.name}, and this plan steams "
                f"{brief(steam.hold_min)} min.",
                source="yours: the shelf's kit",
                stage="heat",
                where=("set", "hold"),
            )


# At the pot.


def _into_the_pot(pieces: int, put_on: str) -> tuple[Step, ...]:
    return (
        Step(
            role="pot water",
            kind="measure",
            text="Pour water into the pot; the rack must stand clear above it.",
            done="Pot water in",
            quantity="volume",
            unit="mL",
            after=(put_on,),
            sets="set.pot_water",
            figures=("set.pot_water", "set.boil_off", "set.pot_lasts", "set.rounds"),
        ),
        Step(
            role="safe heat",
            kind="gate",
            text="Steam burns: lid opens away from you, dry mitts and tongs to hand, sleeves down, nobody beside it.",
            done="Lid, mitts and tongs ready",
            critical=True,
        ),
        Step(
            role="heat on",
            kind="do",
            text="Packet on the rack, lid on, heat on."
            if pieces == 1
            else f"First packet on the rack, lid on, heat on; start a packet clock for each of the other {pieces - 1}.",
            done="Pot on",
        ),
    )


HELD_AND_OUT = (
    Step(
        role="steam rolling",
        kind="do",
        text="Wait until steam rolls steadily from under the lid; only then the set begins.",
        done="Steam is rolling",
        critical=True,
        starts=clock_id("hold", "steam"),
        figures=("set.hold", "set.heat_through", "set.boiling_point"),
    ),
    Step(
        role="hold",
        kind="wait",
        text="Keep the steam rolling with the lid on.",
        done="Set held",
        timer=clock_id("hold", "steam"),
        figures=("set.hold", "set.heat_through"),
    ),
    Step(
        role="heat off",
        kind="do",
        text="Heat off. Open the lid away from you and let the steam go.",
        done="Heat off, lid opened away",
    ),
    Step(
        role="out",
        kind="do",
        text="Lift the packet out with tongs and set it down, still wrapped.",
        done="Packet out, still wrapped",
        starts=clock_id("cool"),
    ),
)
