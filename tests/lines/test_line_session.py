"""A session by lines: the whole walk, each command, refusals, the end of the lines."""

from __future__ import annotations

from studio.plan.shapes import Caution
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session.after.review import ratings
from studio.session.clock import NS
from studio.session.folding import replay
from studio.session.path import current_step
from studio.session.step_rules import gate_digit

DIGIT = "(the digit of the gate)"


def kinds(keeper) -> list[str]:  # type: ignore[no-untyped-def]
    return [event.kind for event in keeper.events]


def now_at(session) -> str:  # type: ignore[no-untyped-def]
    step = current_step(session.state, session.clock.now())
    return step.id if step else ""


def script_for(sheet) -> list[str]:  # type: ignore[no-untyped-def]
    """The lines of a dyer who follows the plan: the soak is waited for last, as the session asks."""
    lines = []
    for stage in sheet.procedure:
        for step in stage.steps:
            if step.kind == "gate":
                if step.id == "record.leftovers":
                    lines += ["0", "0"]  # rust and kelp
                lines.append(DIGIT)
            elif step.kind == "measure":
                plain = "4" if step.quantity == "rating" else f"{step.expected:g}"
                lines.append("5" if step.id == "rinse.rounds" else plain)
            elif step.kind == "wait":
                lines.append(f"WAIT {step.timer}")
            elif step.id == "steam.rolling":
                lines += ["", "yes"]  # five seconds after the pot went on: doubted
            else:
                lines.append("")
    return lines


def test_the_whole_session_by_lines(begin, keeper, talk, sheet_of) -> None:
    sheet = sheet_of()
    lines = script_for(sheet)
    soak = lines.index("WAIT presoak")
    after_stocks = soak + 1 + len(next(g for g in sheet.procedure if g.stage == "stocks").steps)
    # While the fibre soaks the stocks come up; the wait itself comes when nothing else is free.
    order = [*lines[:soak], *lines[soak + 1 : after_stocks], "WAIT presoak", *lines[after_stocks:]]
    items: list[str] = []
    for line in order:
        if line == "WAIT steam":
            items += ["wait", "heard"] * 3 + ["done"]  # the pot water at 15 and at 30 min, the set at 36
        elif line.startswith("WAIT"):
            items += ["wait", "heard", "done"]
        else:
            items.append(line)
    session = begin()
    heard = talk(session, *items, stride_s=5.0)
    assert heard.code == 0
    assert session.state.outcome == "finished", heard.lines[-12:]
    assert ratings(session.state) == dict.fromkeys(
        ("rinsed clear", "colour went through", "sharp edges", "even"), 4
    )
    assert kinds(keeper)[-1] == "session.finished"
    assert kinds(keeper).count("step.overridden") == 0
    assert replay(keeper.events) == session.state
    assert heard.lines[-1].startswith("The record is closed.")
    alarms = [line.split(":")[0] for line in heard.starting("ALARM")]
    assert len(alarms) == len(heard.rings) - len(heard.starting("Soon"))


def test_each_step_is_said_with_its_amount_and_a_short_prompt(in_the_soak, talk) -> None:
    heard = talk(in_the_soak)
    step = current_step(in_the_soak.state, in_the_soak.clock.now())
    assert step is not None
    assert f"{step.text} How much: {show(step.expected, 'g')}." in heard.lines
    assert not any("house rule" in line or "=" in line for line in heard.lines), "reasons only when asked for"
    prompts = [line for line in heard.lines if line.endswith("> ")]
    assert step.quantity == "mass"
    assert prompts == ["Grams? > "]


def test_a_refused_answer_repeats_the_question_with_the_sentence(begin, keeper, talk) -> None:
    session = begin(to="ready.weight")
    before = len(keeper.events)
    heard = talk(session, "heavy", "5 mL", "")
    prompt = "Grams, planned 100 g? > "
    said = heard.lines[heard.lines.index(prompt) :]
    assert said[0::2][:4] == [prompt] * 4
    assert said[1] == "Expected a weight, for example 100 g." and '"5 mL"' in said[3]
    assert said[5] == said[1]
    assert [event.kind for event in keeper.events[before:]] == ["session.left"]


def test_an_unusual_value_is_asked_about_once(begin, talk) -> None:
    for second in ("yes", "YES", "42"):
        session = begin(to="ready.weight")
        heard = talk(session, "42", second)
        assert heard.after("Grams, planned").startswith("Really 42 g? Expected 90 to 110 g. Write yes")
        record = session.state.step("ready.weight")
        assert (record.value, record.flagged) == (42.0, True), second


