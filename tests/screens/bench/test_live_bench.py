"""One session through the real screen at 80x24, from the first step to the close; every live figure is used once.

The plan (tests/conftest.py): 100 g, wet pick-up 180 %, rust and kelp, each 40 g at 0.5 % of a 1 % stock (0.24 g in
24 mL) and 48 mL of paint, 24 of it stock; rust 20 rows, kelp 20 rows, twice over; hob 1 000 W, 25 mL boiled off a
minute; hold 36 min, centre hot after 26 to 40 min; 85 °C strikes; 40 °C is safe. Each number below is worked out
in the comment beside it.
"""

from __future__ import annotations

import math

import msgspec
import pytest

from studio.plan.sheet import work_sheet
from studio.quantity.showing import show
from studio.session.folding import replay
from studio.session.kinds.heat import RinseRound
from studio.session.kinds.notes import PhotoAdded
from studio.session.kinds.paint import BatchMixed, LeftoverKept
from tests.screens.bench.conftest import Gloves


def safe_after_min(first: tuple[float, float], second: tuple[float, float], room_c: float) -> float:
    """Last minute at which 40 °C may lie on the line through two readings, each good to 1/sqrt(3) °C, 2 u wide.

    By bisection, as in tests/session/live/test_cooling.py.
    """
    (t1, c1), (t2, c2) = first, second
    d1, d2, u = c1 - room_c, c2 - room_c, 1 / math.sqrt(3)
    low, high = t2, 1000.0
    while high - low > 1e-9:
        t = (low + high) / 2
        a, b = (t2 - t) / (t2 - t1), (t - t1) / (t2 - t1)
        line = a * math.log(d1) + b * math.log(d2)
        beyond = math.log(40 - room_c) - line > 2 * math.hypot(a * u / d1, b * u / d2)
        low, high = (low, t) if beyond else (t, high)
    return high


async def ready_and_soak(g: Gloves) -> None:
    await g.step("ready.kit")
    await g.gate("ready.powder")
    await g.gate("ready.room")
    await g.step("ready.jars")
    await g.press("i")
    await g.sees("What is to be kept?")
    await g.press("p")
    await g.answer("photos/before.jpg")
    await g.sees("What is on it?")
    await g.types("white")
    await g.sees("picture photos/before.jpg white")
    await g.step("ready.weight")
    await g.step("presoak.water", "100")
    await g.step("presoak.acid", "2 L")
    await g.step("presoak.ph", "40")
    await g.say("m", "no strips left")
    await g.step("stocks.rust.dye")
    assert g.session.state.step("presoak.ph").state == "not measured"
    await g.say("h", "15:13 the tap ran brown")


async def stocks(g: Gloves) -> None:
    await g.step("stocks.rust.volume", "0,27", twice=True)
    await g.step("stocks.kelp.dye", "25")
    await g.step("stocks.kelp.volume", "0.24")
    await g.step("stocks.clear", "24 mL")
    await g.step("presoak.wait")
    await g.minutes(30)
    await g.step("paint.end-ph")
    await g.step("paint.squeezed", "4.2")


async def paints(g: Gloves) -> None:
    await g.step("paint.rust.mix", "210")
    await g.press("k")
    await g.sees("Which value was wrong?")
    await g.press("enter")
    await g.sees("Fibre squeezed and weighed, 210 g: the right value in g")
    await g.types("200")
    await g.sees("Why was it wrong?")
    await g.types("squeezed it again")
    earlier = lambda: [old.what for old in g.session.state.step("paint.squeezed").earlier]  # noqa: E731
    await g.until(lambda: earlier() == ["210 g"], "the correction")
    await g.step("paint.kelp.mix", "48", twice=True)
    await g.step("paint.apply", "48", twice=True)


