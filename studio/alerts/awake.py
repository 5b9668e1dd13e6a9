"""Keeps the machine awake and its screen on while a clock runs.

Nothing stops a closed lid or an empty battery; the clocks count on through sleep, only the sound cannot.
"""

from __future__ import annotations

import atexit
import threading
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from typing import Any

from studio.alerts.escapes import over_ssh, silence

MAY_SLEEP = "The laptop may sleep; alarms need it awake."
ANSWER_S = 3.0
"""A system that has not answered by then does not keep the machine awake. House rule."""
LET_GO_S = 1.0
"""How long letting go may take before it is left to the end of the program. House rule."""

Keep = Callable[[], AbstractContextManager[Any]]


class KeptAwake:
    """Asks the system not to sleep between `start` and `stop`; all of it on a thread of its own.

    What is held must be let go of by the thread that took it, so that thread lives as long as the hold.
    """

    def __init__(self, environment: Mapping[str, str], keep: Keep | None = None) -> None:
        """`keep` makes the hold: a context that yields an object whose `active` tells whether it took."""
        self._keep = keep or _screen_kept_on
        self._far = over_ssh(environment)
        self._hold: _Hold | None = None

    @property
    def kept(self) -> bool:
        """Whether the machine at which the dyer sits is held awake."""
        return self._hold is not None and self._hold.active and not self._far

    @property
    def told(self) -> str:
        """What must be said while a clock runs: nothing until it is known, nor where the machine is kept awake."""
        return MAY_SLEEP if self._hold is not None and self._hold.settled.is_set() and not self.kept else ""

    def start(self) -> None:
        """Ask for it; does nothing when it is asked for already. Returns at once, never raises."""
        if self._hold is None:
            self._hold = _Hold(self._keep)
            if self._far:
                self._hold.settled.set()
            else:
                self._hold.begin()

    def stop(self) -> None:
        """Let go. Returns at once; the end of the program waits for it, at most `LET_GO_S` seconds."""
        hold, self._hold = self._hold, None
        if hold is not None:
            hold.over.set()

    def wait(self, limit_s: float) -> None:
        """Wait until the system has answered what was asked."""
        if self._hold is not None:
            self._hold.settled.wait(limit_s)

    def follow(self, wanted: bool) -> None:
        """Start or stop, as wanted; cheap enough for every tick."""
        if wanted != (self._hold is not None):
            (self.start if wanted else self.stop)()


class _Hold(threading.Thread):
    """One span of time awake."""

    def __init__(self, keep: Keep) -> None:
        super().__init__(name="potside-awake", daemon=True)
        self.active = False
        self.settled = threading.Event()
        self.over = threading.Event()
        self._keep = keep

    def begin(self) -> None:
        atexit.register(self._end)
        waiting = threading.Timer(ANSWER_S, self.settled.set)
        waiting.daemon = True
        try:
            self.start()
            waiting.start()
        except RuntimeError:
            self.settled.set()

    def _end(self) -> None:
        """A helper program of the system would outlive us if it were not ended."""
        self.over.set()
        if self.is_alive():
            self.join(LET_GO_S)

    def run(self) -> None:
        """Take it, hold it until it is over, let go of it."""
        try:
            with self._keep() as hold:
                self.active = bool(getattr(hold, "active", False))
                self.settled.set()
                self.over.wait()
        except Exception:
            pass  # No desktop, a bus that fails: the laptop may sleep, and that is told.
        finally:
            self.active = False
            self.settled.set()
            atexit.unregister(self._end)


def _screen_kept_on() -> AbstractContextManager[Any]:
    silence("wakepy")
    from wakepy import keep

    return keep.presenting(on_fail="pass")
