"""A day's order of work as rows of text and as JSON."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence

import msgspec

from studio.methods.day import WORTH_TELLING_MIN, DayLine, DaySheet
from studio.plaintext import clean, counted
from studio.report.printing import Role, Row, Section, document, picked, row
from studio.report.timeline import CLOCK, Axis, span_told
from studio.report.timeline import HANDS as HAND

OVERLONG = (
    "Packets stay {late:.0f} min longer in the steam than is allowed for: give the steamer more places, or make "
    "fewer pieces. Mind the pot water."
)


def clock(sheet: DaySheet, minute: float) -> str:
    """`09:40`, or `+0:40` from the start where no time was given; `(+1)` on the day after."""
    if sheet.start_of_day_min is None:
        hours, rest = divmod(math.floor(minute + 0.5), 60)
        return f"+{hours}:{rest:02d}"
    return time_of_day(sheet.at(minute))


def time_of_day(minute: float) -> str:
    """A minute of the day as a clock shows it.

    >>> time_of_day(580.0), time_of_day(1500.0)
    ('09:40', '01:00 (+1)')
    """
    day, rest = divmod(math.floor(minute + 0.5), 1440)
    return f"{rest // 60:02d}:{rest % 60:02d}" + (f" (+{day})" if day else "")


# The day as bars on one axis: the hands, the steamer, and each piece with what it waits for.

CHART, HANDS, STEAMER = "the day", "your hands", "steamer"
LEAST_CHART = 56
"""Cells of a line that has room for the bars. House rule."""
Cell = tuple[str, str]
"""A sign, and which piece or plan it is of: full or a letter for hands and steam, half for a wait."""


class ChartRow(msgspec.Struct, frozen=True):
    """One row of bars; a cell without a piece is of all of them, a blank one of none."""

    label: str
    cells: tuple[Cell, ...]


class _Block(msgspec.Struct, frozen=True):
    """A stretch of a row, in minutes of the work."""

    begin: float
    end: float
    who: str
    mark: str
    word: str = ""
    waits: bool = False


def day_axis(sheet: DaySheet, wide: int) -> Axis:
    """From the beginning to the end of the work, in minutes of the day."""
    return Axis(sheet.at(0.0), sheet.at(sheet.finish_min), wide)


def day_chart(sheet: DaySheet, wide: int) -> tuple[ChartRow, ...]:
    """Hands with the minutes that are free below, the steamer, then each piece, over `wide` cells."""
    lines = {line.task.task.id: line for line in sheet.lines}
    hands = [_Block(x.start_min, x.end_min, x.task.who, _mark(sheet, x), x.task.word) for x in sheet.lines]
    steam: list[_Block] = []
    pieces: dict[tuple[str, str], list[_Block]] = {}
    for line in sheet.lines:
        own = line.task.task
        if own.places >= 0 and not any(wait.least_min > 0 for wait in own.after):
            continue
        who, mark = line.task.who, _mark(sheet, line)
        blocks = pieces.setdefault((mark, who), [])
        blocks.append(_Block(line.start_min, line.end_min, who, mark, line.task.word))
        for wait in own.after:
            before = lines[wait.task]
            stretch = _Block(before.end_min, line.start_min, who, mark, waits=own.places >= 0)
            if wait.least_min > 0:
                blocks.insert(0, stretch)
            if own.places < 0:
                steam.append(
                    msgspec.structs.replace(stretch, begin=before.start_min, end=line.end_min, word="steam")
                )
    axis = day_axis(sheet, wide)
    free = tuple((sign, "") for sign in _free(sheet, axis))
    return (
        ChartRow(HANDS, _cells(sheet, axis, hands, signed=True)),
        ChartRow("", free),
        ChartRow(STEAMER, _cells(sheet, axis, steam, signed=True)),
        *(ChartRow(" ".join(named), _cells(sheet, axis, blocks)) for named, blocks in pieces.items()),
    )


def _mark(sheet: DaySheet, line: DayLine) -> str:
    """The letter of the plan it is of; none for several together."""
    return sheet.marks[line.task.lots[0]] if len(line.task.lots) == 1 else ""


def _cells(
    sheet: DaySheet, axis: Axis, blocks: Sequence[_Block], *, signed: bool = False
) -> tuple[Cell, ...]:
    """`signed`: with the letter of the plan."""
    cells: list[Cell] = [(" ", "")] * axis.wide
    for block in blocks:
        first = axis.cell(sheet.at(block.begin))
        last = max(first, axis.cell(sheet.at(block.end) - 1e-6))
        letter = block.mark if signed else ""
        room = last - first - 2
        word = f"{letter} {block.word}" if letter and len(block.word) + 2 <= room else block.word
        word = word if len(word) <= room else letter
        signs = CLOCK * (last - first + 1) if block.waits else f"{HAND}{word}" if len(word) <= room else ""
        for n in range(first, last + 1):
            sign = signs[n - first] if n - first < len(signs) else HAND
            cells[n] = (sign, block.who)
    return tuple(cells)


def _free(sheet: DaySheet, axis: Axis) -> str:
    """The minutes that the hands are free, each below its gap where there is room."""
    told = ""
    for line in sheet.lines:
        text = f"{span_told(line.pause_min)} free"
        at = axis.cell(sheet.at(line.start_min - line.pause_min))
        if (
            line.pause_min >= WORTH_TELLING_MIN
            and at >= len(told) + bool(told)
            and at + len(text) <= axis.wide
        ):
            told = f"{told:<{at}}{text}"
    return f"{told:<{axis.wide}}"


def chart_rows(sheet: DaySheet, width: int) -> Iterator[Row]:
    """The axis and the bars in signs, where there is room for them."""
    if width < LEAST_CHART:
        return
    column = label_room(sheet, width)
    wide = width - column
    yield row((f"{'':{column}}{day_times(sheet, wide)}", "quiet"))
    for line in day_chart(sheet, wide):
        signs = "".join(sign for sign, _ in line.cells)
        yield row((f"{clean(line.label, limit=column - 2):<{column}}", "quiet"), (signs.rstrip(), "plain"))


def label_room(sheet: DaySheet, width: int) -> int:
    """Cells for the names of the pieces."""
    longest = max(len(HANDS), *(2 + len(line.task.who) for line in sheet.lines if line.task.task.places))
    return min(longest, 24 if width >= 72 else 16) + 2


def day_times(sheet: DaySheet, wide: int) -> str:
    """The times above the bars."""
    return day_axis(sheet, wide).times(lambda minute: clock(sheet, minute - sheet.at(0.0)))


def day_sections(sheet: DaySheet, width: int, *, why: bool = False) -> tuple[Section, ...]:
    """The day as bars, the order of work, then what it comes to, for lines of `width` cells, at least 40."""
    totals = (told for sentence, role in _totals(sheet) for told in _told(sentence, width, role))
    sections = (
        Section(CHART, tuple(chart_rows(sheet, width))),
        Section("order of work", tuple(_in_order(sheet, width, why=why))),
        Section("in all", tuple(totals)),
    )
    return tuple(section for section in sections if section.rows)


def _in_order(sheet: DaySheet, width: int, *, why: bool) -> Iterator[Row]:
    for line in sheet.lines:
        if line.pause_min >= WORTH_TELLING_MIN:
            yield row((f"{'':7}{span_told(line.pause_min)} free", "quiet"))
        yield day_line(sheet, line, width)
        if why:
            yield from _told(line.task.because, width - 7, "quiet", indent=7)


def day_line(sheet: DaySheet, line: DayLine, width: int) -> Row:
    """One task: when, what, for which piece, how long."""
    task = line.task
    room = max(20, width - 14)
    what, who = clean(task.what, limit=room), clean(task.who, limit=60)
    if who:
        column = 24 if room >= 50 else 21
        told = f"{what:<{column}}{clean(who, limit=max(6, room - column))}"
    else:
        told = what
    return row(
        (f"{clock(sheet, line.start_min):<7}", "strong"),
        (f"{told:<{room}}", "plain"),
        (f"{task.task.hands_min:>3.0f} min", "plain"),
    )


def _told(sentence: str, width: int, role: Role, indent: int = 0) -> list[Row]:
    lines = textwrap.wrap(clean(sentence, limit=600), max(20, width))
    return [row((f"{'':{indent}}{line}", role)) for line in lines]


def _totals(sheet: DaySheet) -> list[tuple[str, Role]]:
    sure = "no order of these tasks is shorter" if sheet.proven else "a good order; a shorter one may exist"
    own = any(line.task.origin == "yours" for line in sheet.lines)
    standing = "at your own pace" if own else "estimates"
    told: list[tuple[str, Role]] = [
        (
            f"finished {clock(sheet, sheet.finish_min)}, {span_told(sheet.finish_min)} in all, "
            f"{span_told(sheet.hands_min)} of it by hand",
            "strong",
        ),
        (f"one after another: {span_told(sheet.one_by_one_min)}", "plain"),
        (f"{counted(sheet.pieces, 'piece')}, {sheet.places} at once in the steamer; {sure}", "quiet"),
        (f"soak, set and cooling are the worksheets'; minutes by hand are {standing}", "quiet"),
    ]
    if sheet.late_min >= WORTH_TELLING_MIN:
        told.append((OVERLONG.format(late=sheet.late_min), "due"))
    return told


def day_json(sheet: DaySheet) -> str:
    """The day as one JSON document, potside-day/1; times in minutes from the start of the work."""
    timed = sheet.start_of_day_min is not None
    told = {
        "start": clock(sheet, 0.0) if timed else None,
        "finish": clock(sheet, sheet.finish_min) if timed else None,
        **picked(
            sheet, "finish_min", "hands_min", "one_by_one_min", "late_min", "proven", "places", "pieces"
        ),
        "tasks": [_task(line) for line in sheet.lines],
    }
    return document("potside-day/1", told, order=None)


def _task(line: DayLine) -> dict[str, object]:
    task = line.task
    return {
        "id": task.task.id,
        "what": task.what,
        "for": task.who,
        "start_min": line.start_min,
        "hands_min": task.task.hands_min,
        "free_before_min": line.pause_min,
        **picked(task, "because", "origin"),
        "after": [
            {
                **picked(wait, "task", "least_min"),
                "most_min": None if math.isinf(wait.most_min) else wait.most_min,
            }
            for wait in task.task.after
        ],
    }
