"""One session as an HTML page or as Markdown: always escaped, no script, nothing loaded from anywhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import timedelta
from typing import Any, Literal

import msgspec

from studio import __version__
from studio.plaintext import clean
from studio.plan.shapes import Figure, said_by
from studio.quantity.reading_in import as_read
from studio.report.forecast_svg import DrawnForecast
from studio.report.printing import ALL_OF_IT, Section, day_and_time, fill, local
from studio.report.session_head import FACTS, facts, head_section
from studio.report.session_page import PLANNED_AND_ACTUAL, STAGES, session_page
from studio.report.timeline import DAY_MIN, round_times, span_told
from studio.report.worksheet import sections, value_words
from studio.session.after import review
from studio.session.after.review import ReadSession
from studio.session.state import State

Paper = Literal["A4", "Letter"]
VALUE_HEADS = ("", "planned", "asked", "actual", "off by")


def provenance(read: ReadSession) -> str:
    """Where it comes from, in one sentence."""
    return f"From {clean(read.name)}, SHA-256 {read.sha256}, by potside {__version__}."


def figure_value(figure: Figure) -> str:
    """As a worksheet writes it; a number with its unit, where only a later version knows that unit."""
    try:
        return clean(value_words(figure))
    except ValueError:
        return f"{figure.value:g} {clean(figure.unit)}"


def cells(section: Section) -> tuple[tuple[tuple[str, str], ...], ...]:
    """The rows of a section as cells of (text, role), without the blanks that align them on a screen."""
    rows = tuple(tuple((text.strip(), role) for text, role in row) for row in section.rows)
    return rows[1:] if section.name == PLANNED_AND_ACTUAL else rows


# Where the time went, as bars to draw: one for each stage, under an axis of local time.

WIDTH = 720.0
LABEL_WIDTH = 76.0
RIGHT_ROOM = 96.0
ROW = 24.0
TOP = 24.0
LEAST_BAR = 3.0
MOST_TICKS = 9


class TimelineMark(msgspec.Struct, frozen=True):
    """Something at one moment or over a while: a tick of the axis, the steam lost, a stage in its own row."""

    x: float
    width: float
    text: str
    label: str = ""
    y: float = 0.0


class Timeline(msgspec.Struct, frozen=True):
    """All of it, in units of a picture `width` by `height`."""

    bars: tuple[TimelineMark, ...]
    ticks: tuple[TimelineMark, ...]
    lost: tuple[TimelineMark, ...]
    height: float
    width: float = WIDTH

    @property
    def told(self) -> str:
        """The same in words, for those who cannot see it."""
        return "; ".join(f"{bar.label} {bar.text}" for bar in self.bars)


def timeline(state: State) -> Timeline | None:
    """The bars of a session; None where no step was closed yet."""
    times = review.stage_times(state)
    if not times:
        return None
    first = min(t.first_ns for t in times)
    span = max(max(t.last_ns for t in times) - first, 60_000_000_000)
    room = WIDTH - LABEL_WIDTH - RIGHT_ROOM

    def place(wall_ns: float) -> float:
        inside = min(max((wall_ns - first) / span, 0.0), 1.0)
        return round(LABEL_WIDTH + room * inside, 1)

    def over(begin: float, end: float, text: str, least: float, **row: Any) -> TimelineMark:
        return TimelineMark(place(begin), max(least, round(place(end) - place(begin), 1)), text, **row)

    bars = tuple(
        over(
            *(t.first_ns, t.last_ns, span_told(t.minutes), LEAST_BAR),
            label=clean(t.stage, limit=12),
            y=TOP + ROW * index,
        )
        for index, t in enumerate(times)
    )
    lost = tuple(
        over(off.wall_ns, again.wall_ns if again else first + span, "steam lost", 1.5)
        for off, again in state.steam_off
    )
    ticks = tuple(
        TimelineMark(place(ns), 0.0, text) for ns, text in _ticks(first, span, state.utc_offset_min)
    )
    return Timeline(bars, ticks, lost, TOP + ROW * len(bars) + 4)


def _ticks(first_ns: float, span_ns: float, utc_offset_min: int) -> list[tuple[float, str]]:
    start = local(int(first_ns), utc_offset_min)
    begin = start.hour * 60 + start.minute + start.second / 60.0
    times = round_times(begin, begin + span_ns / 60e9, MOST_TICKS)
    shown = "%m-%d" if len(times) > 1 and times[1] - times[0] >= DAY_MIN else "%H:%M"
    return [
        (first_ns + (at - begin) * 60e9, f"{start + timedelta(minutes=at - begin):{shown}}") for at in times
    ]


# One session as one HTML page that needs nothing else, to read on a screen or print.


def session_html(read: ReadSession, *, paper: Paper = "A4", forecast: DrawnForecast | None = None) -> str:
    """The page: timeline, the sections of `session_page`, figures with reasons, the plan, and where it comes from.

    forecast: that of the session's plan, drawn; None where the plan allows none, and nothing is said then.
    """
    state = read.state
    _, *rest = session_page(state, read.name, (), 120)
    known = [((name, "quiet"), (text, "plain")) for name, text in facts(state).items()]
    tables = [{"name": FACTS, "values": False, "rows": known, "columns": 2}] + [
        {
            "name": section.name,
            "values": section.name == PLANNED_AND_ACTUAL,
            "rows": cells(section),
            "columns": max(len(line) for line in section.rows),
        }
        for section in rest
        if section.name not in (FACTS, STAGES)
    ]
    cautions = [(clean(c.level), as_read(c.text, limit=4000)) for c in state.worksheet.cautions]
    return fill(
        "session.html.j2",
        paper=paper,
        title=clean(state.title) or "Untitled session",
        outcome=state.outcome or "open",
        why=clean(state.outcome_why, limit=1000),
        when=day_and_time(state.opened.wall_ns, state.utc_offset_min),
        rehearsal=state.rehearsal_speed,
        ratings=review.ratings(state),
        remarks=[clean(r, limit=1000) for r in read.remarks],
        timeline=timeline(state),
        forecast=forecast,
        tables=tables,
        value_heads=VALUE_HEADS,
        figures=sections(state.worksheet),
        figure_value=figure_value,
        cautions=cautions,
        plan=clean(state.plan_text, limit=200_000, multiline=True),
        told=provenance(read),
    )


# One session as Markdown: nothing in it is read as markup that the session's own text brought along.

_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!])|(?<=:)(//)|(?<=www)(\.)")
_AT_START = re.compile(r"^(?:(\d{1,9})(?=[.)](?:\s|$))|([-+=])(?=\s|$|[-=]))")


def escape(text: str) -> str:
    r"""Text that shows as it stands, on one line and wherever on the line it comes.

    >>> escape("# <b>|x|</b>"), escape("- a"), escape("1. b"), escape("-1.4 %")
    ('\\# \\<b\\>\\|x\\|\\</b\\>', '\\- a', '1\\. b', '-1.4 %')
    """
    flat = _MARKUP.sub(lambda m: f"\\{m[0]}", " ".join(text.split()))
    return _AT_START.sub(lambda m: f"{m[1]}\\" if m[1] else f"\\{m[2]}", flat)


def session_markdown(read: ReadSession) -> str:
    """The session's page, its figures with their reasons, and where it comes from."""
    state = read.state
    top, (_, *rest) = head_section(state, read.remarks, ALL_OF_IT), session_page(state, read.name, (), 120)
    parts = [f"# {escape(clean(state.title)) or 'Untitled session'}", *_top(top), *_facts(state)]
    for section in rest:
        if section.name in (FACTS, STAGES):
            continue
        parts.append(f"## {escape(section.name)}")
        parts.append("\n".join(_section(section)))
    for name, figures in sections(read.state.worksheet).items():
        parts.append(f"## Figures: {escape(name)}")
        parts.append("\n".join(_table(("figure", "value", "because", "source"), map(_told, figures))))
    parts.append(escape(provenance(read)))
    return "\n\n".join(parts) + "\n"


