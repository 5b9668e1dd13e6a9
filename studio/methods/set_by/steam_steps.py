"""Steps and clocks at the steamer."""

from __future__ import annotations

import math

from studio.plan.facts import ProcedureFacts
from studio.plan.shapes import Stage, Step, Timer
from studio.plan.steps.finishing import cool_timer, presoak_timer, whole
from studio.plan.steps.lay import clock_id, laid_stage
from studio.plan.steps.preparing import near

WET_AGAIN = Step(
    role="wet again",
    kind="do",
    text="Wet it with water as sour as the presoak was, lay it flat and wrap it closed again.",
    done="Wrapped again",
)


def steam_stage(facts: ProcedureFacts, put_on: str) -> Stage:
    """The stage at the pot. `put_on`: the step after which the goods are ready for it."""
    return laid_stage("heat", *_into_the_pot(facts, put_on), *_held_and_out(), name="steam")


def _into_the_pot(facts: ProcedureFacts, put_on: str) -> tuple[Step, ...]:
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
            **near(facts.pot_water_ml),
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
            if facts.pieces == 1
            else f"First packet on the rack, lid on, heat on; P keeps a clock for each of the other "
            f"{facts.pieces - 1}.",
            done="Pot on",
        ),
    )


def _held_and_out() -> tuple[Step, ...]:
    return (
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


def clocks(facts: ProcedureFacts) -> tuple[Timer, ...]:
    return (
        presoak_timer(facts, "squeeze the fibre when the paints are ready"),
        Timer(
            role="hold",
            of="steam",
            counts="set.hold",
            label="steam set",
            minutes=whole(facts.hold_min),
            action="The set is over: heat off, lid away from you.",
            priority="high",
            needs_steam=True,
        ),
        Timer(
            role="pot look",
            label="look at the pot",
            minutes=max(1, math.floor(facts.pot_check_min)),
            action="Look at the pot water; top up with boiling water.",
            priority="medium",
            repeats=True,
            with_timer=clock_id("hold", "steam"),
            needs_steam=True,
        ),
        cool_timer(facts, "The packet should be cool enough to measure."),
    )
