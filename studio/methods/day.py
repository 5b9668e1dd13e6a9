"""A day of several plans and pieces: tasks for two hands, what must lie between them, and one order of
work.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

import msgspec
from msgspec.structs import replace

from studio.craft.day_order import Task, Wait, best_order, in_order
from studio.methods.put_on.paint import COLOUR_MIN, PAINT_MIN_PER_100G, SQUEEZE_AND_WRAP_MIN
from studio.methods.set_by.steam import Steam
from studio.methods.set_by.steam_work import SetWork
from studio.plaintext import clean
from studio.plan.model import Plan
from studio.plan.preview import letters
from studio.plan.settled import Settled
from studio.plan.shapes import Known, Origin, num
from studio.plan.sheet import worked_out
from studio.plan.work.costs import (
    POWDER_MIN,
    READY_MIN,
    READY_STOCK_MIN,
    RECORD_MIN,
    RINSE_MIN,
    SOAK_MIN,
)
from studio.plan.work.worked import Worked, work_all

# The tasks of one plan in a day: its jars, and each piece painted, steamed and rinsed.

OVERLONG_MIN = 15.0
"""So much longer than its set a packet may stay in the steam before the order counts it as late. House rule."""


class DayTask(msgspec.Struct, frozen=True, kw_only=True):
    """A task as people read it, beside the one the search moves."""

    task: Task
    what: str
    """What to do: `squeeze, paint, wrap`."""
    word: str
    """The same in a word."""
    who: str
    """Which piece or plan it is for; empty for all."""
    lots: tuple[int, ...] = ()
    """The plans it is for, by their place in the day from 0; none where it is for all."""
    because: str
    """How its minutes come about, and how long the wait before it is."""
    origin: Origin = "estimate"


def mix_task(index: int, lot: Worked) -> DayTask:
    stocks, colours = lot.stocks.stocks, len(lot.liquids)
    powders = sum(work.weighed for work in stocks)
    others = len(stocks) - powders
    minutes = powders * POWDER_MIN + others * READY_STOCK_MIN + colours * COLOUR_MIN
    because = (
        f"{powders} powders x {num(POWDER_MIN)} + {others} liquids x {num(READY_STOCK_MIN)} + {colours} "
        f"paints x {num(COLOUR_MIN)} = {num(minutes)} min"
    )
    return DayTask(
        task=Task(f"mix-{index}", minutes, (Wait("ready"),)),
        what="mix the jars",
        word="mix",
        who=lot.settled.plan.title,
        because=because,
    )


def piece_tasks(
    piece: str, before: str, lot: Worked, soak: str, mix: DayTask, name: str
) -> tuple[DayTask, ...]:
    """Paint, into the steam, out of it, rinse; alike pieces keep their order at every stage."""

    def task(
        word: str, minutes: float, waits: Sequence[Wait], what: str, because: str, places: int = 0
    ) -> DayTask:
        alike = [Wait(f"{before}-{word}")] if before else []
        made = Task(f"{piece}-{word}", minutes, (*waits, *alike), places)
        return DayTask(task=made, what=what, word=word, who=name, because=because)

    painted_g = sum(colour.fibre_g for colour in lot.settled.colours) / lot.settled.pieces
    painting = SQUEEZE_AND_WRAP_MIN + painted_g / 100.0 * PAINT_MIN_PER_100G
    at_the_pot, soak_min, cool_min = Steam.hands_min / 2.0, lot.presoak.minutes, lot.cool.minutes
    heating, heating_told = _heating(lot)
    hold_min = steam_of(lot).hold_min
    set_min = heating + hold_min
    soaked = (Wait(soak, soak_min), Wait(mix.task.id))
    steamed = [Wait(f"{piece}-in", set_min, set_min + OVERLONG_MIN)]
    painted = (
        f"{num(SQUEEZE_AND_WRAP_MIN)} + {num(painted_g)} g painted x {num(PAINT_MIN_PER_100G)} / 100 g = "
        f"{num(painting)} min; soaked for {num(soak_min)} min or longer"
    )
    put_in = f"{num(at_the_pot)} min: pot water, packet, lid"
    held = f"{heating_told} + set {num(hold_min)} min = {num(set_min)} min in the steam"
    cooled = f"{num(RINSE_MIN)} min; cooled for {num(cool_min)} min or longer, by the thermometer"
    return (
        task("paint", painting, soaked, "squeeze, paint, wrap", painted),
        task("in", at_the_pot, [Wait(f"{piece}-paint")], "into the steamer", put_in, 1),
        task("out", at_the_pot, steamed, "out of the steamer", held, -1),
        task("rinse", RINSE_MIN, [Wait(f"{piece}-out", cool_min)], "unwrap, rinse, hang", cooled),
    )


def _heating(lot: Worked) -> tuple[float, str]:
    """Minutes until the steam rolls, counted for every packet: the lid was open and the packet is cold."""
    rolls = next(figure for figure in steam_of(lot).figures if figure.id == "set.to_steam")
    return rolls.value, f"until it steams {num(rolls.value)} min ({rolls.because})"


# What a day of several plans and pieces is made of: tasks for two hands, with what must lie between
# them.

READY_EACH_MIN, SOAK_EACH_MIN = 3.0, 2.0
"""For each plan's kit and labels, and for each piece that goes into the soak. Estimates."""
SAME_SOAK_PH = 0.1
"""Soaks this near are one bath. House rule."""


