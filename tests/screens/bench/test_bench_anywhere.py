"""The bench in small windows, without colour, in plain ASCII, with locked keys, after an interruption."""

from __future__ import annotations

import asyncio
import re
from unittest.mock import Mock

import pytest

from studio.plan.errors import refuse
from studio.screens.app import PotsideApp
from studio.screens.bench import bench as bench_actions
from studio.screens.bench.bench import BenchScreen
from studio.screens.bench.clock import LockScreen
from studio.screens.bench.correct import PAGES
from studio.screens.bench.entry import Entry
from studio.session import alarms
from studio.session import commands as c
from studio.session.path import current_step


def at(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


async def test_locked_keys_do_nothing_until_ok_and_enter(bench_at, screen_text, wait_until, keeper) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        await pilot.press("l")
        await wait_until(pilot, lambda: "Keys are locked" in screen_text(app))
        before, theme = len(keeper.events), app.theme
        wiping = [*"qwertuyx nzgfcpbkovms", "enter", "space", "escape", "tab", "f1", "f2", "up", "delete"]
        await pilot.press(*wiping, "ctrl+c", "ctrl+q", "o", "enter", "k", "enter", "o", "k", "x", "enter")
        assert isinstance(app.screen, LockScreen) and app.is_running
        assert (len(keeper.events), app.theme) == (before, theme)
        await pilot.press("o", "k", "enter")
        await wait_until(pilot, lambda: isinstance(app.screen, BenchScreen))
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "ready.jars")


async def test_a_lock_says_all_of_how_it_opens_in_a_small_window(bench_at, screen_text, wait_until) -> None:
    """What of the step has no room ends in an ellipsis, for a sentence that is cut reads as another one."""
    app, _ = bench_at("ready.room")
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        await pilot.press("l")
        await wait_until(pilot, lambda: "Type ok and Enter to go on." in screen_text(app))
        await wait_until(pilot, lambda: re.search(r"Window open[^\n]*…", screen_text(app)) is not None)


async def test_what_a_forecast_lacks_is_told_by_the_fields_of_the_plan(
    bench_at, screen_text, wait_until, services, monkeypatch
) -> None:
    """Nobody at a pot looks at the keys of a file."""
    lacking = refuse("a plan", ("fibre", "yarn_length"), "is missing.")
    monkeypatch.setattr(services, "foresee_text", Mock(side_effect=lacking))
    app, _ = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        await pilot.press("a")
        await wait_until(pilot, lambda: "is missing." in screen_text(app))
        assert "Yarn length is missing." in screen_text(app)


async def test_an_alarm_is_seen_and_heard_through_the_lock(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold")
    rung: list[int] = []
    app.bell = lambda: rung.append(1)  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press("l")
        await wait_until(pilot, lambda: "Keys are locked" in screen_text(app))
        session.clock.advance(36 * 60)
        await wait_until(pilot, lambda: "The set is over" in screen_text(app) and bool(rung))
        await pilot.press("enter", "space")
        assert alarms.standing(session.state)


@pytest.mark.parametrize(
    "size", [(59, 19), (59, 24), (80, 17), (40, 12), (20, 5)], ids=lambda s: f"{s[0]}x{s[1]}"
)
async def test_below_60x20_the_clock_alone_and_enter_still_works(
    bench_at, screen_text, wait_until, size, monkeypatch, digits_drawn
) -> None:
    monkeypatch.setattr(bench_actions, "FRESH_ALARM_S", 0.0)
    app, session = bench_at("steam.hold")
    async with app.run_test(size=size) as pilot:
        await wait_until(
            pilot, lambda: digits_drawn(screen_text(app), "36:00") or "36:00" in screen_text(app)
        )
        shown = screen_text(app)
        assert "saved" not in shown and "Enter done" not in shown and "►steam" not in shown
        assert all(len(line) <= size[0] for line in shown.splitlines())
        session.clock.advance(36 * 60 + 240)
        await wait_until(pilot, lambda: "DUE" in screen_text(app), "the alarm")
        await pilot.press("enter")
        await wait_until(pilot, lambda: not alarms.standing(session.state))
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "steam.off", "Enter closes the step")


async def test_a_question_fits_a_window_of_twenty_by_five(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(20, 5)) as pilot:
        await pilot.press("enter")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        await pilot.press(*"101,5")
        await wait_until(pilot, lambda: "101,5" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: session.state.step("ready.weight").value == 101.5)


