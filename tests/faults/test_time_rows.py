"""Rows 12 to 15 of the acceptance list in real session files: what is on disk after the clocks did something.

On the real screen they are in tests/screens/test_rows_on_screen.py, with the kernel's own clocks and SIGSTOP in
tests/cli/terminal/test_rows.py. 17 is in tests/cli/terminal/test_program.py, 18 in tests/alerts/test_ringer.py, 19 in
tests/session/test_ringing.py, 20 and 21 in tests/screens/test_home_and_logbook.py.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from studio.services.studio import Services
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import gate_digit
from studio.session.timers import elapsed_s, running
from studio.store.copies import verify
from studio.store.folder import StudioFolder
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
START = Reading(1_790_000_000 * NS, 50_000 * NS, 40_000 * NS, "boot-a")


@pytest.fixture
def studio(tmp_path) -> Path:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    return tmp_path


@pytest.fixture
def clock() -> SteppedClock:
    return SteppedClock(START)


@pytest.fixture
def services(studio, clock):
    """The services of the studio; let go of at the end, so that a next one may resume."""
    opened = Services(StudioFolder(studio), clock)
    yield opened
    opened.let_go()


def soaking(services: Services) -> Running:
    """A session whose soak of 30 min has just begun."""
    session = services.begin(services.work_out(ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"))
    while "presoak" not in session.state.timers:
        step = current_step(session.state, session.clock.now())
        assert step is not None
        if step.kind == "measure":
            session.do(c.Measure(step.id, f"{step.expected:g}", meant=True))
        else:
            session.do(
                c.PassGate(step.id, gate_digit(session.state, step.id))
                if step.kind == "gate"
                else c.Close(step.id)
            )
    session.tick()
    return session


def the_file(studio: Path) -> Path:
    (path,) = (studio / "sessions").iterdir()
    return path


def of_kind(studio: Path, kind: str) -> list[dict]:
    return [r.data for r in read_session(the_file(studio)).records if r.kind == kind]


def left_s(session: Running) -> float:
    return next(v.left_s for v in running(session.state, session.clock.now()) if v.id == "presoak")


def test_row_12_sleep_is_written_down_and_the_alarm_is_late_by_what_was_slept_through(
    services, clock, studio
) -> None:
    session = soaking(services)
    clock.advance(20 * 60)
    session.tick()
    clock.change(wall_s=840, boot_s=840)
    session.tick()
    assert left_s(session) == -240
    assert of_kind(studio, "clock.suspended") == [{"seconds": 840}]
    (due,) = [a for a in of_kind(studio, "alarm.raised") if a["level"] == "due"]
    assert (due["timer"], due["late_s"]) == ("presoak", 240)
    assert verify(the_file(studio)).state == "clean"


@pytest.mark.parametrize("wall_s", [0.0, 4_070_908_800.0], ids=["1970", "2099"])
@pytest.mark.parametrize("step_s", [3600, -3600], ids=["+1 h", "-1 h"])
def test_row_13_files_stay_sane_in_any_year_and_through_any_step(
    services, clock, studio, wall_s, step_s
) -> None:
    clock.change(wall_s=wall_s + 7200 - clock.now().wall_ns / NS)
    session = soaking(services)
    for by in (step_s, 2.0e9 - clock.now().wall_ns / NS, wall_s + 7200 - 2.0e9):
        clock.advance(60)
        clock.change(wall_s=by)
        session.tick()
    assert left_s(session) == 27 * 60
    path = the_file(studio)
    assert path.name.startswith(("19700101-0", "20990101-0")) and path.suffix == ".jsonl"
    reading = read_session(path)
    assert [r.n for r in reading.records] == list(range(1, len(reading.records) + 1))
    assert verify(path).state == "clean"
    assert round(of_kind(studio, "clock.stepped")[0]["seconds"]) == step_s
    services.let_go()
    again = services.resume(services.newest_open().key)
    assert left_s(again) == 27 * 60


@pytest.mark.parametrize("hours", [-13, 1, 9.5])
def test_row_14_another_time_zone_meanwhile_moves_nothing(services, clock, monkeypatch, hours) -> None:
    """A zone is words about the clock and not the clock: none of the three clocks moves."""
    session = soaking(services)
    clock.advance(600)
    monkeypatch.setenv("TZ", f"XYZ{hours:+g}")
    session.tick()
    assert left_s(session) == 20 * 60
    assert not any(event.kind.startswith("clock.") for event in session.state.log)


@pytest.mark.parametrize("off_s", [3600, -90_000, 40_000_000])
def test_row_15_a_restart_in_a_timer_is_asked_about_and_never_done_by_itself(
    services, clock, studio, off_s
) -> None:
    session = soaking(services)
    clock.advance(300)
    session.tick()
    services.let_go()
    clock.change(wall_s=off_s, boot_s=30 - clock.now().boot_ns / NS, mono_s=0, boot="boot-b")
    again = services.resume(services.newest_open().key)
    again.tick()
    timer = again.state.timers["presoak"]
    assert elapsed_s(timer, clock.now())[1] is False
    assert not [a for a in of_kind(studio, "alarm.raised") if a["level"] == "due"]
    while (step := current_step(again.state, clock.now())) is not None and step.id != "presoak.wait":
        again.do(
            c.Measure(step.id, f"{step.expected:g}", meant=True)
            if step.kind == "measure"
            else c.Close(step.id)
        )
    with pytest.raises(Refused, match="lost count"):
        again.do(c.Close("presoak.wait"))
    again.do(c.ConfirmElapsed("presoak", 12.0))
    assert left_s(again) == 18 * 60
    said = of_kind(studio, "timer.confirmed")
    assert said == [{"timer": "presoak", "elapsed_s": 720, "clock_said_s": 300 + off_s}]
