"""What a session really did, read back as the material of a repeat."""

from __future__ import annotations

import pytest

from studio.services.repeats import really_done
from studio.session import commands as c
from studio.session.after.comparing import compare
from studio.session.after.real_cost import heated_min
from studio.session.after.review import stage_times


def test_every_amount_that_was_measured_or_poured(worked_at):
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
    done = really_done(worked_at("steam.water", given).state)
    assert (done.amounts["fibre.weight"], done.choices.dry_g) == (102.0, 100.0)
    told = ("presoak.water", "presoak.acid", "presoak.ph.first", "stock.rust.dye", "stock.rust.volume")
    assert [done.amounts[path] for path in told] == [1900.0, 41.0, 4.2, 0.3, 25.0]
    assert (done.amounts["paint.squeezed"], done.amounts["paint.rust.liquid"]) == (190.0, 44.0)
    strength = done.sheet.figure("stock.rust.strength")
    # 0.3 g made up to 25 mL is 1.2 g in 100 mL.
    assert strength is not None and strength.value == pytest.approx(1.2)
    assert not {"set.hold", "set.pot_water"} & set(done.amounts)


def test_bands_painted_otherwise_than_laid_out_are_told_apart(worked_at):
    session = worked_at("paint.apply")
    for command in (
        c.PaintBand(1),
        c.PaintBand(2, "rust"),
        c.PaintBand(3),
        c.PaintBand(4),
        c.PaintBand(4, again=True),
    ):
        session.do(command)
    notes = really_done(session.state).notes
    assert [note.partition(";")[0] for note in notes] == ["Band 2: 1 coat from rust", "Band 4: 2 coats"]


def test_the_hold_is_without_the_time_the_steam_was_lost(worked_at, walk, clock):
    """4 min without steam and 500 mL filled up lie beside what is held."""
    session = worked_at("steam.hold", {"steam.water": "1450"})
    planned = session.state.timers["steam"].minutes
    clock.advance(600)
    session.do(c.ToggleSteam())
    clock.advance(240)
    session.do(c.ToggleSteam())
    session.do(c.Refill("500 mL"))
    walk(session, "steam.off")
    done = really_done(session.state)
    assert done.amounts["set.hold"] == pytest.approx(planned)
    assert "lost for 4 min" in done.beside["set.hold"]
    assert (done.amounts["set.pot_water"], done.beside["set.pot_water"][:10]) == (1450.0, "and 500 mL")


def test_a_hold_that_ran_over_is_as_long_as_it_ran(worked_at, walk, clock):
    session = worked_at("steam.hold")
    planned = session.state.timers["steam"].minutes
    clock.advance(planned * 60 + 300)
    session.tick()
    walk(session, "steam.off")
    assert really_done(session.state).amounts["set.hold"] == pytest.approx(planned + 5)


def test_a_corrected_value_is_the_last(worked_at):
    session = worked_at("presoak.ph")
    session.do(c.NotMeasured("presoak.ph", "no strips"))
    session.do(c.Correct("ready.weight", "98", "misread"))
    assert really_done(session.state).amounts["fibre.weight"] == 98.0


def test_bands_left_bare_are_named_and_do_not_thin_the_depth_of_the_others(worked_at, walk) -> None:
    """Of two bands of rust one is painted with 8 of the 48 mL, which are 40 mL and a fifth for reserve for the two at
    0.5 %: 8 mL where 20 were meant are 0.2 %.
    """
    session = worked_at("paint.apply")
    session.do(c.PaintBand(1))
    session.do(c.Close("paint.apply", meant=True))
    walk(session, "record.leftovers")
    session.do(c.KeepLeftover("rust", "40 mL"))
    done = really_done(session.state)
    assert any(note.startswith("Bands not painted: 2 to 4;") for note in done.notes)
    assert done.sheet.figure("paint.rust.depth").value == pytest.approx(0.2)


def test_a_bath_that_was_held_on_twice_counts_both_times(worked_at, settled_of, clock, walk) -> None:
    """40 min of hold, and 10 more after each of two looks; the second look begins the same clock anew."""
    session = worked_at("heat.clear", settled=settled_of(method="kettle"))
    for _ in range(2):
        session.do(c.Measure("heat.clear", "2"))
        clock.advance(600)
        session.tick()
        session.do(c.Acknowledge(session.state.alarms[-1].n))
    walk(session, "rinse.rounds")
    heat = next(stage for stage in stage_times(session.state) if stage.stage == "heat")
    assert sum(round((end - begin) / 60e9) == 10 for begin, end in heat.clocks) == 2
    assert really_done(session.state).amounts["kettle.hold"] == pytest.approx(60.0)
    assert heated_min(session.state) == pytest.approx(60.0)


def test_sessions_are_compared_by_all_rounds_of_a_clock(worked_at, settled_of, clock, walk) -> None:
    """One was held on once, the other twice, 10 min each time."""
    held = []
    for times in (1, 2):
        session = worked_at("heat.clear", settled=settled_of(method="kettle"))
        for _ in range(times):
            session.do(c.Measure("heat.clear", "2"))
            clock.advance(600)
            session.tick()
            session.do(c.Acknowledge(session.state.alarms[-1].n))
        walk(session, "rinse.rounds")
        held.append(session.state)
    row = next(row for row in compare(held) if row.part == "timer" and row.id == "hold-more")
    assert row.values == pytest.approx((10.0, 20.0))
