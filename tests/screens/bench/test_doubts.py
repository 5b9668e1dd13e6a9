"""What can hardly be so is doubted on the bench: the same key again says that it is so, another lets it stand."""

from __future__ import annotations

import pytest
from textual.widgets import Input

from studio.screens.bench.entry import Entry
from studio.session import commands as c
from studio.session.path import current_step
from studio.session.step_rules import gate_digit


def at(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


async def test_enter_again_says_that_the_steam_really_rolls(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.on")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "steam.rolling")
        session.clock.advance(4)
        await pilot.press("enter")
        await wait_until(pilot, lambda: "Steam 4 s after the pot went on" in screen_text(app))
        await pilot.press("enter", "enter")
        assert at(session) == "steam.rolling", "a bouncing key says nothing"
        await pilot.pause(1.0)
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "steam.hold")
    assert at(session) == "steam.hold" and session.state.step("steam.rolling").flagged


async def test_another_key_between_lets_the_doubt_stand(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("paint.apply")
    session.do(c.PaintBand(1))
    # Far too much and far too weak: two warnings and their figures want the same rows as the doubt.
    session.do(c.Correct("paint.rust.mix", "200", "it really is so much", meant=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter")
        await wait_until(pilot, lambda: "still to paint?" in screen_text(app))
        assert "Enter  all painted" in screen_text(app), "what Enter does stays in sight"
        await pilot.press("n")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        await pilot.press("escape")
        await pilot.pause(1.0)
        await pilot.press("enter")
        await wait_until(pilot, lambda: "still to paint?" in screen_text(app))
    assert at(session) == "paint.apply"


async def test_a_reason_for_ending_a_set_at_once_is_doubted_and_kept_as_typed(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("o")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        app.screen.query_one(Input).value = "the gas ran out"
        await pilot.press("enter")
        await wait_until(pilot, lambda: "End it after" in screen_text(app))
        assert app.screen.query_one(Input).value == "the gas ran out"
        assert at(session) == "steam.hold"
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "steam.off")
    assert session.state.step("steam.hold").why == "the gas ran out"


@pytest.mark.parametrize("text", ["", "no"])
async def test_a_reason_that_is_none_is_refused_and_not_doubted(
    bench_at, screen_text, wait_until, text: str
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("o")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        app.screen.query_one(Input).value = text
        await pilot.press("enter", "enter")
        await wait_until(pilot, lambda: "reason of a few words" in screen_text(app))
    assert at(session) == "steam.hold"


async def test_a_hot_packet_says_what_to_do_in_place_of_its_digit(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("cool.temperature")
    session.do(c.Measure("cool.temperature", "91", meant=True))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "STOP" in screen_text(app) and "91 °C" in screen_text(app))
        assert "R  read it again" in screen_text(app) and "when it is so" not in screen_text(app)
        await pilot.press(str(gate_digit(session.state, "cool.unwrap", session.missed)))
        await pilot.press("enter")
        assert at(session) == "cool.unwrap"


async def test_a_correction_is_doubted_at_its_value_and_told_once_it_is_made(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("presoak.in")
    was = session.state.step("presoak.ph").value
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k")
        await wait_until(pilot, lambda: "Which value was wrong?" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        await pilot.press(*"10", "enter")
        await wait_until(pilot, lambda: "Really pH 10?" in screen_text(app))
        assert "it brings the soak" not in screen_text(app), "a strip that cannot be so moves nothing"
        assert session.state.step("presoak.ph").value == was
        await pilot.press(*"wrong strip", "enter")
        await wait_until(pilot, lambda: session.state.step("presoak.ph").value == 10)
        await wait_until(pilot, lambda: f"corrected: pH {was:.3g} to pH 10." in screen_text(app))
    assert session.state.step("presoak.ph").flagged


async def test_x_at_a_wait_is_refused_before_a_reason_is_asked(bench_at, screen_text, wait_until) -> None:
    app, _ = bench_at("cool.wait")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("x")
        await wait_until(
            pilot, lambda: "nor a gate or a wait; O passes those" in " ".join(screen_text(app).split())
        )
        assert not app.screen.query_one(Entry).is_asking
