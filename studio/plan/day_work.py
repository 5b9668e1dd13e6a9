"""What a day of several plans and pieces is made of: tasks for two hands, with what must lie between them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import msgspec

from studio.craft.day_order import Task, Wait
from studio.plan.day_piece import DayTask, Lot, mix_task, piece_tasks
from studio.plan.facts import ProcedureFacts
from studio.plan.figure_text import num
from studio.plan.hands_on import READY_MIN, RECORD_MIN, SOAK_MIN
from studio.plan.model import Plan
from studio.plan.settled import Known
from studio.plan.shapes import Worksheet

READY_EACH_MIN, SOAK_EACH_MIN = 3.0, 2.0
"""For each plan's kit and labels, and for each piece that goes into the soak. Estimates."""
SAME_SOAK_PH = 0.1
"""Soaks this near are one bath. House rule."""


class DayWork(msgspec.Struct, frozen=True, kw_only=True):
    """Everything to be done, and one order that is always possible: one piece after the other."""

    tasks: tuple[DayTask, ...]
    one_by_one: tuple[str, ...]
    places: int
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


def day_work(lots: Sequence[Lot], places: int, pace: Known | None = None) -> DayWork:
    """Tasks of a day: ready, soak, jars, then each piece painted, steamed, cooled and rinsed, then the close.

    lots: one or more plans. places: packets the steamer holds at once, 1 or more. Plans with the same acid,
    pH, time and warmth share one soak; jars are mixed once for each plan. pace: the studio's own time by hand, in
    per cent of the estimate.
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
    followed = {wait.task for t in tasks for wait in t.task.after}
    ends = tuple(Wait(t.task.id) for t in tasks if t.task.id not in followed)
    closing = f"{num(RECORD_MIN)} min: leftovers labelled, kit washed, records closed"
    tasks.append(
        DayTask(task=Task("close", RECORD_MIN, ends), what="leftovers, kit, records", who="", because=closing)
    )
    return DayWork(
        tasks=tuple(_at_pace(task, pace) for task in tasks),
        one_by_one=tuple(t.task.id for t in tasks),
        places=places,
        pieces=sum(lot.pieces for lot in lots),
    )


def _at_pace(task: DayTask, pace: Known | None) -> DayTask:
    if pace is None:
        return task
    minutes = task.task.hands_min * pace.value / 100.0
    return msgspec.structs.replace(
        task,
        task=replace(task.task, hands_min=minutes),
        because=f"{task.because}; by hand x {num(pace.value)} % = {num(minutes)} min: {pace.source}",
        origin=pace.origin,
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
    mix = mix_task(index, lot)
    tasks = [mix]
    for piece, name in enumerate(names):
        tasks.extend(
            piece_tasks(f"{index}-{piece}", f"{index}-{piece - 1}" if piece else "", lot, soak, mix, name)
        )
    return tasks
