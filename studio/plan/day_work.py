"""What a day of several plans and pieces is made of: tasks for two hands, with what must lie between them."""

from __future__ import annotations

from collections.abc import Sequence

import msgspec

from studio.craft.day_order import Task, Wait
from studio.craft.pot_heating import minutes_to_steam
from studio.plan.facts import ProcedureFacts
from studio.plan.figure_text import num
from studio.plan.model import Plan
from studio.plan.shapes import Origin, Worksheet

READY_MIN, READY_EACH_MIN = 10.0, 3.0
SOAK_MIN, SOAK_EACH_MIN = 5.0, 2.0
POWDER_MIN, LIQUID_MIN, COLOUR_MIN = 6.0, 3.0, 3.0
LAY_OUT_MIN, BAND_MIN, WRAP_MIN = 5.0, 0.4, 5.0
STEAMER_MIN = 4.0
RINSE_MIN = 20.0
CLOSE_MIN = 15.0
OVERLONG_MIN = 15.0
"""So much longer than its set a packet may stay in the steam before the order counts it as late. House rule."""
SAME_SOAK_PH = 0.1
"""Soaks this near are one bath. House rule."""
TAP_C = 15.0
"""Cold water into the pot. Estimate."""


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


class DayWork(msgspec.Struct, frozen=True, kw_only=True):
    """Everything to be done, and one order that is always possible: one piece after the other."""

    tasks: tuple[DayTask, ...]
    one_by_one: tuple[str, ...]
    places: int
    pieces: int


class Lot(msgspec.Struct, frozen=True, kw_only=True):
    """A plan with the pieces of it that are to be made that day."""

    title: str
    facts: ProcedureFacts
    pieces: int


def with_pieces(plan: Plan, pieces: int | None) -> Plan:
    """The plan for so many pieces alike; as it is for None."""
    if pieces is None:
        return plan
    return msgspec.structs.replace(plan, fibre=msgspec.structs.replace(plan.fibre, pieces=pieces))


def lots_of(worksheets: Sequence[Worksheet]) -> tuple[Lot, ...]:
    """The plans of a day; ValueError, one sentence, where one cannot be put into it."""
    lots = []
    for sheet in worksheets:
        facts = sheet.facts
        if sheet.stops:
            raise ValueError(f"{sheet.title}: {sheet.stops[0].text}")
        if facts is None or facts.live is None or not any(s.stage == "steam" for s in sheet.procedure):
            raise ValueError(
                f"{sheet.title}: only painted and steamed pieces share a day's steamer; leave it out."
            )
        lots.append(Lot(title=sheet.title, facts=facts, pieces=facts.pieces))
    return tuple(lots)


def day_work(lots: Sequence[Lot], places: int) -> DayWork:
    """Tasks of a day: ready, soak, jars, then each piece painted, steamed, cooled and rinsed, then the close.

    lots: one or more plans. places: packets the steamer holds at once, 1 or more. Plans with the same acid,
    pH, time and warmth share one soak; jars are mixed once for each plan.
    ValueError where there is nothing to do.
    **Source:** soak, hold and cooling are the worksheet's; minutes for two hands are estimates.
    """
    if not lots:
        raise ValueError("A day needs at least one plan.")
    tasks = [_ready(lots)]
    soaks = _soaks(lots)
    tasks.extend(task for task, _ in soaks)
    for index, lot in enumerate(lots):
        soak = next(task for task, members in soaks if index in members)
        tasks.extend(_of_lot(index, lot, soak.task.id, _names(lots, index)))
    ends = tuple(Wait(t.task.id) for t in tasks if t.task.id.endswith("rinse"))
    closing = f"{num(CLOSE_MIN)} min: leftovers labelled, kit washed, records closed"
    tasks.append(
        DayTask(task=Task("close", CLOSE_MIN, ends), what="leftovers, kit, records", who="", because=closing)
    )
    return DayWork(
        tasks=tuple(tasks),
        one_by_one=tuple(t.task.id for t in tasks),
        places=places,
        pieces=sum(lot.pieces for lot in lots),
    )


def _names(lots: Sequence[Lot], index: int) -> list[str]:
    lot = lots[index]
    twins = [i for i, other in enumerate(lots) if other.title == lot.title]
    name = lot.title if len(twins) == 1 else f"{lot.title} ({twins.index(index) + 1})"
    return [name] if lot.pieces == 1 else [f"{name} {piece}" for piece in range(1, lot.pieces + 1)]


def _ready(lots: Sequence[Lot]) -> DayTask:
    minutes = READY_MIN + READY_EACH_MIN * len(lots)
    because = (
        f"{num(READY_MIN)} min + {num(READY_EACH_MIN)} min x {len(lots)} plans: kit, labels, dry weights"
    )
    return DayTask(task=Task("ready", minutes), what="bench, kit, labels, weights", who="", because=because)


