"""What the bench says of entries that wait to be saved, by keys."""

from __future__ import annotations

import pytest

from studio.session.clock import NS, time_of_day


async def test_not_saved_is_said_at_once_and_no_tick_is_shown(
    bench_at, screen_text, wait_until, keeper
) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        keeper.failing = True
        await pilot.press("enter")
        await wait_until(pilot, lambda: "NOT SAVED: the disk is full." in screen_text(app))
        await wait_until(
            pilot, lambda: "● Room is ready waiting to be saved" in " ".join(screen_text(app).split())
        )
        assert "■ Room is ready" not in screen_text(app)
        assert session.waiting and not session.saved.step("ready.room").closed
        await pilot.press("enter")
        await wait_until(pilot, lambda: "● Jars and brushes labelled" in screen_text(app))
        keeper.failing = False
        await wait_until(pilot, lambda: "■ Jars and brushes labelled" in screen_text(app))
        assert "■ Room is ready" in screen_text(app)
        assert "NOT SAVED" not in screen_text(app) and "waiting to be saved" not in screen_text(app)


async def test_a_session_that_had_to_move_says_where_it_is_for_as_long_as_it_is_there(
    bench_at, screen_text, wait_until, keeper
) -> None:
    app, session = bench_at("ready.room")
    path = "~/.local/state/potside/unsaved/01234567/20261125-1004-tidewrack-stripes-9f3a.jsonl"
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        keeper.moved = f"The studio folder took nothing: this session is kept in {path}."
        await wait_until(pilot, lambda: "took nothing: this" in screen_text(app))
        assert path in "".join(line.strip() for line in screen_text(app).split("\n")[:2])
        await pilot.press("n", *"on", "enter")
        await wait_until(pilot, lambda: bool(session.state.notes))
        assert "took nothing: this" in screen_text(app), "a standing line, not a notice"


async def test_the_painting_page_says_what_is_not_saved_and_ticks_no_band_before_it_is(
    bench_at, screen_text, wait_until, keeper
) -> None:
    app, session = bench_at("paint.apply")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: bool(session.state.worksheet))
        await pilot.press("p")
        await wait_until(pilot, lambda: "0 of " in screen_text(app))
        keeper.failing = True
        await pilot.press("enter")
        await wait_until(pilot, lambda: "NOT SAVED: the disk is full." in screen_text(app))
        assert "● 1 rust" in screen_text(app) and "to be saved" in screen_text(app)
        assert "■" not in screen_text(app) and "0 of " in screen_text(app)
        keeper.failing = False
        await wait_until(pilot, lambda: "■ 1 rust" in screen_text(app))
        assert "NOT SAVED" not in screen_text(app) and "1 of " in screen_text(app)


async def test_on_a_slow_disk_the_clock_goes_on_and_saving_is_said_only_while_it_lasts(
    bench_at, screen_text, wait_until, slow_disk, clock
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        synced = slow_disk()
        await pilot.press("n", *"lid rattles", "enter")
        await wait_until(pilot, lambda: "Saving is slow; the clocks go on." in screen_text(app))
        for _ in range(3):
            before = session.clock.now().wall_ns
            clock.advance(61)
            shown = time_of_day(before + 61 * NS, session.state.utc_offset_min)
            await wait_until(pilot, lambda shown=shown: shown in screen_text(app), shown)
        assert not session.state.notes, "nothing is shown before it is on disk"
        await pilot.press("escape", "n", *"hiss")
        synced.set()
        await wait_until(pilot, lambda: bool(session.state.notes))
        await wait_until(pilot, lambda: "Saving is slow" not in screen_text(app))
        assert [note.text for note in session.state.notes] == ["lid rattles"]
        assert app.screen.line.half_typed == "Note: hiss", "the next question stands"


async def test_a_page_may_be_left_while_what_was_answered_on_it_is_being_saved(
    bench_at, screen_text, wait_until, slow_disk
) -> None:
    app, session = bench_at("paint.apply")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p")
        await wait_until(pilot, lambda: "0 of " in screen_text(app))
        synced = slow_disk()
        await pilot.press("n", *"lid rattles", "enter")
        await wait_until(pilot, lambda: "Saving is slow" in screen_text(app))
        await pilot.press("escape", "escape")
        await wait_until(pilot, lambda: app.screen.WHERE == "bench")
        synced.set()
        await wait_until(pilot, lambda: [note.text for note in session.state.notes] == ["lid rattles"])


@pytest.mark.parametrize("gone", ["alarms", "panel", "keys", "notice"])
async def test_a_tick_that_ends_while_the_bench_is_taken_down_finds_its_parts(
    bench_at, screen_text, wait_until, gone
) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        bench = app.screen
        await bench.query_one(f"#{gone}").remove()
        session.clock.advance(600)
        bench._show_time()
        await pilot.pause()
        assert app.is_running and app._exception is None
