"""Rows 12 and 16 of the acceptance list with the program as it is, in a real pseudo-terminal."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from studio.services.studio import Services
from studio.session import commands as c
from studio.session.path import current_step
from studio.session.step_rules import gate_digit
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock


@pytest.fixture
def soaking(studio, plan) -> Callable[[float], None]:
    """Leaves an open session in the studio whose soak of 30 min has so many minutes left."""

    def begin(left_min: float) -> None:
        services = Services(StudioFolder(studio), SystemClock())
        running = services.begin(services.work_out(plan))
        while "presoak" not in running.state.timers:
            step = current_step(running.state, running.clock.now())
            assert step is not None
            if step.kind == "measure":
                running.do(c.Measure(step.id, f"{step.expected:g}", meant=True))
            else:
                running.do(
                    c.PassGate(step.id, gate_digit(running.state, step.id))
                    if step.kind == "gate"
                    else c.Close(step.id)
                )
        running.do(c.ConfirmElapsed("presoak", 30 - left_min))
        running.do(c.Leave())
        services.let_go()

    return begin


def may_make_time_namespaces() -> bool:
    argv = ["unshare", "-T", "--boottime", "840", "true"]
    if shutil.which("unshare") is None:
        return False
    return subprocess.run(argv, capture_output=True, check=False).returncode == 0


ASLEEP = """
import os, sys
os.execvp("unshare", ["unshare", "-T", "--boottime", "840", sys.executable, "-m", "studio", "resume"])
"""


@pytest.mark.deep
def test_row_12_the_kernels_boot_clock_fourteen_minutes_on_with_ten_left(terminal, soaking, studio):
    """A kernel time namespace: the clock that counts sleep is 840 s further, the machine is the same."""
    if not may_make_time_namespaces():
        pytest.skip("needs root and a kernel with time namespaces")
    soaking(10.0)
    screen = terminal(code=ASLEEP)
    screen.until("The soak is over")
    assert re.search(r"DUE .* 4 min \d s late", screen.until("late"))
    assert b"\x07" in screen.raw
    screen.stop(signal.SIGTERM)
    assert screen.end() == 143
    (raised,) = due_raised(studio)
    assert 240 <= raised["late_s"] < 260


@pytest.mark.deep
def test_row_16_stopped_over_the_due_time_and_let_go_on(terminal, soaking, studio):
    """SIGSTOP is what Ctrl+Z comes to: no alarm can sound meanwhile, and it does at once afterwards."""
    soaking(8 / 60)
    due_at = time.monotonic() + 8
    screen = terminal("resume")
    screen.until("You were at")
    screen.stop(signal.SIGSTOP)
    screen.look(0.3)
    quiet = screen.raw.count(b"\x07")
    assert not due_raised(studio), "this machine took eight seconds to start the program"
    time.sleep(max(0.0, due_at + 1.5 - time.monotonic()))
    assert not due_raised(studio)
    screen.stop(signal.SIGCONT)
    screen.until("The soak is over", seconds=3)
    assert re.search(r"\b\d s late", screen.until("late", seconds=3))
    assert screen.raw.count(b"\x07") > quiet
    screen.stop(signal.SIGTERM)
    assert screen.end() == 143
    (raised,) = due_raised(studio)
    assert raised["timer"] == "presoak" and 1 <= raised["late_s"] < 10


def due_raised(studio: Path) -> list[dict[str, Any]]:
    (path,) = (p for p in (studio / "sessions").iterdir() if p.suffix == ".jsonl")
    raised = [record.data for record in read_session(path).records if record.kind == "alarm.raised"]
    return [alarm for alarm in raised if alarm["level"] == "due"]
