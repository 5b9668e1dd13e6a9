"""A piece that is painted on both sides: half of each paint on the front, then turned over, the rest on the back."""

from __future__ import annotations

import pytest

from studio.report.session_page import session_page
from studio.report.telling import band_words, tell
from studio.session import commands as c
from studio.session.asked import ReallyMeant
from studio.session.bands import bands_of, face_up, next_band, painted_with, still_bare
from studio.session.live.painting import band_ml, jars_now
from studio.session.path import current_step
from studio.session.run import Running

MIXED = {"paint.rust.mix": "48", "paint.kelp.mix": "50"}


@pytest.fixture
def at_paint(worked_at, settled_of) -> Running:
    return worked_at("paint.apply", MIXED, settled_of(("repeat = 2", "repeat = 2\nsides = 2")))


def test_the_paint_of_a_band_is_halved_and_both_halves_are_what_was_asked(at_paint, worked_at) -> None:
    one_side = worked_at("paint.apply", MIXED)
    for whole, half in zip(bands_of(one_side.state), bands_of(at_paint.state), strict=True):
        assert band_ml(at_paint.state, half) == pytest.approx(band_ml(one_side.state, whole) / 2)
    for number in (1, 2, 3, 4):
        one_side.do(c.PaintBand(number))
        at_paint.do(c.PaintBand(number))
    halves = [jar.used_ml for jar in jars_now(at_paint.state)]
    assert halves == pytest.approx([jar.used_ml / 2 for jar in jars_now(one_side.state)])
    for number in (1, 2, 3, 4):
        at_paint.do(c.PaintBand(number, face="back"))
    for jar, alike in zip(jars_now(at_paint.state), jars_now(one_side.state), strict=True):
        assert (jar.used_ml, jar.bare) == pytest.approx((alike.used_ml, 0.0))


def test_the_back_lies_up_once_the_goods_were_turned(at_paint) -> None:
    session = at_paint
    assert still_bare(session.state) == "front of 1 to 4, back of 1 to 4"
    for number in (1, 2, 4):
        session.do(c.PaintBand(number))
    front = current_step(session.state, session.clock.now())
    with pytest.raises(ReallyMeant, match="All painted, with 3 still to paint"):
        session.do(c.Close(front.id))
    session.do(c.PaintBand(3))
    session.do(c.Close(front.id))
    turn = current_step(session.state, session.clock.now())
    assert turn.role == "turn over" and face_up(session.state) == "front" and next_band(session.state) is None
    session.do(c.Close(turn.id))
    assert face_up(session.state) == "back" and next_band(session.state) == 1
    (event,) = session.do(c.PaintBand(2))
    assert tell(event, session.state) == "band 2, back, painted, kelp"
    session.do(c.PaintBand(1, face="front", again=True))
    told = [band_words(session.state, band) for band in bands_of(session.state)]
    assert told[:3] == [
        "2 coats on the front",
        "1 coat on the front and 1 coat on the back",
        "1 coat on the front",
    ]
    assert still_bare(session.state) == "back of 1, 3, 4"
    back = current_step(session.state, session.clock.now())
    with pytest.raises(ReallyMeant, match="All painted, with 1, 3, 4 still to paint"):
        session.do(c.Close(back.id))
    sections = session_page(session.state, "x.jsonl", (), 100)
    shown = " ".join(words for section in sections for row in section.rows for words, _ in row)
    told = (
        "4 bands painted, 1 of them on both sides, 1 of them more than once; still to paint: back of 1, 3, 4"
    )
    assert told in shown


def test_a_side_said_to_be_painted_is_so_though_no_band_was_ticked(at_paint) -> None:
    session = at_paint
    session.do(c.Close(current_step(session.state, session.clock.now()).id))
    assert still_bare(session.state) == "back of 1 to 4" and next_band(session.state) is None
    assert sum(jar.bare for jar in jars_now(session.state)) == pytest.approx(40.0), "half of 80 rows"


def test_a_side_that_was_ticked_whole_has_taken_its_half_of_each_paint(at_paint, worked_at) -> None:
    """Band by band or all at once, and then a band of the back: the jars hold the same."""
    banded = worked_at("paint.apply", MIXED, at_paint.state.choices)
    for number in (1, 2, 3, 4):
        banded.do(c.PaintBand(number))
    for session in (at_paint, banded):
        for _ in ("front", "turn over"):
            session.do(c.Close(current_step(session.state, session.clock.now()).id))
        session.do(c.PaintBand(1))
    ticked, told = (
        [(jar.used_ml, jar.left_ml, jar.bare) for jar in jars_now(one.state)] for one in (at_paint, banded)
    )
    assert ticked == [pytest.approx(jar) for jar in told]


def test_the_jar_of_one_side_is_put_right_without_the_other(at_paint) -> None:
    session = at_paint
    session.do(c.PaintBand(1))
    session.do(c.PaintBand(1, face="back"))
    session.do(c.PaintBand(1, "kelp", face="front"))
    (band, *_) = bands_of(session.state)
    assert [(coat.face, coat.jar, coat.coat) for coat in band.coats] == [
        ("front", "kelp", 1),
        ("back", "rust", 1),
    ]
    assert not band.again and band.strange


def test_turning_back_is_taken_back_with_its_step(at_paint) -> None:
    session = at_paint
    for number in (1, 2, 3, 4):
        session.do(c.PaintBand(number))
    for _ in ("front", "turn over"):
        session.do(c.Close(current_step(session.state, session.clock.now()).id))
    turned = session.state.last_n
    session.do(c.PaintBand(1))
    session.do(c.Undo(turned))
    assert face_up(session.state) == "front"
    assert bands_of(session.state)[0].on("back"), "a coat says of itself which side it is on"


def test_turning_over_that_is_left_out_is_behind_as_well(at_paint) -> None:
    session = at_paint
    session.do(c.Close(current_step(session.state, session.clock.now()).id))
    session.do(c.Skip(current_step(session.state, session.clock.now()).id, "turned it while I painted"))
    assert face_up(session.state) == "back" and next_band(session.state) == 1


def test_the_jar_is_told_of_its_own_side(at_paint) -> None:
    session = at_paint
    session.do(c.PaintBand(2, "rust"))
    session.do(c.PaintBand(2, face="back"))
    told = band_words(session.state, bands_of(session.state)[1])
    assert told == "1 coat on the front from rust and 1 coat on the back"
    assert painted_with(session.state, "front") == {2: "rust"} and painted_with(session.state, "back") == {
        2: "kelp"
    }