def _soaks(lots: Sequence[Lot]) -> list[tuple[DayTask, set[int]]]:
    """One soak for all lots whose soak is the same, with the lots that lie in it."""
    groups: list[list[int]] = []
    for index, lot in enumerate(lots):
        for group in groups:
            if _same_soak(lots[group[0]].facts, lot.facts):
                group.append(index)
                break
        else:
            groups.append([index])
    found = []
    for number, group in enumerate(groups, 1):
        pieces = sum(lots[i].pieces for i in group)
        minutes = SOAK_MIN + SOAK_EACH_MIN * pieces
        water = sum(lots[i].facts.presoak_water_ml for i in group)
        shared = " together" if len(group) > 1 else ""
        task = DayTask(
            task=Task(f"soak-{number}", minutes, (Wait("ready"),)),
            what="fibre into the soak",
            who=", ".join(lots[i].title for i in group),
            because=f"{num(SOAK_MIN)} min + {num(SOAK_EACH_MIN)} min x {pieces} pieces; {num(water)} mL{shared}",
        )
        found.append((task, set(group)))
    return found


def _same_soak(one: ProcedureFacts, other: ProcedureFacts) -> bool:
    if (one.presoak_ph is None) != (other.presoak_ph is None):
        return False
    apart = abs((one.presoak_ph or 0.0) - (other.presoak_ph or 0.0))
    same = (one.acid_name, one.presoak_min, one.presoak_c) == (
        other.acid_name,
        other.presoak_min,
        other.presoak_c,
    )
    return same and apart <= SAME_SOAK_PH


def _of_lot(index: int, lot: Lot, soak: str, names: Sequence[str]) -> list[DayTask]:
    mix = _mix(index, lot)
    tasks = [mix]
    for piece, name in enumerate(names):
        tasks.extend(
            _of_piece(f"{index}-{piece}", f"{index}-{piece - 1}" if piece else "", lot, soak, mix, name)
        )
    return tasks


def _mix(index: int, lot: Lot) -> DayTask:
    facts = lot.facts
    powders = sum(s.form == "powder" for c in facts.colours for s in c.stocks)
    others = sum(len(c.stocks) for c in facts.colours) - powders
    minutes = powders * POWDER_MIN + others * LIQUID_MIN + len(facts.colours) * COLOUR_MIN
    because = (
        f"{powders} powders x {num(POWDER_MIN)} + {others} liquids x {num(LIQUID_MIN)} + {len(facts.colours)} "
        f"paints x {num(COLOUR_MIN)} = {num(minutes)} min"
    )
    return DayTask(
        task=Task(f"mix-{index}", minutes, (Wait("ready"),)),
        what="mix the jars",
        who=lot.title,
        because=because,
    )


def _of_piece(
    piece: str, before: str, lot: Lot, soak: str, mix: DayTask, name: str
) -> tuple[DayTask, DayTask, DayTask, DayTask]:
    """Paint, into the steam, out of it, rinse; alike pieces keep their order at every stage."""
    facts = lot.facts
    bands = len(facts.live.bands) if facts.live is not None else 0
    painting = LAY_OUT_MIN + bands * BAND_MIN + WRAP_MIN
    heating, heating_told = _heating(facts)

    def alike(stage: str) -> tuple[Wait, ...]:
        return (Wait(f"{before}-{stage}"),) if before else ()

    paint = DayTask(
        task=Task(
            f"{piece}-paint", painting, (Wait(soak, facts.presoak_min), Wait(mix.task.id), *alike("paint"))
        ),
        what="squeeze, paint, wrap",
        who=name,
        because=f"{num(LAY_OUT_MIN)} + {bands} bands x {num(BAND_MIN)} + {num(WRAP_MIN)} = {num(painting)} min; "
        f"soaked for {num(facts.presoak_min)} min or longer",
    )
    into = DayTask(
        task=Task(f"{piece}-in", STEAMER_MIN, (Wait(f"{piece}-paint"), *alike("in")), 1),
        what="into the steamer",
        who=name,
        because=f"{num(STEAMER_MIN)} min: pot water, packet, lid",
    )
    set_min = heating + facts.hold_min
    out = DayTask(
        task=Task(
            f"{piece}-out",
            STEAMER_MIN,
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
    share = min(1.0, live.hob_efficiency)
    minutes = minutes_to_steam(facts.pot_water_ml, TAP_C, live.steam_c, live.hob_w, share)
    return minutes, f"until it steams {num(minutes)} min ({num(facts.pot_water_ml)} mL, {num(live.hob_w)} W)"
