"""Rows 12 to 15, 26 and 28 of the acceptance list, on the real screen with a clock that is moved by hand."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from textual import events

from studio.screens.bench.bench import FRESH_ALARM_S
from studio.screens.bench.entry import Entry
from studio.session import alarms
from studio.session.clock import NS, Reading, SteppedClock, time_of_day
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.timers import running


def at(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


def left_s(session, timer: str) -> float:  # type: ignore[no-untyped-def]
    return next(v.left_s for v in running(session.state, session.clock.now()) if v.id == timer)


def kinds(keeper) -> list[str]:  # type: ignore[no-untyped-def]
    return [event.kind for event in keeper.events]


async def test_row_12_asleep_for_fourteen_minutes_with_ten_left(
    bench_at, screen_text, wait_until, keeper, digits_drawn
) -> None:
    app, session = bench_at("steam.hold")
    rung: list[int] = []
    app.bell = lambda: rung.append(1)  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        session.clock.advance(26 * 60)
        await wait_until(pilot, lambda: "DUE" in screen_text(app), "the pot water")
        await pilot.pause(FRESH_ALARM_S + 0.1)
        await pilot.press("enter")
        await wait_until(pilot, lambda: not alarms.standing(session.state))
        assert left_s(session, "steam") == 600
        rung.clear()
        session.clock.change(wall_s=840, boot_s=840)  # asleep: the clock that stops in sleep stands still
        await wait_until(pilot, lambda: "4 min late" in screen_text(app), "overdue by 14 - 10 min")
        shown = " ".join(screen_text(app).split())
        assert "DUE The set is over" in shown and rung
        assert digits_drawn(screen_text(app), "+4:00")
    slept = [ev.data["seconds"] for ev in keeper.events if ev.kind == "clock.suspended"]
    assert slept == [840]
    raised = [ev.data for ev in keeper.events if ev.kind == "alarm.raised" and ev.data["timer"] == "steam"]
    assert [(a["level"], a["late_s"]) for a in raised] == [("due", 240)]


@pytest.mark.parametrize("step_s", [3600, -3600, -1.7e9, 2.2e9], ids=["+1 h", "-1 h", "1970s", "2090s"])
async def test_row_13_a_set_wall_clock_moves_no_timer(
    bench_at, screen_text, wait_until, keeper, step_s
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        session.clock.advance(60)
        session.clock.change(wall_s=step_s)
        await wait_until(pilot, lambda: "clock.stepped" in kinds(keeper))
        assert left_s(session, "steam") == 35 * 60
        # The end is told by the clock on the wall as it stands now, 35 min on.
        end = time_of_day(session.clock.now().wall_ns + 35 * 60 * NS, session.state.utc_offset_min)
        await wait_until(pilot, lambda: f"ends {end}" in screen_text(app))
        assert not alarms.standing(session.state)
    assert [ev.data["seconds"] for ev in keeper.events if ev.kind == "clock.stepped"] == [step_s]


@pytest.mark.parametrize(
    ("zone", "start"),
    [
        ("Europe/Berlin", "2026-10-25T02:50"),  # back at 03:00
        ("Europe/Berlin", "2026-03-29T01:50"),  # on at 02:00
        ("Australia/Lord_Howe", "2026-04-05T01:50"),  # back by half an hour at 02:00
        ("America/New_York", "2026-03-08T01:50"),
    ],
)
@pytest.mark.one_in(2)
async def test_row_14_summer_time_in_the_middle_of_a_timer(
    bench_at, screen_text, wait_until, clock, zone, start
) -> None:
    begins = datetime.fromisoformat(start).replace(tzinfo=ZoneInfo(zone))
    wall_ns = int(begins.astimezone(UTC).timestamp()) * NS
    app, session = bench_at("steam.rolling")
    clock.advance(15 * 60)  # steam takes its time; at once it would be doubted
    clock.change(wall_s=(wall_ns - clock.now().wall_ns) / NS)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "steam.hold")
        offset = begins.utcoffset()
        clock.advance(20 * 60)
        moved = datetime.fromtimestamp(clock.now().wall_ns / NS, ZoneInfo(zone)).utcoffset()
        assert moved != offset, "summer time began or ended meanwhile"
        await wait_until(pilot, lambda: "20 min gone" in screen_text(app))
        assert left_s(session, "steam") == 16 * 60
        # Both times on screen are in the offset of the opening, so that end and time of day agree: 16 min apart.
        shown = screen_text(app)
        day, end = re.search(r"(\d\d):(\d\d)   saved", shown), re.search(r"ends (\d\d):(\d\d)", shown)
        apart = (int(end[1]) - int(day[1])) * 60 + int(end[2]) - int(day[2])
        assert apart % (24 * 60) == 16


@pytest.mark.parametrize("off_s", [50 * 60, -7200, 90 * 86_400], ids=["on", "clock back", "clock far ahead"])
async def test_row_15_after_a_restart_the_dyer_is_asked(
    bench_at, screen_text, wait_until, keeper, clock, off_s, digits_drawn
) -> None:
    app, session = bench_at("steam.hold")
    before = kinds(keeper).count("alarm.raised")
    clock.advance(600)
    clock.change(wall_s=off_s, boot_s=-clock.now().boot_ns / NS + 40, boot="boot-b")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "computer lost count" in screen_text(app))
        assert "--:--" in screen_text(app) or digits_drawn(screen_text(app), "--:--")
        shown = " ".join(screen_text(app).split())
        assert "nobody knows how long it has boiled: look at the pot now" in shown
        assert (
            "pot water lasts another" not in shown and "middle at 85 °C in" not in shown and "+" not in shown
        )
        await pilot.pause(0.6)
        assert kinds(keeper).count("alarm.raised") == before
        await pilot.press("enter")
        asked = "say first how long it ran (T)"
        await wait_until(pilot, lambda: asked in " ".join(screen_text(app).split()))
        assert at(session) == "steam.hold"
        await pilot.press("t")
        await wait_until(pilot, lambda: "How many minutes has steam set run" in screen_text(app))
        await pilot.press(*"-5", "enter")
        await pilot.pause(0.1)
        assert app.screen.query_one(Entry).is_asking, "a time below nothing is not taken"
        await pilot.press("backspace", "backspace", *"20", "enter")
        await wait_until(pilot, lambda: not app.screen.query_one(Entry).is_asking)
        assert left_s(session, "steam") == 16 * 60
        # By the clock that was confirmed, 20 min: the centre is hot after 15.46 to 24.74 min of steam.
        await wait_until(
            pilot, lambda: "middle at 85 °C in at most 4.7 min" in " ".join(screen_text(app).split())
        )
    confirmed = [ev.data for ev in keeper.events if ev.kind == "timer.confirmed"]
    assert [(d["timer"], d["elapsed_s"]) for d in confirmed] == [("steam", 1200)]


def test_row_15_no_time_below_nothing_is_ever_written(begin, keeper, clock) -> None:
    from studio.session import commands as c

    session: Running = begin(to="steam.hold")
    clock.change(wall_s=-7200, boot_s=-clock.now().boot_ns / NS + 40, boot="boot-b")
    try:
        session.do(c.Override("steam.hold", "lost count of it"))
    except ValueError:
        return
    stopped = [clock for ev in keeper.events for clock in ev.data.get("stops", ())]
    assert all(clock["elapsed_s"] >= 0 for clock in stopped)


TAKEN = [("3,5", 3.5), ("101,5 g", 101.5), ("0.1 kg", 100.0)]
REFUSED = ["nan", "1_0", "٣", "1e400", "1,234.5", "9" * 10_000, "", "five", "inf", "100 mL"]


@pytest.mark.deep
async def test_row_26_values_that_cannot_be_are_refused_and_kept_in_the_line(
    bench_at, screen_text, wait_until, keeper, sampled
) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        before = len(keeper.events)
        for typed in sampled(REFUSED, 5):
            await pilot.press("enter")
            await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
            box, why_not = app.screen.query_one("#entry-text"), app.screen.query_one("#entry-trouble")
            app.post_message(events.Paste(typed))
            await wait_until(pilot, lambda box=box, typed=typed: box.value == typed, typed[:10])
            await pilot.press("enter")
            await wait_until(pilot, lambda shown=why_not: bool(shown.display), f"why not {typed[:10]}")
            assert box.value == typed and len(keeper.events) == before
            assert not session.state.step("ready.weight").closed
            await pilot.press("escape")
            await wait_until(pilot, lambda: not app.screen.query_one(Entry).is_asking)


async def test_row_26_below_nothing_comma_out_of_range_and_several_lines(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", *"-5", "enter", "enter")
        await wait_until(pilot, lambda: bool(app.screen.query_one("#entry-trouble").display))
        assert not session.state.step("ready.weight").closed
        await pilot.press("backspace", "backspace", *"3,5", "enter")
        await wait_until(pilot, lambda: "Really 3,5 g? Expected 90 to 110 g" in screen_text(app))
        await pilot.press("ctrl+u")
        app.post_message(events.Paste("101,5 g\n55\n66"))
        box = app.screen.query_one("#entry-text")
        await wait_until(pilot, lambda: "101,5 g" in box.value)
        assert "\n" not in box.value
        await pilot.press("enter")
        await wait_until(pilot, lambda: session.state.step("ready.weight").value == 101.5)
        assert at(session) == "presoak.water", "the other lines answered nothing"


async def test_row_28_a_stuck_key_ticks_one_step(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.room", bounce_s=0.25)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        first = events.Key("enter", "\r")
        app.post_message(first)
        for count in range(1, 60):  # a key repeats about thirty times a second
            again = events.Key("enter", "\r")
            again.time = first.time + count / 30
            app.post_message(again)
        await wait_until(pilot, lambda: app._last_key[1] == first.time + 59 / 30)
        await wait_until(pilot, lambda: session.state.step("ready.room").closed)
        assert at(session) == "ready.jars"
        app._last_key = ("", 0.0)
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "ready.weight", "a later press is one of its own")


async def test_row_28_a_paste_is_text_in_a_line_and_nothing_elsewhere(
    bench_at, screen_text, wait_until, keeper
) -> None:
    pasted = ("q y x u 12\r\n\x1b[A enter " * 250)[:5000]
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        before = len(keeper.events)
        app.post_message(events.Paste(pasted))
        await pilot.pause(0.3)
        assert len(keeper.events) == before and at(session) == "ready.room"
        await pilot.press("n")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        app.post_message(events.Paste("lid " * 1250))
        box = app.screen.query_one("#entry-text")
        await wait_until(pilot, lambda: len(box.value) >= 4999)
        await pilot.press("enter")
        await wait_until(pilot, lambda: "a note holds 2000" in " ".join(screen_text(app).split()))
        assert len(keeper.events) == before


async def test_row_28_a_key_on_its_way_answers_no_alarm(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        session.clock.advance(15 * 60)
        session.tick()
        for key in ("enter", "space"):
            app.post_message(events.Key(key, " "))
        await pilot.pause(0.2)
        assert [a.timer for a in alarms.standing(session.state)] == ["pot-water"]
        await pilot.pause(FRESH_ALARM_S)
        await pilot.press("enter")
        await wait_until(pilot, lambda: not alarms.standing(session.state))


async def test_row_29_no_size_hides_the_time_that_is_left(
    bench_at, screen_text, wait_until, digits_drawn
) -> None:
    app, session = bench_at("steam.hold")
    session.clock.advance(60)
    async with app.run_test(size=(20, 5)) as pilot:
        for width, height in [(20, 5), (12, 2), (7, 1), (40, 12), (120, 40), (200, 60), (100, 30)]:
            await pilot.resize_terminal(width, height)

            def seen(width: int = width) -> bool:
                text = screen_text(app)
                fits = all(len(line) <= width for line in text.splitlines())
                return fits and ("35:00" in text or digits_drawn(text, "35:00") > 0)

            await wait_until(pilot, seen, f"{width}x{height}")


def test_the_clock_of_these_tests_is_the_one_the_rows_mean() -> None:
    """Sleep moves wall and boot clock, not the one that stops; a set clock moves the wall clock alone."""
    clock = SteppedClock(Reading(0, 0, 0, "a"))
    clock.change(wall_s=840, boot_s=840)
    clock.change(wall_s=3600)
    assert clock.now() == Reading(4440 * NS, 840 * NS, 0, "a")
