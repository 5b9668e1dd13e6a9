"""A day's order of work as rows of text and as JSON."""

from __future__ import annotations

import math
import textwrap

from studio.methods.day import WORTH_TELLING_MIN, DayLine, DaySheet
from studio.plaintext import clean
from studio.report.printing import Role, Row, Section, document, picked, row
from studio.session.timers import minutes_text

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


def span_text(minutes: float) -> str:
    """`2 h 5 min`: whole minutes, as an order of work is made of estimates.

    >>> span_text(125.2), span_text(40.0)
    ('2 h 5 min', '40 min')
    """
    return minutes_text(60.0 * math.floor(minutes + 0.5))


def day_sections(sheet: DaySheet, width: int, *, why: bool = False) -> tuple[Section, ...]:
    """The order of work, then what it comes to, for lines of `width` cells, at least 40."""
    rows: list[Row] = []
    for line in sheet.lines:
        if line.pause_min >= WORTH_TELLING_MIN:
            rows.append(row((f"{'':7}free hands for {span_text(line.pause_min)}", "quiet")))
        rows.append(_line(sheet, line, width))
        if why:
            rows.extend(_told(line.task.because, width - 7, "quiet", indent=7))
    totals = [told for sentence, role in _totals(sheet) for told in _told(sentence, width, role)]
    return (Section("order of work", tuple(rows)), Section("what it comes to", tuple(totals)))


def _line(sheet: DaySheet, line: DayLine, width: int) -> Row:
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
    pieces = "1 piece" if sheet.pieces == 1 else f"{sheet.pieces} pieces"
    sure = "no order of these tasks is shorter" if sheet.proven else "a good order; a shorter one may exist"
    told: list[tuple[str, Role]] = [
        (
            f"finished {clock(sheet, sheet.finish_min)}, {span_text(sheet.finish_min)} in all, "
            f"{span_text(sheet.hands_min)} of it by hand",
            "strong",
        ),
        (f"one piece after the other: {span_text(sheet.one_by_one_min)}", "plain"),
        (f"{pieces}, {sheet.places} at once in the steamer; {sure}", "quiet"),
        (f"soak, set and cooling are the worksheets'; minutes by hand are {_standing(sheet)}", "quiet"),
    ]
    if sheet.late_min >= WORTH_TELLING_MIN:
        told.append((OVERLONG.format(late=sheet.late_min), "due"))
    return told


def _standing(sheet: DaySheet) -> str:
    own = any(line.task.origin == "yours" for line in sheet.lines)
    return "at your own pace (yours)" if own else "estimates"


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