async def test_after_five_minutes_without_a_key_the_place_is_told(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        await pilot.press("w", "escape")
        key, _ = app._last_key
        app._last_key = (key, asyncio.get_running_loop().time() - 299)
        await pilot.pause(0.4)
        assert "You were at" not in screen_text(app)
        app._last_key = (key, asyncio.get_running_loop().time() - 301)
        await wait_until(pilot, lambda: "You were at 4 of 6 in ready." in screen_text(app))
        assert "Last done: Respirator and gloves on" in " ".join(screen_text(app).split())
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "ready.jars" and "You were at" not in screen_text(app))


async def test_a_complete_stage_says_so_with_what_was_left_out(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.jars")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►ready" in screen_text(app))
        await pilot.press("x", *"one jar only", "enter")
        await wait_until(pilot, lambda: at(session) == "ready.weight")
        await pilot.press("enter", *"100", "enter")
        await wait_until(pilot, lambda: "ready complete: 6 of 6, 1 with a reason." in screen_text(app))
        session.do(c.Measure("presoak.water", "2000"))
        await pilot.press("enter", *"40", "enter")
        await wait_until(pilot, lambda: at(session) == "presoak.ph")
        assert "complete" not in screen_text(app)


async def test_f2_turns_dark_to_light_and_back(bench_at, wait_until, screen_text) -> None:
    app, _ = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        dark = app.screen.styles.background
        await pilot.press("f2")
        await wait_until(pilot, lambda: app.theme == "fleece")
        await wait_until(pilot, lambda: app.screen.styles.background != dark)
        light = app.screen.styles.background
        assert light.brightness > 0.8 > 0.2 > dark.brightness
        await pilot.press("f2")
        await wait_until(pilot, lambda: app.screen.styles.background == dark)


ASCII_PAGES = {
    "b": "Keep",
    "w": "Esc back",
    "question_mark": "answer the alarm",
    "p": "Packets",
    "k": "wrong?",
    "q": "Leave",
}
"""Keys that each open one page of the bench, and words on it."""


async def test_ascii_is_ascii_on_every_page(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold", ascii_only=True)
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "##" in screen_text(app))
        session.clock.advance(15 * 60)
        await wait_until(pilot, lambda: "DUE" in screen_text(app))
        assert screen_text(app).isascii() and "85 degC" in screen_text(app)
        for key, words in ASCII_PAGES.items():
            await pilot.press(key)
            await wait_until(pilot, lambda words=words: words in screen_text(app), words)
            assert screen_text(app).isascii(), key
            await pilot.press("escape")
            await wait_until(pilot, lambda: isinstance(app.screen, BenchScreen))
        await pilot.press("n", *"lid", "l")
        await wait_until(pilot, lambda: "lidl" in screen_text(app))
        assert screen_text(app).isascii()
        await pilot.press("escape", "l")
        await wait_until(pilot, lambda: "Keys are locked" in screen_text(app))
        assert screen_text(app).isascii()


@pytest.mark.deep
async def test_ascii_on_home_plan_and_finish(services, begin, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: services, bounce_s=0.0, ascii_only=True)
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack" in screen_text(app))
        assert screen_text(app).isascii()
        await pilot.press("down", "down", "enter")
        await wait_until(pilot, lambda: "begin" in screen_text(app))
        assert screen_text(app).isascii()
    session = begin(to="record.rinsed-clear")
    app = PotsideApp(lambda: services, lambda: BenchScreen(session), bounce_s=0.0, ascii_only=True)
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "how did it come out?" in screen_text(app))
        assert screen_text(app).isascii()


async def test_foreign_letters_in_ascii_keep_their_width(bench_at, screen_text, wait_until, sheet_of) -> None:
    import msgspec

    sheet = msgspec.structs.replace(sheet_of(), title="Fjære 漢字 …")
    app, _ = bench_at("ready.room", sheet=sheet, ascii_only=True)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Fj?re ???? ~" in screen_text(app))
        assert screen_text(app).splitlines()[0].endswith("saved")


