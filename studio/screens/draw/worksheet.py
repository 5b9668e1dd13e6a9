"""A worksheet as content: cautions first, then the figures by stage."""

from __future__ import annotations

from textual.content import Content

from studio.plaintext import clean
from studio.plan.shapes import Caution, Figure, Worksheet
from studio.report.spread_bar import spread_bar
from studio.report.worksheet_rows import sections
from studio.screens.draw.bench import figure_row, figure_value
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
    lines = Content.styled(clean(spoken(caution.text), limit=900), "$text").wrap(room)
    if with_source:
        lines = [*lines, *Content.styled(clean(caution.source, limit=400), "$quiet").wrap(room)]
    word = Content.styled(f" {caution.level.upper():<6}", LEVEL_STYLE[caution.level])
    return [Content.assemble(word if n == 0 else " " * 7, line) for n, line in enumerate(lines)]


def figures(worksheet: Worksheet, width: int) -> Content:
    """All figures, in sections."""
    lines: list[Content] = []
    for section in sections(worksheet):
        rows = [line for figure in section.figures for line in _figure_rows(figure, width)]
        lines.extend([Content.styled(f" {section.name}", "bold $focus"), *rows, Content("")])
    return Content("\n").join(lines)


def _figure_rows(figure: Figure, width: int) -> list[Content]:
    """The figure; below it where the plan's choice lies, if it is one of a published spread."""
    bar = spread_bar(figure)
    lines = [figure_row(figure, width)]
    return [*lines, Content.styled(f"    {bar}", "$quiet").truncate(width, ellipsis=True)] if bar else lines


def why(figure: Figure, width: int) -> Content:
    """One figure with its value, its equation and its source, each wrapped under itself."""
    room = max(20, width - 5)
    source = clean(figure.source, limit=500)
    lines = [
        Content.assemble(
            (f" {clean(figure.label, limit=60)}  ", "bold $text"), (figure_value(figure), "bold $focus")
        )
    ]
    told = Content.styled(clean(figure.because, limit=900), "$text").wrap(room)
    told_already = source.startswith(figure.origin)
    said = source if told_already else f"{figure.origin}: {source}" if source else figure.origin
    origin = Content.styled(said, "$quiet").wrap(room)
    bar = spread_bar(figure)
    shown = Content.styled(bar, "$text").wrap(room) if bar else []
    lines.extend(line.pad_left(3) for line in (*shown, *told, *origin))
    return Content("\n").join([*lines, Content("")])
