"""The field: opened by the first digit of a value, taking letters as letters, saying at the foot what it takes."""

from __future__ import annotations

import pytest
from textual import events
from textual.keys import _character_to_key

from studio.quantity import reading_in
from studio.screens.bench.entry import Entry, EntryField
from studio.session import commands as c
from studio.session.kinds.paint import LeftoverKept
from studio.session.path import current_step
from studio.session.step_rules import gate_digit


def at(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


def typed(app) -> str:  # type: ignore[no-untyped-def]
    return "".join(field.value for field in app.screen.query(EntryField))


@pytest.mark.parametrize("first", ["1", "9", "0", ".", ",", "-"])
@pytest.mark.one_in(3)
async def test_a_digit_at_a_value_step_opens_the_field_with_it(
    bench_at, screen_text, wait_until, first
) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "planned 100 g" in screen_text(app))
        await pilot.press(_character_to_key(first))
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        assert typed(app) == first and "weighed, in g" in screen_text(app)
        await pilot.press("escape")
        assert not session.state.step("ready.weight").closed


async def test_a_value_typed_in_one_burst_arrives_whole_and_in_order(
    bench_at, screen_text, wait_until, burst
) -> None:
    """The first digit opens the field and every later key is already meant for it, the Enter too."""
    app, session = bench_at("ready.weight", bounce_s=0.25)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "planned 100 g" in screen_text(app))
        burst(app, *"101,55\r")
        await wait_until(pilot, lambda: session.state.step("ready.weight").closed)
        assert session.state.step("ready.weight").typed == "101,55"


async def test_a_correction_typed_in_one_burst_arrives_whole(
    bench_at, screen_text, wait_until, burst
) -> None:
    """The list of values and then the line are there for the very next key."""
    app, session = bench_at("presoak.acid", bounce_s=0.25)
    earlier = lambda: session.state.step("presoak.water").earlier  # noqa: E731
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►presoak" in screen_text(app))
        burst(app, *"k\r2,1 L\rread the jug again\r")
        await wait_until(pilot, lambda: bool(earlier()))
        assert session.state.step("presoak.water").typed == "2,1 L"
        assert earlier()[-1].why == "read the jug again"


async def test_backspace_and_enter_keep_their_turn_in_a_burst(
    bench_at, screen_text, wait_until, burst
) -> None:
    """What is typed on after the Enter is no part of the value that was entered."""
    app, session = bench_at("ready.weight", bounce_s=0.25)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "planned 100 g" in screen_text(app))
        burst(app, *"1nu\b\b01\r2")
        await wait_until(pilot, lambda: session.state.step("ready.weight").closed)
        assert session.state.step("ready.weight").typed == "101"


async def test_a_note_typed_in_one_burst_is_a_note_and_no_row_of_keys(
    bench_at, screen_text, wait_until, burst
) -> None:
    app, session = bench_at("ready.room", bounce_s=0.25)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ROOM" in screen_text(app).upper())
        burst(app, *"nq lid undone, weigh 7 again\r")
        await wait_until(pilot, lambda: bool(session.state.notes))
        assert [note.text for note in session.state.notes] == ["q lid undone, weigh 7 again"]
        assert at(session) == "ready.room"


async def test_what_is_typed_before_the_field_is_told_of_its_focus_stays(
    bench_at, screen_text, wait_until, burst
) -> None:
    """A burst puts its first keys into the field sooner than the field hears that it has the focus."""
    app, _ = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ROOM" in screen_text(app).upper())
        burst(app, *"h12")
        await wait_until(pilot, lambda: typed(app) == "12")
        app.focused.post_message(events.Focus())
        await pilot.pause()
        burst(app, *":17 the tap ran brown")
        await wait_until(pilot, lambda: typed(app).endswith("brown"))
        assert typed(app) == "12:17 the tap ran brown"


