"""Keeps the screen on while a clock runs, through the extra `potside[desktop]`.

Nothing stops a closed lid or an empty battery; the clocks count on through sleep, only the sound cannot.
"""

from __future__ import annotations

import atexit
import threading
from collections.abc import Callable, Mapping
from contextlib import AbstractContextManager
from typing import Any

from studio.alerts.distance import over_ssh
from studio.alerts.silence import silence

KEPT_ON = "screen kept on"
MAY_SLEEP = "laptop may sleep: clocks go on, an alarm sounds only when awake"
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
    def told(self) -> str:
        """What the screen should say while a clock runs; empty when nothing is asked for."""
        if self._hold is None:
            return ""
        return KEPT_ON if self._hold.active and not self._far else MAY_SLEEP

    def start(self) -> None:
        """Ask for it; does nothing when it is asked for already. Returns at once, never raises."""
        if self._hold is None:
            self._hold = _Hold(self._keep)
            if self._far:
                self._hold.settled.set()
            else:
                self._hold.start()

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

    def __enter__(self) -> KeptAwake:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()


class _Hold:
    """One span of time awake."""

    def __init__(self, keep: Keep) -> None:
        self.active = False
        self.settled = threading.Event()
        self._keep = keep
        self.over = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self) -> None:
        self._thread = threading.Thread(target=self._stay, name="potside-awake", daemon=True)
        atexit.register(self._end)
        try:
            self._thread.start()
        except RuntimeError:
            self._thread = None
            self.settled.set()

    def _end(self) -> None:
        """A helper program of the system would outlive us if it were not ended."""
        self.over.set()
        if self._thread is not None:
            self._thread.join(LET_GO_S)

    def _stay(self) -> None:
        try:
            with self._keep() as hold:
                self.active = bool(getattr(hold, "active", False))
                self.settled.set()
                self.over.wait()
        except Exception:
            pass  # Not installed, no desktop, a bus that fails: the laptop may sleep, and that is told.
        finally:
            self.active = False
            self.settled.set()
            atexit.unregister(self._end)


def _screen_kept_on() -> AbstractContextManager[Any]:
    silence("wakepy")
    from wakepy import keep

    return keep.presenting(on_fail="pass")