async def test_without_colour_every_state_has_its_word_and_shape(
    bench_at, screen_text, wait_until, monkeypatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        shades = {s.style.color.triplet for strip in app.screen._compositor.render_strips()
                  for s in strip if s.style and s.style.color and s.style.color.triplet}  # fmt: skip
        assert all(shade.red == shade.green == shade.blue for shade in shades)
        shown = screen_text(app)
        assert "■ Sound heard" in shown and "■ Kit is right" in shown  # done
        assert "▌ ► Room is ready" in shown and "□ Dry fibre weighed" in shown  # now, open
        await pilot.press("x", *"the hall is aired", "enter")
        await wait_until(pilot, lambda: "– Room is ready" in screen_text(app))  # left out, with the word
        assert "left out: the hall is aired" in screen_text(app)
        await wait_until(pilot, lambda: "►ready" in screen_text(app) and "presoak" in screen_text(app))
    app, session = bench_at("steam.safe")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "STOP" in screen_text(app))
        assert "! Steam is rolling" in screen_text(app)  # critical, and open
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("g")
        await wait_until(pilot, lambda: "stands still" in screen_text(app) and "WARN" in screen_text(app))
        await pilot.press("g")
        session.clock.advance(36 * 60 + 240)
        await wait_until(
            pilot, lambda: screen_text(app).count("DUE") >= 2 and "4 min late" in screen_text(app)
        )


async def test_row_29_a_window_dragged_about_during_an_alarm(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        session.clock.advance(36 * 60 + 240)
        await wait_until(pilot, lambda: "DUE" in screen_text(app) and alarms.standing(session.state))
        for width, height in [
            (20, 5),
            (200, 60),
            (59, 19),
            (61, 20),
            (1, 1),
            (80, 3),
            (300, 5),
            (60, 20),
        ] * 3:
            await pilot.resize_terminal(width, height)
        await pilot.resize_terminal(80, 24)
        await wait_until(
            pilot, lambda: "The set is over" in screen_text(app) and "►steam" in screen_text(app)
        )
        assert len(alarms.standing(session.state)) == 1, "no size answered the alarm"
        assert all(len(line) <= 80 for line in screen_text(app).splitlines())


@pytest.mark.parametrize("key", ["p", "b", "w", "question_mark", "k"])
async def test_ctrl_c_on_a_page_goes_back_and_never_quits(bench_at, screen_text, wait_until, key) -> None:
    app, _ = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press(key)
        await wait_until(pilot, lambda: not isinstance(app.screen, BenchScreen))
        await pilot.press("ctrl+c")
        await wait_until(pilot, lambda: isinstance(app.screen, BenchScreen))
        assert app.is_running


async def test_the_packets_page_shows_the_alarm_and_leaves_enter_alone(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("steam.hold")
    session.do(c.PacketIn("lantern floats"))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p", "down")
        session.clock.advance(36 * 60)
        await wait_until(pilot, lambda: "DUE" in screen_text(app) and "Esc goes back" in screen_text(app))
        await pilot.press("enter")
        await pilot.pause(0.1)
        assert session.state.timers["packet-2"].running
        await pilot.press("o")
        await wait_until(pilot, lambda: not session.state.timers["packet-2"].running)
        assert "out after 36 min" in screen_text(app)


@pytest.mark.parametrize("page", [*PAGES, "why", "card"])
@pytest.mark.one_in(3)
async def test_every_page_over_the_bench_shows_the_alarm_while_it_stands(
    bench_at, screen_text, wait_until, page
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        if page in PAGES:
            await app.screen.action_over(page)
        else:
            await pilot.press({"why": "w", "card": "question_mark"}[page])
        await wait_until(pilot, lambda: not isinstance(app.screen, BenchScreen))
        assert "DUE" not in screen_text(app)
        session.clock.advance(15 * 60)
        await wait_until(pilot, lambda: "goes back to answer it." in " ".join(screen_text(app).split()))
        assert "DUE  Look at the pot water" in screen_text(app)
        session.do(c.Acknowledge(alarms.standing(session.state)[0].n))
        await wait_until(pilot, lambda: "DUE" not in screen_text(app))


EVIL = "lid\x1b]0;owned\x07 \u202egnip [/red] \x9b31m"


@pytest.mark.parametrize("key", ["b", "l", "p", "e", "q"])
async def test_row_20_a_packet_label_steers_nothing_on_any_page(
    bench_at, screen_text, wait_until, key
) -> None:
    app, session = bench_at("steam.hold")
    session.do(c.PacketIn(EVIL))
    session.do(c.PacketOut("packet-2"))
    session.clock.advance(60)
    session.do(c.PacketIn(EVIL))
    session.do(c.Override("steam.hold", "only the second packet goes on", meant=True))
    session.do(c.ExtendTimer("pot-water", 60.0, "so that the packet comes first"))
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "owned" in screen_text(app))
        await pilot.press(key)
        await wait_until(pilot, lambda: "►steam" not in screen_text(app) or key == "e")
        await wait_until(pilot, lambda: "owned" in screen_text(app))
        shown = screen_text(app).replace("\n", "")
        assert all(character.isprintable() for character in shown), [c for c in shown if not c.isprintable()]
        assert "\\x1b]0;owned" in shown
