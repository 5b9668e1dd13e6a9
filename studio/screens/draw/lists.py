"""The rows of the shelf, sections of text, and the alarm banner, as content."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.content import Content

from studio.plaintext import clean
from studio.quantity.reading_in import as_read
from studio.report.printing import HANG
from studio.screens.draw.cloth import strip
from studio.screens.draw.keys import Glyphs, hanging, leads, with_keys
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.plan.preview import StripBand
    from studio.report.printing import Role, Row, Section
    from studio.screens.bench.view import AlarmLine
    from studio.session.after.drawing_down import Taking
    from studio.shelf.telling import Told


MARK = "* "


def marked(told: Content, mark: bool) -> Content:
    """A row with its mark, or the room for one."""
    return Content.assemble((MARK if mark else " " * len(MARK), "bold $focus"), told)


def heading(title: str, more: str = "", style: str = "$quiet") -> Content:
    """The name of a screen, and what there is to say beside it."""
    return Content.assemble((f" {title}", "bold $text"), (f"   {more}" if more else "", style))


IN_A_LIST = 16
"""Cells of a strip in a row of a list."""


def short_strip(bands: Sequence[StripBand], glyphs: Glyphs) -> Content:
    """One repeat in one row; blanks where nothing is laid out."""
    return strip(bands, IN_A_LIST, 1, glyphs)[0] if bands else Content(" " * IN_A_LIST)


# Sections of text as content.

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


def rows_content(section: Section) -> list[Content]:
    """Its lines, without its name."""
    return [row_content(line) for line in section.rows]


def set_in(told: Content, indent: int, width: int) -> Content:
    """A line so far from the left; what is too long for it goes on below, further in."""
    if told.cell_length <= width - indent:
        return told.pad_left(indent)
    first, *rest = told.wrap(max(16, width - indent - HANG))
    return Content("\n").join([first.pad_left(indent), *(more.pad_left(indent + HANG) for more in rest)])


def sections_content(
    sections: Sequence[Section], width: int, numbers: Mapping[Row, int] | None = None
) -> Content:
    """Sections under their names, a blank line between two; a click on one of the rows that have numbers goes to it."""
    lines: list[Content] = []
    for index, section in enumerate(sections):
        if index:
            lines.append(Content(""))
        if section.name:
            lines.append(Content.styled(f"  {section.name}", STYLES["focus"]))
        for row, told in zip(section.rows, rows_content(section), strict=True):
            line = set_in(told, 2 + 2 * bool(section.name), width)
            lines.append(leads(line, "row", numbers[row]) if numbers and row in numbers else line)
    return Content("\n").join(lines)


# The shelf as content: sections, an entry's values with where each comes from, what a session takes.


def section_head(table: str, count: int, unfinished: str) -> Content:
    """The name of a section, and the entry that was left half answered."""
    from studio.shelf.keys import SHELF_TABLES

    nothing = "" if count else spoken("   nothing yet; {shelf.add} adds one")
    if unfinished:
        nothing = f"   {clean(unfinished, limit=24)} {spoken('is unfinished; {shelf.add} goes on')}"
    return Content.assemble((SHELF_TABLES[table].name, "bold $focus"), (nothing, "$quiet"))


def kinds_line(chosen: str, width: int, glyphs: Glyphs) -> Content:
    """The kinds of things on the shelf as words, the one that is looked at marked."""
    from studio.shelf.keys import SHELF_TABLES

    names = {table: kind.name for table, kind in SHELF_TABLES.items()}
    if sum(len(name) + 2 for name in names.values()) > width:
        names |= {table: kind.short for table, kind in SHELF_TABLES.items() if kind.short}
    parts = []
    for table, name in names.items():
        mark, style = (glyphs.now, "bold $focus") if table == chosen else (" ", "$quiet")
        parts.append(leads(Content.styled(f"{mark}{name} ", style), "kind", table))
    return Content.assemble(" ", *parts)


def value_line(told: Told, width: int) -> Content:
    """One value: what it is, how it is written, what it is taken for, and who says so as far as there is room."""
    label = 22
    value = clean(told.shown, limit=max(12, width - label))
    read = f"  = {told.read_as}" if told.read_as else ""
    shown = Content.assemble((value, "bold $text" if told.value else "$quiet"), (read, "$text"))
    shown = shown.pad_right(max(0, (width - label) // 3 - shown.cell_length))
    room, whole = width - label - shown.cell_length - 2, clean(told.said_by)
    said = next((f"  {part}" for part in (whole, whole.partition(":")[0]) if cell_len(part) <= room), "")
    name = f"{clean(told.label, limit=label - 1):<{label}}"
    return Content.assemble((name, "$text"), shown, (said, "$quiet"))


def whole_value(told: Told) -> str:
    """All of one value, for the foot of the page."""
    read = f" = {told.read_as}" if told.read_as else ""
    return f"{told.label}: {told.shown}{read}" + (f"  ({told.said_by})" if told.said_by else "")


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
    return Content("\n").join(hanging(Content.styled(f"{sign} ", style), lines))


# The alarm banner: two rows for each standing alarm, the most urgent on top, until it is answered.


ANSWERS = "{bench.answer} heard   {bench.snooze} in 1 min"
LEAVES = "{field.leave} goes back to answer it"
"""What is said where a question stands below, which takes every other key."""


def banner(
    alarms: Sequence[AlarmLine], trouble: str, moved: str, width: int, glyphs: Glyphs, keys: str = ANSWERS
) -> Content:
    """Trouble with saving first, then the alarms, then where the file went; empty when all is well.

    `keys`: what is said of them beside the alarm on top.
    """
    lines = []
    if trouble:
        for piece in wrap(clean(trouble, limit=300), max(20, width - 4)):
            lines.append(_band(f"  {piece}", Content(""), "$danger", width))
    for index, alarm in enumerate(alarms):
        lines.extend(_alarm(alarm, "" if index else keys, width, glyphs))
    # A path has no spaces to be wrapped at, and none of it may be cut off.
    told = clean(moved, limit=900)
    pieces = wrap(told, max(20, width - 4), break_on_hyphens=False) if told else []
    lines.extend(Content.styled(f"  {piece}", "bold $due") for piece in pieces)
    return Content("\n").join(lines)


def _alarm(alarm: AlarmLine, said_of_keys: str, width: int, glyphs: Glyphs) -> list[Content]:
    """The action first and whole; at the right how late it is, and below that what the keys do."""
    keys = with_keys(said_of_keys, "")
    if alarm.quiet_s > 0:
        keys = Content(f"quiet {alarm.quiet_s:.0f} s")
    head, late = f"  {glyphs.due} DUE  ", f"{alarm.late} late"
    said = wrap(as_read(alarm.text, limit=400), max(20, width - len(head) - len(late) - 4))
    colour = "$danger" if alarm.priority == "high" else "$due"
    rows = [(head if n == 0 else " " * len(head)) + piece for n, piece in enumerate(said)]
    if keys and len(rows) == 1:
        rows.append("")
    ends = [Content(late), keys, *[Content("")] * len(rows)]
    if len(rows) > 1 and len(rows[1]) + len(keys) + 3 > width:
        rows.append("")
        ends = [Content(late), *[Content("")] * (len(rows) - 2), keys]
    return [_band(row, end, colour, width) for row, end in zip(rows, ends, strict=False)]


def _band(left: str, right: Content, colour: str, width: int) -> Content:
    """A row of ground in a colour."""
    room = " " * max(1, width - cell_len(left) - right.cell_length - 2)
    told = Content.assemble(left, room, right, "  ").truncate(width)
    return told.stylize(f"bold $background on {colour}")
