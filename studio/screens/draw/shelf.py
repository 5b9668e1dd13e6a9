"""The shelf as content: sections, an entry's values with where each comes from, what a session takes."""

from __future__ import annotations

from textual.content import Content

from studio.plaintext import clean
from studio.plan.shelf_told import NOT_WRITTEN, TITLES, Line, Told
from studio.report.shelf_rows import shelf_row
from studio.screens.draw.sheet import row_content
from studio.session.drawing_down import Taking


def section_head(table: str, count: int, unfinished: str) -> Content:
    """The name of a section, and the entry that was left half answered."""
    nothing = "" if count else "   nothing yet; A adds one"
    if unfinished:
        nothing = f"   {clean(unfinished, limit=24)} is unfinished; A goes on"
    return Content.assemble((TITLES[table], "bold $focus"), (nothing, "$quiet"))


def entry_line(line: Line, width: int) -> Content:
    """One entry of a section."""
    return row_content(shelf_row(line, width))


def value_line(told: Told, width: int) -> Content:
    """One value: what it is, how it is written, what it is taken for, and who says so."""
    label = 22 if width >= 72 else 17
    bare = told.value == NOT_WRITTEN
    value = clean(told.value, limit=max(12, (width - label) * 6 // 10))
    read = f"  = {told.read_as}" if told.read_as else ""
    shown = Content.assemble((value, "$quiet" if bare else "bold $text"), (read, "$text"))
    shown = shown.pad_right(max(0, (width - label) // 3 - shown.cell_length))
    room = width - label - shown.cell_length - 2
    said = f"  {clean(told.said_by, limit=room)}" if told.said_by and room >= 8 else ""
    name = f"{clean(told.label, limit=label - 1):<{label}}"
    return Content.assemble((name, "$text"), shown, (said, "$quiet"))


def whole_value(told: Told) -> str:
    """All of one value, for the foot of the page."""
    read = f" = {told.read_as}" if told.read_as else ""
    return f"{told.label}: {told.value}{read}" + (f"  ({told.said_by})" if told.said_by else "")


def taking_lines(taking: Taking, width: int) -> Content:
    """What one entry would lose or gain, and why, on lines of its own."""
    sign, style = ("done ", "$done") if taking.done else ("take ", "bold $focus")
    if taking.hindrance and not taking.done:
        sign, style = "can't", "bold $due"
    room = max(20, width - 6)
    told = "$quiet" if taking.done else "$text"
    lines = [
        *Content.styled(clean(taking.said, limit=300), told).wrap(room),
        *Content.styled(clean(taking.because, limit=300), "$quiet").wrap(room),
    ]
    if taking.hindrance and not taking.done:
        lines.extend(Content.styled(clean(taking.hindrance, limit=300), "$due").wrap(room))
    heads = [Content.styled(f"{sign} ", style), *[Content(" " * 6)] * (len(lines) - 1)]
    return Content("\n").join(Content.assemble(head, line) for head, line in zip(heads, lines, strict=True))
