"""Told later than it happened: clocks begin, stop and stand still at the time that was told."""

from __future__ import annotations

import pytest

from studio.report.session_page import session_page
from studio.report.telling import tell
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS, time_of_day
from studio.session.live.steam import stretches
from studio.session.run import Running
from studio.session.taking_back import newest, taking_back
from studio.session.time_rules import unsure_timers
from studio.session.timers import elapsed_s

OFFSET = 60
"""Minutes the place of these sessions is ahead of UTC."""


def ago(session: Running, minutes: float) -> str:
    assert session.state.utc_offset_min == OFFSET
    return time_of_day(session.clock.now().wall_ns - int(minutes * 60 * NS), OFFSET)


def on_the_minute(session: Running) -> None:
    session.clock.advance(60 - session.clock.now().wall_ns / NS % 60)


def wait(session: Running, minutes: float) -> None:
    session.clock.advance(minutes * 60)
    session.tick()


def ran_min(session: Running, timer: str) -> float:
    gone, sure = elapsed_s(session.state.timers[timer], session.clock.now())
    assert sure
    return gone / 60


def page_text(session: Running) -> str:
    rows = [row for section in session_page(session.state, "", (), 100) for row in section.rows]
    return "\n".join("".join(text for text, _ in row) for row in rows)


@pytest.fixture
def steaming(exactly_at):
    """At the steam set, 30 min after it began to roll on the minute."""
    session = exactly_at("steam.on")
    on_the_minute(session)
    session.do(c.Close("steam.on"))
    wait(session, 20)
    session.do(c.Close("steam.rolling"))
    wait(session, 30)
    return session


def test_a_clock_that_began_earlier_takes_its_step_and_its_companions_with_it(steaming) -> None:
    before = steaming.state
    moved = {t.id for t in before.timers.values() if t.n == before.timers["steam"].n}
    (told,) = steaming.do(c.NoteLate(f"{ago(steaming, 38)} started"))
    assert told.kind == "timer.confirmed" and "steam" in moved
    assert all(ran_min(steaming, name) == pytest.approx(38) for name in moved)
    assert stretches(steaming.state, steaming.clock.now()) == ((0, pytest.approx(38)),)
    assert time_of_day(steaming.state.step("steam.rolling").at_ns, OFFSET) == ago(steaming, 38)
    due = [ev.data for ev in steaming.tick() if ev.kind == "alarm.raised" and ev.data["timer"] == "steam"]
    assert due[0]["level"] == "due" and due[0]["late_s"] == pytest.approx(120)
    assert tell(told, steaming.state) == f"steam set began at {ago(steaming, 38)}, entered later"


def test_a_clock_that_began_later_is_not_over_and_its_alarm_ends(steaming) -> None:
    wait(steaming, 7)
    assert "steam" in [a.timer for a in alarms.standing(steaming.state)]
    steaming.do(c.NoteLate(f"{ago(steaming, 31)} Steam set started"))
    assert "steam" not in [a.timer for a in alarms.standing(steaming.state)]
    assert ran_min(steaming, "steam") == pytest.approx(31)
    steaming.clock.advance(5 * 60)
    assert [ev.data["timer"] for ev in steaming.tick() if ev.data.get("level") == "due"] == ["steam"]


def test_it_is_taken_back_and_brought_back(steaming) -> None:
    before = steaming.state
    steaming.do(c.NoteLate(f"{ago(steaming, 34)} started"))
    after = steaming.state
    event = newest(after)
    assert event is not None and taking_back(after, event).moved
    steaming.do(c.Undo())
    assert (steaming.state.timers, steaming.state.steps) == (before.timers, before.steps)
    steaming.do(c.Undo(steaming.state.last_n))
    assert (steaming.state.timers, steaming.state.steps) == (after.timers, after.steps)


