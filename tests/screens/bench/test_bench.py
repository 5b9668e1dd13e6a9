"""The bench, driven by keys."""

from __future__ import annotations

import pytest
from textual import events

from studio.plan.sheet import work_sheet
from studio.screens.bench.acting import AFTER_WRONG_S, READABLE_S
from studio.screens.bench.bench import FRESH_ALARM_S, TICK_S
from studio.screens.bench.entry import Entry
from studio.screens.bench.view import look
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.kinds.heat import RinseRound
from studio.session.kinds.paint import LeftoverKept
from studio.session.kinds.steps import value_text
from studio.session.path import current_step
from studio.session.sheet import step_now
from studio.session.step_rules import gate_digit


def at(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


SIZES = [(80, 24), (60, 20), (120, 40)]


@pytest.mark.parametrize(
    "step_id", ["ready.kit", "presoak.acid", "stocks.rust.dye", "paint.rust.mix", "steam.hold", "cool.unwrap"]
)
@pytest.mark.one_in(2)
async def test_step_figures_and_clock_fit_without_scrolling(
    bench_at, screen_text, wait_until, digits_drawn, step_id
) -> None:
    app, session = bench_at(step_id)
    large = look(session).large
    assert large is not None
    step = step_now(session.state, session.state.find_step(step_id))
    label = lambda figure: session.state.worksheet.figure(figure).label  # noqa: E731
    # On the smallest screen a caution stands whole and the last figures give way: they are behind W.
    told = {size: step.figures if size[1] > 20 else step.figures[:1] for size in SIZES}
    wanted = {
        size: [*step.text.split(), *(label(figure) for figure in told[size] if figure != large.figure)]
        for size in SIZES
    }
    async with app.run_test(size=SIZES[0]) as pilot:
        for size in SIZES:
            await pilot.resize_terminal(*size)

            def whole(size: tuple[int, int] = size) -> object:
                text = screen_text(app)
                shown = " ".join(text.split())
                fits = max(map(len, text.splitlines())) <= size[0] and len(text.splitlines()) == size[1]
                largest = digits_drawn(text, large.text, large.unit) or digits_drawn(text, large.text)
                return fits and largest and all(words in shown for words in wanted[size])

            await wait_until(pilot, whole, f"{wanted[size]} on {size}")


async def test_thickened_paint_swells_before_the_fibre_is_squeezed_and_its_rest_is_kept_shorter(
    bench_at, settled_of, screen_text, wait_until
) -> None:
    gum = 'thicken = { with = "guar", strength = "0.5 %" }'
    choices = settled_of(('title = "', f'{gum}\ntitle = "'))
    app, session = bench_at("paint.rust.mix", work_sheet(choices), choices)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(
            pilot, lambda: "g of guar onto it, a little at a time" in " ".join(screen_text(app).split())
        )
        assert "dust mask" in " ".join(screen_text(app).split())
        for colour in choices.colours:
            step = session.state.worksheet.step_for("mix", colour.plan.slug)
            session.do(c.Measure(step.id, f"{step.expected:.1f}", meant=True))
        await wait_until(pilot, lambda: "guar swelling" in screen_text(app), "beside the soak")
        session.clock.advance(31 * 60)
        session.tick()
        for alarm in alarms.standing(session.state):
            session.do(c.Acknowledge(alarm.n))
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "paint.swell", "once the soak is over")
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "paint.end-ph", "once it is smooth")
        await pilot.press(*"4.6", "enter")
        await wait_until(pilot, lambda: at(session) == "paint.squeezed", "once the strip is read")
    session.do(c.KeepLeftover("rust", "5 mL"))
    (kept,) = session.state.kept(LeftoverKept)
    assert "no published figure; a gum feeds mould" in kept.event.use_by_source