async def bands(g: Gloves) -> None:
    await g.press("p")
    await g.sees("0 of 4 bands")
    await g.press("enter")
    await g.sees("1 of 4 bands", "■ 1 rust")
    await g.say("j", "1 14.4 mL")
    # 48 - 14.4 = 33.6 mL on 20 rows; 20 rows are bare: 33.6 mL needed, 19.2 short.
    await g.sees("rust left in the jar 14.4 mL", "33.6 mL needed", "Mix 19.2 mL more")
    await g.say("c", "rust 19.2 mL", again="made up anew")
    # In the jar's proportions: 24 x 0.24 / 0.27 x 25 / 24 = 22.2 of 48 mL. In the jar now 14.4 + 19.2 = 33.6 mL.
    await g.sees("rust left in the jar 33.6 mL")
    assert "will run short" not in g.shown()
    (batch,) = (told.event for told in g.session.state.kept(BatchMixed))
    poured = batch.stock_ml, batch.water_ml
    assert poured == pytest.approx((8.8889, 10.3111), abs=1e-4) and batch.strength_percent is None
    await g.press("up", "plus")
    await g.sees("2 coats")
    await g.press("enter")
    await g.sees("Band 1 has a coat from the rust jar already")
    for count in (2, 3, 4):
        await g.press("enter")
        await g.sees(f"{count} of 4 bands")
    assert [coat.event.band for coat in g.session.state.coats] == [1, 1, 2, 3, 4]
    await g.press("escape")
    await g.sees("►paint")
    await g.say("c", "1 5 mL at 0.9 %")
    # 0.9 % against 0.27 g in 25 mL, 1.08 %, of the first jar: -16.67 %.
    await g.sees("ANOTHER LOT, -16.7 % off the first jar")
    await g.step("paint.wrap")
    await g.step("steam.water")


async def pot(g: Gloves) -> None:
    await g.step("steam.safe", "1000", twice=True)
    await g.gate("steam.on")
    # 1000 g x 4.19 x (99.97 - 15) = 356 040 J at 940.2 W: 6.31 min.
    await g.sees("steam rolls after 6.3 min")
    await g.step("steam.rolling")
    await g.minutes(9)
    await g.step("steam.hold")
    await g.sees("The steam came after 9 min")


async def hold(g: Gloves) -> None:
    await g.minutes(10)
    # Centre: 15.47 - 10 = 5.47 to 24.74 - 10 = 14.7 min. Pot: 1000 - 250 = 750 mL, 30 min.
    await g.sees("middle at 85 °C in 15 min (5.5 at the earliest)", "pot water lasts another 30 min")
    await g.say("r", "80")
    await g.press("p")
    await g.sees("Packets in the steam", "steam set 26:00")
    await g.say("i", "lantern floats")
    await g.sees("lantern floats 36:00")
    await g.press("escape")
    await g.press("g")
    await g.sees("stands still: no steam", "The steam is lost")
    await g.minutes(8)
    assert g.left_min("steam") == pytest.approx(26)
    await g.press("g")
    # Eight minutes are more than five: 36 + 5 - 10 = 31 min to go.
    await g.sees("5 min more - steam was lost for 8 min", "steam rolls again")
    assert g.left_min("steam") == pytest.approx(31) and g.left_min("packet-2") == pytest.approx(41)
    await g.say("r", "packet 92")
    # From 80 to 92 in 8 min: above 85 for the last 7/12 of it, 8 x 7 / 12 = 4.67 min.
    await g.sees("packet at or above 85 °C 4.7 min")
    await g.minutes(6)
    # Minute 24, 16 rolled: the pot was due to be looked at after 15. Centre up to 29.74 - 16 = 13.7 min.
    assert g.session.state.timers["pot-water"].round == 2
    await g.sees("middle at 85 °C in")
    await g.minutes(14)
    # Minute 38, 30 rolled: 1000 - 750 = 250 mL, the line of ten minutes.
    await g.sees("pot water lasts another 10 min", "about 250 mL left")
    await g.say("f", "0.5 L")
    await g.sees("pot water lasts another 30 min")
    await g.minutes(11)
    # Minute 49, 41 rolled: the set is over. Hot since 24.74 + 5 rolled: the loss counts here too. Pot 475 mL.
    await g.sees("middle at 85 °C since, at least 11", "pot water lasts another 19 min")
    await g.press("p", "down", "o")
    await g.sees("out after 31 min")
    await g.press("escape")
    await g.step("steam.off")
    await g.step("steam.out")
    await g.step("cool.wait")


async def cooling(g: Gloves) -> None:
    await g.say("r", "room 20")
    await g.say("r", "80")
    await g.minutes(10)
    await g.say("r", "50")
    slow = max(safe_after_min((0, 80), (10, 50), room) for room in (19, 20, 21)) - 10
    await g.sees(f"safely at 40 °C in {slow:.2g} min")
    await g.minutes(120)
    await g.step("cool.temperature")
    await g.step("cool.unwrap", "38")
    await g.gate("rinse.water")


async def rinsing(g: Gloves) -> None:
    # 38 °C, ten either way.
    await g.sees("planned 38 °C")
    await g.step("rinse.rounds", "22", twice=True)
    await g.sees("16 °C from the fibre", "between 28 and 48 °C")
    for count in (1, 2, 3):
        await g.say("enter", "2")
        assert len(g.session.state.kept(RinseRound)) == count
    await g.sees("too little acid: measure the pH")
    await g.say("y", "three rounds and no clearer")
    await g.comes_to("steam-2.again")
    await g.sees("►steam-2")
    assert g.session.state.step("rinse.rounds").value == 3.0


