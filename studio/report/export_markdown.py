"""One session as Markdown: nothing in it is read as markup that the session's own text brought along."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from studio.plaintext import clean
from studio.report.export_source import (
    PLANNED_AND_ACTUAL,
    VALUE_HEADS,
    Source,
    cells,
    figure_rows,
)
from studio.report.session_page import session_page
from studio.report.spans import Section

_MARKUP = re.compile(r"([\\`*_{}\[\]<>#|~&!])|(?<=:)(//)|(?<=www)(\.)")
_AT_START = re.compile(r"^(?:(\d{1,9})(?=[.)](?:\s|$))|([-+=])(?=\s|$|[-=]))")


def escape(text: str) -> str:
    r"""Text that shows as it stands, on one line and wherever on the line it comes.

    >>> escape("# <b>|x|</b>"), escape("- a"), escape("1. b"), escape("-1.4 %")
    ('\\# \\<b\\>\\|x\\|\\</b\\>', '\\- a', '1\\. b', '-1.4 %')
    """
    flat = _MARKUP.sub(lambda m: f"\\{m[0]}", " ".join(text.split()))
    return _AT_START.sub(lambda m: f"{m[1]}\\" if m[1] else f"\\{m[2]}", flat)


def session_markdown(source: Source) -> str:
    """The session's page, its figures with their reasons, and where it comes from."""
    top, *rest = session_page(source.state, source.name, source.remarks, 120)
    parts = [f"# {escape(clean(source.state.title)) or 'Untitled session'}", *_top(top)]
    for section in rest:
        parts.append(f"## {escape(section.name)}")
        parts.append("\n".join(_section(section)))
    for name, rows in figure_rows(source):
        parts.append(f"## Figures: {escape(name)}")
        table = [
            (r.label, r.value, r.because, f"{r.origin}: {r.source}" if r.source else r.origin) for r in rows
        ]
        parts.append("\n".join(_table(("figure", "value", "because", "source"), table)))
    parts.append(escape(source.told))
    return "\n\n".join(parts) + "\n"


def _top(top: Section) -> list[str]:
    first, *others = cells(top)
    lines = ["  ".join(escape(text) for text, _ in first[1:] if text)]
    lines.extend(" ".join(escape(text) for text, _ in line if text) for line in others)
    return [line for line in lines if line]


def _section(section: Section) -> Iterator[str]:
    rows = cells(section)
    if section.name == PLANNED_AND_ACTUAL:
        width = len(VALUE_HEADS) + 1
        texts = [[text for text, _ in line] for line in rows]
        yield from _table((*VALUE_HEADS, ""), [[*line, *[""] * (width - len(line))] for line in texts])
        return
    for line in rows:
        yield "- " + "  ".join(escape(text) for text, _ in line if text)


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> Iterator[str]:
    yield "| " + " | ".join(heads) + " |"
    yield "|" + " --- |" * len(heads)
    for line in rows:
        yield "| " + " | ".join(escape(text) for text in line) + " |"
