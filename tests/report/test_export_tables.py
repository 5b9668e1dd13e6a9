"""CSV, JSON and Markdown: read back by other programs, they give the session and nothing runs."""

from __future__ import annotations

import csv
import io
import json
import unicodedata
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from studio.plaintext import clean
from studio.report.export_html import escape, session_markdown
from studio.report.exports import EVENT_HEADS, FIGURE_HEADS, events_csv, export_json, figures_csv, inert
from studio.session.folding import Record, replay

SAMPLES = ["20260912", "20260926", "20261010", "20261031"]
TYPED = {"quoting": csv.QUOTE_NONNUMERIC}
"""Python's csv then gives numbers for what is not in quotes."""


def rows_of(text: str) -> list[dict[str, object]]:
    return list(csv.DictReader(io.StringIO(text, newline=""), **TYPED))  # type: ignore[call-overload]


@pytest.mark.parametrize("beginning", SAMPLES)
def test_csv_gives_the_figures_and_events_back(source_of, lines_of, beginning: str) -> None:
    """Held against the session's own lines, read by json."""
    source, lines = source_of(beginning), lines_of(beginning)
    rows = rows_of(figures_csv(source))
    assert tuple(rows[0]) == FIGURE_HEADS
    told = {row["id"]: row["value"] for row in rows if row["kind"] == "figure"}
    assert told == {f["id"]: f["value"] for f in lines[0]["data"]["worksheet"]["figures"]}
    events = rows_of(events_csv(source))
    assert tuple(events[0]) == EVENT_HEADS
    assert [(e["n"], e["kind"], e["at"]) for e in events] == [(x["n"], x["kind"], x["at"]) for x in lines]
    measured = [x["data"].get("value") for x in lines if x["kind"] == "step.measured"]
    assert [e["value"] for e in events if e["kind"] == "step.measured"] == measured


def test_what_was_measured_stands_beside_the_plan(source_of) -> None:
    """180 g on 100 g were planned, so 181.8 g are asked of the 101 g there are; 192 g are 5.61 % more."""
    rows = rows_of(figures_csv(source_of()))
    row = next(r for r in rows if (r["kind"], r["id"]) == ("measured", "paint.squeezed"))
    assert (row["kind"], row["value"], row["planned"], row["unit"]) == ("measured", 192.0, 180.0, "g")
    assert row["asked"] == pytest.approx(181.8)
    assert row["difference_percent"] == pytest.approx(5.6106, abs=1e-4)


def test_what_was_asked_and_what_was_measured_stand_under_their_own_heads(source_of) -> None:
    """192 g measured where 180 were planned and 181.8 asked."""
    lines = session_markdown(source_of()).splitlines()
    heads, row = (
        next(line for line in lines if wanted in line).split(" | ")
        for wanted in ("| planned |", "Fibre squeezed and weighed")
    )
    told = dict(zip(heads, row, strict=False))
    assert (told["planned"], told["asked"], told["actual"]) == ("180 g", "182 g", "192 g")


def test_row_27_formula_cells_are_inert_and_raw_leaves_them(source_of, evil_corpus) -> None:
    for evil in evil_corpus:
        source = source_of("20260912", evil)
        for text in (events_csv(source), figures_csv(source)):
            for row in csv.reader(io.StringIO(text, newline=""), **TYPED):  # type: ignore[call-overload]
                assert all(harmless(cell) for cell in row if isinstance(cell, str)), row
    raw = rows_of(figures_csv(source_of("20260912", "=1+1"), raw=True))
    assert {row["label"] for row in raw if row["kind"] == "figure"} == {"=1+1"}
    assert rows_of(figures_csv(source_of("20260912", "=1+1")))[0]["label"] == "'=1+1"


def harmless(cell: str) -> bool:
    """Nothing a spreadsheet starts a formula at, also after blanks, also in wide forms. ASVS 5.0, 1.2.10."""
    first = unicodedata.normalize("NFKC", cell.lstrip()[:1])[:1]
    return first not in tuple("=+-@\t\r\0") and cell[:1] not in tuple("\t\r\n\0")