async def test_enter_does_the_natural_thing(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.room")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: at(session) == "ready.jars")
        await pilot.press("space")
        await wait_until(pilot, lambda: at(session) == "ready.weight")
        await pilot.press("enter")
        await wait_until(pilot, lambda: app.screen.query_one(Entry).is_asking)
        await pilot.press(*"1,5", "enter")
        await wait_until(pilot, lambda: "Really 1,5 g?" in screen_text(app))
        assert not session.state.step("ready.weight").closed
        await pilot.press("backspace", "backspace", "backspace", *"2,5", "enter")
        await wait_until(pilot, lambda: "Really 2,5 g?" in screen_text(app))
        assert not session.state.step("ready.weight").closed, "the doubt about 1,5 says nothing of 2,5"
        await pilot.press("backspace", "backspace", "backspace", *"101,5", "enter")
        await wait_until(pilot, lambda: session.state.step("ready.weight").value == 101.5)
        await wait_until(pilot, lambda: "■ Dry fibre weighed 101.5 g" in " ".join(screen_text(app).split()))


async def test_fifty_enters_in_one_burst_tick_one_step(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.room", bounce_s=0.25)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Window open" in screen_text(app))
        for _ in range(50):
            app.post_message(events.Key("enter", None))
        await wait_until(pilot, lambda: session.state.step("ready.room").closed)
        await pilot.pause(0.3)
        assert at(session) == "ready.jars"


async def test_a_gate_opens_by_the_one_digit_it_shows(
    bench_at, screen_text, wait_until, digits_drawn
) -> None:
    """Enter, letters and the wrong digit leave it shut; each wrong digit brings up another one."""
    app, session = bench_at("ready.kit")
    async with app.run_test(size=(80, 24)) as pilot:
        first = gate_digit(session.state, "ready.kit", session.missed)
        await wait_until(pilot, lambda: digits_drawn(screen_text(app), str(first)))
        assert screen_text(app).count("when it is so") == 1
        await pilot.press("z", "enter", "space")
        await wait_until(pilot, lambda: f"{first} opens this gate, or a reason (O)." in screen_text(app))
        wrong = str(first % 9 + 1)
        await pilot.press(wrong)
        await wait_until(pilot, lambda: gate_digit(session.state, "ready.kit", session.missed) != first)
        second = gate_digit(session.state, "ready.kit", session.missed)
        await wait_until(pilot, lambda: digits_drawn(screen_text(app), str(second)))
        assert "That was not the digit" in screen_text(app)
        await pilot.press(str(second))  # already on its way when the new digit came up
        assert not session.state.step("ready.kit").closed
        await pilot.pause(AFTER_WRONG_S)
        assert gate_digit(session.state, "ready.kit", session.missed) == second
        await pilot.press(str(second))
        await wait_until(pilot, lambda: at(session) == "ready.powder")
        assert not app.screen.query_one(Entry).is_asking
        assert gate_digit(session.state, "ready.powder", session.missed) != second


async def test_a_note_and_a_reason_are_still_taken_at_a_gate(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.kit")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", *"jar 7 leaks", "enter")
        await wait_until(pilot, lambda: [n.text for n in session.state.notes] == ["jar 7 leaks"])
        await pilot.press("o", *"no dye today", "enter")
        await wait_until(pilot, lambda: session.state.step("ready.kit").state == "overridden")


async def test_an_alarm_stands_until_it_is_answered_by_a_later_key(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold")
    rung = []
    app.bell = lambda: rung.append(1)  # type: ignore[method-assign]
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        session.clock.advance(15 * 60)
        await wait_until(pilot, lambda: "DUE" in screen_text(app), "the alarm")
        assert rung
        await pilot.press("enter")
        assert session.state.alarms[-1].standing, "a key on its way answered the alarm"
        await pilot.pause(FRESH_ALARM_S)
        await pilot.press("enter")
        await wait_until(pilot, lambda: not session.state.alarms[-1].standing)
        await wait_until(pilot, lambda: "DUE" not in screen_text(app))
        assert at(session) == "steam.hold"


async def test_an_alarm_that_came_under_another_page_is_seen_before_enter_answers_it(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press("w")
        session.clock.advance(15 * 60)
        await wait_until(pilot, lambda: bool(alarms.standing(session.state)))
        await pilot.pause(FRESH_ALARM_S + 2 * TICK_S)
        await pilot.press("escape", "enter")
        assert alarms.standing(session.state), "Enter answered an alarm that nobody had seen"
        await wait_until(pilot, lambda: "DUE" in screen_text(app))


async def test_an_alarm_takes_no_key_from_a_line_being_typed(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", *"lid rattles")
        session.clock.advance(15 * 60)
        await wait_until(pilot, lambda: "DUE" in screen_text(app))
        assert "Enter heard" not in screen_text(app) and "Esc goes back to answer it" in screen_text(app)
        await pilot.press(*" a bit", "enter")
        await wait_until(pilot, lambda: bool(session.state.notes))
        await wait_until(pilot, lambda: "Enter heard" in screen_text(app))
        assert session.state.notes[0].text == "lid rattles a bit"
        assert session.state.alarms[-1].standing


async def test_undo_override_and_not_measured_go_through_their_questions(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("presoak.ph")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("m", *"no strips left", "enter")
        await wait_until(pilot, lambda: session.state.step("presoak.ph").state == "not measured")
        await pilot.press("u")
        await wait_until(pilot, lambda: not session.state.step("presoak.ph").closed)
        await wait_until(pilot, lambda: "Taken back" in screen_text(app))


async def test_the_head_tells_the_weight_that_was_weighed(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: " 100 g " in screen_text(app).split("\n")[0])
        await pilot.press(*"104", "enter")
        await wait_until(pilot, lambda: session.state.step("ready.weight").value == 104)
        await wait_until(pilot, lambda: " 104 g " in screen_text(app).split("\n")[0])


async def test_one_u_never_stops_a_clock(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("steam.hold")

    def shown() -> str:
        return " ".join(screen_text(app).split())

    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press("u", "u", "u")  # a held key
        await wait_until(pilot, lambda: "This takes back 'Steam is rolling' and stops the clocks" in shown())
        assert "U again: take it back." in shown()
        assert session.state.step("steam.rolling").closed and session.state.timers["steam"].running
        await pilot.press("n", "escape")  # something else in between: asked anew
        await pilot.pause(READABLE_S)
        await pilot.press("u")
        await pilot.pause()
        assert session.state.timers["steam"].running
        await pilot.pause(READABLE_S)
        await pilot.press("u")
        await wait_until(pilot, lambda: not session.state.step("steam.rolling").closed)
        await wait_until(pilot, lambda: "Taken back: 'Steam is rolling'. It stays in the record." in shown())
        assert "steam" not in session.state.timers


async def test_correcting_begins_at_the_newest_value_and_names_it(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("presoak.acid")
    water = session.state.step("presoak.water").value
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("k", "enter")
        asked = f"Soaking water poured, {value_text(water, 'mL', None)}: the right value in mL"
        await wait_until(pilot, lambda: asked in " ".join(screen_text(app).split()), asked)


async def test_leaving_takes_a_second_different_key(bench_at, screen_text, wait_until, keeper) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("q")
        await wait_until(pilot, lambda: "Leave the bench?" in screen_text(app))
        assert "steam set" in screen_text(app)
        await pilot.press("enter")
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        await pilot.press("n", *"lid rat", "ctrl+q")
        await wait_until(pilot, lambda: "Leave the bench?" in screen_text(app))
        await pilot.press("y")
        await wait_until(pilot, lambda: keeper.closed)
        assert keeper.events[-1].kind == "session.left"
        assert [note.text for note in session.state.notes] == ["Typed and not entered. Note: lid rat"]


async def test_what_cannot_be_kept_is_said_in_those_words_and_stays_in_the_field(
    bench_at, screen_text, wait_until, keeper, monkeypatch
) -> None:
    app, session = bench_at("ready.room")

    def never(kind: str, data: object, at: object) -> None:
        raise Refused("Not taken. This cannot be kept in the session file: half a character.")

    monkeypatch.setattr(keeper, "check", never)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("n", *"lid", "enter")
        await wait_until(pilot, lambda: "Not taken." in screen_text(app))
        assert "lid" in screen_text(app) and not session.state.notes


async def test_a_digit_at_the_rinse_says_what_that_grade_looks_like(
    bench_at, screen_text, wait_until
) -> None:
    app, session = bench_at("rinse.rounds")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "strong" in screen_text(app))
        await pilot.press("3")
        await wait_until(pilot, lambda: "bottom of the bowl shows sharp" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "round 1: tinted" in screen_text(app))
        assert [r.event.staining for r in session.state.kept(RinseRound)] == [3]


MARKS = ("■■■■□", "■■■■■", "■■■□□", "■■■■□")


async def test_finish_page_rates_and_closes(bench_at, screen_text, wait_until, keeper) -> None:
    app, session = bench_at("record.rinsed-clear")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "how did it come out?" in screen_text(app))
        await pilot.press("7")
        await wait_until(pilot, lambda: "A rating is a whole number from 1 to 5." in screen_text(app))
        for digit in "4534":
            before = len(keeper.events)
            await pilot.press(digit)
            await wait_until(pilot, lambda before=before: len(keeper.events) > before)
        await wait_until(pilot, lambda: "to close the record" in screen_text(app))
        told = [line.split()[-4:] for line in screen_text(app).split("\n") if " of 5" in line]
        assert told == [[mark, grade, "of", "5"] for mark, grade in zip(MARKS, "4534", strict=True)]
        await pilot.press(str(gate_digit(session.state, "record.close", session.missed)))
        await wait_until(pilot, lambda: session.state.outcome == "finished")


async def test_big_clock_why_and_keys_open_and_change_nothing(
    bench_at, screen_text, wait_until, keeper
) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        before = len(keeper.events)
        await pilot.press("b")
        await wait_until(pilot, lambda: "►steam" not in screen_text(app) and "ends" in screen_text(app))
        await pilot.press("enter", "w")
        await wait_until(pilot, lambda: "Carslaw & Jaeger" in screen_text(app))
        await pilot.press("escape", "question_mark")
        await wait_until(pilot, lambda: "correct a value" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        assert len(keeper.events) == before


async def test_a_reason_that_begins_with_a_number_is_not_drawn_as_the_value(
    bench_at, screen_text, wait_until, digits_drawn
) -> None:
    app, _ = bench_at("ready.weight")
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: digits_drawn(screen_text(app), "100", "g"))
        await pilot.press("1", "9", "0")
        await wait_until(pilot, lambda: digits_drawn(screen_text(app), "190", "g"))
        await pilot.press("escape", "m", "1", "9", "0")
        await wait_until(pilot, lambda: "Why is it not measured" in screen_text(app))
        await wait_until(pilot, lambda: digits_drawn(screen_text(app), "100", "g"))


async def test_once_all_is_closed_a_key_says_so(bench_at, screen_text, wait_until) -> None:
    app, session = bench_at("record.close")
    session.do(c.PassGate("record.close", gate_digit(session.state, "record.close", session.missed)))
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("x")
        await wait_until(pilot, lambda: screen_text(app).count("All steps are closed.") == 2)
