"""Rings: one call makes an alarm heard and seen by every means there is, and says which means those are."""

from __future__ import annotations

import asyncio
import importlib.util
import threading
from collections.abc import Callable, Coroutine, Mapping
from typing import Any

from studio.alerts.escapes import (
    BEL,
    Overheard,
    ask_tmux,
    escape_for,
    held_back,
    notice_kind,
    over_ssh,
    silence,
)
from studio.alerts.players import Player, Sound, SoundName, find_player
from studio.plaintext import clean

# Notices of the desktop, through the extra `potside[desktop]`; everything happens off the thread of the screen.

SEND_LIMIT_S = 10.0
"""A notification service that takes longer does not answer. House rule."""

NOT_INSTALLED = "desktop notice: not used, the extra potside[desktop] is not installed"


class DesktopNotices:
    """Sends notices to the desktop; a failure is told, never raised."""

    def __init__(self, environment: Mapping[str, str]) -> None:
        self._stays_away = _why_not(environment)
        self._loop: asyncio.AbstractEventLoop | None = None
        self._thread: threading.Thread | None = None
        self._notifier: Any = None
        self._ear: Overheard | None = None
        self._outcome = ", for urgent and unanswered alarms"

    @property
    def told(self) -> str:
        """One sentence: used, or why not."""
        return self._stays_away or f"desktop notice{self._outcome}"

    def send(self, title: str, text: str, urgent: bool) -> None:
        """Show a notice soon; returns at once."""
        if not self._stays_away:
            self._hand_over(self._send(clean(title), clean(text), urgent))

    def clear(self) -> None:
        """Take our notices away again."""
        if self._notifier is not None:
            self._hand_over(self._clear())

    def close(self, limit_s: float = 1.0) -> None:
        """Break off what is on its way and let go."""
        loop, thread = self._loop, self._thread
        if loop is None or thread is None:
            return
        self._loop = self._thread = self._notifier = None
        asyncio.run_coroutine_threadsafe(_wind_down(loop), loop)
        thread.join(limit_s)
        if not thread.is_alive():
            loop.close()

    def _hand_over(self, job: Coroutine[Any, Any, None]) -> None:
        try:
            if self._loop is None:
                self._loop = asyncio.new_event_loop()
                self._thread = threading.Thread(
                    target=self._loop.run_forever, name="potside-desktop", daemon=True
                )
                self._thread.start()
            asyncio.run_coroutine_threadsafe(job, self._loop)
        except (OSError, RuntimeError):
            job.close()
            self._outcome = ": failed, no thread could be started for it"

    async def _send(self, title: str, text: str, urgent: bool) -> None:
        try:
            notifier = self._ready()
            from desktop_notifier import Urgency

            assert self._ear is not None
            before = self._ear.warnings
            urgency = Urgency.Critical if urgent else Urgency.Normal
            await asyncio.wait_for(notifier.send(title, text, urgency=urgency), SEND_LIMIT_S)
            failed = self._ear.warnings > before
        except Exception:  # Whatever a desktop does, the alarm on the screen must go on.
            failed = True
        self._outcome = ": failed, no notification service answers" if failed else ": used"

    async def _clear(self) -> None:
        try:
            await asyncio.wait_for(self._notifier.clear_all(), SEND_LIMIT_S)
        except Exception:  # As above; the notice then stays until the desktop takes it away.
            return

    def _ready(self) -> Any:
        if self._notifier is None:
            self._ear = silence("desktop_notifier", "dbus_fast")
            from desktop_notifier import DesktopNotifier

            self._notifier = DesktopNotifier(app_name="Potside")
        return self._notifier


async def _wind_down(loop: asyncio.AbstractEventLoop) -> None:
    """Break off what is on its way, so that nothing is said about it when the program ends."""
    for task in asyncio.all_tasks(loop):
        if task is not asyncio.current_task():
            task.cancel()
    loop.call_soon(loop.stop)


def _why_not(environment: Mapping[str, str]) -> str:
    if over_ssh(environment):
        return "desktop notice: not used, over ssh it would show on the other machine"
    if importlib.util.find_spec("desktop_notifier") is None:
        return NOT_INSTALLED
    return ""


# One call by every means there is.

TITLE = "Potside"
NOTICE_EVERY = 4
"""Of the rings of one alarm, each fourth brings a notice again: a list of twelve is read by nobody. House rule."""
SOUND_OFF = "SOUND OFF"
CHECK_TEXT = "Sound check: did you hear it where you heat?"
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