def test_another_value_after_the_doubt_is_taken_for_itself(begin, talk) -> None:
    session = begin(to="ready.weight")
    talk(session, "42", "note scale was not zeroed", "101")
    record = session.state.step("ready.weight")
    assert (record.value, record.flagged) == (101.0, False)
    assert [note.text for note in session.state.notes] == ["scale was not zeroed"]


def test_yes_means_nothing_without_a_doubt(begin, talk) -> None:
    session = begin(to="ready.weight")
    talk(session, "yes", "42", "43", "yes")
    record = session.state.step("ready.weight")
    assert record.value == 43.0, "the doubt is about the newest value"


def test_a_gate_opens_with_its_digit_or_a_reason(begin, talk) -> None:
    session = begin(to="ready.kit")
    shown = gate_digit(session.state, "ready.kit", session.missed)
    wrong = str(shown % 9 + 1)
    heard = talk(session, "", "open", wrong, DIGIT, "override", "no powder is opened today")
    assert len(heard.starting("This gate takes the digit it shows, alone in its line. ")) == 2
    asked = [line.split()[1] for line in heard.starting("Write ") if "when it is so" in line]
    assert asked[:4] == [*[str(shown)] * 3, str(session.state.gate_digit)] and asked[3] not in asked[:3]
    assert heard.after("That was not the digit").startswith(f"Write {asked[3]} when it is so")
    assert session.state.step("ready.kit").state == "passed"
    assert session.state.step("ready.powder").state == "overridden"
    assert session.state.step("ready.powder").why == "no powder is opened today"


def test_each_warning_wants_its_own_reason(begin, sheet_of, talk) -> None:
    cautions = tuple(
        Caution(id=f"warn.{n}", level="warn", text=f"Warning {n} of two.", source="house rule")
        for n in (1, 2)
    )
    session = begin(sheet_of(*cautions))
    heard = talk(session, "done", "", "x", "leave it, tried before", "why", "known from the last batch")
    assert heard.lines.count("WARN: Warning 1 of two.") == 3
    assert session.state.accepted == {
        "warn.1": "leave it, tried before",
        "warn.2": "known from the last batch",
    }
    assert "WARN: Warning 2 of two. Source: house rule" in heard.lines
    assert session.state.step("ready.cautions").closed


def test_skip_and_not_measured_and_undo(begin, talk) -> None:
    session = begin(to="ready.room")
    talk(session, "skip", "no", "the room is the yard", "done", "not measured scale is flat", "undo")
    assert session.state.step("ready.room").state == "skipped"
    assert session.state.step("ready.room").why == "the room is the yard"
    assert session.state.step("ready.jars").state == "done"
    assert session.state.step("ready.weight").state == "open"
    assert session.state.step("ready.weight").earlier[-1].what == "not measured"


def test_undo_asks_where_a_clock_hangs_on_it(in_the_soak, talk) -> None:
    heard = talk(in_the_soak, "undo", "", "undo", "leave it", "", "time")
    asked = heard.starting("This takes back 'Fibre in the soak' and stops the clock 'presoak' of 30 min.")
    assert len(asked) == 3 and asked[0].endswith(
        "Write undo again or yes to take it back (Enter alone goes back) > "
    )
    assert heard.lines.count("Left as it was.") == 2
    assert "Write undo again or yes to take it back." in heard.lines
    assert in_the_soak.state.timers["presoak"].running
    for answer in ("undo", "yes"):
        talk(in_the_soak, "undo", answer)
        assert not in_the_soak.state.step("presoak.in").closed
        assert "presoak" not in in_the_soak.state.timers
        in_the_soak.do(c.Close("presoak.in"))


def test_help_names_what_undo_would_take_back(begin, talk) -> None:
    assert not talk(begin(), "help").starting("undo")
    session = begin(to="ready.weight")
    session.do(c.Measure("ready.weight", "101"))
    line, choosing = talk(session, "help").starting("undo")
    assert line == "undo: take back Dry fibre weighed: 101 g; it stays in the record."
    assert choosing.startswith("undo list: ")


def test_undo_by_number_takes_back_what_is_not_the_newest_and_brings_it_back(begin, talk) -> None:
    session = begin(to="ready.weight")
    heard = talk(session, "note windy", "101", "reading 19", "undo list", "3", "undo 9", "undo 1", "leave")
    assert "1: read at the packet: 19 °C" in heard.lines and "3: note: windy" in heard.lines
    assert "Saved: taken back: note: windy" in heard.lines
    assert heard.starting("Write undo and a number from 1 to ")
    assert "Saved: brought back: note: windy" in heard.lines
    assert [note.text for note in session.state.notes] == ["windy"]