def test_steam_lost_and_back_are_told_later_one_by_one(steaming) -> None:
    steaming.do(c.NoteLate(f"{ago(steaming, 20)} steam lost"))
    assert ran_min(steaming, "steam") == pytest.approx(10)
    steaming.do(c.NoteLate(f"{ago(steaming, 18)} steam back"))
    assert ran_min(steaming, "steam") == pytest.approx(28)
    assert stretches(steaming.state, steaming.clock.now()) == ((0, 10), (12, 30))


def test_a_loss_told_whole_lies_in_its_place_among_the_others(steaming) -> None:
    steaming.do(c.ToggleSteam())
    wait(steaming, 1)
    steaming.do(c.ToggleSteam())
    steaming.do(c.NoteLate(f"{ago(steaming, 20)} to {ago(steaming, 9)} steam lost"))
    assert ran_min(steaming, "steam") == pytest.approx(31 - 1 - 11)
    lost = [(a.boot_ns, b.boot_ns) for a, b in steaming.state.steam_off if b is not None]
    assert len(lost) == 2 and lost == sorted(lost)
    assert steaming.state.timers["steam"].minutes == 41, "11 min: the goods have cooled, and heat up again"
    page = page_text(steaming)
    assert f"{ago(steaming, 20)}  steam lost for 11 min" in page
    with pytest.raises(Refused, match="has a loss of steam"):
        steaming.do(c.NoteLate(f"{ago(steaming, 12)} to {ago(steaming, 5)} steam lost"))


def test_a_loss_told_after_the_heat_is_off_shortens_what_the_set_ran(steaming) -> None:
    wait(steaming, 6)
    for alarm in alarms.standing(steaming.state):
        steaming.do(c.Acknowledge(alarm.n))
    steaming.do(c.Close("steam.hold"))
    steaming.do(c.Close("steam.off", meant=True))
    ran = steaming.state.timers["steam"].stopped_after_s
    wait(steaming, 10)
    steaming.do(c.NoteLate(f"{ago(steaming, 30)} to {ago(steaming, 26)} steam gone"))
    assert steaming.state.timers["steam"].stopped_after_s == pytest.approx(ran - 240)
    with pytest.raises(Refused, match="before the heat was off"):
        steaming.do(c.NoteLate(f"{ago(steaming, 12)} to {ago(steaming, 2)} steam lost"))


def test_a_step_done_earlier_starts_its_clock_then(exactly_at) -> None:
    session = exactly_at("presoak.in")
    wait(session, 12)
    (told,) = session.do(c.NoteLate(f"{ago(session, 10)} done"))
    timer = session.state.timers["presoak"]
    assert timer.started.wall_ns == told.data["happened"]["wall_ns"] == session.state.step("presoak.in").at_ns
    assert 10 <= ran_min(session, "presoak") < 11
    session.do(c.Undo())
    assert not session.state.timers and not session.state.step("presoak.in").closed


@pytest.mark.parametrize(
    ("told", "why"),
    [
        (lambda s: f"{ago(s, -2)} started", "it is .* now; write a time between"),
        (lambda s: f"{ago(s, 300)} started", "The session began at .*; write a time between"),
        (lambda s: f"{ago(s, 55)} started", "'Pot on the heat' was at|was at .*; write a time from then on"),
        (lambda s: f"{ago(s, 35)} steam lost", "The steam began to roll at"),
        (lambda s: f"{ago(s, 5)} steam back", "write both times of a loss that is over"),
        (lambda s: f"{ago(s, 5)} to {ago(s, 9)} steam lost", "Write when it was lost, then when it rolled again"),
    ],
    ids=["in the future", "before the session", "before its step", "before it rolled", "never lost", "backwards"],
)  # fmt: skip
def test_a_time_that_cannot_be_is_refused(steaming, told, why: str) -> None:
    before = len(steaming.state.log)
    with pytest.raises(Refused, match=why) as refused:
        steaming.do(c.NoteLate(told(steaming)))
    assert str(refused.value).count(". ") == 0 and str(refused.value).endswith(".")
    assert len(steaming.state.log) == before


