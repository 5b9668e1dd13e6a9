"""Bands, coats, and whether the paint reaches. Layout: rust 20 rows, 5 bare, kelp 20, 5 bare, twice over."""

from __future__ import annotations

import pytest

from studio.report.session_page import session_page
from studio.report.telling import tell
from studio.session import commands as c
from studio.session.after.comparing import bench_totals
from studio.session.asked import Refused
from studio.session.bands import bands_of, next_band, still_bare
from studio.session.live.painting import in_jar_ml
from studio.session.run import Running

MIXED = {"paint.rust.mix": "48", "paint.kelp.mix": "50"}


def coats(session: Running) -> list[int]:
    return [len(band.coats) for band in bands_of(session.state)]


def test_bands_are_painted_in_any_order_and_bare_stretches_are_none(exactly_at) -> None:
    session = exactly_at("paint.apply", MIXED)
    assert [(b.number, b.plan.colour, b.jar, b.bare) for b in bands_of(session.state)] == [
        (1, "rust", "rust", True), (2, "kelp", "kelp", True), (3, "rust", "rust", True), (4, "kelp", "kelp", True),
    ]  # fmt: skip
    for number in (0, 5, -1):
        with pytest.raises(Refused, match=f"There is no band {number}; they are numbered 1 to 4"):
            session.do(c.PaintBand(number))
    assert still_bare(session.state) == "1 to 4"
    session.do(c.PaintBand(3))
    assert next_band(session.state) == 1 and still_bare(session.state) == "1, 2, 4"
    assert next_band(session.state, after=3) == 4, "on from there"
    session.do(c.PaintBand(4))
    assert next_band(session.state, after=4) == 1, "and round again"
    session.do(c.PaintBand(2))
    session.do(c.PaintBand(1))
    assert coats(session) == [1, 1, 1, 1]
    assert next_band(session.state) is None and still_bare(session.state) == ""


def test_a_band_is_coated_again_only_where_that_is_said(exactly_at) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(2))
    with pytest.raises(Refused, match="Band 2 has a coat from the kelp jar already"):
        session.do(c.PaintBand(2))
    session.do(c.PaintBand(2, again=True))
    assert coats(session) == [0, 2, 0, 0]


@pytest.mark.parametrize("named", ["kelp", "KELP", " 2 "])
def test_a_band_is_painted_from_another_jar(exactly_at, named: str) -> None:
    session = exactly_at("paint.apply", MIXED)
    (event,) = session.do(c.PaintBand(3, named))
    assert event.data == {"band": 3, "colour": "rust", "jar": "kelp", "coat": 1}
    assert tell(event, session.state) == "band 3 painted from the kelp jar (planned rust)"
    assert [(b.number, b.strange) for b in bands_of(session.state) if not b.bare] == [(3, True)]


def test_the_jar_of_a_coat_is_put_right_afterwards(exactly_at) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(3))
    session.do(c.PaintBand(3, again=True))
    (event,) = session.do(c.PaintBand(3, "kelp"))
    assert event.data == {"band": 3, "colour": "rust", "jar": "kelp", "coat": 2, "instead_of": "rust"}
    told = tell(event, session.state)
    assert told == "band 3 painted from the kelp jar (planned rust), coat 2; rust was said before"
    assert [coat.jar for coat in bands_of(session.state)[2].coats] == ["rust", "kelp"]
    for command in (c.PaintBand(3, "kelp"), c.PaintBand(3)):
        with pytest.raises(Refused, match="Band 3 has a coat from the kelp jar already"):
            session.do(command)
    (event,) = session.do(c.PaintBand(3, "rust"))
    assert [coat.jar for coat in bands_of(session.state)[2].coats] == ["rust", "rust"]
    assert tell(event, session.state) == "band 3 painted from the rust jar, coat 2; kelp was said before"