def _told(figure: Figure) -> tuple[str, ...]:
    by = said_by(figure.origin, figure.source)
    told = (figure.label, figure_value(figure), figure.because, by)
    return tuple(clean(text, limit=ALL_OF_IT) for text in told)


def _top(top: Section) -> list[str]:
    first, *others = cells(top)
    lines = ["  ".join(escape(text) for text, _ in first[1:] if text)]
    lines.extend(" ".join(escape(text) for text, _ in line if text) for line in others)
    return [line for line in lines if line]


def _facts(state: State) -> Iterator[str]:
    """The facts, the ratings and the stages."""
    rated = ((what, f"{value} of 5") for what, value in review.ratings(state).items())
    yield "\n".join(f"- {escape(name)}: {escape(text)}" for name, text in (*facts(state).items(), *rated))
    stages = review.stage_times(state)
    if stages:
        yield "## stages"
        ends = [[local(int(ns), state.utc_offset_min) for ns in (t.first_ns, t.last_ns)] for t in stages]
        rows = [
            (clean(stage.stage, limit=12), f"{first:%H:%M}", f"{last:%H:%M}", span_told(stage.minutes))
            for stage, (first, last) in zip(stages, ends, strict=True)
        ]
        yield "\n".join(_table(("stage", "from", "to", "took"), rows))


def _section(section: Section) -> Iterator[str]:
    rows = cells(section)
    if section.name == PLANNED_AND_ACTUAL:
        width = len(VALUE_HEADS) + 1
        texts = [[text for text, _ in line] for line in rows]
        yield from _table((*VALUE_HEADS, ""), [[*line, *[""] * (width - len(line))] for line in texts])
        return
    for line in rows:
        yield "- " + "  ".join(escape(text) for text, _ in line if text)


def _table(heads: Sequence[str], rows: Iterable[Sequence[str]]) -> Iterator[str]:
    yield "| " + " | ".join(heads) + " |"
    yield "|" + " --- |" * len(heads)
    for line in rows:
        yield "| " + " | ".join(escape(text) for text in line) + " |"
