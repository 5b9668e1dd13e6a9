"""The day a follow-up is due: read from what was typed, and held against today."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

from studio.plaintext import clean
from studio.session.refusals import Refused

MOST_DAYS_AHEAD = 5 * 366
"""A strip that hangs longer is a slip of the year. House rule."""
SOON_DAYS = 7
"""A test due within so many days is shown as coming. House rule."""
EXAMPLE = "write for example 2026-12-02, 2 weeks, or in 10 days"

_ISO = re.compile(r"\d{4}-\d{2}-\d{2}", re.ASCII)
_AHEAD = re.compile(r"(?:in )?(a|an|one|\d{1,4}) ?(days?|weeks?|months?)", re.ASCII)
_DAYS = {"day": 1, "week": 7}
_WORDS = {"today": 0, "tomorrow": 1}


def day_of(wall_ns: int, utc_offset_min: int) -> date:
    """The calendar day at a wall time, where the session was opened; the last day there is beyond the calendar.

    >>> day_of(1_790_000_000_000_000_000, 0)
    datetime.date(2026, 9, 21)
    """
    try:
        return (datetime.fromtimestamp(wall_ns // 10**9, UTC) + timedelta(minutes=utc_offset_min)).date()
    except (OverflowError, ValueError, OSError):
        return date.max


def due_day(text: str, today: date, opened: date) -> date:
    """The day that is meant; Refused with a sentence where it is none, or lies where no test can.

    `text`: `2026-12-02`, `2 weeks`, `in 10 days`, `1 month`, `today`, `tomorrow`. `today` as the computer has
    it; `opened`: the day of the session, before which nothing could be tested.

    >>> due_day("2 weeks", date(2026, 9, 12), date(2026, 9, 12))
    datetime.date(2026, 9, 26)
    >>> due_day("1 month", date(2027, 1, 31), date(2026, 9, 12))
    datetime.date(2027, 2, 28)
    """
    told = " ".join(text.casefold().split())
    if _ISO.fullmatch(told):
        try:
            day = date.fromisoformat(told)
        except ValueError as problem:
            raise Refused(f'"{told}" is no day of the calendar; {EXAMPLE}.') from problem
    else:
        day = _ahead(told, text, today, opened)
    if day < opened:
        raise Refused(f"{day} lies before the session itself, {opened}; {EXAMPLE}.")
    if day > _later(max(today, opened), MOST_DAYS_AHEAD):
        raise Refused(f"{day} is more than five years ahead; {EXAMPLE}.")
    return day


def days_ahead(days: int, today: date, opened: date) -> date:
    """So many days from today; Refused where the computer's clock is before the session."""
    if today < opened:
        raise Refused(
            f"The computer's clock says {today}, before the session itself, {opened}: set the clock, or write the "
            "day, for example 2026-12-02."
        )
    return _later(today, days)


def _ahead(told: str, typed: str, today: date, opened: date) -> date:
    if told in _WORDS:
        return days_ahead(_WORDS[told], today, opened)
    ahead = _AHEAD.fullmatch(told)
    if ahead is None:
        raise Refused(f'"{clean(typed.strip(), limit=40)}" is no day; {EXAMPLE}.')
    count = int(ahead[1]) if ahead[1].isdigit() else 1
    unit = ahead[2].removesuffix("s")
    if unit in _DAYS:
        return days_ahead(count * _DAYS[unit], today, opened)
    return _months_on(days_ahead(0, today, opened), count)


def _months_on(day: date, months: int) -> date:
    """The same day so many months on, or the last one of a shorter month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    for last in range(day.day, 27, -1):
        try:
            return date(year, month + 1, last)
        except ValueError:
            continue
    return date(year, month + 1, day.day) if year <= date.max.year else date.max


def _later(day: date, days: int) -> date:
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return date.max


def when_words(due: str, today: date) -> str:
    """How far off a due day is.

    >>> when_words("2026-09-26", date(2026, 9, 28)), when_words("2026-09-26", date(2026, 9, 26))
    ('2 days overdue', 'due today')
    >>> when_words("2026-09-26", date(2026, 9, 25)), when_words("2026-09-26", date(2026, 8, 26))
    ('due tomorrow', 'due in 31 days')
    """
    days = days_until(due, today)
    if days < 0:
        return f"{-days} day{'' if days == -1 else 's'} overdue"
    return {0: "due today", 1: "due tomorrow"}.get(days, f"due in {days} days")


def days_until(due: str, today: date) -> int:
    """Days from today to a due day, below 0 where it is past; 0 for a day that cannot be read."""
    try:
        return (date.fromisoformat(due) - today).days
    except ValueError:
        return 0
