"""The depth a colour comes to on the fibre that was really painted with it.

Layout: rust 20 rows, 5 bare, kelp 20, 5 bare, twice over 100 rows of 100 g: each band is 20 g. Of each colour 40 mL
give 0.5 % to its two bands, and with a fifth for reserve 48 mL are mixed.
"""

from __future__ import annotations

import csv
import io
import json
import re

import msgspec
import pytest

from studio.report.export_html import session_html, session_markdown
from studio.report.exports import export_json, figures_csv
from studio.report.session_head import facts
from studio.services.repeats import really_done
from studio.session import commands as c
from studio.session.after.comparing import compare
from studio.session.after.review import ReadSession
from studio.session.events import Kept
from studio.session.kinds.paint import BandPainted
from studio.session.live.painting import jars_now
from studio.session.run import Running
from studio.session.sheet import sheet_now, value_now

MIXED = {"paint.rust.mix": "48", "paint.kelp.mix": "48"}
BAND_G = 20.0


def now(session: Running, figure_id: str) -> float:
    value = value_now(session.state, figure_id)
    assert value is not None
    return value


def painted(session: Running, *jars: str) -> None:
    for number, jar in enumerate(jars, start=1):
        session.do(c.PaintBand(number, jar))


def test_a_jar_that_no_band_was_painted_from_keeps_its_rest(worked_at, walk) -> None:
    """Nothing lies under its colour, and 8 of its 48 mL went astray."""
    session = worked_at("paint.apply", MIXED)
    painted(session, "kelp", "kelp", "kelp", "kelp")
    walk(session, "record.leftovers")
    session.do(c.KeepLeftover("rust", "40 mL"))
    assert (now(session, "paint.rust.fibre"), now(session, "paint.rust.left")) == (0.0, 40.0)
    assert now(session, "paint.kelp.fibre") == pytest.approx(4 * BAND_G)


def test_a_band_from_another_jar_is_fibre_of_that_jar_s_colour(worked_at, walk) -> None:
    """Of four bands three come from kelp: 48 mL of it go as far as 48 of 60 mL, and 20 of 48 mL of rust are enough."""
    session = worked_at("paint.apply", MIXED)
    painted(session, "rust", "kelp", "kelp", "kelp")
    assert now(session, "paint.rust.fibre") == pytest.approx(BAND_G)
    assert now(session, "paint.kelp.fibre") == pytest.approx(3 * BAND_G)
    assert now(session, "paint.rust.depth") == pytest.approx(0.5)
    assert now(session, "paint.kelp.depth") == pytest.approx(0.5 * 48 / 60)
    figure = sheet_now(session.state).figure("paint.rust.fibre")
    assert figure is not None and figure.origin == "measured" and "of the layout" in figure.because
    walk(session, "record.leftovers")
    session.do(c.KeepLeftover("rust", "28 mL"))
    session.do(c.KeepLeftover("kelp", "6 mL"))
    assert now(session, "paint.rust.depth") == pytest.approx(0.5), "20 mL on one band"
    assert now(session, "paint.kelp.depth") == pytest.approx(0.5 * 42 / 60)
    assert facts(session.state)["depth"] == "rust 0.5 %, kelp 0.35 %"


def test_taken_back_it_is_the_layout_s_again(worked_at) -> None:
    session = worked_at("paint.apply", MIXED)
    before = {f.id: f.value for f in sheet_now(session.state).figures}
    painted(session, "rust", "rust", "rust", "kelp")
    assert now(session, "paint.rust.fibre") == pytest.approx(3 * BAND_G)
    session.do(c.PaintBand(2, "kelp"))
    assert {f.id: f.value for f in sheet_now(session.state).figures} == before


def test_a_band_of_two_jars_lies_under_both(worked_at) -> None:
    session = worked_at("paint.apply", MIXED)
    painted(session, "rust", "kelp", "rust", "kelp")
    session.do(c.PaintBand(1, "kelp", again=True))
    assert now(session, "paint.rust.fibre") == pytest.approx(2 * BAND_G)
    assert now(session, "paint.kelp.fibre") == pytest.approx(3 * BAND_G)


def test_one_side_of_a_band_is_half_of_its_fibre(worked_at, settled_of) -> None:
    session = worked_at("paint.apply", MIXED, settled_of(("repeat = 2", "repeat = 2\nsides = 2")))
    session.do(c.PaintBand(1, "kelp"))
    assert now(session, "paint.rust.fibre") == pytest.approx(1.5 * BAND_G)
    assert now(session, "paint.kelp.fibre") == pytest.approx(2.5 * BAND_G)


def test_a_colour_that_was_painted_nowhere_has_no_depth_and_its_dye_was_used(worked_at) -> None:
    session = worked_at("paint.apply", MIXED)
    painted(session, "kelp", "kelp", "kelp", "kelp")
    sheet = sheet_now(session.state)
    assert now(session, "paint.rust.fibre") == 0.0 and sheet.figure("paint.rust.depth") is None
    assert sheet.figure("stock.rust.dye") is not None
    assert now(session, "paint.kelp.depth") == pytest.approx(0.5 * 48 / 80)


def test_the_planned_rate_is_not_thinned_by_what_one_jar_has_to_reach_for(worked_at, warned) -> None:
    session = worked_at("paint.apply", MIXED)
    painted(session, "kelp", "kelp")
    kelp = jars_now(session.state)[1]
    assert kelp.rate_ml == pytest.approx(1.0) and kelp.left_ml == pytest.approx(8.0), "40 mL for 40 rows"
    assert "will come to" in warned(session)["live.paint.kelp.pale"]
    assert "squeeze" not in warned(session)["live.paint.kelp.pale"], "it is wet with paint"


def test_a_bath_whose_file_tells_of_a_band_has_none(begin, settled_of) -> None:
    session = begin(choices=settled_of(method="kettle"))
    coat = Kept(1, session.state.opened, BandPainted(1, "rust", "kelp", 1))
    forged = msgspec.structs.replace(session.state, coats=[coat])
    assert sheet_now(forged).figures == sheet_now(session.state).figures


def test_every_page_tells_the_same_depth(worked_at, walk) -> None:
    session, as_laid = worked_at("paint.apply", MIXED), worked_at("paint.apply", MIXED)
    painted(session, "rust", "kelp", "kelp", "kelp")
    for one in (session, as_laid):
        walk(one, "record.leftovers")
        one.do(c.KeepLeftover("rust", "28 mL"))
        one.do(c.KeepLeftover("kelp", "6 mL"))
    depth = now(session, "paint.kelp.depth")
    read = ReadSession("x.jsonl", session.state)
    came_to = {figure["id"]: figure["value"] for figure in json.loads(export_json(read))["came_to"]}
    assert came_to["paint.kelp.depth"] == depth and came_to["paint.kelp.fibre"] == pytest.approx(3 * BAND_G)
    rows = csv.DictReader(io.StringIO(figures_csv(read)))
    (row,) = (r for r in rows if r["kind"] == "came to" and r["id"] == "paint.kelp.depth")
    assert float(row["value"]) == pytest.approx(depth)
    for page in (session_markdown(read), session_html(read, paper="A4")):
        assert re.search(r"depth of kelp\W.{0,80}?0\.35 %", page, re.DOTALL)
    done = really_done(session.state)
    again = done.sheet.figure("paint.kelp.depth")
    assert again is not None and again.value == pytest.approx(depth)
    (differs,) = (
        d for d in compare((session.state, as_laid.state)) if (d.part, d.id) == ("depth", "paint.kelp.depth")
    )
    assert differs.values == pytest.approx((depth, 0.5 * 42 / 40))