def test_within_the_minute_of_what_it_depends_on_it_is_that_moment(exactly_at) -> None:
    session = exactly_at("steam.rolling")
    since = session.state.step("steam.on").moment
    session.clock.advance(20)
    session.do(c.NoteLate(f"{time_of_day(since.wall_ns, OFFSET)} done", meant=True))
    assert session.state.timers["steam"].started == since


def test_where_the_wall_clock_was_set_since_the_clock_is_unsure_and_asks(steaming) -> None:
    steaming.clock.change(wall_s=1800)
    steaming.tick()
    steaming.do(c.NoteLate(f"{ago(steaming, 40)} started"))
    assert "steam" in [t.id for t in unsure_timers(steaming.state, steaming.clock.now())]
    steaming.do(c.ConfirmElapsed("steam", 33.0))
    assert ran_min(steaming, "steam") == pytest.approx(33)
    assert stretches(steaming.state, steaming.clock.now()) == ((0, pytest.approx(33)),)


def test_a_loss_of_steam_that_no_clock_can_be_laid_on_is_told_whole_and_the_clock_asks(steaming) -> None:
    steaming.clock.change(wall_s=1800)
    steaming.tick()
    with pytest.raises(Refused, match="write both times once it rolls again"):
        steaming.do(c.NoteLate(f"{ago(steaming, 40)} steam lost"))
    steaming.do(c.NoteLate(f"{ago(steaming, 40)} to {ago(steaming, 38)} steam lost"))
    assert "steam" in [t.id for t in unsure_timers(steaming.state, steaming.clock.now())]
    steaming.do(c.ConfirmElapsed("steam", 28.0))
    steaming.do(c.ConfirmElapsed("pot-water", 5.0))
    assert ran_min(steaming, "steam") == pytest.approx(28)
    steaming.do(c.ToggleSteam())
    wait(steaming, 2)
    steaming.do(c.ToggleSteam())
    assert ran_min(steaming, "steam") == pytest.approx(28)


def test_steam_that_has_not_rolled_is_not_lost_later_either(exactly_at) -> None:
    session = exactly_at("presoak.wait")
    wait(session, 10)
    for told in (f"{ago(session, 5)} steam lost", f"{ago(session, 5)} to {ago(session, 3)} steam lost"):
        with pytest.raises(Refused, match=r"The steam (is|has) not roll"):
            session.do(c.NoteLate(told))


def test_words_that_name_no_clock_are_a_remark(steaming) -> None:
    for text in ("rain started", "lid lifted", "the steam was lovely"):
        (event,) = steaming.do(c.NoteLate(f"{ago(steaming, 5)} {text}"))
        assert event.kind == "noted.late" and event.data["text"] == text
        clocks = {timer.label for timer in steaming.state.timers.values()}
        said = tell(event, steaming.state)
        assert all((label in said) is (text == "rain started") for label in clocks), said


@pytest.mark.parametrize("name", ["soak", "the long presoak"])
def test_a_piece_of_the_only_clock_of_that_name_names_it(exactly_at, name: str) -> None:
    session = exactly_at("presoak.wait")
    on_the_minute(session)
    wait(session, 20)
    (told,) = session.do(c.NoteLate(f"{ago(session, 10)} {name} started"))
    assert told.kind == "timer.confirmed" and ran_min(session, "presoak") == pytest.approx(10)


def test_a_clock_is_shortened_with_a_reason_and_never_below_nothing(steaming) -> None:
    (event,) = steaming.do(c.ExtendTimer("steam", -4, "it was hot before"))
    assert steaming.state.timers["steam"].minutes == 32 and "4 min less - it was hot" in tell(
        event, steaming.state
    )
    with pytest.raises(Refused, match="set for 32 min"):
        steaming.do(c.ExtendTimer("steam", -40, "it was hot before"))
    wait(steaming, 3)
    with pytest.raises(Refused, match="over already"):
        steaming.do(c.ExtendTimer("steam", -1, "it was hot before"))