def test_correct_lists_the_newest_value_first_and_names_it(begin, talk) -> None:
    session = begin(to="ready.weight")
    heard = talk(session, "101", "1990", "correct", "1", "2010", "read the jug again", "leave")
    assert heard.after("1: Soaking water poured, 1 990 mL") == "2: Dry fibre weighed, 101 g"
    assert heard.starting("Soaking water poured, 1 990 mL: the right value in mL")
    assert session.state.step("presoak.water").value == 2010.0


def test_a_value_that_was_left_out_is_named_by_that_and_not_by_its_reason_alone(begin, talk) -> None:
    session = begin(to="presoak.water")
    talk(session, "correct", "1", "101", "scale stood uneven", "not measured the jug leaks")
    heard = talk(session, "correct", "1")
    assert any(
        line.startswith("1: ") and line.endswith(", not measured: the jug leaks") for line in heard.lines
    )
    assert any(", not measured: the jug leaks: the right value in mL" in line for line in heard.lines)


def test_a_stage_whose_clock_runs_is_not_said_to_lie_ahead(in_the_soak, talk) -> None:
    assert talk(in_the_soak, "list").starting("Stage presoak: under way, ")


def test_correct_asks_for_value_and_reason(begin, talk) -> None:
    session = begin(to="ready.weight")
    items = ("101", "correct", "7", "1", "much", "99", "x", "read it upside down", "leave")
    heard = talk(session, *items)
    assert "1: Dry fibre weighed, 101 g" in heard.lines
    assert "Write a number from 1 to 1." in heard.lines
    record = session.state.step("ready.weight")
    assert (record.value, record.flagged) == (99.0, False)
    assert record.earlier[-1].what == "101 g" and record.earlier[-1].why == "read it upside down"


def test_an_unusual_correction_is_asked_about_too(begin, talk) -> None:
    for again, value, flagged in (("yes", 42.0, True), ("42", 42.0, True), ("98", 98.0, False)):
        session = begin(to="ready.weight")
        talk(session, "101", "correct", "1", "42", "half the skein was left", again)
        record = session.state.step("ready.weight")
        assert (record.value, record.flagged) == (value, flagged), again


def test_a_question_beside_the_step_can_be_left(begin, keeper, talk) -> None:
    session = begin(to="ready.room")
    before = len(keeper.events)
    heard = talk(session, "note", "", "abandon", "time", "", "override", "not here", "", "leave")
    assert heard.lines.count("Left as it was.") == 3
    assert "Only a gate or a wait is passed with a reason." in heard.lines
    assert [event.kind for event in keeper.events[before:]] == ["session.left"]


def test_clocks_are_told_and_given_more_time(in_the_soak, talk) -> None:
    heard = talk(
        in_the_soak, 60.0, "time", "more 5 steam was late", "more", "soon", "10 the wool floats", "time"
    )
    clocks = [line.split(", ends")[0] for line in heard.lines if " to go, ends " in line]
    # 30 min less the one that has passed; then 5 and 10 more.
    assert clocks == ["presoak: 29 min to go", "presoak: 44 min to go"]
    assert '"soon" is not' in "".join(heard.lines)
    assert in_the_soak.state.timers["presoak"].minutes == 45.0


def test_more_and_ran_say_so_when_there_is_nothing_to_do(begin, talk) -> None:
    heard = talk(begin(), "more 5 late", "ran 5", "heard", "later", "correct", "undo")
    assert heard.after("Write bell to ring it.") == "No clock is running."
    for sentence in (
        "Every clock is right.",
        "No alarm stands.",
        "No value has been given yet.",
        "There is nothing to take back yet.",
    ):
        assert sentence in heard.lines


def test_after_a_restart_the_dyer_says_how_long_a_clock_ran(in_the_soak, clock, talk) -> None:
    clock.change(wall_s=600, boot_s=-4_000, boot="boot-b")
    heard = talk(in_the_soak, "ran", "a while", "12 min", "time")
    label = in_the_soak.state.timers["presoak"].label
    assert any(
        line.startswith(f"The computer lost count. How many minutes has {label}") for line in heard.lines
    )
    assert any(line.startswith(f"{label}: 18 min to go") for line in heard.lines)
    assert heard.lines.count(f"How many minutes has {label} run in all? (Enter alone goes back) > ") == 2


def test_a_wait_is_not_closed_early_by_enter(in_the_soak, walk_to, talk) -> None:
    walk_to(in_the_soak, "presoak.wait")
    left_s = (
        1800 - (in_the_soak.clock.now().boot_ns - in_the_soak.state.timers["presoak"].started.boot_ns) / NS
    )
    assert left_s > 0
    heard = talk(in_the_soak, "", "override the wool is wet through")
    assert any(line.startswith("This clock runs until ") for line in heard.lines)
    assert in_the_soak.state.step("presoak.wait").state == "overridden"