async def second_set(g: Gloves) -> None:
    await g.step("steam-2.water")
    await g.step("steam-2.safe", "1500")
    await g.gate("steam-2.on")
    await g.step("steam-2.rolling")
    g.session.clock.advance(600)
    await g.step("steam-2.hold")
    assert g.left_min("steam-2") == pytest.approx(36)
    await g.minutes(36)
    await g.step("steam-2.off")
    await g.step("steam-2.out")
    await g.step("cool-2.wait")
    await g.say("o", "it stood in the draught")
    await g.comes_to("cool-2.temperature")
    await g.step("cool-2.unwrap", "35")
    await g.gate("rinse-2.water")
    await g.step("rinse-2.rounds", "35")
    await g.say("enter", "5")
    await g.comes_to("rinse-2.wash")
    await g.step("rinse-2.dry")
    await g.step("rinse-2.unravel")
    await g.step("record.leftovers")


async def record(g: Gloves) -> None:
    await g.sees("►rinse-2" if "►rinse-2" in g.shown() else "►record")
    await g.say_leftovers(("12 mL", "4 mL out"))
    await g.gate("record.kit")
    rust, kelp = (told.event for told in g.session.state.kept(LeftoverKept))
    assert rust.to == "jar" and rust.use_by
    assert (kelp.to, kelp.ml) == ("disposed", 4.0)
    await g.step("record.weight")
    await g.step("record.rinsed-clear", "99")
    await g.sees("how did it come out?")
    for digit, then in zip("4534", ("colour-went-through", "sharp-edges", "even", "close"), strict=True):
        await g.press(digit)
        await g.comes_to(f"record.{then}")
    await g.say_close()


async def test_what_a_step_asks_follows_what_was_weighed(bench_at, choices) -> None:
    """0.27 g are made up to 27 mL for 1 %; in 25 mL they are 1.08 %."""
    app, session = bench_at("stocks.rust.dye", choices=choices)
    async with app.run_test(size=(80, 24)) as pilot:
        g = Gloves(app, session, pilot)
        await g.step("stocks.rust.volume", "0,27", twice=True)
        await g.sees("27 mL")  # made up to 1 %
        await g.step("stocks.kelp.dye", "25")
        await g.step("stocks.kelp.volume", "0.24")
        await g.step("stocks.clear", "24")
        await g.sees("strength of stock for rust 1.08 %")


async def test_what_is_mixed_follows_the_squeeze(bench_at, choices) -> None:
    """Of the dry weight d there is room for 1.8 d - (210 - d); two fifths of it are rust's, with a fifth more."""
    app, session = bench_at("paint.squeezed", choices=choices)
    async with app.run_test(size=(80, 24)) as pilot:
        g = Gloves(app, session, pilot)
        await g.step("paint.rust.mix", "210")
        dry_g = session.state.step("ready.weight").value
        weighed = session.state.step("stocks.rust.dye")
        # Where less dye was weighed than was asked, the reserve gives way.
        there = max(1 / 1.2, min(1.0, weighed.value / weighed.asked))
        await g.sees(f"planned {show((2.8 * dry_g - 210) * 0.4 * 1.2 * there, 'mL')}")


@pytest.mark.deep
async def test_every_live_figure_once_from_begin_to_finish(
    bench_at, sheet_of, choices, keeper, monkeypatch
) -> None:
    # That a key on its way answers no fresh alarm has a test of its own; here it would only make this one slow.
    monkeypatch.setattr("studio.screens.bench.bench.FRESH_ALARM_S", 0.0)
    of_jar = tuple(f for f in work_sheet(choices).figures if f.id == "stock.rust.strength")
    sheet = sheet_of()
    sheet = msgspec.structs.replace(sheet, figures=(*sheet.figures, *of_jar))
    app, session = bench_at("ready.sound", sheet)
    async with app.run_test(size=(80, 24)) as pilot:
        g = Gloves(app, session, pilot)
        await g.sees("Sound the bell")
        for part in (ready_and_soak, stocks, paints, bands, pot, hold, cooling, rinsing, second_set, record):
            await part(g)
        await g.until(lambda: session.state.outcome == "finished")
    assert replay(keeper.events) == session.state
    assert [p.event.path for p in session.state.kept(PhotoAdded)] == ["photos/before.jpg"]
    assert session.state.notes[-1].happened_at == "15:13"
    assert [r.event.staining for r in session.state.kept(RinseRound)] == [2, 2, 2, 5]
