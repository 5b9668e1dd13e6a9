"""Where the time went or will go: bars on one axis of time, for a session's stages and for a day's pieces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import timedelta
from itertools import groupby

import msgspec

from studio.plaintext import clean
from studio.quantity.showing import show_day
from studio.report.printing import Role, Row, row
from studio.session.after.review import Span, stage_times
from studio.session.clock import local
from studio.session.state import State
from studio.session.timers import minutes_text

# Bars and their axis, in minutes since the midnight before the first of them.

DAY_MIN = 1440.0
STEPS_MIN = (5, 10, 15, 30, 60, 120, 240, 480, 1440, 2880, 10_080, 40_320, 525_600)
CELLS_PER_TICK = 11
"""At least so many between two times of the axis. House rule."""
HANDS, CLOCK, ALARM = "█▄●"
ROLES: dict[str, Role] = {HANDS: "plain", CLOCK: "focus", ALARM: "due"}


class Bar(msgspec.Struct, frozen=True):
    """One row: when hands were at it, when a clock ran, when an alarm was heard, and what is written beside it."""

    label: str
    text: str
    hands: tuple[Span, ...]
    clocks: tuple[Span, ...] = ()
    alarms: tuple[float, ...] = ()


class Axis(msgspec.Struct, frozen=True):
    """From when to when, over so many cells."""

    begin: float
    end: float
    wide: int

    def cell(self, minute: float) -> int:
        """The cell a minute lies in; the nearest one of the axis where it lies outside."""
        share = (minute - self.begin) / max(1e-9, self.end - self.begin)
        return max(0, min(self.wide - 1, int(share * self.wide)))

    def laid(self, bar: Bar) -> str:
        """A sign for each cell; what is short still takes one."""
        cells = [" "] * self.wide
        for spans, sign in ((bar.clocks, CLOCK), (bar.hands, HANDS)):
            for begin, end in spans:
                first, last = self.cell(begin), self.cell(end - 1e-6)
                cells[first : max(first, last) + 1] = sign * (max(first, last) - first + 1)
        for alarm in bar.alarms:
            cells[self.cell(alarm)] = ALARM
        return "".join(cells)

    def times(self, told: Callable[[float], str]) -> str:
        """The beginning, then round times, each at its cell as far as there is room."""
        line = told(self.begin)
        for minute in round_times(self.begin, self.end, self.wide // CELLS_PER_TICK):
            at, text = self.cell(minute), told(minute)
            if at >= len(line) + 2 and at + len(text) <= self.wide:
                line = f"{line:<{at}}{text}"
        return line


def round_times(begin: float, end: float, most: int) -> list[float]:
    """Round minutes from `begin` to `end`, about as many as `most`.

    >>> round_times(424.0, 694.0, 5)
    [480.0, 540.0, 600.0, 660.0]
    """
    step = next((s for s in STEPS_MIN if (end - begin) / s <= max(1, most)), max(1, int(end - begin)))
    first = -(-begin // step) * step
    return [first + n * step for n in range(int((end - first) // step) + 1)]


def with_text(cells: str, text: str) -> list[tuple[str, Role]]:
    """The cells of a row by their roles, with the text behind the bar, or before it where there is no room behind."""
    bar = cells.rstrip()
    if len(bar) + 1 + len(text) > len(cells) and len(bar) - len(bar.lstrip()) > len(text):
        before = len(bar) - len(bar.lstrip()) - len(text) - 1
        return [(" " * before + text + " ", "quiet"), *_runs(bar.lstrip())]
    return [*_runs(bar), (f" {text}", "quiet")]


def _runs(cells: str) -> list[tuple[str, Role]]:
    return [("".join(run), ROLES.get(sign, "plain")) for sign, run in groupby(cells)]


# A session's stages.


def session_bars(state: State) -> tuple[Bar, ...]:
    """A bar for each stage that was worked in."""
    start = local(state.opened.wall_ns, state.utc_offset_min)
    midnight_min = start.hour * 60 + start.minute + start.second / 60.0

    def at(wall_ns: float) -> float:
        return midnight_min + (wall_ns - state.opened.wall_ns) / 60e9

    def spans(found: Sequence[Span]) -> tuple[Span, ...]:
        return tuple((at(begin), at(end)) for begin, end in found)

    return tuple(
        Bar(
            label=clean(stage.stage, limit=12),
            text=span_told(stage.minutes),
            hands=spans(stage.hands),
            clocks=spans(stage.clocks),
            alarms=tuple(at(alarm) for alarm in stage.alarms),
        )
        for stage in stage_times(state)
    )


def span_told(minutes: float) -> str:
    """`1 h 24 min`, `9 min`: whole minutes, seconds where it took less than one."""
    return minutes_text(60.0 * round(minutes) if minutes >= 1.0 else 60.0 * minutes)


def stage_rows(state: State, width: int) -> tuple[Row, ...]:
    """The bars within `width` cells under their stages, and the axis below; nothing where nothing was done yet."""
    bars = session_bars(state)
    if not bars:
        return ()
    column = max(len(bar.label) for bar in bars) + 2
    axis = axis_of(bars, width - column)
    day = local(state.opened.wall_ns, state.utc_offset_min)

    def told(minute: float) -> str:
        when = day.replace(hour=0, minute=0, second=0, microsecond=0) + timedelta(minutes=minute)
        return show_day(when) if minute % DAY_MIN == 0 and minute else f"{when:%H:%M}"

    rows = [row((f"{bar.label:<{column}}", "quiet"), *with_text(axis.laid(bar), bar.text)) for bar in bars]
    return (*rows, row((f"{'':{column}}{axis.times(told)}", "quiet")))


def axis_of(bars: Sequence[Bar], wide: int) -> Axis:
    """From the first to the last of them; narrower where a bar's text has room on neither side of it."""
    spans = [span for bar in bars for span in (*bar.hands, *bar.clocks)]
    axis = Axis(min(begin for begin, _ in spans), max(end for _, end in spans), max(8, wide))
    for bar in bars:
        cells = axis.laid(bar)
        behind = len(cells) - len(cells.rstrip())
        if max(behind, len(cells) - len(cells.lstrip())) <= len(bar.text):
            axis = msgspec.structs.replace(axis, wide=min(axis.wide, max(8, wide - len(bar.text) - 1)))
    return axis
