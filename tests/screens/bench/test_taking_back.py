"""Taking back by keys: U the newest, J any that may go; and bringing back."""

from __future__ import annotations

from textual.widgets import Input, OptionList

from studio.screens.bench.acting import READABLE_S
from studio.screens.bench.bench import TICK_S, BenchScreen
from studio.session import alarms
from studio.session import commands as c


async def test_a_wrong_band_is_unticked_with_later_ones_left(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("paint.apply")
    for band in (1, 3, 2):
        session.do(c.PaintBand(band))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Paint" in screen_text(app) or "paint" in screen_text(app))
        await pilot.press("j")
        await wait_until(pilot, lambda: "What is taken back?" in screen_text(app))
        await wait_until(pilot, lambda: "Enter take back" in screen_text(app))
        await pilot.press("down", "enter")
        await wait_until(pilot, lambda: [coat.event.band for coat in session.state.coats] == [1, 2])
        await wait_until(pilot, lambda: "Taken back: 'band 3 painted, rust'" in screen_text(app))
        await pilot.press("j")
        await wait_until(pilot, lambda: "bring back band 3 painted" in " ".join(screen_text(app).split()))
        await wait_until(pilot, lambda: "Enter bring back" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: [coat.event.band for coat in session.state.coats] == [1, 3, 2])
        await wait_until(pilot, lambda: "Brought back: 'band 3 painted, rust'" in screen_text(app))
        assert "Taken back" not in screen_text(app), "the bench says the newest alone"


async def test_u_on_the_painting_page_takes_the_newest_coat_off_the_record(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("paint.apply")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p", "3", "enter")
        await wait_until(pilot, lambda: len(session.state.coats) == 1)
        await pilot.press("u")
        await wait_until(pilot, lambda: not session.state.coats)
        await wait_until(pilot, lambda: "band 3 painted, rust" in screen_text(app))


async def test_a_clock_is_stopped_and_brought_back_only_by_a_second_key(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("steam.hold")
    started = session.state.timers["steam"].started

    def shown() -> str:
        return " ".join(screen_text(app).split())

    async with app.run_test(size=(80, 24)) as pilot:
        for asks, gone in (("stops the clocks", True), ("going again", False)):
            await wait_until(pilot, lambda: "►steam" in screen_text(app))
            await pilot.press("j")
            await wait_until(pilot, lambda: "What is taken back?" in shown())
            await pilot.press("enter", "enter")
            await wait_until(pilot, lambda asks=asks: shown().count(asks) == 1)
            assert ("steam" in session.state.timers) is gone, "a key held down changes nothing"
            await pilot.pause(READABLE_S)
            await pilot.press("enter")
            await wait_until(pilot, lambda gone=gone: ("steam" in session.state.timers) is not gone)
    assert session.state.timers["steam"].started == started


async def test_a_correction_that_is_given_up_leaves_the_arrows_to_the_list(
    bench_at, screen_text, wait_until
) -> None:
    app, _ = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await wait_until(pilot, lambda: "Which value was wrong?" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: isinstance(app.focused, Input))
        await pilot.press("escape", "down")
        await wait_until(pilot, lambda: app.screen.query_one(OptionList).highlighted == 1)


async def test_what_was_taken_back_is_still_told_where_an_alarm_began_meanwhile(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("steam.hold")
    session.do(c.AddNote("lid rattles"))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press("j")
        await wait_until(pilot, lambda: "What is taken back?" in screen_text(app))
        session.clock.advance(15 * 60)
        await wait_until(pilot, lambda: bool(alarms.standing(session.state)))
        await pilot.press("enter")
        await wait_until(pilot, lambda: not session.state.notes and isinstance(app.screen, BenchScreen))
        await pilot.pause(2 * TICK_S)
        assert "Taken back:" in screen_text(app) and "DUE" in screen_text(app)


async def test_a_correction_that_is_saved_late_takes_what_was_opened_over_it_along(
    bench_at, screen_text, wait_until, slow_disk
) -> None:
    app, _ = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await wait_until(pilot, lambda: "Which value was wrong?" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: isinstance(app.focused, Input))
        await pilot.press(*"1500", "enter", *"misread")
        synced = slow_disk()
        await pilot.press("enter")
        await wait_until(pilot, lambda: "Saving is slow" in screen_text(app))
        await pilot.press("escape", "question_mark")
        await wait_until(pilot, lambda: app.screen.WHERE == "card")
        synced.set()
        await wait_until(pilot, lambda: isinstance(app.screen, BenchScreen))
