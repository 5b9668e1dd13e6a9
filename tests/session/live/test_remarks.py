"""Leftovers, photos, late entries, corrections, what was not measured."""

from __future__ import annotations

import pytest

from studio.report.session_head import facts
from studio.report.session_page import session_page
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.kinds.notes import PhotoAdded
from studio.session.kinds.paint import BatchMixed, LeftoverKept
from studio.session.path import last_closed
from studio.session.taking_back import offered


def page_text(session) -> str:  # type: ignore[no-untyped-def]
    rows = [row for section in session_page(session.state, "s.jsonl", (), 80) for row in section.rows]
    return "\n".join("".join(text for text, _ in row) for row in rows)


JARS = {"stocks.rust.dye": "0.26", "stocks.rust.volume": "25", "paint.squeezed": "210"}


def test_a_leftover_in_a_jar_has_its_strength_and_use_by_date(worked_at) -> None:
    session = worked_at("record.leftovers", JARS)
    session.do(c.KeepLeftover("rust", "12 mL"))
    (kept,) = (told.event for told in session.state.kept(LeftoverKept))
    # The stock is 100 x 0.26 / 25 = 1.04 %; 33.6 mL of paint (room 70 of 100 mL) take 0.24 g of it, whatever its
    # strength: 0.24 / 33.6 = 0.714286 %.
    assert (kept.colour, kept.ml, kept.to) == ("rust", 12.0, "jar")
    assert kept.strength_percent == pytest.approx(0.714286, abs=5e-6)
    # Mixed paint keeps 7 days (house rule). The session's clock stands late on 2026-09-21 UTC plus its waits, the
    # presoak, the set and the cooling, 30 + 36 + 60 min: still the 21st, and seven days on the 28th.
    assert kept.use_by == "2026-09-28"


def test_a_use_by_date_counts_from_the_day_on_the_wall(exactly_at, clock) -> None:
    """23:30 in UTC is 0:30 of the 22nd an hour ahead of it."""
    session = exactly_at("record.leftovers", JARS)
    clock.advance((23.5 - session.clock.now().wall_ns / 3.6e12 % 24) * 3600)
    session.do(c.KeepLeftover("rust", "12 mL"))
    assert session.state.kept(LeftoverKept)[0].event.use_by == "2026-09-29"


def test_leftovers_disposed_of_and_none(exactly_at) -> None:
    session = exactly_at("record.leftovers")
    session.do(c.KeepLeftover("rust", "4 mL out"))
    session.do(c.KeepLeftover("kelp", "0"))
    assert [
        (k.colour, k.ml, k.to, k.use_by) for k in (told.event for told in session.state.kept(LeftoverKept))
    ] == [
        ("rust", 4.0, "disposed", ""),
        ("kelp", 0.0, "disposed", ""),
    ]


@pytest.mark.parametrize(
    ("colour", "text"), [("moss", "1 mL"), ("rust", ""), ("rust", "some"), ("rust", "99 L"), ("rust", "-1")]
)
def test_leftovers_that_cannot_be(exactly_at, colour: str, text: str) -> None:
    session = exactly_at("record.leftovers")
    with pytest.raises(Refused):
        session.do(c.KeepLeftover(colour, text))
    assert not session.state.kept(LeftoverKept)


@pytest.mark.parametrize(
    "path",
    [
        "../x.jpg",
        "photos/../../x.jpg",
        "/etc/passwd",
        "C:\\x.jpg",
        "c:x.jpg",
        "..\\x.jpg",
        "\\\\host\\s\\x.jpg",
        "",
        " ",
    ],
)
def test_pictures_outside_the_studio_are_refused(begin, path: str) -> None:
    session = begin()
    with pytest.raises(Refused):
        session.do(c.AddPhoto(path, "edge"))
    assert not session.state.kept(PhotoAdded)


def test_pictures_keep_their_path_from_the_studio(begin) -> None:
    session = begin()
    session.do(c.AddPhoto("photos\\swatch one.jpg", "the edge"))
    session.do(c.AddPhoto("photos/./b.jpg"))
    kept = [(p.event.path, p.event.text) for p in session.state.kept(PhotoAdded)]
    assert kept == [("photos/swatch one.jpg", "the edge"), ("photos/b.jpg", "")]


def test_a_late_entry_keeps_both_times(exactly_at, clock) -> None:
    session = exactly_at("presoak.ph")
    session.do(c.NoteLate("15.13 lid lifted for a moment"))
    note = session.state.notes[-1]
    assert (note.text, note.happened_at) == ("lid lifted for a moment", "15:13")
    assert note.at_ns == clock.now().wall_ns


@pytest.mark.parametrize(
    "text",
    [
        "14:12 x",
        "14:14 x",
        "25:99 x",
        "24:00 x",
        "9:60 x",
        "14:05",
        "14:05 ",
        "lid lifted",
        "",
        "-1:05 x",
        "١٤:٠٥ x",
    ],
)
def test_a_late_entry_needs_a_time_of_day_since_the_session_began_and_words(begin, keeper, text: str) -> None:
    session = begin()
    with pytest.raises(Refused):
        session.do(c.NoteLate(text))
    assert not session.state.notes and len(keeper.events) == 1


