"""Notices of the desktop, through the extra `potside[desktop]`; everything happens off the thread of the screen."""

from __future__ import annotations

import asyncio
import importlib.util
import threading
from collections.abc import Coroutine, Mapping
from typing import Any

from studio.alerts.escapes import Overheard, over_ssh, silence
from studio.plaintext import clean

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
