"""Fastness tests in every document: shown with their scale, never more than was done, and inert whatever the note."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Callable

import msgspec
import pytest
from markdown_it import MarkdownIt

from studio.report.export_html import session_html, session_markdown
from studio.report.exports import events_csv, export_json, figures_csv
from studio.report.labels import YarnFacts, label_sheet, yarn_card
from studio.report.session_page import session_page
from studio.session.after.review import ReadSession
from studio.session.folding import Record, replay

EVIL = [
    "=cmd|' /C calc'!A0",
    "  @SUM(1)",
    "<script>x</script>",
    "[red]a[/]",
    "| a | b |\n# c",
    "\x1b]0;owned\x07",
]


@pytest.fixture
def followed(source_of) -> Callable[..., ReadSession]:  # type: ignore[no-untyped-def]
    """The sample session with a wash test graded twice, a light test that waits and a rub test called off."""

    def make(text: str = "by the window") -> ReadSession:
        source = source_of("20260912")
        last = source.events[-1]
        wash = {"number": 1, "test": "wash", "staining": "2-3", "note": text}
        added = [
            (
                "follow_up.planned",
                {"number": 1, "test": "wash", "due": "2026-09-19", "how": text, "note": text},
            ),
            ("follow_up.graded", {**wash, "change": "4-5"}),
            ("follow_up.graded", {**wash, "change": "4", "why": text}),
            (
                "follow_up.planned",
                {"number": 2, "test": "light", "due": "2026-10-10", "how": text, "note": ""},
            ),
            (
                "follow_up.planned",
                {"number": 3, "test": "wet rub", "due": "2026-09-13", "how": text, "note": ""},
            ),
            ("follow_up.cancelled", {"number": 3, "test": "wet rub", "why": text}),
        ]
        at = "2026-09-20T10:00:00.000Z"
        more = [
            Record(n=last.n + i, kind=kind, at=at, boot_ns=0, boot="b", data=data)
            for i, (kind, data) in enumerate(added, 1)
        ]
        events = [*source.events, *more]
        return msgspec.structs.replace(source, state=replay(events), remarks=(), events=events)

    return make


def page_lines(source: ReadSession) -> list[str]:
    sections = session_page(source.state, source.name, (), 80)
    return ["".join(text for text, _ in row) for section in sections for row in section.rows]


def test_the_page_tells_all_and_keeps_the_old_grade(followed) -> None:
    told = "\n".join(page_lines(followed()))
    assert "change 4, staining 2-3" in told and "was change 4-5, staining 2-3" in told
    assert "waits for 2026-10-10" in told and "called off" in told and "ISO 105-C06" in told
    assert "a slight change, seen edge to edge" in told, "the words of grade 4 stand beside it"


def test_the_card_names_what_was_and_was_not_tested(followed, source_of) -> None:
    """A light test that waits was not done; a wash by hand says nothing of a machine."""
    source = followed()
    card = yarn_card(source.state, source.name, YarnFacts())
    assert any("wash test at home" in t and "change 4, staining 2-3" in t for t in card.tested)
    assert "fastness to washing by machine" in card.not_tested
    assert "fastness to light" in card.not_tested and "fastness to rubbing, wet or dry" in card.not_tested
    assert not any("by hand" in line for line in card.not_tested)
    before = yarn_card(source_of("20260912").state, source.name, YarnFacts())
    assert card.dyed == before.dyed == "2026-09-12", "what is added later makes no yarn younger"
    assert "fastness to washing, by machine or by hand" in before.not_tested


def test_a_grade_is_a_number_in_the_table(followed) -> None:
    """4, and 2.5 for `2-3`: ISO 105-A02 has half grades between two whole ones."""
    rows = list(csv.DictReader(io.StringIO(figures_csv(followed()), newline="")))
    graded = {r["id"]: (float(r["value"]), r["unit"], r["because"]) for r in rows if r["kind"] == "graded"}
    assert graded == {
        "follow_up.1.change": (4.0, "grade", "by the window"),
        "follow_up.1.staining": (2.5, "grade", "by the window"),
    }


@pytest.mark.parametrize("evil", EVIL)
def test_evil_notes_are_inert_everywhere(followed, evil: str) -> None:
    source, calm = followed(evil), followed()
    for text in (events_csv(source), figures_csv(source)):
        for row in csv.reader(io.StringIO(text, newline=""), quoting=csv.QUOTE_NONNUMERIC):
            cells = [cell for cell in row if isinstance(cell, str)]
            assert not any(cell.lstrip()[:1] in tuple("=+@-") or "\x1b" in cell for cell in cells), row
    for html in (session_html(source), label_sheet(source, YarnFacts())):
        assert "<script>x" not in html and "\x1b" not in html
    read = MarkdownIt().enable("table").parse
    shape = [token.type for token in read(session_markdown(calm))]
    assert [token.type for token in read(session_markdown(source))] == shape
    assert all("\x1b" not in line and "\n" not in line for line in page_lines(source))
    back = [Record(**event) for event in json.loads(export_json(source))["events"]]
    assert replay(back).follow_ups == source.state.follow_ups
