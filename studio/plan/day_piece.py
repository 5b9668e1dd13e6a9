"""The tasks of one plan in a day: its jars, and each piece painted, steamed and rinsed."""

from __future__ import annotations

import msgspec

from studio.craft.day_order import Task, Wait
from studio.craft.pot import COLD_TAP_C, minutes_to_steam
from studio.plan.facts import ProcedureFacts
from studio.plan.figure_text import num
from studio.plan.hands_on import (
    COLOUR_MIN,
    PAINT_MIN_PER_100G,
    POWDER_MIN,
    READY_STOCK_MIN,
    RINSE_MIN,
    SQUEEZE_AND_WRAP_MIN,
    STEAM_MIN,
)
from studio.plan.shapes import Origin

OVERLONG_MIN = 15.0
"""So much longer than its set a packet may stay in the steam before the order counts it as late. House rule."""


class DayTask(msgspec.Struct, frozen=True, kw_only=True):
    """A task as people read it, beside the one the search moves."""

    task: Task
    what: str
    """What to do: `paint and wrap`."""
    who: str
    """Which piece or plan it is for; empty for all."""
    because: str
    """How its minutes come about, and how long the wait before it is."""
    origin: Origin = "estimate"


class Lot(msgspec.Struct, frozen=True, kw_only=True):
    """A plan with the pieces of it that are to be made that day."""

    title: str
    facts: ProcedureFacts
    pieces: int


def mix_task(index: int, lot: Lot) -> DayTask:
    facts = lot.facts
    powders = sum(s.form == "powder" for c in facts.colours for s in c.stocks)
    others = sum(len(c.stocks) for c in facts.colours) - powders
    minutes = powders * POWDER_MIN + others * READY_STOCK_MIN + len(facts.colours) * COLOUR_MIN
    because = (
        f"{powders} powders x {num(POWDER_MIN)} + {others} liquids x {num(READY_STOCK_MIN)} + {len(facts.colours)} "
        f"paints x {num(COLOUR_MIN)} = {num(minutes)} min"
    )
    return DayTask(
        task=Task(f"mix-{index}", minutes, (Wait("ready"),)),
        what="mix the jars",
        who=lot.title,
        because=because,
    )


def piece_tasks(
    piece: str, before: str, lot: Lot, soak: str, mix: DayTask, name: str
) -> tuple[DayTask, DayTask, DayTask, DayTask]:
    """Paint, into the steam, out of it, rinse; alike pieces keep their order at every stage."""
    facts = lot.facts
    painted_g = sum(colour.fibre_g for colour in facts.colours) / lot.pieces
    painting = SQUEEZE_AND_WRAP_MIN + painted_g / 100.0 * PAINT_MIN_PER_100G
    at_the_pot = STEAM_MIN / 2.0
    heating, heating_told = _heating(facts)

    def alike(stage: str) -> tuple[Wait, ...]:
        return (Wait(f"{before}-{stage}"),) if before else ()

    paint = DayTask(
        task=Task(
            f"{piece}-paint", painting, (Wait(soak, facts.presoak_min), Wait(mix.task.id), *alike("paint"))
        ),
        what="squeeze, paint, wrap",
        who=name,
        because=f"{num(SQUEEZE_AND_WRAP_MIN)} + {num(painted_g)} g painted x {num(PAINT_MIN_PER_100G)} / 100 g = "
        f"{num(painting)} min; "
        f"soaked for {num(facts.presoak_min)} min or longer",
    )
    into = DayTask(
        task=Task(f"{piece}-in", at_the_pot, (Wait(f"{piece}-paint"), *alike("in")), 1),
        what="into the steamer",
        who=name,
        because=f"{num(at_the_pot)} min: pot water, packet, lid",
    )
    set_min = heating + facts.hold_min
    out = DayTask(
        task=Task(
            f"{piece}-out",
            at_the_pot,
            (Wait(f"{piece}-in", set_min, set_min + OVERLONG_MIN), *alike("out")),
            -1,
        ),
        what="out of the steamer",
        who=name,
        because=f"{heating_told} + set {num(facts.hold_min)} min = {num(set_min)} min in the steam",
    )
    rinse = DayTask(
        task=Task(f"{piece}-rinse", RINSE_MIN, (Wait(f"{piece}-out", facts.cool_min), *alike("rinse"))),
        what="unwrap, rinse, hang",
        who=name,
        because=f"{num(RINSE_MIN)} min; cooled for {num(facts.cool_min)} min or longer, by the thermometer",
    )
    return paint, into, out, rinse


def _heating(facts: ProcedureFacts) -> tuple[float, str]:
    """Minutes until the steam rolls, counted for every packet: the lid was open and the packet is cold."""
    live = facts.live
    if live is None:
        return 0.0, "0 min"
    own = live.to_steam_percent
    share = min(1.0, live.hob_efficiency) if own is None else 1.0
    minutes = minutes_to_steam(facts.pot_water_ml, COLD_TAP_C, live.steam_c, live.hob_w, share)
    told = f"{num(facts.pot_water_ml)} mL, {num(live.hob_w)} W"
    if own is not None:
        minutes *= own / 100.0
        told += f", x {num(own)} %: {live.to_steam_source}"
    return minutes, f"until it steams {num(minutes)} min ({told})"
