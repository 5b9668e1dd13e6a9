"""Where the time went, as bars to draw: one for each stage, under an axis of local time."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from studio.plaintext import clean
from studio.report.session_page import local
from studio.session import review
from studio.session.state import State
from studio.session.timers import minutes_text

WIDTH = 720.0
LABEL_WIDTH = 76.0
RIGHT_ROOM = 96.0
ROW = 24.0
TOP = 24.0
LEAST_BAR = 3.0
STEPS_MIN = (5, 10, 15, 30, 60, 120, 240, 480, 1440, 2880, 10_080, 40_320, 525_600)
MOST_TICKS = 9


@dataclass(frozen=True, slots=True)
class Bar:
    """One stage."""

    label: str
    told: str
    x: float
    y: float
    width: float


@dataclass(frozen=True, slots=True)
class TimelineMark:
    """Something at one moment or over a while: a tick of the axis, or the steam lost."""

    x: float
    width: float
    text: str


@dataclass(frozen=True, slots=True)
class Timeline:
    """All of it, in units of a picture `width` by `height`."""

    bars: tuple[Bar, ...]
    ticks: tuple[TimelineMark, ...]
    lost: tuple[TimelineMark, ...]
    height: float
    width: float = WIDTH

    @property
    def told(self) -> str:
        """The same in words, for those who cannot see it."""
        return "; ".join(f"{bar.label} {bar.told}" for bar in self.bars)


def timeline(state: State) -> Timeline | None:
    """The bars of a session; None where no step was closed yet."""
    times = review.stage_times(state)
    if not times:
        return None
    first = min(t.first_ns for t in times)
    span = max(max(t.last_ns for t in times) - first, 60_000_000_000)
    room = WIDTH - LABEL_WIDTH - RIGHT_ROOM

    def place(wall_ns: int) -> float:
        inside = min(max((wall_ns - first) / span, 0.0), 1.0)
        return round(LABEL_WIDTH + room * inside, 1)

    bars = tuple(
        Bar(
            clean(t.stage, limit=12),
            minutes_text(t.minutes * 60),
            place(t.first_ns),
            TOP + ROW * index,
            max(LEAST_BAR, round(place(t.last_ns) - place(t.first_ns), 1)),
        )
        for index, t in enumerate(times)
    )
    lost = tuple(
        TimelineMark(place(off.wall_ns), max(1.5, round(place(end) - place(off.wall_ns), 1)), "steam lost")
        for off, again in state.steam_off
        for end in (again.wall_ns if again else first + span,)
    )
    ticks = tuple(
        TimelineMark(place(ns), 0.0, text) for ns, text in _ticks(first, span, state.utc_offset_min)
    )
    return Timeline(bars, ticks, lost, TOP + ROW * len(bars) + 4)


def _ticks(first_ns: int, span_ns: int, utc_offset_min: int) -> list[tuple[int, str]]:
    minutes = span_ns / 60e9
    step = next((s for s in STEPS_MIN if minutes / s <= MOST_TICKS), int(minutes))
    start = local(first_ns, utc_offset_min)
    midnight = start.replace(hour=0, minute=0, second=0, microsecond=0)
    shown = "%H:%M" if step < 1440 else "%m-%d"
    found = []
    offset = -(-((start - midnight).total_seconds() / 60) // step) * step
    while (at := midnight + timedelta(minutes=offset)) <= start + timedelta(minutes=minutes):
        found.append((first_ns + round((at - start).total_seconds() * 1e9), f"{at:{shown}}"))
        offset += step
    return found
