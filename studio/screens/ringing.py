"""The bench's bell rope: at every tick it asks what is due and pulls."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

from textual.app import App

from studio.alerts.awake import KeptAwake
from studio.alerts.escapes import BEL
from studio.alerts.players import NoPlayer
from studio.alerts.ringer import Ringer, make_ringer
from studio.session.ringing import Ring, Rung, after, answered, next_ring
from studio.session.run import Running


class BenchRinging:
    """Rings for one running session; lives as long as its bench."""

    def __init__(
        self,
        app: App[Any],
        running: Running,
        ringer: Ringer | None = None,
        awake: KeptAwake | None = None,
    ) -> None:
        """Without a terminal the means of the machine are left alone and only the bell is asked for."""
        self.ringer = ringer or _ringer(app)
        self.awake = awake or (None if app.is_headless else KeptAwake(os.environ))
        self._running = running
        self._rung = Rung()

    def tick(self) -> Ring | None:
        """Ring if something is due, fall silent if it was answered; the ring that was made."""
        state, now = self._running.state, self._running.clock.now()
        if answered(state, now, self._rung):
            self.ringer.hush()
            self._rung = Rung(not_saved_at=self._rung.not_saved_at, warnings=self._rung.warnings)
        ring = next_ring(state, now, self._rung, not_saved=self._running.waiting > 0)
        if ring is not None:
            self.ringer.ring(ring.sound, ring.text, ring.escalated)
            self._rung = after(self._rung, ring, now)
        if self.awake is not None:
            self.awake.follow(not state.closed and any(t.running for t in state.timers.values()))
        return ring

    def sound_check(self) -> tuple[str, ...]:
        """Ring every means once; the sentences that say which there are."""
        return self.ringer.sound_check()

    def signs(self) -> tuple[str, ...]:
        """What must stand on the bench: sound off, and that the laptop may sleep."""
        told = self.awake.told if self.awake is not None else ""
        return tuple(sign for sign in (self.ringer.sign, told) if sign)

    def leave(self) -> None:
        """The bench is closed: silence, and the laptop may sleep again."""
        self.ringer.close()
        if self.awake is not None:
            self.awake.stop()


def _ringer(app: App[Any]) -> Ringer:
    write = terminal_writer(app)
    if app.is_headless:
        return Ringer(write, {}, NoPlayer("sound player: not used without a terminal"))
    return make_ringer(write, os.environ)


def terminal_writer(app: App[Any]) -> Callable[[str], None]:
    """Puts text on the terminal beside what Textual draws; the bell goes through the app."""

    def write(text: str) -> None:
        if text == BEL:
            app.bell()
            return
        driver = getattr(app, "_driver", None)
        if driver is not None and not app.is_headless:
            driver.write(text)

    return write