def with_pieces(plan: Plan, pieces: int | None) -> Plan:
    """The plan for so many pieces alike; as it is for None."""
    if pieces is None:
        return plan
    return msgspec.structs.replace(plan, fibre=msgspec.structs.replace(plan.fibre, pieces=pieces))


def lots_of(plans: Sequence[Settled]) -> tuple[Worked, ...]:
    """The plans of a day, worked out; ValueError, one sentence, where one cannot be put into it."""
    for choices in plans:
        sheet = worked_out(choices)
        if sheet.stops:
            raise ValueError(f"{sheet.title}: {sheet.stops[0].text}")
    lots = tuple(work_all(choices) for choices in plans)
    for lot in lots:
        steam_of(lot)
    return lots


def steam_of(lot: Worked) -> SetWork:
    """What its set comes to; ValueError where it is set otherwise."""
    if not isinstance(lot.heat, SetWork):
        title = lot.settled.plan.title
        raise ValueError(f"{title}: only painted and steamed pieces share a day's steamer; leave it out.")
    return lot.heat


def day_tasks(lots: Sequence[Worked], pace: Known | None = None) -> tuple[DayTask, ...]:
    """All that is to be done, in an order that is always possible: one piece after the other, then the close.

    lots: one or more plans. Plans with the same acid, pH, time and warmth share one soak; jars are mixed once for
    each plan. pace: the studio's own time by hand, in per cent of the estimate.
    ValueError where there is nothing to do.
    **Source:** soak, hold and cooling are the worksheet's; minutes for two hands are estimates.
    """
    if not lots:
        raise ValueError("A day needs at least one plan.")
    tasks, names = [_ready(lots)], _names(lots)
    soaks = _soaks(lots)
    tasks.extend(task for task, _ in soaks)
    for index, lot in enumerate(lots):
        soak = next(task for task, members in soaks if index in members)
        tasks.extend(_of_lot(index, lot, soak.task.id, names[index]))
    followed = {wait.task for t in tasks for wait in t.task.after}
    ends = tuple(Wait(t.task.id) for t in tasks if t.task.id not in followed)
    closing = f"{num(RECORD_MIN)} min: leftovers labelled, kit washed, records closed"
    close = Task("close", RECORD_MIN, ends)
    tasks.append(DayTask(task=close, what="leftovers, kit, records", word="close", who="", because=closing))
    return tuple(_at_pace(task, pace) for task in tasks)


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


def _names(lots: Sequence[Worked]) -> list[str]:
    """Their titles; those that are alike counted."""
    titles = [lot.settled.plan.title for lot in lots]
    return [
        title if titles.count(title) == 1 else f"{title} ({titles[: n + 1].count(title)})"
        for n, title in enumerate(titles)
    ]


def _ready(lots: Sequence[Worked]) -> DayTask:
    minutes = READY_MIN + READY_EACH_MIN * len(lots)
    because = (
        f"{num(READY_MIN)} min + {num(READY_EACH_MIN)} min x {len(lots)} plans: kit, labels, dry weights"
    )
    return DayTask(
        task=Task("ready", minutes), what="bench, kit, labels, weights", word="ready", who="", because=because
    )


def _soaks(lots: Sequence[Worked]) -> list[tuple[DayTask, set[int]]]:
    """One soak for all lots whose soak is the same, with the lots that lie in it."""
    groups: list[list[int]] = []
    for index, lot in enumerate(lots):
        for group in groups:
            if _same_soak(lots[group[0]], lot):
                group.append(index)
                break
        else:
            groups.append([index])
    found = []
    for number, group in enumerate(groups, 1):
        pieces = sum(lots[i].settled.pieces for i in group)
        minutes = SOAK_MIN + SOAK_EACH_MIN * pieces
        water = sum(lots[i].presoak.water_ml for i in group)
        shared = " together" if len(group) > 1 else ""
        task = DayTask(
            task=Task(f"soak-{number}", minutes, (Wait("ready"),)),
            what="fibre into the soak",
            word="soak",
            who=", ".join(lots[i].settled.plan.title for i in group),
            lots=tuple(group),
            because=f"{num(SOAK_MIN)} min + {num(SOAK_EACH_MIN)} min x {pieces} pieces; {num(water)} mL{shared}",
        )
        found.append((task, set(group)))
    return found


