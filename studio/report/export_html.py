"""One session as an HTML page or as Markdown: always escaped, no script, nothing loaded from anywhere."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from studio import __version__
from studio.plaintext import clean
from studio.plan.shapes import Figure, said_by
from studio.quantity.reading_in import as_read
from studio.report.forecast_svg import DrawnForecast
from studio.report.printing import ALL_OF_IT, Section, day_and_time, fill
from studio.report.session_head import FACTS, facts, head_section
from studio.report.session_page import PLANNED_AND_ACTUAL, STAGES, session_page
from studio.report.timeline import stage_rows
from studio.report.worksheet import sections, value_words
from studio.session.after import review
from studio.session.after.real_cost import spent
from studio.session.after.review import ReadSession
from studio.session.sheet import sheet_now
from studio.session.state import State

Paper = Literal["A4", "Letter"]
VALUE_HEADS = ("", "planned", "asked", "actual", "off by")
BARS_WIDE = 84
"""Cells of the bars of the stages, as a page has room for. House rule."""


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


# One session as one HTML page that needs nothing else, to read on a screen or print.


def session_html(read: ReadSession, *, paper: Paper = "A4", forecast: DrawnForecast | None = None) -> str:
    """The page: stages as bars, the sections of `session_page`, figures with reasons, the plan, where it comes from.

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
        stages=stage_rows(state, BARS_WIDE),
        forecast=forecast,
        tables=tables,
        value_heads=VALUE_HEADS,
        figures=sections(sheet_now(state, spent(state))),
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
    for name, figures in sections(sheet_now(state, spent(state))).items():
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
    stages = stage_rows(state, BARS_WIDE)
    if stages:
        yield f"## {STAGES}"
        yield "\n".join(f"    {''.join(text for text, _ in line)}".rstrip() for line in stages)


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
