"""The clock of this machine, with the time it slept counted."""

from __future__ import annotations

import sys
import time
import zlib
from datetime import datetime
from pathlib import Path

from studio.session.clock import NS, Reading


class SystemClock:
    """Reads the three clocks; the name of this start of the machine is found out once."""

    def __init__(self) -> None:
        told = _boot_identity() or _about_when_started()
        self._boot = f"{zlib.crc32(told.encode()):08x}"

    def now(self) -> Reading:
        """What the clocks show.

        Boot time is CLOCK_BOOTTIME on Linux, CLOCK_MONOTONIC_RAW on macOS and the performance counter on
        Windows: each goes on counting while the machine sleeps.
        """
        return Reading(time.time_ns(), _boot_ns(), time.monotonic_ns(), self._boot)


def on_the_wall(wall_ns: int) -> datetime:
    """A wall time as a clock at this place has it; how far that is ahead of UTC is its `utcoffset`."""
    return datetime.fromtimestamp(wall_ns / 1e9).astimezone()


def _boot_ns() -> int:
    if sys.platform == "linux":
        return time.clock_gettime_ns(time.CLOCK_BOOTTIME)
    if sys.platform == "darwin":
        return time.clock_gettime_ns(time.CLOCK_MONOTONIC_RAW)
    return time.perf_counter_ns()


def _boot_identity() -> str:
    """What the system calls this start; empty where it has no name for it."""
    try:
        if sys.platform == "linux":
            return Path("/proc/sys/kernel/random/boot_id").read_text("ascii").strip()
        if sys.platform == "darwin":
            import subprocess

            asked = ["/usr/sbin/sysctl", "-n", "kern.bootsessionuuid"]
            try:
                told = subprocess.run(asked, capture_output=True, text=True, timeout=2, check=False)
            except subprocess.TimeoutExpired:
                return ""
            return told.stdout.strip()
    except (OSError, ValueError):
        return ""
    return ""


def _about_when_started() -> str:
    """The time of the start to ten seconds.

    A wrong match would need two starts within ten seconds; a wrong difference only makes the program ask
    the dyer how long something has run.
    """
    return f"about {(time.time_ns() - _boot_ns()) // (10 * NS)}"