def test_a_unit_of_per_cent_is_no_formula(source_of) -> None:
    assert {row["unit"] for row in rows_of(figures_csv(source_of()))} >= {"%", "mL"}


@given(st.text())
def test_no_text_becomes_a_formula(text: str) -> None:
    safe = inert(text)
    assert not safe or harmless(safe)
    assert safe in (text, f"'{text}")


def test_numbers_below_nought_stay_numbers(source_of) -> None:
    """23 mL of rust for 23.36: no apostrophe before a number."""
    row = next(r for r in rows_of(figures_csv(source_of())) if r["id"] == "paint.rust.mix")
    assert isinstance(row["difference_percent"], float) and row["difference_percent"] == pytest.approx(
        100 * (23 / 23.3614 - 1), abs=1e-3
    )


def replayable(document: dict[str, Any]) -> list[Record]:
    """The events of an export, as they were read from the session."""
    return [Record(**event) for event in document["events"]]


@pytest.mark.parametrize("beginning", SAMPLES)
def test_json_reads_back_equal(source_of, lines_of, beginning: str) -> None:
    source = source_of(beginning)
    text = export_json(source)
    assert text.isascii() and text.endswith("}\n")
    back = json.loads(text)
    assert replay(replayable(back)) == source.state
    assert [e["data"] for e in back["events"]] == [line["data"] for line in lines_of(beginning)]
    assert (back["source"]["file"], back["source"]["sha256"]) == (source.name, source.sha256)


@pytest.mark.deep
def test_json_keeps_evil_text_as_it_is(source_of, evil_corpus) -> None:
    for evil in evil_corpus:
        source = source_of("20260912", evil)
        text = export_json(source)
        assert text.isascii() and text.replace("\n", "").isprintable()
        assert json.loads(text)["title"] == evil
        assert replay(replayable(json.loads(text))) == source.state


COMMONMARK = MarkdownIt("commonmark", {"html": True}).enable(["table", "strikethrough"])
MARKUP = {
    "html_inline",
    "html_block",
    "link_open",
    "image",
    "code_inline",
    "strong_open",
    "em_open",
    "s_open",
}
MARKUP |= {"fence", "blockquote_open", "hr"}


def kinds(text: str) -> list[str]:
    """The kinds of all tokens that another reader of Markdown finds, inner ones too; runs of text count once."""
    found = []
    for token in COMMONMARK.parse(text):
        found.append(token.type)
        found.extend(child.type for child in token.children or () if child.type != "text")
    return found


def test_markdown_is_the_same_shape_whatever_the_text(source_of, evil_corpus, sampled) -> None:
    plain = kinds(session_markdown(source_of("20260912", "harmless")))
    assert not set(plain) & MARKUP and plain.count("table_open") > 2 and plain.count("code_block") == 1
    for evil in sampled(evil_corpus, 8):
        text = session_markdown(source_of("20260912", evil))
        assert kinds(text) == plain, evil
        assert text.replace("\n", "").replace("\u0301", "").isprintable()


@given(st.text(alphabet=st.characters(exclude_categories=["Cc", "Cs", "Zl", "Zp"]), min_size=1))
def test_escaped_text_comes_back_from_markdown(text: str) -> None:
    shown = " ".join(clean(text, limit=500).split())
    (start, inline, end) = COMMONMARK.parse(escape(shown)) if shown else (None, None, None)
    if inline is None:
        return
    assert start.type == "paragraph_open" and end.type == "paragraph_close"
    assert {child.type for child in inline.children} <= {"text", "text_special"}
    assert "".join(child.content for child in inline.children) == shown


def test_markdown_tells_the_session(source_of) -> None:
    text = session_markdown(source_of())
    assert text.startswith("# Tidewrack stripes\n")
    assert "| Fibre squeezed and weighed | 180 g | 182 g | 192 g | +5.6 % |" in text
    assert "misread the wool scale" in text and "0123456789abcdef" in text
