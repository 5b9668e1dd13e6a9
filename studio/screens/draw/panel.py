"""Figures, cautions, reasons and the steps of a stage as content."""

from __future__ import annotations

import msgspec
from rich.cells import cell_len
from textual.content import Content

from studio.plaintext import clean
from studio.plan.shapes import Caution, Figure, Step, Worksheet
from studio.quantity.reading_in import as_read
from studio.report.printing import marks
from studio.report.telling import outcome
from studio.report.worksheet import sections, spread_bar, value_words, why_rows
from studio.screens.draw.keys import SENTENCE, WAITS_TO_BE_SAVED, Glyphs, hanging, leads
from studio.screens.draw.lists import row_content
from studio.session.path import LEFT_OUT as NOT_AS_PLANNED
from studio.session.state import StepRecord
from studio.words.table import spoken

LEVEL_STYLE = {"stop": "bold $danger", "warn": "bold $due", "note": "$quiet"}


def pressing(worksheet: Worksheet, width: int) -> Content:
    """Stops and warnings, most serious first: what must be dealt with before the pot is lit."""
    return _rows([c for level in ("stop", "warn") for c in worksheet.cautions if c.level == level], width)


def notes(worksheet: Worksheet, width: int) -> Content:
    """What is good to know; read after the figures."""
    rows = _rows([c for c in worksheet.cautions if c.level == "note"], width)
    return Content("\n").join([Content.styled(" good to know", "bold $focus"), rows]) if rows.plain else rows


def _rows(cautions: list[Caution], width: int) -> Content:
    return Content("\n").join(line for c in cautions for line in caution_lines(c, width))


def caution_lines(caution: Caution, width: int, *, with_source: bool = False) -> list[Content]:
    """Level as a word and the sentence beside it, wrapped under itself; the source below when asked for."""
    room = max(20, width - 8)
    lines = Content.styled(as_read(spoken(caution.text), limit=900), "$text").wrap(room)
    if with_source:
        lines = [*lines, *Content.styled(clean(caution.source, limit=400), "$quiet").wrap(room)]
    return hanging(Content.styled(f" {caution.level.upper():<6}", LEVEL_STYLE[caution.level]), lines)


def figure_row(figure: Figure, width: int) -> Content:
    """One figure: label, value with unit and range, and at the right its origin where they leave room for it."""
    value, label = value_words(figure), as_read(figure.label)
    most = width - 3 - len(value)
    column = 36 if width >= 72 else max(12, min(30, width - 4 - max(15, len(value))))
    label = f"{clean(label, limit=max(column, most)):<{column}}"
    row = Content.assemble((f"  {label} ", "$quiet"), (value, "bold $text"))
    room = min(width, SENTENCE) - row.cell_length - len(figure.origin)
    return row.append(Content.styled(f"{' ' * room}{figure.origin}", "$quiet")) if room >= 2 else row


def figures(worksheet: Worksheet, width: int) -> Content:
    """All figures, in sections."""
    lines: list[Content] = []
    for name, part in sections(worksheet).items():
        rows = [line for figure in part for line in _figure_rows(figure, width)]
        lines.extend([Content.styled(f" {name}", "bold $focus"), *rows, Content("")])
    return Content("\n").join(lines)


def _figure_rows(figure: Figure, width: int) -> list[Content]:
    """The figure; below it where the plan's choice lies, if it is one of a published spread."""
    bar = spread_bar(figure)
    lines = [figure_row(figure, width)]
    return [*lines, Content.styled(f"    {bar}", "$quiet").truncate(width, ellipsis=True)] if bar else lines


def why(figure: Figure, width: int) -> Content:
    """One figure with its value, its equation and its source, each wrapped under itself."""
    return Content("\n").join([*map(row_content, why_rows(figure, width)), Content("")])


# The steps of a stage, with their marks.


class Check(msgspec.Struct, frozen=True):
    """One line of the stage's list."""

    step: Step
    record: StepRecord
    when: str = ""
    """Time of day it was closed."""
    current: bool = False
    waits: bool = False
    """To be saved: it is not ticked then."""
    critical: bool = False


def check_row(check: Check, width: int, glyphs: Glyphs) -> Content:
    """A sign, what is done, what was seen and when at the right end; the one in hand behind a bar.

    The time gives way where what is done would be cut.
    """
    said, tail = clean(check.step.done), _seen(check).truncate(LONGEST_SEEN, ellipsis=True)
    if check.when and cell_len(said) + tail.cell_length + cell_len(check.when) + 8 <= width:
        tail = Content.assemble(tail, (f"  {check.when}", "$quiet"))
    room = width - 5 - tail.cell_length
    said = clean(said, limit=max(8, room))
    gap = " " * max(1, room - cell_len(said))
    row = Content.assemble(_head(check, glyphs), (said, _style(check)), gap, tail)
    return _led(row, check, width)


def check_lines(check: Check, width: int, glyphs: Glyphs) -> list[Content]:
    """The row of a check; where it would be cut, all that is done and all that was seen, each on lines of its own."""
    said, seen = clean(check.step.done), _seen(check)
    if cell_len(said) + seen.cell_length + 5 <= width:
        return [check_row(check, width, glyphs)]
    told = (Content.styled(said, _style(check)), seen)
    lines = [line for part in told if part.plain for line in part.wrap(max(8, width - 5))]
    return [_led(row, check, width) for row in hanging(_head(check, glyphs), lines)]


LONGEST_SEEN = 52
"""Cells of what was seen where it has to stand in one line with what is done."""


def _head(check: Check, glyphs: Glyphs) -> Content:
    """The bar of the one in hand, and its sign."""
    return Content.assemble((glyphs.bar if check.current else " ", "$focus"), " ", _mark(check, glyphs), " ")


def _style(check: Check) -> str:
    return "bold $text" if check.current else "$quiet"


def _seen(check: Check) -> Content:
    """What was measured, judged or told of it."""
    seen = WAITS_TO_BE_SAVED if check.waits else outcome(check.step, check.record)
    value, odd = check.record.value, check.waits or check.record.state != "measured"
    rated = f"{marks(round(value))}  " if value is not None and check.step.quantity == "rating" else ""
    return Content.assemble(
        (rated, "$text"), (seen, "$danger" if check.waits else "$due" if odd else "$text")
    )


def _led(row: Content, check: Check, width: int) -> Content:
    """The one in hand on its ground; a click on a step leads to the correction of its value."""
    if check.current:
        row = row.truncate(width, ellipsis=True, pad=True).stylize("on $panel")
    return leads(row, "correct", check.step.id)


def _mark(check: Check, glyphs: Glyphs) -> tuple[str, str]:
    if check.waits:
        return glyphs.due, "bold $danger"
    if check.record.state in NOT_AS_PLANNED:
        return glyphs.left_out, "$due"
    if check.record.closed:
        return glyphs.done, "bold $done"
    if check.current:
        return glyphs.now, "bold $focus"
    return (glyphs.critical, "bold $danger") if check.critical else (glyphs.open, "$quiet")
