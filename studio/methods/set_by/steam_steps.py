"""Steps and clocks at the steamer."""

from __future__ import annotations

import math

from studio.methods.set_by.steam_work import SetWork
from studio.plan.shapes import Step, Timer
from studio.plan.steps.finishing import whole
from studio.plan.steps.lay import clock_id

WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Wet it with water as sour as the presoak was, lay it flat and wrap it closed again.",
    done="Wrapped again",
)


def steam_steps(pieces: int, put_on: str) -> tuple[Step, ...]:
    """At the pot. `put_on`: the step after which the goods are ready for it."""
    return (*_into_the_pot(pieces, put_on), *HELD_AND_OUT)


def _into_the_pot(pieces: int, put_on: str) -> tuple[Step, ...]:
    return (
        Step(
            role="pot water",
            kind="measure",
            text="Pour the pot water; the rack must stand clear above it.",
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
            else f"First packet on the rack, lid on, heat on; P keeps a clock for each of the other "
            f"{pieces - 1}.",
            done="Pot on",
        ),
    )


HELD_AND_OUT = (
    Step(
        role="steam rolling",
        kind="do",
        text="Wait until steam rolls steadily from under the lid; only then does the set begin.",
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


def clocks(steam: SetWork) -> tuple[Timer, ...]:
    return (
        Timer(
            role="hold",
            of="steam",
            counts="set.hold",
            label="steam set",
            minutes=whole(steam.hold_min),
            action="The set is over: heat off, lid away from you.",
            priority="high",
            needs_steam=True,
        ),
        Timer(
            role="pot look",
            label="look at the pot",
            minutes=max(1, math.floor(steam.look_min)),
            action="Look at the pot water; top up with boiling water.",
            priority="medium",
            repeats=True,
            with_timer=clock_id("hold", "steam"),
            needs_steam=True,
        ),
    )
