"""What really is in a jar, and more of it. LIVE plan: 40 g at 0.5 % of a 1 % stock, 0.24 g in 24 mL."""

from __future__ import annotations

import msgspec
import pytest

from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.kinds.paint import BatchMixed

SLIGHT = {"stocks.rust.dye": "0.26", "stocks.rust.volume": "25"}


def test_what_is_poured_follows_from_what_is_in_the_jar(worked_at, figure, warned) -> None:
    given = {"stocks.rust.dye": "0.27", "stocks.rust.volume": "24"}
    session = worked_at("stocks.clear", given)
    # 100 x 0.27 g / 24 mL = 1.125 %. 0.2 g on the fibre and a fifth more, 0.24 g, are 21.33 mL of it: the depth stays.
    assert figure(session, "stock.rust.strength").value == pytest.approx(1.125)
    assert figure(session, "paint.rust.stock").value == pytest.approx(0.24 / 1.125 * 100)
    assert figure(session, "paint.rust.depth").value == pytest.approx(0.5)
    assert not warned(session)


def test_more_dye_than_was_asked_is_made_up_to_more(worked_at, figure) -> None:
    """0.27 g at 1 % are 27 mL, where 24 were planned: the step asks for that."""
    session = worked_at("stocks.rust.volume", {"stocks.rust.dye": "0.27"})
    assert figure(session, "stock.rust.volume").value == pytest.approx(27.0)


def test_a_jar_that_is_short_of_dye_says_what_to_add_and_what_comes_if_it_is_left(
    worked_at, figure, warned
) -> None:
    session = worked_at("stocks.clear", {"stocks.kelp.dye": "0.15", "stocks.kelp.volume": "24"})
    # 0.15 g of the 0.24 g asked for. All 24 mL go in, at 0.625 %, and the reserve gives way: 40 mL are mixed, and all
    # of them go on: 0.15 g on 40 g.
    assert figure(session, "stock.kelp.strength").value == pytest.approx(0.625)
    assert figure(session, "paint.kelp.depth").value == pytest.approx(0.375)
    told = warned(session)["live.stock.kelp"]
    assert "0.09 g" in told and "comes to 0.375 %" in told


@pytest.mark.parametrize(
    ("dye", "said"),
    # Of 0.24 g a fiftieth less, 0.2352 g, is let be.
    [("0.236", False), ("0.235", True), ("0.3", False)],
)
def test_a_fiftieth_less_is_let_be(worked_at, warned, dye: str, said: bool) -> None:
    session = worked_at("stocks.clear", {"stocks.rust.dye": dye})
    assert ("live.stock.rust" in warned(session)) is said


def test_more_of_a_colour_in_the_proportions_of_its_jar(worked_at, keeper, figure) -> None:
    session = worked_at("paint.apply", {**SLIGHT, "paint.squeezed": "210"})
    # 100 g x 1.8 - 110 g held = 70 mL of room where 100 were planned, so 48 mL x 0.7 = 33.6 mL. The jar is
    # 100 x 0.26 / 25 = 1.04 %, and 0.24 g are 23.077 mL of it. More: 21 mL x 23.077 / 33.6 = 14.423 mL of stock.
    session.do(c.MixMore("rust", "21 mL", meant=True))
    (batch,) = (told.event for told in session.state.kept(BatchMixed))
    assert (batch.ml, batch.stock_ml, batch.water_ml) == pytest.approx((21.0, 14.4231, 6.5769), abs=1e-3)
    assert batch.strength_percent is None, "the jar's own"
    assert "lot_difference_percent" not in keeper.events[-1].data
    # 33.6 mL held all that the room takes at 0.5 %: there is more now, and no less in what goes on.
    assert figure(session, "paint.rust.depth").value == pytest.approx(0.5)


def test_a_second_batch_of_another_strength_is_another_lot(worked_at, keeper) -> None:
    session = worked_at("paint.apply", {"stocks.rust.dye": "0.25", "stocks.rust.volume": "25"})
    # The first jar is 1 %. 0.94 % is 100 x (0.94 - 1) / 1 = -6 %; 0.95 % is -5 % and still the same lot.
    session.do(c.MixMore("rust", "20 mL at 0.94 %"))
    assert keeper.events[-1].data["lot_difference_percent"] == pytest.approx(-6.0)
    session.do(c.MixMore("rust", "20 mL at 0.95 %"))
    assert "lot_difference_percent" not in keeper.events[-1].data
    # Against a first jar of 1 %, 1.06 % is 6 % off: the first jar is the base, whichever is the stronger.
    session.do(c.MixMore("rust", "20 mL at 1.06 %"))
    assert keeper.events[-1].data["lot_difference_percent"] == pytest.approx(6.0)
    assert [b.event.ml for b in session.state.kept(BatchMixed)] == [20.0, 20.0, 20.0]


@pytest.mark.parametrize("text", ["", "0 mL", "lots", "6000 mL", "20 mL at 150 %", "20 mL at nan", "-3"])
def test_more_that_cannot_be_is_refused(worked_at, text: str) -> None:
    session = worked_at("paint.apply")
    before = session.state
    with pytest.raises(Refused):
        session.do(c.MixMore("rust", text))
    with pytest.raises(Refused, match="no colour"):
        session.do(c.MixMore("moss", "20 mL", meant=True))
    assert session.state == before


def test_a_weight_that_was_mistyped_can_be_corrected(worked_at, figure) -> None:
    session = worked_at("stocks.clear", {"stocks.rust.dye": "9.9"})
    session.do(c.Correct("stocks.rust.dye", "0,24", "typed into the wrong line"))
    assert figure(session, "stock.rust.dye").value == pytest.approx(0.24)
    # What was made up for it stands as it was done, until that is corrected too.
    session.do(c.Correct("stocks.rust.volume", "24", "measured again"))
    assert figure(session, "stock.rust.strength").value == pytest.approx(1.0)


@pytest.mark.parametrize(("dye", "said"), [("0.232", False), ("0.229", True)])
def test_less_than_a_step_of_the_scale_is_not_asked_for(
    worked_at, choices, warned, dye: str, said: bool
) -> None:
    """Of 0.24 g on a scale that shows 0.01 g: 0.008 g, a thirtieth, cannot be added, 0.011 g can."""
    coarse = msgspec.structs.replace(choices, scale_g=msgspec.structs.replace(choices.scale_g, value=0.01))
    session = worked_at("stocks.clear", {"stocks.rust.dye": dye}, coarse)
    assert ("live.stock.rust" in warned(session)) is said


def test_the_strength_of_what_was_weighed_and_made_up_is_measured(worked_at, figure) -> None:
    assert figure(worked_at("stocks.rust.dye"), "stock.rust.strength").origin == "plan"
    session = worked_at("stocks.clear", {"stocks.rust.dye": "0.41", "stocks.rust.volume": "12"})
    strength = figure(session, "stock.rust.strength")
    assert (strength.value, strength.origin) == (pytest.approx(41 / 12), "measured")
