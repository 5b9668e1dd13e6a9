"""Jar labels in two sizes and a card for the yarn, as one HTML sheet to print and cut."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

from studio.plaintext import clean
from studio.report.export_page import Paper, fill
from studio.report.export_source import Source
from studio.report.label_facts import NOT_FOR_FOOD, jar_labels
from studio.report.yarn_card import YarnFacts, yarn_card

Label = TypeVar("Label")


@dataclass(frozen=True, slots=True)
class Grid:
    """Labels of one size on a page, mm."""

    columns: int
    rows: int
    width: float
    height: float
    gap: float
    top: float
    left: float

    @property
    def on_a_page(self) -> int:
        """How many."""
        return self.columns * self.rows


PAGE_MM: dict[Paper, tuple[float, float]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


def grid(paper: Paper, width: float, height: float, gap: float = 2.5, least_margin: float = 8.0) -> Grid:
    """As many as fit between margins a printer can print to, in the middle of the page. House rule.

    >>> found = grid("A4", 63.5, 38.1)
    >>> found.columns, found.rows, round(found.left, 2), round(found.top, 2)
    (3, 7, 7.25, 15.15)
    """
    page_width, page_height = PAGE_MM[paper]
    columns = int((page_width - 2 * (least_margin - 1) + gap) // (width + gap))
    rows = int((page_height - 2 * least_margin) // height)
    left = (page_width - columns * width - (columns - 1) * gap) / 2
    return Grid(columns, rows, width, height, gap, (page_height - rows * height) / 2, left)


def label_sheet(source: Source, yarn: YarnFacts, *, paper: Paper = "A4") -> str:
    """The sheet: small jar labels (63.5 x 38.1 mm), large ones (96 x 67.7 mm), the yarn's card twice."""
    labels = jar_labels(source.state, source.name)
    small, large = grid(paper, 63.5, 38.1), grid(paper, 96.0, 67.7, gap=2.0)
    page_width, page_height = PAGE_MM[paper]
    return fill(
        "labels.html.j2",
        paper=paper,
        page_width=page_width,
        page_height=page_height,
        title=clean(source.state.title) or "Untitled session",
        sizes=[(name, g, pages(labels, g.on_a_page)) for name, g in (("small", small), ("large", large))],
        card=yarn_card(source.state, source.name, yarn),
        not_for_food=NOT_FOR_FOOD,
        sources=sorted({f"{label.kind}: {label.use_by_source}" for label in labels}),
        told=source.told,
        rehearsal=source.state.rehearsal_speed is not None,
    )


def pages(labels: Sequence[Label], on_a_page: int) -> list[Sequence[Label]]:
    """Cut into pages.

    >>> pages("abcde", 2)
    ['ab', 'cd', 'e']
    """
    return [labels[start : start + on_a_page] for start in range(0, len(labels), on_a_page)]
