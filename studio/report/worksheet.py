"""A worksheet as sections of text, on paper or in a terminal, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import clean
from studio.plan.shapes import Caution, Figure, Worksheet
from studio.quantity.kinds import money_text
from studio.quantity.reading_in import as_read, told, told_number
from studio.quantity.showing import show
from studio.report.printing import printable_json

if TYPE_CHECKING:
    from rich.console import Console, RenderableType
    from rich.table import Table


# A small bar that shows where a plan's choice lies among what is published.

CELLS = 16
"""Of the bar, between its ends."""


def spread_bar(figure: Figure, cells: int = CELLS) -> str:
    """The spread from least to most with an `o` where the choice lies; empty for a figure without a choice.

    A choice beyond the spread stands outside the bar.

    >>> told = {"id": "x", "unit": "min", "label": "", "because": "", "origin": "published"}
    >>> spread_bar(Figure(value=30.0, low=30.0, high=60.0, chosen=45.0, **told), cells=5)
    '30 |--o--| 60'
    >>> spread_bar(Figure(value=30.0, low=30.0, high=60.0, chosen=20.0, **told), cells=5)
    'o 30 |-----| 60'
    """
    low, high, chosen = figure.low, figure.high, figure.chosen
    if low is None or high is None or chosen is None or not high > low:
        return ""
    marks = ["-"] * cells
    before = after = ""
    # An end of the spread worked out again may differ from it in its last digit.
    near = 1e-9 * high
    if chosen < low - near:
        before = "o "
    elif chosen > high + near:
        after = " o"
    else:
        share = min(1.0, max(0.0, (chosen - low) / (high - low)))
        marks[round(share * (cells - 1))] = "o"
    least, most = (told_number(end, figure.unit, low, kitchen=figure.kitchen) for end in (low, high))
    return f"{before}{least} |{''.join(marks)}| {most}{after}"


# How a worksheet is cut into sections, and how a figure's value is written.


def sections(worksheet: Worksheet) -> dict[str, list[Figure]]:
    """The figures in order of work, by the part that each belongs to."""
    cut: dict[str, list[Figure]] = {}
    for figure in worksheet.figures:
        cut.setdefault(figure.part or "more", []).append(figure)
    return cut


def figure_told(figure: Figure, value: float) -> str:
    """A value of the figure with its unit or currency, as it is read."""
    if figure.currency:
        return money_text(value, figure.currency)
    return told(value, figure.unit, kitchen=figure.kitchen)


def value_words(figure: Figure) -> str:
    """Value with unit, and the ends of the range where it is one of a range; of published doses those alone.

    >>> value_words(Figure(id="set.hold", value=49.0, unit="min", label="", because="", origin="house rule",
    ...                    low=34.0, high=49.0))
    '49 min (34 at the earliest)'
    """
    if figure.currency:
        return figure_told(figure, figure.value)
    value = figure_told(figure, figure.value)
    if figure.low is None or figure.high is None or not figure.high > figure.low:
        return value
    low, high = (
        told_number(end, figure.unit, figure.value, kitchen=figure.kitchen)
        for end in (figure.low, figure.high)
    )
    if figure.chosen is not None:
        return f"{low} to {figure_told(figure, figure.high)}"
    if figure.value >= figure.high and figure.unit == "min":
        return f"{value} ({low} at the earliest)"
    return f"{value} ({high} at most)" if figure.value <= figure.low else f"{value} ({low} to {high})"


# A worksheet on paper or in a terminal of 80 columns and more: cautions first, then tables in order of
# work. Nothing here is parsed as markup; every text that came from a file is cleaned.

NARROWEST, WIDEST = 60, 110
LEVEL_STYLES = {"stop": "bold white on red", "warn": "bold yellow", "note": "cyan"}


def print_worksheet(worksheet: Worksheet, console: Console, *, why: bool = False) -> None:
    """Print the worksheet; `why` adds the equation and the source under each figure."""
    width = max(NARROWEST, min(WIDEST, console.width))
    for part in worksheet_parts(worksheet, width, why=why):
        console.print(part, width=width, markup=False, highlight=False, soft_wrap=False)


def worksheet_parts(worksheet: Worksheet, width: int, *, why: bool = False) -> Iterator[RenderableType]:
    """What is printed, part by part."""
    from rich.text import Text

    yield _title(worksheet, width)
    yield Text()
    if worksheet.cautions:
        yield _cautions(worksheet.cautions, why=why)
        yield Text()
    for name, figures in sections(worksheet).items():
        yield _heading(f" {name} ", width)
        if why:
            yield from _reasons(figures)
        else:
            yield _figures(figures)
        yield Text()
    yield _closing(worksheet)


def _title(worksheet: Worksheet, width: int) -> RenderableType:
    from rich.text import Text

    title = Text(clean(worksheet.title, limit=width - 2), style="bold")
    counts = [sum(c.level == level for c in worksheet.cautions) for level in ("stop", "warn", "note")]
    words = ("to stop for", "to accept", "to know")
    said = ", ".join(f"{n} {word}" for n, word in zip(counts, words, strict=True) if n) or "no cautions"
    return Text.assemble(title, "\n", ("=" * min(width, max(24, title.cell_len)), "dim"), "\n", (said, "dim"))


def _cautions(cautions: Sequence[Caution], *, why: bool) -> Table:
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(width=4, no_wrap=True)
    table.add_column(ratio=1)
    for caution in cautions:
        text = Text(as_read(caution.text, limit=600))
        if caution.stage:
            text.append(f"  [{caution.stage}]", style="dim")
        if why:
            text.append(f"\n{clean(caution.source, limit=400)}", style="dim")
            text.append(f"\n{clean(caution.id, limit=80)}", style="dim")
        table.add_row(Text(caution.level.upper(), style=LEVEL_STYLES[caution.level]), text)
    return table


def _heading(name: str, width: int) -> RenderableType:
    from rich.text import Text

    return Text.assemble(("--", "dim"), (name, "bold"), ("-" * max(0, width - len(name) - 2), "dim"))


def _figures(figures: Sequence[Figure]) -> Table:
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2, 0, 0), expand=True)
    table.add_column(ratio=1)
    table.add_column(justify="right", no_wrap=True)
    table.add_column(width=15, no_wrap=True)
    for figure in figures:
        table.add_row(
            Text(as_read(figure.label, limit=80)),
            Text(value_words(figure), style="bold"),
            Text(figure.origin, style="dim"),
        )
        bar = spread_bar(figure)
        if bar:
            table.add_row(Text(f"  {bar}", style="dim", no_wrap=True))
    return table


def _reasons(figures: Sequence[Figure]) -> Iterator[RenderableType]:
    """Each figure with its equation and its source below it."""
    from rich.padding import Padding
    from rich.text import Text

    for figure in figures:
        yield _figures((figure,))
        reason = Text(clean(figure.because, limit=800))
        reason.append(f"\nsource: {clean(figure.source, limit=1500)}", style="dim")
        yield Padding(reason, (0, 2, 1, 4))


def _closing(worksheet: Worksheet) -> RenderableType:
    from rich.text import Text

    steps = sum(len(stage.steps) for stage in worksheet.procedure)
    stages = ", ".join(f"{stage.stage} {len(stage.steps)}" for stage in worksheet.procedure)
    clocks = ", ".join(f"{clean(t.label, limit=30)} {show(t.minutes, 'min')}" for t in worksheet.timers)
    lines = Text()
    if worksheet.procedure:
        lines.append(f"{steps} steps: {stages}\n", style="dim")
    if worksheet.timers:
        lines.append(f"clocks: {clocks}\n", style="dim")
    if worksheet.stops:
        lines.append("This plan cannot begin: change what the lines marked STOP name.\n", style="bold")
    lines.append(
        "Figures marked estimate or house rule are not measurements; the maker's sheets go first.",
        style="dim",
    )
    return lines


# A worksheet as JSON: `potside-worksheet/1`.


def worksheet_json(worksheet: Worksheet) -> str:
    """The worksheet as one JSON document: ASCII, stable order, a line feed at the end.

    `{"format", "title", "figures": [{"id", "value", "unit", "label", "because", "origin", "source"}],
    "cautions": [{"id", "level", "text", "source"}], "procedure": [{"stage", "steps": [{"id", "kind", "text"}]}],
    "timers"}`; members a row does not need are left out. Text stands as it was written, escaped by JSON.
    """
    return printable_json(msgspec.json.encode(worksheet)) + "\n"
