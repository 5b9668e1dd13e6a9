"""Alarms are told while nothing is typed; what is not saved is said at once."""

from __future__ import annotations

from itertools import pairwise

import pytest

from studio.alerts.awake import MAY_SLEEP, KeptAwake
from studio.session import commands as c
from studio.session.run import Running
from studio.session.step_rules import gate_digit


@pytest.fixture
def in_the_soak(in_the_soak: Running) -> Running:
    """The same with two minutes to go: nothing rings before, and each look at the clock has its cost."""
    in_the_soak.clock.advance(28 * 60)  # type: ignore[attr-defined]
    return in_the_soak


def soak_over(session) -> float:  # type: ignore[no-untyped-def]
    """Seconds until the soak's alarm."""
    timer = session.state.timers["presoak"]
    gone_s = (session.clock.now().boot_ns - timer.started.boot_ns) / 1e9
    return timer.minutes * 60 - gone_s


def test_an_alarm_is_told_when_it_is_raised_and_then_in_its_rhythm(in_the_soak, talk) -> None:
    due_s = soak_over(in_the_soak)
    heard = talk(in_the_soak, due_s + 15 * 60)
    soon = [line for line in heard.lines if line.startswith("Soon: ")]
    assert [line.split(": ", 2)[2] for line in soon] == ["60 s to go.", "10 s to go."]
    rings = [(at - due_s, escalated) for at, _, text, escalated in heard.rings if "The soak is over" in text]
    assert 0 <= rings[0][0] <= 0.25
    # Every 5 s for a minute, every 15 s up to ten minutes, then once a minute; 0.25 s is one look at the clock.
    for (before, _), (after, _) in pairwise(rings):
        wanted = 5 if before < 60 else 15 if before < 600 else 60
        assert abs(after - before - wanted) <= 0.25, (before, after)
    first_minute = [at for at, escalated in rings if not escalated]
    assert len(first_minute) == 12 and max(first_minute) < 60
    assert len([at for at, _ in rings if 60 <= at < 600]) == 36
    told = heard.starting("ALARM")
    assert len(told) == len(rings)
    assert (
        told[0]
        == "ALARM medium: The soak is over: squeeze the fibre when the paints are ready. Write heard, or later."
    )
    assert told[-1].startswith("ALARM medium unanswered for 15 min")


def test_enter_answers_the_alarm_and_not_the_step(in_the_soak, talk) -> None:
    step = "stocks.rust.dye"
    heard = talk(in_the_soak, soak_over(in_the_soak) + 2, "")
    (alarm,) = [a for a in in_the_soak.state.alarms if a.level == "due"]
    assert alarm.acknowledged_after_s is not None and 1.5 <= alarm.acknowledged_after_s <= 2.0
    assert not in_the_soak.state.step(step).closed
    assert any(line.startswith("Saved: alarm answered after") for line in heard.lines)
    assert len(heard.starting("ALARM")) == 1


def test_an_enter_already_on_its_way_answers_nothing(in_the_soak, keeper, talk) -> None:
    heard = talk(in_the_soak, soak_over(in_the_soak) + 0.25, "", "leave")
    assert "The alarm came just before this Enter, so it answered nothing. Enter again: heard." in heard.lines
    assert "alarm.acknowledged" not in [event.kind for event in keeper.events]


def test_a_step_is_answered_while_an_alarm_stands(in_the_soak, talk) -> None:
    # When the soak is over its wait comes up before the stocks; `done` closes it, and its alarm ends with it.
    dye_g = in_the_soak.state.find_step("stocks.rust.dye").expected
    talk(in_the_soak, soak_over(in_the_soak) + 1, "done", f"{dye_g:g}", "not known here", "leave")
    assert in_the_soak.state.step("presoak.wait").state == "done"
    assert in_the_soak.state.step("stocks.rust.dye").value == dye_g
    (alarm,) = [a for a in in_the_soak.state.alarms if a.level == "due"]
    assert not alarm.standing and alarm.ended_by == "presoak.wait"


def test_three_alarms_are_told_one_by_one_and_answered_by_rank(begin, talk) -> None:
    session = begin(to="steam.hold")
    later = lambda minutes: lambda: session.clock.advance(minutes * 60)  # noqa: E731
    heard = talk(session, later(14.5), 35.0, later(20), 60.0, "heard", "heard", "heard")
    first = [line.split(":")[0] for line in heard.starting("ALARM")]
    assert "ALARM high" in first and first[0].startswith("ALARM medium"), "pot water at 15 min, set at 36 min"
    answered = [a for a in session.state.alarms if a.level == "due" and not a.standing]
    assert {a.timer for a in answered} >= {"steam", "pot-water"}
    assert "No alarm stands." in heard.lines


def test_later_is_quiet_for_its_time_and_sounds_again(in_the_soak, talk) -> None:
    due_s = soak_over(in_the_soak)
    heard = talk(in_the_soak, due_s + 2, "later 2", 119.0, "later soon", 30.0)
    rings = [at - due_s for at, _, text, _ in heard.rings if "The soak is over" in text]
    assert rings[0] <= 0.25
    assert 121.5 <= rings[1] <= 122.5
    assert any('"soon"' in line for line in heard.lines)


