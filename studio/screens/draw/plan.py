"""The plan screen as content: legend, sections, table of colours, fields, bands, the job, figures and cautions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec
from rich.cells import cell_len
from textual.content import Content

from studio.plaintext import clean, counted
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import place_of
from studio.plan.fields import FieldSection
from studio.plan.preview import Look, StripBand
from studio.plan.shapes import Figure
from studio.quantity.reading_in import as_read
from studio.report.worksheet import value_words
from studio.screens.draw.cloth import hue_of, patch, sign_of
from studio.screens.draw.keys import Glyphs, hanging, in_lines, leads, wrapped
from studio.screens.plan.rows import BandRow, FieldRow, Row, TableLine, percent
from studio.words.table import spoken

BAR = 2
LABEL = 14
SIZE = 9
VALUE = 14
"""Cells of a value that has a note beside it, at least."""
ORIGIN = 15
WIDE_FIGURES = 56
"""Cells from which the origin of a figure stands beside it."""
NARROW_TABLE = 72
"""Cells of a table whose patches are four wide."""
LONGEST_NAME, MOST_NAME = 16, 24
"""Cells of a name that columns give way to, and that it is given where there is room."""


def strip(
    sections: Sequence[FieldSection], chosen: int, draft: PlanDraft, width: int, glyphs: Glyphs
) -> Content:
    """The sections side by side; the chosen one marked, `!` where something must be changed."""
    places = [place_of(c.where, draft.data) for c in (draft.worksheet.stops if draft.worksheet else ())]
    wrong = {p.table for p in (*places, draft.trouble.place if draft.trouble else None) if p is not None}
    marks = ["!" if s.table in wrong else "" for s in sections]
    said = [(glyphs.now if n == chosen else "") + s.name + marks[n] for n, s in enumerate(sections)]
    gap = next((g for g in ("   ", "  ") if sum(map(len, said)) + len(g) * len(said) <= width), " ")
    first = 0
    while len(gap.join(said[first:])) > width and first < chosen:
        first += 1
    parts: list[Content] = []
    for number in range(first, len(said)):
        style = "bold $focus" if number == chosen else "bold $danger" if marks[number] == "!" else "$quiet"
        parts.append(leads(Content.styled(said[number] + gap, style), "section", number))
    return Content.assemble(*parts).truncate(width)


class Fitted(msgspec.Struct, frozen=True):
    """What rows are drawn with."""

    width: int
    label: int
    """Cells of the longest label."""
    looks: Mapping[str, Look]
    glyphs: Glyphs
    most: float = 0.0
    """Rows, or per cent, of the largest band."""


def row_line(row: Row, to: Fitted, note: Content, *, chosen: bool) -> list[Content]:
    """One row with what it comes to beside it; the chosen one is shown whole, over several lines where it must be."""
    style = "bold $text" if chosen else "$text"
    mark = f"{to.glyphs.bar if chosen else ' '} "
    if isinstance(row, BandRow):
        lines = [_band(row, mark, style, to)]
    else:
        label = Content.assemble((mark, "$focus"), (f"{row.field.label:<{to.label}}  ", "$quiet"))
        room = max(8, to.width - label.cell_length - 1)
        value = Content.styled(clean(row.value, limit=1500), style) if row.value else _instead(row, room)
        wide = max(VALUE, value.cell_length + 2)
        beside = note.plain and wide + note.cell_length <= room
        if beside:
            value = Content.assemble(value.pad_right(wide - value.cell_length), note)
        short = (
            value
            if beside
            else Content.styled(clean(value.plain, limit=room), style if row.value else "$quiet")
        )
        whole = value.wrap(room) if chosen and value.cell_length > room else [short]
        lines = hanging(label, whole or [Content("")])
        if chosen and note.plain and not beside:
            lines.extend(line.pad_left(label.cell_length) for line in note.wrap(room))
    if chosen:
        lines = [line.pad_right(max(0, to.width - line.cell_length)).stylize("on $panel") for line in lines]
    return lines


def _instead(row: FieldRow, room: int) -> Content:
    """What stands in for it; where that comes from only as far as there is room."""
    whole = f"{row.instead} ({row.origin})" if row.instead and row.origin else row.instead or "–"
    told = Content.styled(clean(whole, limit=300), "$quiet")
    return told if told.cell_length <= room else Content.styled(clean(row.instead, limit=300), "$quiet")


def _band(row: BandRow, mark: str, style: str, to: Fitted) -> Content:
    name = clean(row.band.colour or "bare", limit=LABEL)
    room = max(4, to.width - BAR - LABEL - 2 - SIZE - 3)
    cells = max(1, round(room * row.band.size / to.most)) if to.most else 1
    look = to.looks.get(row.band.colour)
    if row.waits:
        drawn = Content.styled("no colour yet" if room >= len("no colour yet") else "no colour", "$danger")
    else:
        drawn = patch(
            look.hex if look and row.band.colour else "$bare", look.sign if look else ".", cells, 1, to.glyphs
        )[0]
    name_cells = Content.styled(name, style)
    return Content.assemble(
        (mark, "$focus"),
        name_cells.pad_right(LABEL + 2 - name_cells.cell_length),
        (f"{row.band.size_told:>{SIZE}}  ", style),
        drawn,
    )


def under_lines(
    tells: str, trouble: str, echo: str, offers: Sequence[str], new: str, width: int
) -> list[Content]:
    """What stands under the chosen field: what is wrong, else what it comes to, names that fit, what it is for.

    `new`: what could be made new of what is typed.
    """
    blocks, down = list[Content](), spoken("{plan.down}")
    if trouble:
        blocks.append(Content.styled(clean(spoken(trouble), limit=500), "bold $danger"))
    if echo:
        blocks.append(Content.styled(f"=  {clean(echo, limit=200)}", "bold $done"))
    if offers:
        named = (
            leads(Content.styled(clean(o, limit=width), "$text"), "offer", n) for n, o in enumerate(offers)
        )
        blocks.append(Content.assemble((f"{down}  ", "$focus"), Content(", ").join(named)))
    if new:
        key = spoken("{plan.new_entry}") if offers else down
        told = Content.assemble((f"{key}  ", "$focus"), (f"{clean(new, limit=2 * width)} …", "$text"))
        blocks.append(leads(told, "new", 0))
    if tells:
        blocks.append(Content.styled(clean(tells, limit=300), "$quiet"))
    return [line.pad_left(BAR + 2) for block in blocks for line in block.wrap(max(16, width - 5))]


def window(lines: Sequence[Content], first: int, last: int, height: int) -> tuple[list[Content], int]:
    """As many lines as there is room for with `first` to `last` among them; and how many were left out above.

    Where lines are left out, the edge says how many.
    """
    if len(lines) <= height:
        return list(lines), 0
    start = max(0, min((first + last - height) // 2, len(lines) - height))
    if last - first + 1 >= height - 2:
        start = max(0, min(first - 1, len(lines) - height))
    shown = list(lines[start : start + height])
    if start and first > start:
        shown[0] = Content.styled(f"  ({start + 1} more above)", "$quiet")
    below = len(lines) - start - height
    if below > 0 and last < start + height - 1:
        shown[-1] = Content.styled(f"  ({below + 1} more below)", "$quiet")
    return shown, start


def figure_lines(figure: Figure, width: int) -> list[Content]:
    """A figure in one line where it fits, else its value below its label; its origin where there is room for it."""
    value, label = value_words(figure), as_read(figure.label, limit=80)
    origin = f"  {figure.origin:<{ORIGIN}}" if width >= WIDE_FIGURES else ""
    room = width - len(origin)
    tail = Content.assemble((value, "bold $text"), (origin, "$quiet"))
    gap = room - len(label) - len(value)
    if gap >= 2:
        return [Content.assemble((label + " " * gap, "$quiet"), tail)]
    return [*wrapped(label, "$quiet", room, 0), tail.pad_left(max(2, room - len(value)))]


def figures(found: Sequence[Figure], width: int) -> list[Content]:
    """The figures of a section, their values in a column."""
    return [line for figure in found for line in figure_lines(figure, width)]


# Above the fields: what each hue is, and the table of colours.


def legend(bands: Sequence[StripBand], width: int, glyphs: Glyphs) -> list[Content]:
    """Each colour with its share of the piece; with its bands too where that goes into one line."""
    lines, entries, gap = list[Content](), list[Content](), "   "
    for gap, with_bands in (("   ", True), ("   ", False), ("  ", False)):
        entries = _entries(bands, glyphs, with_bands=with_bands)
        if sum(entry.cell_length + len(gap) for entry in entries) - len(gap) <= width:
            break
    for entry in entries:
        if lines and lines[-1].cell_length + len(gap) + entry.cell_length <= width:
            lines[-1] = Content.assemble(lines[-1], gap, entry)
        else:
            lines.append(entry)
    return lines


def _entries(bands: Sequence[StripBand], glyphs: Glyphs, *, with_bands: bool) -> list[Content]:
    whole, entries = sum(band.size for band in bands), []
    for name in sorted({band.name for band in bands}, key=lambda name: (not name, _first(bands, name))):
        own = [band for band in bands if band.name == name]
        count = f", {len(own)} bands" if with_bands and name and len(own) > 1 else ""
        sign = "" if glyphs.coloured else f"{sign_of(own[0], glyphs)} "
        said = f" {clean(name or 'bare', limit=40)} {percent(sum(band.size for band in own) / whole)}{count}"
        mark = patch(hue_of(own[0]), own[0].sign, 2, 1, glyphs)[0]
        entries.append(Content.assemble((sign, "bold $text"), mark, (said, "$quiet")))
    return entries


def _first(bands: Sequence[StripBand], name: str) -> int:
    return next(number for number, band in enumerate(bands) if band.name == name)


def colour_table(
    heads: Sequence[str],
    lines: Sequence[TableLine],
    chosen: int,
    width: int,
    most: int,
    looks: Mapping[str, Look],
    glyphs: Glyphs,
) -> list[Content]:
    """The colours in columns, their numbers at the right; `chosen` is the number of the one in hand.

    So many lines at most, with the chosen one among them; where the names are short of room the first columns go.
    """
    first = next((n for n, line in enumerate(lines) if line.number == chosen), 0)
    start = max(0, min(first - (most - 1) // 2, len(lines) - most))
    shown, heads = lines[start : start + most], list(heads)
    wide = {head: max(len(head), *(len(line.cells.get(head, "")) for line in lines)) for head in heads}
    wanted = min(LONGEST_NAME, max(len(line.name) + 2 * line.part for line in lines))
    mark = 4 if width >= NARROW_TABLE else 2
    room = width - BAR - mark - 2
    while len(heads) > 1 and room - sum(wide[head] + 1 for head in heads) < wanted:
        heads.pop(0)
    gap = next((g for g in (3, 2) if room - sum(wide[head] + g for head in heads) >= wanted), 1)
    name = room - sum(wide[head] + gap for head in heads)
    name = min(name, MOST_NAME)
    part = f"{start + 1} to {start + most} of {len(lines)}" if len(lines) > most else ""
    top = f"{'':{BAR + mark + 2}}{part:<{name}}" + _cells(heads, wide, gap, {head: head for head in heads})
    told = [Content.styled(top, "$quiet")]
    for line in shown:
        here = line.number == chosen
        look = looks.get(line.name) if not line.part else None
        hue = (
            patch(look.hex if look else "", look.sign if look else ".", mark, 1, glyphs)[0]
            if look
            else " " * mark
        )
        style = "bold $text" if here and not line.part else "$text" if not line.part else "$quiet"
        said = clean("  " * line.part + line.name or "no name", limit=name)
        row = Content.assemble(
            (glyphs.bar if here and not line.part else " ", "$focus"), " ", hue, "  ",
            (f"{said}{' ' * (name - cell_len(said))}", style),
            (_cells(heads, wide, gap, line.cells), style),
        )  # fmt: skip
        row = row.pad_right(max(0, width - row.cell_length)).stylize("on $panel") if here else row
        told.append(leads(row, "colour", line.number))
    return told


def _cells(heads: Sequence[str], wide: Mapping[str, int], gap: int, cells: Mapping[str, str]) -> str:
    return "".join(f"{'':{gap}}{cells.get(head, ''):>{wide[head]}}" for head in heads)


def ladder(steps: Sequence[tuple[float, str]], glyphs: Glyphs, width: int) -> Content:
    """A colour from pale to deep, each patch with its depth, which a click gives it; as many as fit."""
    cells = 4 if width >= 5 * 11 else 2
    parts = [
        leads(
            Content.assemble(*patch(hue, ".", cells, 1, glyphs), (f" {depth:g}", "$quiet")),
            "depth",
            f"{depth:g} %",
        )
        for depth, hue in steps
    ]
    while parts and sum(part.cell_length + 2 for part in parts) - 2 > width:
        parts.pop()
    return Content("  ").join(parts)


# Below the fields: the job in three lines, and what is to be known.


def job_lines(lines: Sequence[tuple[str, str, str]], width: int) -> list[Content]:
    """Stage, what it comes to and, where there is room, by what."""
    told = []
    label = max((len(name) for name, _, _ in lines), default=0) + 2 if width < NARROW_TABLE else BAR + LABEL
    for name, comes_to, origin in lines:
        said = in_lines(as_read(comes_to, limit=400), "$text", width - label)
        rows = hanging(Content.styled(f"{name:<{label}}", "$quiet"), said)
        room = width - rows[-1].cell_length - len(origin)
        if room >= 2 and len(said) == 1:
            rows[-1] = Content.assemble(rows[-1], " " * room, (origin, "$quiet"))
        told.extend(rows)
    return told


def standing(draft: PlanDraft, *, saved: bool) -> tuple[str, str]:
    """Whether it may begin and whether it is saved, in a few words with their style."""
    kept = "saved" if saved else "NOT SAVED"
    if draft.trouble is not None:
        return f"not complete   {kept}", "bold $danger"
    sheet = draft.worksheet
    stops = len(sheet.stops) if sheet else 0
    if stops:
        return f"{stops} to change   {kept}", "bold $danger"
    warns = sum(c.level == "warn" for c in sheet.cautions) if sheet else 0
    said = counted(warns, "warning") if warns else "ready to begin"
    return f"{said}   {kept}", "$due" if warns or not saved else "$done"


def title_line(title: str, said: tuple[str, str], width: int) -> Content:
    """The plan's title, and how it stands on the right."""
    room = max(8, width - len(said[0]) - 2)
    name = Content.styled(clean(title, limit=room), "bold $text")
    if name.cell_length + len("   plan") <= room:
        name = Content.assemble(name, ("   plan", "$quiet"))
    return Content.assemble(name, " " * max(1, width - name.cell_length - len(said[0])), said)
