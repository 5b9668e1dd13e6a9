"""Sessions side by side: only what differs, lined up by id, differences against the first."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shapes import Caution, Figure
from studio.report.comparing import compare_json, compare_sections
from studio.session import commands as c
from studio.session.after.comparing import compare
from studio.session.after.review import ReadSession
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[3]


def rows_of(*sessions):
    return {(d.part, d.id): d for d in compare([s.state for s in sessions])}


def lines_of(*sessions):
    named = [ReadSession(f"{n}.jsonl", s.state) for n, s in enumerate(sessions)]
    sections = compare_sections(named, compare([s.state for s in sessions]), 78)
    return ["".join(text for text, _ in line) for section in sections for line in section.rows]


def with_figures(sheet, *figures):
    return msgspec.structs.replace(sheet, figures=tuple(figures))


def figure(figure_id, value, unit="mL"):
    return Figure(id=figure_id, value=value, unit=unit, label=figure_id, because="x", origin="plan")


def test_two_that_are_alike_differ_in_nothing(exactly_at):
    one, other = exactly_at("steam.water"), exactly_at("steam.water")
    assert compare([one.state, other.state]) == ()


def test_a_value_by_hand(exactly_at):
    """100 g against 101 g and 95 g: +1 %, -5 %. 100 mL of acid is left out where it is the same."""
    given = [{"ready.weight": v} for v in ("100", "101", "95")]
    rows = rows_of(*(exactly_at("presoak.water", g) for g in given))
    assert set(rows) == {("measured", "fibre.weight")}
    row = rows["measured", "fibre.weight"]
    assert (row.values, row.unit) == ((100.0, 101.0, 95.0), "g")
    assert row.by == (None, 1.0, -5.0)
    assert row.by_percent == (None, pytest.approx(1.0), pytest.approx(-5.0))


def test_a_ph_differs_by_units_and_never_by_per_cent(exactly_at):
    rows = rows_of(*(exactly_at("presoak.in", {"presoak.ph": v}) for v in ("4", "4.5")))
    row = rows["measured", "presoak.ph.first"]
    assert row.by == (None, 0.5) and row.by_percent == (None, None)


def test_a_rating_differs_by_steps_and_never_by_per_cent(exactly_at):
    """4 of 5 is no quarter better than 3 of 5."""
    given = ({"record.rinsed-clear": v, "record.sharp-edges": "5"} for v in ("3", "4"))
    sessions = [exactly_at("record.close", g) for g in given]
    row = rows_of(*sessions)["rating", "rinsed clear"]
    assert (row.values, row.by, row.by_percent) == ((3.0, 4.0), (None, 1.0), (None, None))
    (told,) = [line for line in lines_of(*sessions) if "rinsed clear" in line]
    assert told.split()[-4:] == ["3", "4", "1", "better"]


def test_what_would_be_written_alike_is_no_difference(begin, sheet_of):
    """100.04 g for 100 g is 100 on the page, and 0.0 %; 25.05 for 25 is 0.2 %."""
    one = begin(with_figures(sheet_of(), figure("a", 100.0), figure("b", 25.0), figure("c", 1.0049)))
    other = begin(with_figures(sheet_of(), figure("a", 100.04), figure("b", 25.06), figure("c", 1.0051)))
    assert set(rows_of(one, other)) == {("planned", "b")}
    assert not any("0.0 %" in line for line in lines_of(one, other))


def test_what_only_one_of_them_reached_is_shown_without_a_difference(exactly_at):
    rows = rows_of(exactly_at("presoak.water"), exactly_at("presoak.acid", {"presoak.water": "1900"}))
    row = rows["measured", "presoak.water"]
    assert row.values == (None, 1900.0) and row.by == (None, None) and row.by_percent == (None, None)


def test_stages_clocks_and_lost_steam(exactly_at, walk, clock):
    """The second set lost its steam for 4 min: its stage lasts 4 min longer, its clock does not."""
    calm = exactly_at("steam.out")
    windy = exactly_at("steam.hold")
    windy.do(c.ToggleSteam())
    clock.advance(240)
    windy.do(c.ToggleSteam())
    walk(windy, "steam.out")
    rows = rows_of(calm, windy)
    assert rows["bench", "steam.lost"].values == (0.0, pytest.approx(4.0))
    assert rows["stage", "steam"].by[1] == pytest.approx(4.0)
    assert ("timer", "steam") not in rows


def test_figures_are_lined_up_by_id_whatever_their_order(begin, sheet_of):
    one = begin(with_figures(sheet_of(), figure("a", 10), figure("b", 5), figure("only.here", 1)))
    other = begin(with_figures(sheet_of(), figure("b", 5), figure("a", 12.5)))
    rows = rows_of(one, other)
    assert set(rows) == {("planned", "a"), ("planned", "only.here")}
    assert rows["planned", "a"].by_percent == (None, pytest.approx(25.0))
    assert rows["planned", "only.here"].values == (1.0, None)


def test_numbers_in_different_units_are_never_subtracted(begin, sheet_of):
    one = begin(with_figures(sheet_of(), figure("presoak.acid", 13.6, "mL")))
    other = begin(with_figures(sheet_of(), figure("presoak.acid", 2.95, "g")))
    row = rows_of(one, other)["planned", "presoak.acid"]
    assert row.words == ("13.6 mL", "2.95 g") and row.by_percent == (None, None)


def test_asked_and_measured_are_told_apart_by_hand(worked_at):
    """101 g weighed ask for 20 x 101 = 2 020 mL of soak water; 2 000 mL were poured both times."""
    given = [{"ready.weight": v, "presoak.water": "2000"} for v in ("100", "101")]
    rows = rows_of(*(worked_at("presoak.ph", g) for g in given))
    assert rows["asked", "presoak.water"].values == (2000.0, pytest.approx(2020.0))
    assert ("measured", "presoak.water") not in rows and ("planned", "presoak.water") not in rows


def test_dyes_and_acid_are_told_in_words(begin):
    """Keys of the plan that no figure stands for; a form that is written is the one of the base all the same."""
    text = (ROOT / "shared/plans/tidewrack-stripes.plan.toml").read_text("utf-8")
    shelf = load_shelf(ROOT / "shared", read_on="2026-11-26")
    assert text.count('"rust"') and text.count("[fibre]") == 1
    other = text.replace("[fibre]", '[fibre]\nform = "blank"').replace('use = ["', 'use = ["old pan", "')
    states = [
        msgspec.structs.replace(begin(choices=settle(read_plan(plan, name="x"), shelf)).state, plan_text=plan)
        for plan in (text, other)
    ]
    (row,) = (d for d in compare(states) if d.part == "plan")
    assert row.id == "kit.use" and row.words[1] == f"old pan, {row.words[0]}"


def test_reasons_and_accepted_cautions(exactly_at, sheet_of):
    caution = Caution(id="dye.mixed", level="warn", text="Two kinds of dye.", source="x")
    sheet = sheet_of(caution)
    one, other = exactly_at("ready.cautions", sheet=sheet), exactly_at("ready.cautions", sheet=sheet)
    one.do(c.AcceptCaution("dye.mixed", "a trial"))
    rows = rows_of(one, other)
    assert rows["caution", "dye.mixed"].words == ("accepted: a trial", "")


def test_a_skipped_step_with_its_reason(exactly_at):
    one, other = exactly_at("presoak.ph"), exactly_at("presoak.ph")
    other.do(c.NotMeasured("presoak.ph", "no strips left"))
    rows = rows_of(one, other)
    assert rows["override", "presoak.ph"].words == ("", "not measured: no strips left")


@pytest.mark.parametrize("count", [0, 1, 5])
def test_two_to_four_and_no_other_number(count, begin):
    with pytest.raises(ValueError, match=f"Two to four sessions can be compared, not {count}"):
        compare([begin().state] * count)


@given(first=st.floats(0.1, 1e4), second=st.floats(0.1, 1e4))
def test_the_other_way_round_the_difference_turns_its_sign(begin, sheet_of, first, second):
    one = begin(with_figures(sheet_of(), figure("a", first))).state
    other = begin(with_figures(sheet_of(), figure("a", second))).state
    there, back = compare([one, other]), compare([other, one])
    assert len(there) == len(back)
    for a, b in zip(there, back, strict=True):
        assert a.by[1] == pytest.approx(-b.by[1])
        assert first * (1 + a.by_percent[1] / 100) == pytest.approx(second)


@pytest.mark.parametrize("width", [40, 60, 78, 110])
@pytest.mark.parametrize("count", [2, 3, 4])
def test_no_line_is_wider_than_asked_and_nothing_steers(exactly_at, sheet_of, width, count):
    evil = "rust\x1b]0;owned\x07[red]\u202e " * 8
    weights = ("98765.4", "0.00012", "101", "100")
    sessions = []
    for weight in weights[:count]:
        session = exactly_at("ready.weight", sheet=msgspec.structs.replace(sheet_of(), title=evil))
        session.do(c.Measure("ready.weight", weight, meant=True))
        sessions.append(ReadSession(evil, session.state))
    sections = compare_sections(sessions, compare([s.state for s in sessions]), width)
    lines = ["".join(text for text, _ in line) for section in sections for line in section.rows]
    assert any("Dry fi" in line for line in lines)
    assert all("\x1b" not in line and "\u202e" not in line for line in lines)
    if width >= 78:
        assert max(cell_len(line) for line in lines) <= width


def test_json_holds_the_same_rows(exactly_at):
    sessions = [exactly_at("presoak.water", {"ready.weight": v}) for v in ("100", "110")]
    named = [ReadSession(f"{n}.jsonl", s.state) for n, s in enumerate(sessions)]
    told = msgspec.json.decode(compare_json(named, compare([s.state for s in sessions])))
    assert told["format"] == "potside-compare/1"
    assert [s["session"] for s in told["sessions"]] == ["0.jsonl", "1.jsonl"]
    (row,) = told["rows"]
    assert (row["part"], row["id"], row["values"], row["words"]) == (
        "measured",
        "fibre.weight",
        [100, 110],
        None,
    )
    assert row["differences_percent"] == [None, pytest.approx(10.0)]
