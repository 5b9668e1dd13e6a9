"""A worksheet as sections of text, on paper or in a terminal, and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

import msgspec

from studio.plaintext import clean
from studio.plan.shapes import Caution, Figure, Level, Worksheet, said_by
from studio.quantity.kinds import money_text
from studio.quantity.reading_in import as_read, told, told_number, unit_for
from studio.quantity.showing import HOURS_FROM, show
from studio.report.printing import Role, Row, Section, Span, printable_json, row

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
    low, high = (figure_told(figure, end) for end in (figure.low, figure.high))
    hours = figure.unit == "min" and figure.high >= HOURS_FROM
    if figure.chosen is not None:
        units = {unit_for(end, figure.unit, kitchen=figure.kitchen) for end in (figure.low, figure.high)}
        apart = hours or len(units) > 1
        return f"{low if apart else told_number(figure.low, figure.unit, figure.low)} to {high}"
    if not hours:
        low, high = (
            told_number(end, figure.unit, figure.value, kitchen=figure.kitchen)
            for end in (figure.low, figure.high)
        )
    if figure.value >= figure.high and figure.unit == "min":
        return f"{value} ({low} at the earliest)"
    return f"{value} ({high} at most)" if figure.value <= figure.low else f"{value} ({low} to {high})"


# A worksheet on paper or in a terminal of 80 columns and more: cautions first, then the figures in order of
# work.

NARROWEST = 60
ORIGIN = 17
"""Cells of the origin of a figure, with the gap before it."""
LEVELS: dict[Level, tuple[Role, str]] = {
    "stop": ("danger", "to stop for"),
    "warn": ("due", "to accept"),
    "note": ("focus", "to know"),
}


def worksheet_sections(worksheet: Worksheet, width: int, *, why: bool = False) -> list[Section]:
    """What is printed, part by part; `why` adds the equation and the source under each figure."""
    return [s for s in _sections(worksheet, max(NARROWEST, width), why=why) if s.rows]


def _sections(worksheet: Worksheet, width: int, *, why: bool) -> Iterator[Section]:
    counts = [sum(c.level == level for c in worksheet.cautions) for level in LEVELS]
    told = ", ".join(f"{n} {word}" for n, (_, word) in zip(counts, LEVELS.values(), strict=True) if n)
    title = row((clean(worksheet.title, limit=width - 2), "strong"))
    yield Section("", (title, row((told or "no cautions", "quiet"))))
    yield Section("", tuple(r for c in worksheet.cautions for r in _caution(c, width, why=why)))
    for name, figures in sections(worksheet).items():
        rows = why_rows if why else _figure
        yield Section(name, tuple(r for f in figures for r in rows(f, width - 2)))
    yield Section("", tuple(row(line) for line in _closing(worksheet)))


def _caution(caution: Caution, width: int, *, why: bool) -> Iterator[Row]:
    role, _ = LEVELS[caution.level]
    stage = f"  [{caution.stage}]" if caution.stage else ""
    told: list[Span] = [(as_read(caution.text, limit=600) + stage, "plain")]
    if why:
        told += [(clean(caution.source, limit=400), "quiet"), (clean(caution.id, limit=80), "quiet")]
    head = f"{caution.level.upper():<6}"
    for text, how in told:
        for line in wrap(text, width - len(head)):
            yield row((head, role), (line, how))
            head = " " * len(head)


def _figure(figure: Figure, width: int) -> Iterator[Row]:
    """Its value at the right; below it where the plan's choice lies, if it is one of a published spread."""
    value, bar = value_words(figure), spread_bar(figure)
    room = width - len(value) - ORIGIN
    for n, line in enumerate(wrap(as_read(figure.label, limit=80), room - 2)):
        at_right: Row = ((value, "strong"), (f"  {figure.origin}", "quiet"))
        yield row((f"{line:<{room}}", "plain"), *at_right if n == 0 else ())
    if bar:
        yield row((f"  {bar}", "quiet"))


def why_rows(figure: Figure, width: int) -> Iterator[Row]:
    """One figure with its value, its equation and its source, each wrapped under itself."""
    value = value_words(figure)
    label = as_read(figure.label, limit=max(20, min(60, width - len(value) - 4)))
    yield row((f" {label}  ", "strong"), (value, "focus"))
    told: tuple[Span, ...] = (
        (spread_bar(figure), "plain"),
        (clean(figure.because, limit=900), "plain"),
        (clean(said_by(figure.origin, figure.source), limit=1500), "quiet"),
    )
    for text, role in told:
        for line in wrap(text, max(20, width - 5), break_on_hyphens=False):
            yield row((f"   {line}", role))


def _closing(worksheet: Worksheet) -> Iterator[Span]:
    steps = sum(len(stage.steps) for stage in worksheet.procedure)
    if worksheet.procedure:
        stages = ", ".join(f"{stage.stage} {len(stage.steps)}" for stage in worksheet.procedure)
        yield f"{steps} steps: {stages}", "quiet"
    if worksheet.timers:
        clocks = "; ".join(f"{clean(t.label, limit=30)}, {show(t.minutes, 'min')}" for t in worksheet.timers)
        yield f"clocks: {clocks}", "quiet"
    if worksheet.stops:
        yield "This plan cannot begin yet: change what the lines marked STOP name.", "strong"
    yield (
        "Figures marked estimate or house rule are not measurements; the maker's sheets come first.",
        "quiet",
    )


# A worksheet as JSON: `potside-worksheet/1`.


def worksheet_json(worksheet: Worksheet) -> str:
    """The worksheet as one JSON document: ASCII, stable order, a line feed at the end.

    `{"format", "title", "figures": [{"id", "value", "unit", "label", "because", "origin", "source"}],
    "cautions": [{"id", "level", "text", "source"}], "procedure": [{"stage", "steps": [{"id", "kind", "text"}]}],
    "timers"}`; members a row does not need are left out. Text stands as it was written, escaped by JSON.
    """
    return printable_json(msgspec.json.encode(worksheet)) + "\n"
