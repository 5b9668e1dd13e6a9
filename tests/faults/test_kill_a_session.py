"""kill -9 at random moments of a whole session: what was shown is kept, the right step, the right clocks.

The oracle is a walk that nobody disturbed: the order in which it closed its steps is the order every killed
and resumed session must follow. Timers are measured against clock readings the child took itself.
"""

from __future__ import annotations

import random
import shutil
import time
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from studio.services.studio import Services
from studio.session.events import parts
from studio.session.kinds.clocks import TimerStarted
from studio.session.kinds.steps import ClosesAStep
from studio.session.path import current_step
from studio.session.timers import elapsed_s
from studio.store.copies import verify
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]
FAST = 6000.0
"""Speed of the rehearsals: its two and a half hours take 1.5 seconds, so that alarms really come due."""


@dataclass
class Shown:
    """What one child printed before it was killed."""

    name: str = ""
    at: str = ""
    events: dict[int, tuple[str, str]] = field(default_factory=dict)
    started: dict[str, tuple[int, int, int]] = field(default_factory=dict)
    """Timer: the child's boot clock before and after the call that started it, and the event's number."""
    over: bool = False

    def take(self, text: str) -> None:
        for line in text.split("\n")[:-1]:
            word, *rest = line.split()
            if word == "session":
                self.name = rest[0]
            elif word == "at":
                self.at = rest[0]
            elif word == "over":
                self.over = True
            elif word == "shown":
                n, kind, what, before, after = rest
                self.events.setdefault(int(n), (kind, what))
                if kind == "timer.started":
                    self.started[what] = (int(before), int(after), int(n))


@pytest.fixture
def studio(tmp_path) -> Path:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    for plan in (tmp_path / "shared" / "plans").iterdir():
        if not plan.name.startswith("tidewrack"):
            plan.unlink()
    return tmp_path


@pytest.fixture
def start(studio, forked):
    """Starts a child; none outlives the test."""
    return lambda speed: forked("session_child.py", "main", studio, speed)


def undisturbed(studio: Path, start) -> list[str]:
    """The steps in the order a walk that is left alone closes them; its session is then put away."""
    shown = Shown()
    shown.take(start(1.0).end(killed=False))
    assert shown.over
    order = closed_in(_records(studio, shown))
    shutil.rmtree(studio / "sessions")
    (studio / "sessions").mkdir()
    return order


def closed_in(records) -> list[str]:
    """The steps that a session's events close, in order; an event may close one beside what it tells."""
    return [p.step for r in records for p in parts(r.told) if isinstance(p, ClosesAStep)]


def killed(process, chance: random.Random) -> Shown:
    """Let the child run for a random number of lines and then a random while, and kill it."""
    shown = Shown()
    for _ in range(chance.choice((1, 1, 3, 8, 20, 45))):
        line = process.stdout.readline()
        shown.take(line)
        if not line or shown.over:
            break
    time.sleep(chance.uniform(0, 0.006))
    shown.take(process.end())
    return shown


def look_at_the_file(path: Path, shown: dict[int, tuple[str, str]]) -> list[str]:
    """Everything shown is there and the file verifies; the steps it has closed, in order."""
    records = read_session(path).records
    kept = {r.n: (r.kind, r.data.get("step") or r.data.get("timer") or "-") for r in records}
    assert shown.items() <= kept.items()
    verdict = verify(path)
    assert verdict.state in ("clean", "open tail", "repaired"), verdict.sentences
    return closed_in(records)


def _records(studio: Path, shown: Shown):
    return read_session(studio / "sessions" / shown.name).records


def resume_and_compare(
    studio: Path, shown: Shown, started: dict[str, tuple[int, int, int]], speed: float
) -> str:
    """Resume as the program does; timers are right to a second. The step it lands on.

    A start that is on the disk but was not printed any more has no witness, and is left out.
    """
    whole = _records(studio, shown)
    newest = {p.timer: r.n for r in whole for p in parts(r.told) if isinstance(p, TimerStarted)}
    started = {timer: when for timer, when in started.items() if when[2] == newest[timer]}
    services = Services(StudioFolder(studio), SystemClock())
    running = services.resume(shown.name)
    try:
        for timer_id, (before, after, _) in started.items():
            timer = running.state.timers[timer_id]
            if not timer.running:
                continue
            early = time.clock_gettime_ns(time.CLOCK_BOOTTIME)
            told_s, sure = elapsed_s(timer, running.clock.now())
            late = time.clock_gettime_ns(time.CLOCK_BOOTTIME)
            assert sure
            assert (early - after) / 1e9 * speed - 1 <= told_s <= (late - before) / 1e9 * speed + 1, timer_id
        step = current_step(running.state, running.clock.now())
        return step.id if step else "-"
    finally:
        services.let_go()


def over(path: Path) -> bool:
    """Whether the session was closed before its process was killed."""
    return any(record.kind == "session.finished" for record in read_session(path).records)


def kill_many(times: int, studio: Path, start, seed: int) -> None:
    chance = random.Random(seed)
    order = undisturbed(studio, start)
    assert len(order) > 30
    shown: dict[int, tuple[str, str]] = {}
    started: dict[str, tuple[int, int, int]] = {}
    places = set()
    for _ in range(times):
        last = killed(start(1.0), chance)
        shown.update(last.events)
        started.update(last.started)
        path = studio / "sessions" / last.name
        closed = look_at_the_file(path, shown)
        assert closed == order[: len(closed)]
        if over(path):
            shown, started = {}, {}
            continue
        if chance.random() < 0.05:
            time.sleep(chance.uniform(0, 1.0))
        expected = order[len(closed)] if len(closed) < len(order) else "-"
        landed = resume_and_compare(studio, last, started, 1.0)
        assert landed == expected
        # Nothing was closed behind the screen's back but at most the one step that was on its way.
        assert not last.at or last.at in (landed, *closed[-2:])
        places.add(landed)
    assert len(places) > min(times, len(order)) // 4


def kill_rehearsals(times: int, studio: Path, start, seed: int) -> None:
    """The same with a fast clock: here alarms come due, also while nobody is there."""
    chance = random.Random(seed)
    shown: dict[int, tuple[str, str]] = {}
    started: dict[str, tuple[int, int, int]] = {}
    alarms = 0
    for _ in range(times):
        process = start(FAST)
        last = Shown()
        last.take(process.stdout.readline())
        time.sleep(chance.uniform(0, 0.6))
        last.take(process.end())
        shown.update(last.events)
        started.update(last.started)
        path = studio / "sessions" / last.name
        closed = look_at_the_file(path, shown)
        assert len(closed) == len(set(closed)), "a step was closed twice"
        alarms += sum(kind == "alarm.raised" for kind, _ in last.events.values())
        if over(path):
            shown, started = {}, {}
            continue
        landed = resume_and_compare(studio, last, started, FAST)
        assert landed not in closed
    assert alarms


def test_four_kills(studio, start):
    kill_many(4, studio, start, 3)


@pytest.mark.deep
def test_two_hundred_kills_of_a_session(studio, start):
    kill_many(200, studio, start, 5)


@pytest.mark.deep
def test_sixty_kills_of_fast_rehearsals(studio, start):
    kill_rehearsals(60, studio, start, 6)