async def test_in_a_field_letters_are_letters_and_the_foot_says_what_it_takes(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("1")
        await wait_until(pilot, lambda: "Grams" in screen_text(app).splitlines()[-1])
        foot = screen_text(app).splitlines()[-1]
        assert "Enter" in foot and "Esc" in foot and "undo" not in foot and "quit" not in foot
        await pilot.press(*"muqxn")
        await wait_until(pilot, lambda: typed(app) == "1muqxn")
        assert not session.state.step("ready.weight").closed
        await pilot.press("escape", "n")
        await wait_until(pilot, lambda: "Words" in screen_text(app).splitlines()[-1])


async def test_the_foot_takes_what_the_question_asks_for_in_us_units(
    bench_at, screen_text, wait_until, monkeypatch
) -> None:
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    app, _ = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        for key, unit, name in (("1", "weighed, in oz", "Ounces"), ("r", "in °F", "Degrees Fahrenheit")):
            await pilot.press(key)
            await wait_until(pilot, lambda unit=unit: unit in screen_text(app))
            await wait_until(pilot, lambda name=name: name in screen_text(app).splitlines()[-1])
            await pilot.press("escape", "escape")


async def test_a_digit_where_no_value_is_asked_for_does_nothing(
    bench_at, screen_text, wait_until, keeper
) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "ROOM" in screen_text(app).upper())
        before = len(keeper.events)
        await pilot.press("7", "full_stop")
        await pilot.pause(0.1)
        assert not app.screen.query_one(Entry).is_asking and len(keeper.events) == before


async def test_a_paste_on_the_bench_opens_no_field_and_in_a_field_is_text(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "planned 100 g" in screen_text(app))
        app.post_message(events.Paste("100\n" * 1300))
        await pilot.pause(0.1)
        assert not app.screen.query_one(Entry).is_asking
        await pilot.press("1")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        app.post_message(events.Paste("00 g\n5\n"))
        await wait_until(pilot, lambda: typed(app) == "100 g")
        await pilot.press("enter")
        await wait_until(pilot, lambda: session.state.step("ready.weight").value == 100.0)


async def test_a_leftover_is_answered_from_its_first_digit_on(
    bench_at, screen_text, wait_until, burst
) -> None:
    app, session = bench_at("record.leftovers")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►record" in screen_text(app))
        burst(app, *"12 mL\r")
        await wait_until(
            pilot, lambda: [kept.event.ml for kept in session.state.kept(LeftoverKept)] == [12.0]
        )


async def test_undoing_a_gate_and_pressing_its_old_digit_leaves_it_shut(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("ready.kit")
    async with app.run_test(size=(80, 24)) as pilot:
        digit = gate_digit(session.state, "ready.kit", session.missed)
        await pilot.press(str(digit))
        await wait_until(pilot, lambda: at(session) == "ready.powder")
        session.do(c.Undo())
        await pilot.press(str(digit))
        await wait_until(pilot, lambda: "not the digit" in screen_text(app))
        assert at(session) == "ready.kit"


@pytest.mark.parametrize("key", ["7", "z"])
async def test_what_was_said_of_a_key_is_gone_when_another_asks(
    bench_at, screen_text, wait_until, key
) -> None:
    """What a step takes is not what the field takes that is open over it."""
    app, _ = bench_at("ready.room")
    said = {"7": "This step takes no value", "z": "No alarm stands"}[key]
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Room is ready" in screen_text(app))
        await pilot.press(key)
        await wait_until(pilot, lambda: said in screen_text(app))
        await pilot.press("n")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        await wait_until(pilot, lambda: said not in screen_text(app))


async def test_keys_in_one_burst_are_carried_out_in_their_turn(
    bench_at, screen_text, wait_until, burst
) -> None:
    """A field that a key opens takes the next one, its sign as well, and a page takes the answer it asks for."""
    app, session = bench_at("ready.weight", bounce_s=0.25)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "planned 100 g" in screen_text(app))
        burst(app, *"-5")
        await wait_until(pilot, lambda: typed(app) == "-5")
        burst(app, *"\x1bip")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking and typed(app) == "")
        burst(app, *"\x1bipphotos/tap.jpg")
        await wait_until(pilot, lambda: typed(app) == "photos/tap.jpg")
        assert not session.state.step("ready.weight").closed
