"""What a session really did, read back as the material of a repeat."""

from __future__ import annotations

import pytest

from studio.session import commands as c
from studio.session.really_done import really_done


def test_weights_soak_acid_and_jars_as_measured(exactly_at):
    given = {
        "ready.weight": "102",
        "presoak.water": "1900",
        "presoak.acid": "41",
        "presoak.ph": "4.2",
        "stocks.rust.dye": "0.3",
        "stocks.rust.volume": "25",
        "paint.squeezed": "190",
        "paint.rust.mix": "44",
    }
    done = really_done(exactly_at("steam.water", given).state)
    assert (done.dry_g, done.planned_dry_g, done.squeezed_g) == (102.0, 100.0, 190.0)
    assert (done.soak_ml, done.acid_amount, done.acid_unit, done.soak_ph) == (1900.0, 41.0, "mL", 4.2)
    rust, kelp = done.colours
    # 0.3 g made up to 25 mL is 1.2 g in 100 mL; kelp was weighed as planned, 0.24 g in 24 mL.
    assert rust.real_percent == (pytest.approx(1.2),) and rust.planned_percent == (1.0,)
    assert kelp.real_percent == (pytest.approx(1.0),)
    assert (rust.mixed_ml, rust.stock_ml) == (44.0, 24.0)
    assert done.hold_min is None and done.pot_ml is None


def test_bands_painted_otherwise_than_laid_out_are_told_apart(exactly_at):
    session = exactly_at("paint.apply")
    for command in (c.PaintBand(1), c.PaintBand(2, "rust"), c.PaintBand(4), c.PaintBand(4, again=True)):
        session.do(command)
    bands = [(band.number, band.planned, band.painted) for band in really_done(session.state).bands]
    assert bands == [(2, "kelp", ("rust",)), (4, "kelp", ("kelp", "kelp"))]


def test_the_hold_is_without_the_time_the_steam_was_lost(exactly_at, walk, clock):
    """The plan holds 36 min; 4 min without steam and 500 mL filled up lie beside it."""
    session = exactly_at("steam.hold", {"steam.water": "1450"})
    clock.advance(600)
    session.do(c.ToggleSteam())
    clock.advance(240)
    session.do(c.ToggleSteam())
    session.do(c.Refill("500 mL"))
    walk(session, "steam.off")
    done = really_done(session.state)
    assert done.hold_min == pytest.approx(36.0)
    assert done.lost_min == pytest.approx(4.0)
    assert (done.pot_ml, done.filled_up_ml) == (1450.0, 500.0)


def test_a_hold_that_ran_over_is_as_long_as_it_ran(exactly_at, walk, clock):
    session = exactly_at("steam.hold")
    clock.advance(36 * 60 + 300)
    session.tick()
    walk(session, "steam.off")
    assert really_done(session.state).hold_min == pytest.approx(41.0)


def test_a_value_that_was_not_measured_is_none_and_a_corrected_one_is_the_last(exactly_at):
    session = exactly_at("presoak.ph")
    session.do(c.NotMeasured("presoak.ph", "no strips"))
    session.do(c.Correct("ready.weight", "98", "misread"))
    done = really_done(session.state)
    assert done.soak_ph is None and done.dry_g == 98.0


def test_a_session_written_without_facts_still_gives_its_weight(exactly_at, sheet_of):
    import msgspec

    session = exactly_at("presoak.water", {"ready.weight": "97"})
    bare = msgspec.structs.replace(session.state.worksheet, facts=None)
    done = really_done(msgspec.structs.replace(session.state, worksheet=bare))
    assert done.dry_g == 97.0 and done.planned_dry_g is None and done.colours == ()
