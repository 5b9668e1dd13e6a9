"""The plan screen as content: strip of sections, fields, bands, figures and cautions."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place, place_of
from studio.plan.fields import FieldSection
from studio.plan.preview import Look
from studio.plan.shapes import Caution, Figure
from studio.quantity.reading_in import as_read
from studio.report.worksheet import value_words
from studio.screens.draw.keys import hanging, wrapped
from studio.screens.draw.panel import caution_lines, figure_row
from studio.screens.plan.rows import BandRow, FieldRow, Row
from studio.words.table import spoken

LABEL = 16
SIZE = 9


def strip(sections: Sequence[FieldSection], chosen: int, draft: PlanDraft, width: int) -> Content:
    """The sections side by side; the chosen one in capitals, `!` where something must be changed."""
    places = [place_of(c.where, draft.data) for c in (draft.worksheet.stops if draft.worksheet else ())]
    wrong = {p.table for p in (*places, draft.trouble.place if draft.trouble else None) if p is not None}
    marks = ["!" if s.table in wrong else "" for s in sections]
    said = [(s.name.upper() if n == chosen else s.name) + marks[n] for n, s in enumerate(sections)]
    gap = "  " if sum(map(len, said)) + 2 * len(said) <= width else " "
    first = 0
    while len(gap.join(said[first:])) + 1 > width and first < chosen:
        first += 1
    parts: list[tuple[str, str]] = [(" ", "")]
    for number in range(first, len(said)):
        style = "bold $focus" if number == chosen else "bold $danger" if marks[number] == "!" else "$quiet"
        parts.append((said[number] + gap, style))
    return Content.assemble(*parts).truncate(width)


def row_line(
    row: Row, width: int, *, chosen: bool, looks: dict[str, Look], most: float, block: str
) -> list[Content]:
    """One row; the chosen one is shown whole, over several lines where it must be."""
    mark = " > " if chosen else "   "
    style = "bold $focus" if chosen else "$text"
    if isinstance(row, BandRow):
        return [_band(row, mark, style, width, looks, most, block)]
    label = f"{mark}{row.field.label:<{LABEL}} "
    room = max(8, width - len(label) - 1)
    if row.field.kind == "text" and row.place.table == "colour" and row.place.key == "name" and not chosen:
        style = "bold $text"
    value = Content.styled(clean(row.value, limit=1500), style) if row.value else _instead(row)
    lines = (
        value.wrap(room) if chosen else [Content.styled(clean(value.plain, limit=room), _style(row, style))]
    )
    return hanging(Content.styled(label, "$focus" if chosen else "$quiet"), lines or [Content("")])


def _style(row: FieldRow, style: str) -> str:
    return style if row.value else "$quiet"


def _instead(row: FieldRow) -> Content:
    return Content.styled(clean(row.instead, limit=300) or "-", "$quiet")


def _band(
    row: BandRow, mark: str, style: str, width: int, looks: dict[str, Look], most: float, block: str
) -> Content:
    name = clean(row.colour or "bare", limit=LABEL)
    room = max(4, width - 3 - LABEL - 1 - SIZE - 3)
    cells = max(1, round(room * row.rows / most)) if most else 1
    look = looks.get(row.colour)
    sign = look.sign if look else "."
    if row.waits:
        sign, look, cells = "no colour yet" if room >= len("no colour yet") else "no colour", None, 1
    drawn = (block * cells, look.hex) if look and block and look.hex else (sign * cells, "$text")
    name_cells = Content.styled(name, style)
    return Content.assemble(
        (mark, style),
        name_cells.pad_right(LABEL + 1 - name_cells.cell_length),
        (f"{row.size:>{SIZE}}  ", style),
        drawn,
    )


def under_lines(tells: str, trouble: str, echo: str, offers: Sequence[str], width: int) -> list[Content]:
    """What stands under the chosen field: what is wrong, else what it comes to, names that fit, what it is for."""
    blocks: list[Content] = []
    if trouble:
        blocks.append(Content.styled(clean(trouble, limit=500), "bold $danger"))
    if echo:
        blocks.append(Content.styled(f"=  {clean(echo, limit=200)}", "bold $done"))
    if offers:
        blocks.append(
            Content.assemble(("down  ", "$focus"), (clean(", ".join(offers), limit=3 * width), "$text"))
        )
    if tells:
        blocks.append(Content.styled(clean(tells, limit=300), "$quiet"))
    return [line.pad_left(5) for block in blocks for line in block.wrap(max(16, width - 7))]


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
        shown[0] = Content.styled(f"   ({start + 1} more above)", "$quiet")
    below = len(lines) - start - height
    if below > 0 and last < start + height - 1:
        shown[-1] = Content.styled(f"   ({below + 1} more below)", "$quiet")
    return shown, start


def figure_lines(figure: Figure, width: int) -> list[Content]:
    """A figure in one line where it fits, else its value and origin below its label."""
    if width >= 70:
        return [figure_row(figure, width)]
    value, label = value_words(figure), as_read(figure.label, limit=80)
    tail = f"{value}  {figure.origin}"
    gap = width - 3 - len(label) - len(tail)
    if gap >= 1:
        return [
            Content.assemble(
                (f" {label}{' ' * gap}", "$quiet"), (value, "bold $text"), (f"  {figure.origin}", "$quiet")
            )
        ]
    lines = wrapped(label, "$quiet", width)
    below = Content.assemble((value, "bold $text"), (f"  {figure.origin}", "$quiet"))
    return [*lines, *(line.pad_left(3) for line in below.wrap(width - 5))]


def side(
    draft: PlanDraft,
    figures: Sequence[Figure],
    cautions: Sequence[Caution],
    at: Caution | None,
    width: int,
    *,
    here: Place | None,
) -> list[Content]:
    """Cautions of the whole plan that press, the figures of the section, then what is good to know there.

    here: the chosen field, below which its own trouble is told already.
    """
    sheet, trouble = draft.worksheet, draft.trouble
    lines: list[Content] = []
    if trouble is not None and (trouble.place is None or trouble.place != here):
        lines.extend(wrapped(clean(trouble.sentence, limit=500), "bold $danger", width))
        if trouble.place is not None:
            lines.extend(wrapped(spoken("{plan.caution} goes there."), "$quiet", width))
    if sheet is None:
        return [*lines, *wrapped("Nothing can be worked out yet.", "$quiet", width)]
    if trouble is not None:
        lines.extend(wrapped("Figures as they were before:", "$due", width))
    pressing = [c for c in sheet.cautions if c.level != "note"]
    shown = list(pressing)
    if at is not None and at not in shown:
        shown.insert(0, at)
    for caution in shown:
        lines.extend(caution_lines(caution, width))
    if shown:
        lines.append(Content(""))
    for figure in figures:
        lines.extend(figure_lines(figure, width))
    known = [c for c in cautions if c.level == "note" and c is not at]
    if known:
        lines.append(Content(""))
        lines.extend(line for c in known for line in caution_lines(c, width))
    return lines


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
    said = f"{warns} warning{'s' if warns != 1 else ''}" if warns else "ready to begin"
    return f"{said}   {kept}", "$due" if warns or not saved else "$done"


def title_line(title: str, said: tuple[str, str], width: int) -> Content:
    """The plan's title, and how it stands on the right."""
    name = Content.styled(f" {clean(title, limit=max(8, width - len(said[0]) - 4))}", "bold $text")
    gap = max(1, width - name.cell_length - len(said[0]) - 1)
    return Content.assemble(name, " " * gap, said)
