"""The real cost of a session in what is handed over: a section on the page, a table, a member of the JSON."""

from __future__ import annotations

import csv
import io
import json

import msgspec
import pytest

from studio.report.export_html import session_html, session_markdown
from studio.report.exports import export_json, figures_csv
from studio.session.after.real_cost import real_cost


@pytest.fixture
def priced(source_of):
    """A sample session whose studio counts in money of a foreign name."""

    def made(currency: str = "E<R"):
        source = source_of("20260912")
        choices = source.state.choices
        studio = msgspec.structs.replace(choices.shelf.studio, currency=currency)
        shelf = msgspec.structs.replace(choices.shelf, studio=studio)
        choices = msgspec.structs.replace(choices, shelf=shelf)
        # Still open, so that the cost is worked out of the choices and not read from the closing line.
        state = msgspec.structs.replace(source.state, choices=choices, outcome="")
        return msgspec.structs.replace(source, state=state)

    return made


def test_the_table_has_a_row_for_each_part(priced) -> None:
    """By hand, from the sample studio's shelf: a blank at 11.50; 25 g of rust at 7.80 and of deep water at 8.60."""
    table = io.StringIO(figures_csv(priced()), newline="")
    rows = list(csv.DictReader(table, quoting=csv.QUOTE_NONNUMERIC))
    cost = {row["id"]: row["value"] for row in rows if row["kind"] == "cost"}
    assert cost["cost.base"] == 11.5
    weighed = {row["id"]: row["value"] for row in rows if row["id"].startswith("stocks.")}
    rust, deep = weighed["stocks.rust.dye"], weighed["stocks.deep-water.dye"]
    assert cost["cost.dye"] == pytest.approx((rust * 7.8 + deep * 8.6) / 25)
    parts = [value for name, value in cost.items() if name not in ("cost.total", "cost.per_100g")]
    assert len(parts) == 5 and cost["cost.total"] == pytest.approx(sum(parts))


def test_page_and_document_tell_it_and_foreign_text_stays_text(priced) -> None:
    page, document = session_html(priced()), json.loads(export_json(priced()))
    assert "E&lt;R" in page and "E<R" not in page
    assert "## cost" in session_markdown(priced()) and "E\\<R" in session_markdown(priced())
    assert document["cost"]["currency"] == "E<R"


def test_what_was_planned_and_what_it_came_to_stand_under_their_own_heads(priced) -> None:
    """In Markdown, whose readers let blanks run together."""
    source = priced()
    lines = session_markdown(source).split("## cost\n\n")[1].split("\n## ")[0].splitlines()
    heads, *rows = ([cell.strip() for cell in line.split("|")[1:]] for line in lines if line.startswith("| "))
    told = {row[0]: dict(zip(heads, row, strict=True)) for row in rows}
    for part in real_cost(source.state).rows:
        found = told[part.label]
        amounts = [float(found[head].split()[0]) for head in ("planned", "real")]
        assert amounts == pytest.approx([part.planned, part.real], abs=0.006)


def test_without_prices_there_is_none(priced) -> None:
    source = priced("")
    assert "## cost" not in session_markdown(source)
    assert "real cost" not in figures_csv(source) and json.loads(export_json(source))["cost"] is None
