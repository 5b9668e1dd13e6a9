"""When it rings: against a clock that is stepped, up to a quarter of an hour of nobody answering."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import msgspec
import pytest

from studio.plan.shapes import Timer
from studio.session import alarms
from studio.session import commands as c
from studio.session.alarms import Ring, Rung, after, answered, next_ring
from studio.session.clock import FastClock
from studio.session.run import Running

TICK_S = 0.25


class Rope:
    """Ticks a session and notes every ring with the second it came at."""

    def __init__(self, session: Running) -> None:
        self.session = session
        self.last = Rung()
        self.rings: list[tuple[float, Ring]] = []
        self.gone_s = 0.0

    def tick(self) -> Ring | None:
        self.session.tick()
        now = self.session.clock.now()
        ring = next_ring(self.session.state, now, self.last, not_saved=self.session.waiting > 0)
        if ring is not None:
            self.last = after(self.last, ring, now)
            self.rings.append((self.gone_s, ring))
        return ring

    def pass_time(self, seconds: float, step_s: float = TICK_S) -> None:
        for _ in range(round(seconds / step_s)):
            self.session.clock.advance(step_s)  # type: ignore[attr-defined]
            self.gone_s += step_s
            self.tick()

    def come_to(self, seconds: float) -> None:
        """From the beginning, in strides of 10 s until two minutes before, where nothing rings."""
        strides_s = (seconds - 120) // 10 * 10
        self.pass_time(strides_s, step_s=10)
        self.pass_time(seconds - strides_s)

    def times(self, first_s: float, last_s: float) -> list[float]:
        return [at for at, _ in self.rings if first_s <= at < last_s]


def packet(number: int, minutes: float, priority: str) -> Timer:
    """A clock that begins with the steam."""
    return Timer(
        id=f"packet-{number}",
        role="packet",
        label=f"packet {number}",
        minutes=minutes,
        action=f"Take packet {number} out.",
        priority=priority,  # type: ignore[arg-type]
        with_timer="steam",
    )


@pytest.fixture
def steaming(begin, sheet_of) -> Callable[..., Rope]:
    """A set of steam that has just begun, with only the timers named."""

    def make(*also: Timer, **minutes: float) -> Rope:
        sheet = sheet_of()
        kept = list(also)
        for timer in sheet.timers:
            if timer.id in minutes:
                kept.append(msgspec.structs.replace(timer, minutes=minutes[timer.id]))
            elif timer.id not in ("steam", "pot-water"):
                kept.append(timer)
        session = begin(msgspec.structs.replace(sheet, timers=tuple(kept)), to="steam.hold")
        return Rope(session)

    return make


def test_row_19_an_alarm_ignored_for_a_quarter_of_an_hour(steaming) -> None:
    """Every 5 s for a minute, every 15 s to ten minutes, once a minute after: 12, 36 and 6 rings.

    By hand: 0, 5 .. 55 s is 12; 60, 75 .. 585 s is (585 - 60) / 15 + 1 = 36; 600, 660 .. 900 s is 6.
    """
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60)
    due_at = rope.gone_s
    assert [(at - due_at, ring.sound) for at, ring in rope.rings] == [
        (-60.0, "low"),
        (-10.0, "low"),
        (0.0, "high"),
    ]
    rope.pass_time(15 * 60)
    rings = [(at - due_at, ring) for at, ring in rope.rings[2:]]
    assert [at for at, _ in rings] == [
        *range(0, 60, 5),
        *range(60, 600, 15),
        *range(600, 901, 60),
    ]
    assert len(rings) == 12 + 36 + 6
    assert [ring.escalated for _, ring in rings] == [False] * 12 + [True] * 42
    assert {ring.text for _, ring in rings} == {"The set is over: heat off, lid away from you."}
    alarm = alarms.standing(rope.session.state)[0]
    rope.session.do(c.Acknowledge(alarm.n))
    assert answered(rope.session.state, rope.session.clock.now(), rope.last)
    assert rope.session.state.alarms[-1].acknowledged_after_s == 900
    before = len(rope.rings)
    rope.pass_time(120)
    assert len(rope.rings) == before


def test_gaps_follow_the_rhythm_of_the_alarm(steaming) -> None:
    """Every 5 s for a minute, every 15 s to ten minutes, then once a minute, by the age of the alarm."""
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60)
    told: dict[float, int] = {}
    for _ in range(13 * 60 * 4):
        if rope.rings[-1][0] == rope.gone_s:
            age_s = rope.gone_s - 36 * 60
            told[rope.gone_s] = 5 if age_s < 60 else 15 if age_s < 600 else 60
        rope.pass_time(TICK_S)
    rung = sorted(told)
    assert [b - a for a, b in pairwise(rung)] == [told[at] for at in rung[:-1]]


def test_late_ticks_do_not_add_up(steaming) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60)
    start = rope.gone_s
    rope.pass_time(59.5, step_s=0.35)
    assert len(rope.times(start, start + 60)) == 12


def test_row_19_three_alarms_in_one_second_are_answered_one_by_one(steaming, keeper) -> None:
    rope = steaming(packet(2, 36.005, "low"), packet(3, 36.0, "medium"), steam=36.0)
    rope.come_to(36 * 60 - 1)
    before = len(rope.rings)
    rope.pass_time(2)
    standing = alarms.standing(rope.session.state)
    assert [a.priority for a in standing] == ["high", "medium", "low"]
    assert [ring.sound for _, ring in rope.rings[before:]] == ["high"], "only the most urgent sounds"

    heard = []
    for latency_s in (7.0, 11.0, 13.0):
        rope.pass_time(latency_s - 1)
        first = alarms.standing(rope.session.state)[0]
        rope.session.do(c.Acknowledge(first.n))
        left = [a.n for a in alarms.standing(rope.session.state)]
        assert first.n not in left and len(left) == 2 - len(heard)
        heard.append(first.n)
        assert answered(rope.session.state, rope.session.clock.now(), rope.last)
        before = len(rope.rings)
        rope.pass_time(1)
        assert len(rope.rings) - before == (1 if left else 0), "the next one is heard at once"
    logged = [ev.data for ev in keeper.events if ev.kind == "alarm.acknowledged"][-3:]
    assert [data["alarm"] for data in logged] == heard
    # high and medium at 36:00, low at 36:00.5; answered at 36:07, 36:18 and 36:31 (each 1 s later is the next).
    assert [data["latency_s"] for data in logged] == [7.0, 18.0, 30.5]


def test_a_more_urgent_alarm_takes_over_at_once(steaming) -> None:
    rope = steaming(packet(2, 35.95, "medium"), steam=36.0)
    rope.come_to(35 * 60 + 57)
    assert rope.rings[-1][1].sound == "medium"
    rope.pass_time(3)
    assert (rope.rings[-1][0], rope.rings[-1][1].sound) == (rope.gone_s, "high")
    before = len(rope.rings)
    rope.pass_time(60)
    assert {ring.sound for _, ring in rope.rings[before:]} == {"high"}


@pytest.mark.parametrize("minutes", [1.0, 0.05])
def test_a_snoozed_alarm_is_silent_and_comes_back_on_the_second(steaming, minutes: float) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60 + 12)
    alarm = alarms.standing(rope.session.state)[0]
    rope.session.do(c.Snooze(alarm.n, minutes))
    assert answered(rope.session.state, rope.session.clock.now(), rope.last)
    start, before = rope.gone_s, len(rope.rings)
    rope.pass_time(minutes * 60 - TICK_S)
    assert len(rope.rings) == before
    rope.pass_time(TICK_S)
    assert rope.rings[-1][0] - start == minutes * 60


def test_an_alarm_is_put_off_for_a_minute_where_nothing_else_is_said(steaming) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60 + 12)
    alarm = alarms.standing(rope.session.state)[0]
    rope.session.do(c.Snooze(alarm.n))
    assert next(a.snoozed_min for a in rope.session.state.alarms if a.n == alarm.n) == 1.0


def test_warnings_ahead_ring_once_and_low(steaming) -> None:
    rope = steaming(packet(2, 36.0, "medium"), steam=36.0)
    rope.come_to(36 * 60 - 1)
    texts = [(ring.sound, ring.text) for _, ring in rope.rings]
    assert texts == [
        ("low", "packet 2: 60 s to go, steam set: 60 s to go"),
        ("low", "packet 2: 10 s to go, steam set: 10 s to go"),
    ]


def test_a_warning_read_back_from_the_file_is_old_news(steaming) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(35 * 60 + 20)
    assert next_ring(rope.session.state, rope.session.clock.now(), Rung()) is None


def test_a_standing_alarm_rings_at_once_after_a_restart_of_the_program(steaming) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60 + 90)
    ring = next_ring(rope.session.state, rope.session.clock.now(), Rung())
    assert ring is not None and (ring.sound, ring.escalated) == ("high", True)


def test_a_wake_from_sleep_rings_once_not_for_all_that_was_missed(steaming) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60)
    before = len(rope.rings)
    rope.session.clock.change(wall_s=840, boot_s=840)
    rope.gone_s += 840
    for _ in range(4):
        rope.tick()
    assert len(rope.rings) == before + 1 and rope.rings[-1][1].escalated


def test_a_failure_to_save_rings_once_a_minute_beside_the_alarm(steaming, keeper) -> None:
    rope = steaming(steam=36.0)
    rope.pass_time(10)
    keeper.failing = True
    rope.session.do(c.AddNote("while the disk is full"))
    start = rope.gone_s
    rope.pass_time(150)
    assert [(at - start, ring.sound) for at, ring in rope.rings] == [
        (0.25, "not saved"),
        (60.25, "not saved"),
        (120.25, "not saved"),
    ]
    assert "cannot be written" in rope.rings[-1][1].text
    keeper.failing = False
    rope.pass_time(120)
    assert len(rope.rings) == 3


def test_an_alarm_that_could_not_be_saved_still_rings(steaming, keeper) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60 - 30)
    keeper.failing = True
    before = len(rope.rings)
    rope.pass_time(45)
    sounds = [ring.sound for _, ring in rope.rings[before:]]
    assert sounds.count("high") == 4 and sounds.count("not saved") == 1


def test_a_closed_session_is_silent(steaming) -> None:
    rope = steaming(steam=36.0)
    rope.come_to(36 * 60)
    rope.session.do(c.Abandon("the pot is needed elsewhere"))
    before = len(rope.rings)
    rope.pass_time(60)
    assert len(rope.rings) == before
    assert answered(rope.session.state, rope.session.clock.now(), rope.last)


def test_a_rehearsal_rings_in_real_time_however_fast_its_clock(steaming) -> None:
    """At 60 times the speed five seconds of the session are a twelfth of a second; nobody could stand that."""
    rope = steaming(steam=36.0)
    real = rope.session.clock
    fast = msgspec.structs.replace(rope.session.state, rehearsal_speed=60.0)
    rope.session.state = rope.session.saved = fast
    rope.session.clock = FastClock(real, 60)
    state = rope.session.state
    moved = {
        k: msgspec.structs.replace(t, started=msgspec.structs.replace(t.started, boot="fast-boot-a"))
        for k, t in state.timers.items()
    }
    rope.session.state = rope.session.saved = msgspec.structs.replace(state, timers=moved)
    times = []
    for i in range(60 * 4):
        real.advance(TICK_S)
        before = len(rope.rings)
        rope.tick()
        if len(rope.rings) > before and rope.rings[-1][1].alarm:
            times.append((i + 1) * TICK_S)
    assert 36 <= times[0] <= 37, "36 minutes at 60 times the speed are 36 seconds"
    assert all(b - a >= 4 for a, b in pairwise(times)) and len(times) >= 4


def test_timers_of_every_priority_have_a_sound() -> None:
    """What a plan may say and what can be played are the same three words."""
    from typing import get_args, get_type_hints

    from studio.alerts.players import SoundName

    priorities = set(get_args(get_type_hints(Timer)["priority"]))
    assert priorities | {"not saved"} == set(get_args(SoundName))
