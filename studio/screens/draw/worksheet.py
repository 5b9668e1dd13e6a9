"""A worksheet as content: cautions first, then the figures by stage."""

from __future__ import annotations

from textual.content import Content

from studio.plaintext import clean
from studio.plan.shapes import Caution, Figure, Worksheet
from studio.screens.draw.bench import figure_row

LEVEL_STYLE = {"stop": "bold $danger", "warn": "bold $due", "note": "$quiet"}

SECTIONS = (
    ("fibre", ("fibre.",)),
    ("presoak", ("presoak.",)),
    ("stocks", ("stock.",)),
    ("paint", ("paint.",)),
    ("set", ("set.",)),
    ("cool and rinse", ("cool.", "rinse.")),
    ("cost", ("cost.",)),
)


def cautions(worksheet: Worksheet) -> Content:
    """Every caution, most serious first."""
    order = {"stop": 0, "warn": 1, "note": 2}
    rows = [caution_row(c) for c in sorted(worksheet.cautions, key=lambda c: order[c.level])]
    return Content("\n").join(rows)


def caution_row(caution: Caution) -> Content:
    """Level as a word, the sentence, and where it comes from."""
    return Content.assemble(
        (f" {caution.level.upper():<5}", LEVEL_STYLE[caution.level]),
        (clean(caution.text, limit=600), "$text"),
        (f"  {clean(caution.source, limit=200)}", "$quiet"),
    )


def figures(worksheet: Worksheet, width: int) -> Content:
    """All figures, in sections."""
    lines: list[Content] = []
    for name, prefixes in SECTIONS:
        rows = [figure_row(f, width) for f in worksheet.figures if f.id.startswith(prefixes)]
        if rows:
            lines.extend([Content.styled(f" {name}", "bold $focus"), *rows, Content("")])
    return Content("\n").join(lines)


def why(figure: Figure) -> Content:
    """One figure with its reason and its source."""
    source = clean(figure.source, limit=300) or figure.origin
    return Content.assemble(
        (f" {clean(figure.label, limit=80)}\n", "bold $text"),
        (f"   {clean(figure.because, limit=600)}\n", "$text"),
        (f"   {figure.origin}", "$focus"),
        (f"  {source}\n" if source != figure.origin else "\n", "$quiet"),
    )