def test_list_names_every_stage_and_the_steps_of_this_one(begin, talk) -> None:
    session = begin(to="ready.weight")
    heard = talk(session, "list")
    stages = heard.starting("Stage ")
    assert len(stages) == len(session.state.worksheet.procedure) == 8
    assert stages[0] == "Stage ready: now, 5 of 6 closed."
    assert "  now: Dry fibre weighed" in heard.lines
    assert "  passed: Kit is right for these dyes" in heard.lines


def test_why_names_equation_and_source(begin, talk) -> None:
    session = begin(to="steam.hold")
    heard = talk(session, "why")
    (told,) = (line for line in heard.lines if line.startswith("steam set, from rolling steam: 36 min."))
    assert "36 min as written; advised is the larger of 30 min (levelling acid dye) and" in told
    assert told.endswith("plan: the plan")


def test_help_bell_and_lines_nobody_knows(begin, talk) -> None:
    heard = talk(begin(), "help", "bell", "overide x", "zzzz", "?", "? pickup", "time now")
    assert any(line.startswith("note TEXT") for line in heard.lines)
    assert [ring[1] for ring in heard.rings] == ["medium"]
    assert (
        'There is no such line here. Did you mean "override"? Enter alone means done; ? says what this step takes.'
        in (heard.lines)
    )
    assert "There is no such line here. Enter alone means done; ? says what this step takes." in heard.lines
    assert heard.starting("pick-up: ") and heard.starting("why: ")
    assert '"time" stands alone in its line.' in heard.lines


def test_the_end_of_the_lines_leaves_the_session_open(in_the_soak, keeper, talk) -> None:
    keeper.name = "skerry.jsonl"
    heard = talk(in_the_soak, unfinished="not mea")
    assert heard.code == 0
    assert not in_the_soak.state.closed
    assert kinds(keeper)[-1] == "session.left"
    assert heard.lines[-5:] == [
        "The last line was not finished, so it was left out: not mea",
        "The lines have ended.",
        "Saved: bench left; the session stays open",
        f"Clocks that go on: {in_the_soak.state.timers['presoak'].label}. "
        "No alarm can sound while the program is closed.",
        "The session stays open. Go on with: potside resume skerry.jsonl",
    ]


def test_leave_goes_and_abandon_closes(begin, keeper, talk) -> None:
    session = begin()
    heard = talk(session, "leave", "note never read")
    assert heard.code == 0 and not session.state.closed and not session.state.notes
    heard = talk(session, "abandon x", "abandon", "the pot boiled dry", "note never read")
    assert session.state.outcome == "abandoned" and session.state.outcome_why == "the pot boiled dry"
    assert heard.code == 0 and not session.state.notes


def test_a_session_whose_steps_are_all_closed_is_finished_at_once(begin, keeper, talk) -> None:
    from studio.session import commands as c

    session = begin(to="record.close")
    session.do(c.PassGate("record.close", gate_digit(session.state, "record.close", session.missed)))
    heard = talk(session)
    assert session.state.outcome == "finished" and heard.code == 0


def test_resume_says_where_you_were(begin, talk) -> None:
    from studio.session import commands as c

    session = begin(to="ready.weight")
    session.do(c.Leave())
    session.do(c.Resume(2, "0.1.0"))
    heard = talk(session)
    assert heard.lines[1].startswith("You were at 6 of 6 in ready. Last done: Jars and brushes labelled, at ")


def test_a_held_enter_key_closes_one_step(begin, talk) -> None:
    session = begin(to="ready.room")
    held: list[str | float] = [1.0, ""]
    for _ in range(50):
        held += [0.03, ""]
    heard = talk(session, *held, by_hand=True)
    assert session.state.step("ready.room").closed
    assert not session.state.step("ready.jars").closed
    assert heard.lines.count("That Enter came too soon to be meant; it did nothing.") == 1


def test_a_script_may_answer_as_fast_as_it_likes(begin, talk) -> None:
    session = begin(to="ready.room")
    talk(session, "", "", "100")
    assert session.state.step("ready.weight").value == 100.0


def test_another_odd_value_is_doubted_for_itself(begin, talk) -> None:
    session = begin(to="ready.weight")
    heard = talk(session, "42", "43")
    assert [line[:12] for line in heard.starting("Really")] == ["Really 42 g?", "Really 43 g?"]
    assert not session.state.step("ready.weight").closed


def test_what_is_never_left_out_is_refused_before_a_reason_is_asked(begin, talk) -> None:
    session = begin(to="ready.powder")
    heard = talk(session, "skip", "done")
    assert not any("Why leave this step out" in line for line in heard.lines)
    assert any(line.startswith("A gate or a wait is not left out") for line in heard.lines)
