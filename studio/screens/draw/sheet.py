"""Sections of text as content."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.report.spans import Role, Row, Section

STYLES: dict[Role, str] = {
    "strong": "bold $text",
    "plain": "$text",
    "quiet": "$quiet",
    "done": "$done",
    "due": "$due",
    "danger": "bold $danger",
    "focus": "bold $focus",
}


def row_content(line: Row) -> Content:
    """One line."""
    return Content.assemble(*((text, STYLES[role]) for text, role in line))


def sections_content(sections: Sequence[Section]) -> Content:
    """Sections under their names, a blank line between two."""
    lines: list[Content] = []
    for index, section in enumerate(sections):
        if index:
            lines.append(Content(""))
        if section.name:
            lines.append(Content.styled(f" {section.name}", STYLES["focus"]))
        indent = "   " if section.name else " "
        lines.extend(Content.assemble(indent, row_content(line)) for line in section.rows)
    return Content("\n").join(lines)
