"""The real cost of a session in what is handed over: a section on the page, a table, a member of the JSON."""

from __future__ import annotations

import csv
import dataclasses
import io
import json

import msgspec
import pytest

from studio.plan.cost_facts import CostFacts
from studio.report.export_csv import figures_csv
from studio.report.export_html import session_html
from studio.report.export_json import export_json
from studio.report.export_markdown import session_markdown
from studio.session.bench_totals import steam_lost_min

COST = CostFacts(
    currency="E<R", base_money=11.5, energy_price=0.3, heat_up_kwh=0.5, heater_w=1000.0, hold_min=30.0
)


@pytest.fixture
def priced(source_of):
    """A sample session as if its plan had been priced."""
    source = source_of("20260912")
    sheet = source.state.worksheet
    sheet = msgspec.structs.replace(sheet, facts=msgspec.structs.replace(sheet.facts, cost=COST))
    return dataclasses.replace(source, state=msgspec.structs.replace(source.state, worksheet=sheet))


def test_the_table_has_a_row_for_each_part(priced) -> None:
    rows = list(csv.DictReader(io.StringIO(figures_csv(priced), newline=""), quoting=csv.QUOTE_NONNUMERIC))
    cost = {row["id"]: row for row in rows if row["kind"] == "cost"}
    assert cost["cost.base"]["value"] == 11.5 and cost["cost.base"]["unit"] == "1"
    # Half a kWh to heat up and what the steam really took and lost, at 0.30, and what was filled up.
    ran_min = priced.state.timers["steam"].stopped_after_s / 60 + steam_lost_min(priced.state)
    filled_kwh = (
        sum(p.ml for p in priced.state.refills)
        * 4.19
        * (priced.state.worksheet.facts.live.steam_c - 20)
        / 3.6e6
    )
    assert cost["cost.energy"]["value"] == pytest.approx((0.5 + filled_kwh + ran_min / 60) * 0.3, rel=1e-6)
    assert cost["cost.total"]["value"] == pytest.approx(
        cost["cost.base"]["value"] + cost["cost.energy"]["value"]
    )


def test_page_and_document_tell_it_and_foreign_text_stays_text(priced) -> None:
    page, document = session_html(priced), json.loads(export_json(priced))
    assert "E&lt;R" in page and "E<R" not in page
    assert "## cost" in session_markdown(priced) and "E\\<R" in session_markdown(priced)
    assert document["cost"]["currency"] == "E<R"


def test_without_prices_there_is_none(priced) -> None:
    sheet = priced.state.worksheet
    sheet = msgspec.structs.replace(sheet, facts=msgspec.structs.replace(sheet.facts, cost=None))
    source = dataclasses.replace(priced, state=msgspec.structs.replace(priced.state, worksheet=sheet))
    assert "## cost" not in session_markdown(source)
    assert "real cost" not in figures_csv(source) and json.loads(export_json(source))["cost"] is None
