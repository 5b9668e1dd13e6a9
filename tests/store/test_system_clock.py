"""The clock of this machine."""

from __future__ import annotations

import re
import sys
import time
from pathlib import Path

import pytest

from studio.store.system_clock import SystemClock


def test_a_reading_lies_between_two_looks_at_the_system():
    wall, mono = time.time_ns(), time.monotonic_ns()
    reading = SystemClock().now()
    assert wall <= reading.wall_ns <= time.time_ns()
    assert mono <= reading.mono_ns <= time.monotonic_ns()
    assert re.fullmatch("[0-9a-f]{8}", reading.boot)
    assert SystemClock().now().boot == reading.boot


@pytest.mark.skipif(sys.platform != "linux", reason="reads what Linux tells of the time since start")
def test_boot_time_is_the_uptime_of_the_system():
    """/proc/uptime counts the time asleep too, as CLOCK_BOOTTIME does."""
    before = float(Path("/proc/uptime").read_text().split()[0])
    assert before - 0.02 <= SystemClock().now().boot_ns / 1e9 <= before + 1


def test_the_boot_identity_itself_is_not_told():
    path = Path("/proc/sys/kernel/random/boot_id")
    if not path.exists():
        pytest.skip("this system gives its start no name")
    assert SystemClock().now().boot not in path.read_text()


def test_without_a_name_for_the_start_one_is_made_up(monkeypatch):
    from studio.store import system_clock

    monkeypatch.setattr(system_clock, "_boot_identity", lambda: "")
    assert re.fullmatch("[0-9a-f]{8}", SystemClock().now().boot)