def test_a_jar_that_is_none_or_not_mixed_paints_nothing(exactly_at) -> None:
    session = exactly_at("paint.kelp.mix", MIXED)
    with pytest.raises(Refused, match="There is no jar of teal; there are rust, kelp"):
        session.do(c.PaintBand(1, "teal"))
    for command in (c.PaintBand(1, "kelp"), c.PaintBand(2)):
        with pytest.raises(Refused, match="The paint for kelp has not been mixed yet"):
            session.do(command)
    session.do(c.PaintBand(1))  # its own jar stands ready
    assert coats(session) == [1, 0, 0, 0]


def test_paint_that_will_not_reach(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintLeft("rust", "18 mL"))
    # 48 - 18 = 30 mL used on 20 rows, 1.5 mL a row; 20 rows are bare: 30 mL needed, 18 left, 12 short.
    assert figure(session, "live.paint.rust.left").value == 18.0
    told = warned(session)["live.paint.rust.short"]
    assert "30 mL needed" in told and "18 mL left" in told and "Mix 12 mL more" in told


def test_a_second_coat_uses_paint_of_a_jar_that_was_read_before_it(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintLeft("rust", "28 mL"))
    # 48 - 28 = 20 mL on 20 rows, 1 mL a row; the 20 bare rows need 20, and 28 are left.
    assert "live.paint.rust.short" not in warned(session)
    session.do(c.PaintBand(1, again=True))
    # Another 20 mL: about 8 left for the 20 that are needed, 12 short.
    told = figure(session, "live.paint.rust.left")
    assert told.value == 8.0 and told.origin == "estimate" and "40 mL used on 40 rows" in told.because
    assert "about 8 mL left. Mix 12 mL more" in warned(session)["live.paint.rust.short"]
    session.do(c.PaintLeft("rust", "18 mL"))
    # Read again: 30 mL on 40 rows, 0.75 mL a row: 15 mL needed, and 18 reach.
    assert figure(session, "live.paint.rust.left").origin == "measured"
    assert "live.paint.rust.short" not in warned(session)


def test_a_coat_from_another_jar_is_counted_where_the_paint_came_from(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1, "kelp"))
    # Planned 48 mL with a fifth in reserve, so 40 on 40 rows, 1 mL a row: 20 of kelp's 50 mL are on band 1, and
    # its own 40 rows need 40: 10 short. Rust has 48 mL and 20 rows to go.
    assert figure(session, "live.paint.kelp.left").value == pytest.approx(30.0)
    told = warned(session)
    assert (
        "40 mL needed at the planned rate, about 30 mL left. Mix 10 mL more" in told["live.paint.kelp.short"]
    )
    assert "live.paint.rust.short" not in told
    session.do(c.PaintLeft("kelp", "26"))
    # 50 - 26 = 24 mL on those 20 rows, 1.2 a row: 48 needed, 22 short.
    assert "48 mL needed at the rate so far" in warned(session)["live.paint.kelp.short"]


@pytest.mark.parametrize(("more", "short"), [("11.5 mL", False), ("11 mL", True)])
def test_a_jar_nobody_has_read_is_short_only_beyond_what_a_jug_shows(worked_at, warned, more, short) -> None:
    # 48 mL, 40 of them on the first band twice, 20 rows bare at 1 mL a row: 19.5 and a twentieth reach, 19 do not.
    session = worked_at("paint.apply")
    session.do(c.PaintBand(1))
    session.do(c.PaintBand(1, again=True))
    session.do(c.MixMore("rust", more, meant=True))
    assert ("live.paint.rust.short" in warned(session)) is short


def test_a_jar_put_right_moves_the_paint_with_it(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1, "kelp"))
    assert "live.paint.kelp.short" in warned(session)
    session.do(c.PaintBand(1, "rust"))  # it was rust after all: 48 - 20 = 28 mL left
    assert figure(session, "live.paint.rust.left").value == pytest.approx(28.0)
    assert "live.paint.kelp.short" not in warned(session)