def _same_soak(one: Worked, other: Worked) -> bool:
    sours = one.settled.acid, other.settled.acid
    names = [acid.name if acid else "" for acid in sours]
    times = [(lot.presoak.minutes, lot.presoak.temperature_c) for lot in (one, other)]
    same = names[0] == names[1] and times[0] == times[1]
    return same and (sours[0] is None or abs(one.presoak.soured.ph - other.presoak.soured.ph) <= SAME_SOAK_PH)


def _of_lot(index: int, lot: Worked, soak: str, name: str) -> list[DayTask]:
    mix, pieces = mix_task(index, lot), lot.settled.pieces
    tasks = [mix]
    for piece in range(pieces):
        own = name if pieces == 1 else f"{name} {piece + 1}"
        tasks.extend(
            piece_tasks(f"{index}-{piece}", f"{index}-{piece - 1}" if piece else "", lot, soak, mix, own)
        )
    return [msgspec.structs.replace(task, lots=(index,)) for task in tasks]


# One order of work for a day: when each thing is done, where the hands wait, when it is finished.

WORTH_TELLING_MIN = 1.0
"""Shorter pauses are not listed. House rule."""


class DayLine(msgspec.Struct, frozen=True, kw_only=True):
    """A task with its time, and the pause before it."""

    task: DayTask
    start_min: float
    """From the start of the day's work."""
    pause_min: float
    """Free hands before it."""

    @property
    def end_min(self) -> float:
        """When the hands are free again."""
        return self.start_min + self.task.task.hands_min


class DaySheet(msgspec.Struct, frozen=True, kw_only=True):
    """The day, laid out."""

    lines: tuple[DayLine, ...]
    places: int
    pieces: int
    finish_min: float
    hands_min: float
    one_by_one_min: float
    """How long it takes one piece after the other."""
    late_min: float
    """Minutes that packets stay in the steam beyond what is allowed for, all together."""
    proven: bool
    """Whether no other order finishes sooner."""
    marks: tuple[str, ...]
    """A letter or digit for each plan, by which the bars tell them apart."""
    start_of_day_min: float | None = None
    """Minute of the day at which work begins; None where no time was given."""

    def at(self, minute: float) -> float:
        """Minute of the day of a minute of the work; the same minute where no time was given."""
        return (self.start_of_day_min or 0.0) + minute


_CLOCK = re.compile(r"([0-9]{1,2})(?:[:.h]([0-9]{2}))?", re.ASCII)


def minute_of_day(text: str) -> float:
    """A time of day as its minute; ValueError, one sentence, where it is none.

    >>> minute_of_day("9:40"), minute_of_day(" 17 ")
    (580.0, 1020.0)
    """
    told = _CLOCK.fullmatch(text.strip())
    if told is None or int(told[1]) > 23 or int(told[2] or 0) > 59:
        raise ValueError(f'"{clean(text, limit=20)}" is no time of day; write for example 9:00 or 17:30.')
    return int(told[1]) * 60.0 + int(told[2] or 0)


def lay_out(
    lots: Sequence[Worked],
    places: int,
    pace: Known | None = None,
    *,
    start_min: float | None = None,
    finish_by_min: float | None = None,
) -> DaySheet:
    """The shortest order found.

    lots, pace: as `day_tasks` has them. places: packets the steamer holds at once, 1 or more.
    start_min, finish_by_min: minutes of the day, 0 to 1440, one of them at most.
    ValueError, one sentence: both given; a finish that would need a start before midnight; too many tasks.
    **Source:** `craft.day_order`.
    """
    if start_min is not None and finish_by_min is not None:
        raise ValueError("Give a start or a finish, not both.")
    known = {t.task.id: t for t in day_tasks(lots, pace)}
    tasks = [t.task for t in known.values()]
    order = best_order(tasks, places, start_with=[*known])
    lines, free = [], 0.0
    for placed in order.placed:
        line = DayLine(
            task=known[placed.task.id], start_min=placed.start_min, pause_min=placed.start_min - free
        )
        lines.append(line)
        free = line.end_min
    start = start_min
    if finish_by_min is not None:
        start = finish_by_min - order.finish_min
        if start < 0:
            raise ValueError(
                f"That is {order.finish_min / 60:.1f} h of work: too much to be finished by then on one day."
            )
    return DaySheet(
        lines=tuple(lines),
        places=places,
        pieces=sum(lot.settled.pieces for lot in lots),
        finish_min=order.finish_min,
        hands_min=sum(t.hands_min for t in tasks),
        one_by_one_min=in_order(tasks, [*known], places).finish_min,
        late_min=order.late_min,
        proven=order.proven,
        marks=tuple(mark.upper() for mark in letters(_names(lots)).values()),
        start_of_day_min=start,
    )