def test_heard_works_inside_a_question(in_the_soak, talk) -> None:
    heard = talk(in_the_soak, "note", soak_over(in_the_soak) + 1, "heard", "the alarm was loud", "note", "")
    assert [n.text for n in in_the_soak.state.notes] == ["the alarm was loud"]
    assert heard.lines.count("Note (Enter alone goes back) > ") == 3
    assert all(a.acknowledged_after_s is not None for a in in_the_soak.state.alarms if a.level == "due")


def test_the_rhythm_of_a_rehearsal_is_that_of_the_dyer(in_the_soak, talk) -> None:
    import msgspec

    in_the_soak.state = msgspec.structs.replace(in_the_soak.state, rehearsal_speed=60.0)
    in_the_soak.saved = in_the_soak.state
    due_s = soak_over(in_the_soak)
    heard = talk(in_the_soak, due_s + 59)
    # 59 s of the session's clock are one second for the dyer: told once, not twelve times.
    assert len([r for r in heard.rings if "The soak is over" in r[2]]) == 1


def test_not_saved_is_said_at_once_and_saved_after_all(in_the_soak, keeper, talk) -> None:
    def fail() -> None:
        keeper.failing = True

    def mend() -> None:
        keeper.failing = False

    heard = talk(in_the_soak, fail, "note cold", 61.0, mend, 1.0, "note warm")
    told = heard.starting("NOT SAVED")
    assert told[0] == "NOT SAVED: the disk is full. 1 entry waits to be saved."
    assert len(told) == 2, "repeated once a minute"
    assert heard.lines.count("Saved after all: every entry is in the file.") == 1
    assert [n.text for n in in_the_soak.state.notes] == ["cold", "warm"]
    assert heard.code == 0


def test_an_alarm_sounds_although_nothing_can_be_saved(in_the_soak, keeper, talk) -> None:
    def fail() -> None:
        keeper.failing = True

    heard = talk(in_the_soak, fail, soak_over(in_the_soak) + 1, "leave", "leave")
    assert heard.starting("ALARM medium: The soak is over")
    assert any(line.startswith("Not everything is saved yet.") for line in heard.lines)
    assert heard.code == 4
    assert heard.starting("NOT SAVED")[-1].endswith(f"{in_the_soak.waiting} entries wait to be saved.")


def test_a_finish_that_waits_for_the_disk_ends_when_it_is_saved(begin, keeper, talk) -> None:
    session = begin(to="record.close")

    def fail() -> None:
        keeper.failing = True

    def mend() -> None:
        keeper.failing = False

    heard = talk(session, fail, "(the digit of the gate)", 2.0, mend, 1.0, "note never read")
    assert session.state.outcome == "finished" and heard.code == 0
    assert [event.kind for event in keeper.events].count("session.finished") == 1


def test_that_the_laptop_may_sleep_is_said_once_and_only_while_a_clock_runs(begin, talk) -> None:
    def no_desktop():
        raise OSError("no bus here")

    session, awake = begin(to="presoak.in"), KeptAwake({}, no_desktop)
    heard = talk(session, 1.0, "leave", awake=awake)
    assert MAY_SLEEP not in heard.lines
    session.do(c.Close("presoak.in"))
    heard = talk(session, 0.5, lambda: awake.wait(10), 90.0, "note it soaks", 90.0, "leave", awake=awake)
    assert heard.lines.count(MAY_SLEEP) == 1


def test_a_machine_that_is_kept_awake_is_no_news_and_is_let_go_of_with_the_last_clock(
    in_the_soak, talk
) -> None:
    from contextlib import contextmanager
    from types import SimpleNamespace

    held: list[str] = []

    @contextmanager
    def keep():
        held.append("taken")
        yield SimpleNamespace(active=True)
        held.append("let go")

    awake = KeptAwake({}, keep)
    heard = talk(in_the_soak, 0.5, lambda: awake.wait(10), 5.0, "leave", awake=awake)
    assert awake.kept and MAY_SLEEP not in heard.lines
    in_the_soak.do(c.Abandon("the phone rang"))
    awake.follow(any(t.running for t in in_the_soak.state.timers.values()))
    assert not awake.kept and held[0] == "taken"


def test_once_all_is_closed_and_not_yet_saved_nothing_is_said_of_the_last_step(begin, keeper, talk) -> None:
    session = begin(to="record.close")

    def fail() -> None:
        keeper.failing = True

    before = talk(session, "?", "leave")
    last = next(line for line in before.lines if line.startswith("To pass it all the same"))
    heard = talk(
        session, fail, str(gate_digit(session.state, "record.close")), "?", "why", "", "leave", "leave"
    )
    assert session.state.closed
    assert last not in heard.lines
    assert len(heard.starting("All steps are closed.")) == 2


def test_list_tells_what_waits_to_be_saved(in_the_soak, keeper, talk) -> None:
    def fail() -> None:
        keeper.failing = True

    heard = talk(in_the_soak, fail, "0.24", "list", "leave", "leave")
    assert any(line.startswith("  measured, waiting to be saved: ") for line in heard.lines), heard.lines
    assert any(line.startswith("Waiting to be saved: ") for line in heard.lines)
