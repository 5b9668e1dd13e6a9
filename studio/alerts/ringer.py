"""Rings: one call makes an alarm heard and seen by every means there is, and says which means those are."""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping

from studio.alerts.desktop import DesktopNotices
from studio.alerts.escapes import BEL, ask_tmux, escape_for, held_back, notice_kind
from studio.alerts.players import Player, Sound, SoundName, find_player

TITLE = "Potside"
NOTICE_EVERY = 4
"""Of the rings of one alarm, each fourth brings a notice again: a list of twelve is read by nobody. House rule."""
SOUND_OFF = "SOUND OFF"
CHECK_TEXT = "Sound check: did you hear it at the pot?"
BELL_TOLD = "terminal bell: rung at every alarm, heard if the terminal lets it sound"


class Ringer:
    """Rings on every channel. `ring` returns at once and never raises."""

    def __init__(
        self,
        write: Callable[[str], None],
        environment: Mapping[str, str],
        player: Player,
        desktop: DesktopNotices | None = None,
        *,
        ask: Callable[[Mapping[str, str]], bool] = ask_tmux,
    ) -> None:
        """`write` puts text on the terminal as it is; `ask` finds out, off this thread, what tmux lets through."""
        self.quiet = False
        """No bell and no sound; `sign` must then stand on the screen."""
        self._write = write
        self._environment = dict(environment)
        self._player = player
        self._desktop = desktop
        self._passthrough: bool | None = None if environment.get("TMUX") else False
        self._noticed: tuple[str, str, bool] | None = None
        self._rings = 0
        self._asking: threading.Thread | None = None
        if self._passthrough is None:
            self._begin_asking(ask)

    @property
    def sign(self) -> str:
        """What must stand on the screen as long as alarms make no sound; else empty."""
        return SOUND_OFF if self.quiet else ""

    def ring(self, sound: SoundName, text: str, escalated: bool) -> None:
        """Ring once: bell, sound, and at times a notice. Quiet leaves the notices."""
        if not self.quiet:
            self._put(BEL)
            self._player.play(Sound(sound, escalated))
        if self._notice_is_due((sound, text, escalated)):
            self._notice(sound, text, escalated)

    def sound_check(self) -> tuple[str, ...]:
        """Ring every channel once, as a medium alarm would; hands back `channels()`.

        A player or desktop that fails does so a moment later: read `channels()` again for the outcome.
        """
        self._noticed = None
        self.ring("medium", CHECK_TEXT, False)
        if self._desktop is not None:
            self._desktop.send(TITLE, CHECK_TEXT, False)
        return self.channels()

    def hush(self) -> None:
        """The alarm was answered: cut its sound, take its notices away."""
        self._noticed = None
        self._player.hush()
        if self._desktop is not None:
            self._desktop.clear()

    def close(self) -> None:
        """Stop all sound and let go of the desktop."""
        self._player.hush()
        if self._desktop is not None:
            self._desktop.close()

    def channels(self) -> tuple[str, ...]:
        """One sentence for each means: used, or not used and why."""
        desktop = self._desktop.told if self._desktop is not None else "desktop notice: not used"
        means = (BELL_TOLD, self._notice_told(), self._player.told, desktop)
        if not self.quiet:
            return means
        return (f"{SOUND_OFF}: alarms show on the screen and make no sound", *means)

    def _begin_asking(self, ask: Callable[[Mapping[str, str]], bool]) -> None:
        def find_out() -> None:
            self._passthrough = ask(self._environment)

        self._asking = threading.Thread(target=find_out, name="potside-tmux", daemon=True)
        try:
            self._asking.start()
        except RuntimeError:
            self._asking, self._passthrough = None, False

    def _notice_is_due(self, what: tuple[str, str, bool]) -> bool:
        self._rings = self._rings + 1 if what == self._noticed else 0
        self._noticed = what
        return self._rings % NOTICE_EVERY == 0

    def _notice(self, sound: SoundName, text: str, escalated: bool) -> None:
        urgent = escalated or sound == "high"
        escape = escape_for(text, TITLE, self._environment, bool(self._passthrough), urgent=urgent)
        if escape:
            self._put(escape)
        if urgent and self._desktop is not None:
            self._desktop.send(TITLE, text, urgent)

    def _put(self, text: str) -> None:
        try:
            self._write(text)
        except Exception:  # A terminal that is gone must not take the session with it.
            return

    def _notice_told(self) -> str:
        if self._passthrough is None:
            return "terminal notice: not used yet, tmux has not answered"
        between = held_back(self._environment, self._passthrough)
        if between:
            return f"terminal notice: not used, held back by {between}"
        kind = notice_kind(self._environment)
        if not kind:
            return "terminal notice: not used, this terminal is not known to show one"
        return f"terminal notice: used ({kind})"


def make_ringer(write: Callable[[str], None], environment: Mapping[str, str]) -> Ringer:
    """A ringer with the means of this machine."""
    return Ringer(write, environment, find_player(environment), DesktopNotices(environment))