def test_corrections_show_the_old_value_and_why(exactly_at) -> None:
    session = exactly_at("paint.rust.mix", {"paint.squeezed": "210"})
    session.do(c.Correct("paint.squeezed", "180", "the tray was on the scale"))
    session.do(c.Correct("paint.squeezed", "182", "read again"))
    record = session.state.step("paint.squeezed")
    assert record.value == 182
    assert [(o.what, o.why) for o in record.earlier] == [
        ("210 g", "the tray was on the scale"),
        ("180 g", "read again"),
    ]
    page = page_text(session)
    assert "was 210" in page and "the tray was on the scale" in page and "was 180" in page


def test_more_colour_that_was_taken_back_stays_among_the_corrections(exactly_at) -> None:
    session = exactly_at("paint.apply")
    session.do(c.MixMore("rust", "9 mL", meant=True))
    session.do(c.Undo())
    assert not session.state.kept(BatchMixed)
    (row,) = (line for line in page_text(session).splitlines() if "taken back: " in line)
    assert "rust" in row and "9 mL" in row
    session.do(c.Undo(next(event.n for event in offered(session.state) if event.kind == "undone")))
    assert session.state.kept(BatchMixed) and "taken back: " not in page_text(session)


def test_a_coat_put_right_stands_among_the_corrections(worked_at) -> None:
    session = worked_at("paint.apply")
    session.do(c.PaintBand(1, "kelp"))
    session.do(c.PaintBand(1, "rust"))
    rows = next(s for s in session_page(session.state, "x", (), 100) if s.name == "corrections").rows
    (told,) = ("".join(text for text, _ in row) for row in rows)
    assert "kelp was said before" in told


def test_what_was_taken_back_stands_among_the_corrections_by_its_time(worked_at, clock) -> None:
    session = worked_at("paint.apply")
    session.do(c.MixMore("rust", "9 mL", meant=True))
    session.do(c.Undo())
    clock.advance(600)
    session.do(c.Correct("paint.squeezed", "182", "the tray was on the scale", meant=True))
    page = page_text(session)
    assert page.index("taken back: ") < page.index("the tray was on the scale")


def test_not_measured_is_said_with_its_reason_and_figures_fall_back_to_the_plan(worked_at, figure) -> None:
    session = worked_at("stocks.rust.volume")
    session.do(c.NotMeasured("stocks.rust.volume", "the jug has no marks"))
    session.do(c.Measure("stocks.kelp.dye", "0.24"))
    session.do(c.Measure("stocks.kelp.volume", "24"))
    assert session.state.step("stocks.rust.volume").state == "not measured"
    # Done as asked: 0.24 g made up to 24 mL.
    assert session.state.step("stocks.rust.volume").fixed == {"stock.rust.volume": pytest.approx(24.0)}
    assert figure(session, "stock.rust.strength").value == pytest.approx(1.0)
    page = page_text(session)
    assert "the jug has no marks" in page
    session.do(c.Correct("stocks.rust.volume", "25", "found a jug with marks"))
    # 100 x 0.24 / 25 = 0.96 %
    assert figure(session, "stock.rust.strength").value == pytest.approx(0.96)


def test_a_leftover_of_a_mix_claims_no_strength(worked_at, settled_of) -> None:
    """Two dyes of two strengths: one figure would be that of neither."""
    one, pair = (
        '"acid orange 7"',
        '[{ dye = "acid orange 7", share = "50 %" }, { dye = "acid red 1", share = "50 %" }]',
    )
    session = worked_at("record.leftovers", settled=settled_of((f"dye = {one}", f"mix = {pair}")))
    session.do(c.KeepLeftover("rust", "12 mL"))
    assert session.state.kept(LeftoverKept)[0].event.strength_percent is None


def test_a_session_left_before_any_paint_has_no_depth_and_tells_where_it_was_left(exactly_at) -> None:
    session = exactly_at("presoak.in")
    session.do(c.Abandon("the pot is needed elsewhere"))
    last = last_closed(session.state)
    assert last is not None and f"left after: {last[0].done}" in page_text(session)
    assert "depth" not in facts(session.state)


def test_a_depth_is_told_of_the_colours_that_were_put_on(exactly_at) -> None:
    session = exactly_at("paint.apply")
    session.do(c.PaintBand(1))
    (coat,) = session.state.coats
    assert (
        facts(session.state)["depth"].startswith(coat.event.colour)
        and "," not in facts(session.state)["depth"]
    )
    session.do(c.Close("paint.apply", meant=True))
    assert "," not in facts(session.state)["depth"], "what stayed bare has none"
    session = exactly_at("paint.apply")
    session.do(c.Close("paint.apply"))
    assert "," in facts(session.state)["depth"]
