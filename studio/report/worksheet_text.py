"""A worksheet on paper or in a terminal of 80 columns and more: cautions first, then tables in order of work.

Nothing here is parsed as markup; every text that came from a file is cleaned.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from studio.plaintext import clean
from studio.plan.shapes import Caution, Figure, Worksheet
from studio.quantity import show
from studio.report.spread_bar import spread_bar
from studio.report.worksheet_rows import WorksheetSection, sections, value_words

if TYPE_CHECKING:
    from rich.console import Console, RenderableType
    from rich.table import Table

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
    for section in sections(worksheet):
        yield _heading(section, width)
        if why:
            yield from _reasons(section.figures)
        else:
            yield _figures(section.figures)
        yield Text()
    yield _closing(worksheet)


def _title(worksheet: Worksheet, width: int) -> RenderableType:
    from rich.text import Text

    title = Text(clean(worksheet.title, limit=width - 2), style="bold")
    counts = [sum(c.level == level for c in worksheet.cautions) for level in ("stop", "warn", "note")]
    words = ("to stop for", "to take on", "to know")
    said = (
        ", ".join(f"{n} {word}" for n, word in zip(counts, words, strict=True) if n)
        or "nothing to look out for"
    )
    return Text.assemble(title, "\n", ("=" * min(width, max(24, title.cell_len)), "dim"), "\n", (said, "dim"))


def _cautions(cautions: Sequence[Caution], *, why: bool) -> Table:
    from rich.table import Table
    from rich.text import Text

    table = Table.grid(padding=(0, 2, 0, 0))
    table.add_column(width=4, no_wrap=True)
    table.add_column(ratio=1)
    for caution in cautions:
        text = Text(clean(caution.text, limit=600))
        if caution.stage:
            text.append(f"  [{caution.stage}]", style="dim")
        if why:
            text.append(f"\n{clean(caution.source, limit=400)}", style="dim")
            text.append(f"\n{clean(caution.id, limit=80)}", style="dim")
        table.add_row(Text(caution.level.upper(), style=LEVEL_STYLES[caution.level]), text)
    return table


def _heading(section: WorksheetSection, width: int) -> RenderableType:
    from rich.text import Text

    name = f" {section.name} "
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
            Text(clean(figure.label, limit=80)),
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
        reason.append(f"\nsource: {clean(figure.source, limit=600)}", style="dim")
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