def test_coats_that_come_to_more_than_the_fibre_can_take(worked_at, figure, warned) -> None:
    session = worked_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    # 20 mL on and 60 to come, of 100 mL of room (100 g at 180 %, squeezed to 180 g).
    told = figure(session, "live.paint.on")
    assert told.value == pytest.approx(20.0) and "60 mL to come; room for 100 mL" in told.because
    session.do(c.PaintBand(1, again=True))
    assert "live.paint.wet" not in warned(session)  # 40 on, 60 to come: just enough
    session.do(c.PaintBand(2))
    session.do(c.PaintBand(2, again=True))
    # 80 mL on, 40 to come: 20 too many.
    assert "come to 120 mL, 20 mL more than the fibre can take" in warned(session)["live.paint.wet"]


def test_fibre_too_wet_for_its_paint_comes_paler_and_not_too_wet(worked_at, warned) -> None:
    session = worked_at("paint.apply", {"paint.squeezed": "250"})
    session.do(c.PaintBand(1))
    # Room 180 - 150 = 30 mL; the stocks alone are 24 mL a colour. 12 mL of each go on, half of what the depth takes.
    assert "live.paint.rust.pale" in warned(session) and "live.paint.wet" not in warned(session)


def test_the_record_says_which_jar_and_which_bands(exactly_at) -> None:
    session = exactly_at("paint.apply", MIXED)
    for command in (c.PaintBand(4), c.PaintBand(3, "kelp"), c.PaintBand(3, again=True)):
        session.do(command)
    sections = session_page(session.state, "x.jsonl", (), 100)
    page = " ".join(words for section in sections for row in section.rows for words, _ in row)
    assert "2 bands painted, 1 of them more than once; still to paint: 1, 2" in page
    assert "band 3 painted from the kelp jar (planned rust)" in page
    totals = bench_totals(session.state)
    assert totals["coats"].value == 1.0 and totals["other_jar"].value == 1.0


def test_what_is_mixed_more_is_in_the_jar_and_not_used(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintLeft("rust", "18 mL"))
    session.do(c.MixMore("rust", "12 mL", meant=True))
    # Mixed 48 + 12 = 60 mL, in the jar 18 + 12 = 30 mL, used still 30 mL: 30 needed, 30 left. It reaches.
    assert in_jar_ml(session.state, "rust") == 60.0
    told = figure(session, "live.paint.rust.left")
    assert told.value == 30.0 and "60 mL mixed, 30 mL used" in told.because
    assert "live.paint.rust.short" not in warned(session)


def test_the_jars_are_told_apart(exactly_at, figure, warned) -> None:
    session = exactly_at("paint.apply", MIXED)
    session.do(c.PaintBand(1))
    session.do(c.PaintBand(2))
    session.do(c.PaintLeft("kelp", "40"))
    # 50 - 40 = 10 mL on 20 rows: 10 mL needed for the other 20 rows, 40 left.
    assert figure(session, "live.paint.kelp.left").value == 40.0
    assert not warned(session)


@pytest.mark.parametrize("text", ["60 mL", "", "much", "-1", "1e9"])
def test_no_more_can_be_left_than_was_mixed(exactly_at, figure, text: str) -> None:
    session = exactly_at("paint.apply", MIXED)
    with pytest.raises(Refused):
        session.do(c.PaintLeft("rust", text))
    session.do(c.PaintLeft("rust", "50"))  # 48 mL and a twentieth is 50.4: a jug read a little high
    told = figure(session, "live.paint.rust.left")
    assert told.value == 50.0 and "48 mL mixed, 0 mL used on 0 rows" in told.because


def test_a_jar_is_read_only_once_it_is_mixed(exactly_at) -> None:
    session = exactly_at("paint.rust.mix")
    with pytest.raises(Refused, match="not been mixed yet"):
        session.do(c.PaintLeft("rust", "10 mL"))
