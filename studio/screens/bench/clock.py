"""Over the bench: the one big clock, the locked keys, the way out, the bell, and the line that says what
is not saved.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

from textual import events
from textual.app import App, ComposeResult
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from studio.alerts.awake import KeptAwake
from studio.alerts.escapes import BEL
from studio.alerts.players import NoPlayer
from studio.alerts.ringer import Ringer, make_ringer
from studio.plaintext import clean
from studio.report.telling import end_words, not_saved
from studio.screens.bench.view import BenchView, look
from studio.screens.draw import lists as alarm_drawing
from studio.screens.draw.bench import left_text
from studio.screens.draw.digits import big, largest
from studio.screens.draw.keys import UNICODE, Glyphs
from studio.screens.draw.lists import banner
from studio.screens.keyed import OTHERS, Keyed, KeyLine, app_of
from studio.session.alarms import Ring, Rung, after, answered, next_ring
from studio.session.run import Running
from studio.session.timers import running

# The whole screen as one clock, for reading from across the room.


class BigClockScreen(Keyed[None], ModalScreen[None], where="big"):
    """Any of B, Esc, Q or Enter goes back; no key here does anything to the session."""

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.session = running

    def compose(self) -> ComposeResult:
        yield Static(id="big", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.set_interval(0.25, self.redraw)
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The clock as large as it fits, its label, the alarm if one stands, and the way back."""
        height = self.size.height - self.query_one(KeyLine).outer_size.height
        self.show("big", clock_page(self.session, self.size.width, height, app_of(self).glyphs))


def clock_page(running: Running, width: int, height: int, glyphs: Glyphs) -> Content:
    """The page as content; pure but for reading the session."""
    view = look(running)
    timer = view.timer
    digits = left_text(timer) if timer else view.time
    style = "bold $due" if timer and timer.sure and timer.due else "bold $text"
    told = alarm_drawing.banner(view.alarms, view.trouble, "", width, glyphs)
    alarm_lines = told.split("\n") if told.plain else []
    high = largest(digits, width - 4, height - 4 - len(alarm_lines))
    rows = big(digits, high, ascii_only=glyphs.ascii_only) if high else [digits]
    step = view.shown.step.text if view.shown else "all steps are closed"
    lines: list[Content] = list(alarm_lines)
    above = max(0, (height - len(rows) - 3 - len(lines)) // 2)
    lines.extend([Content("")] * above)
    left = max(0, (width - max(map(len, rows))) // 2)
    lines.extend(Content.styled(" " * left + row, style) for row in rows)
    if height > 6:
        lines.append(Content(""))
        lines.append(Content.styled(_label(view, width).center(width), "$text"))
        lines.append(Content.styled(clean(step, limit=width - 2).center(width), "$quiet"))
    return Content("\n").join(lines[:height])


def _label(view: BenchView, width: int) -> str:
    timer = view.timer
    if timer is None:
        return "time of day"
    told = view.end_of(timer)
    return f"{clean(timer.label, limit=max(0, width - len(told) - 2))}, {told}"


# The keys locked, so that the keyboard can be wiped.

WORD = "ok"


class LockScreen(ModalScreen[None]):
    """Only o, k and Enter, typed in that order, open it; the clocks stay in sight."""

    CSS_PATH = OTHERS

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running = running
        self._typed = ""

    def compose(self) -> ComposeResult:
        yield Static(id="big", markup=False)
        told = " Keys are locked for wiping. Type ok and Enter to go on."
        yield Static(Content.styled(told, "bold $due"), id="keys")

    def on_mount(self) -> None:
        self.set_interval(0.5, self.redraw)
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """The clock, as large as it fits."""
        glyphs = app_of(self).glyphs
        page = clock_page(self.running, self.size.width, self.size.height - 1, glyphs)
        self.query_one("#big", Static).update(page)

    def action_leave(self) -> None:
        """A locked keyboard does not leave either."""

    def on_key(self, event: events.Key) -> None:
        event.stop()
        event.prevent_default()
        if event.key == "enter" and self._typed == WORD:
            self.dismiss()
        self._typed = (self._typed + event.key)[-len(WORD) :] if len(event.key) == 1 else ""


# Leaving the bench takes a second, different key.


def leaving(session: Running) -> list[Content]:
    """What goes on after it, what cannot, and what is not saved.

    Of a clock its end: the page stands still while it goes on, so that what is left would soon be untrue.
    """
    clocks = running(session.state, session.clock.now())
    lines = [Content.styled("No clock is running.", "$quiet")]
    if clocks:
        offset = session.state.utc_offset_min
        told = ", ".join(f"{clean(v.label, limit=40)} ({end_words(v, offset)})" for v in clocks)
        lines = [
            Content.styled(f"Clocks that go on: {told}.", "bold $due"),
            Content.styled("No alarm can sound while the program is closed.", "$due"),
        ]
    if session.waiting:
        lost = f"{not_saved(session)} Leaving writes them elsewhere if it can."
        lines.append(Content.styled(lost, "bold $danger"))
    return [*lines, Content.styled("The session stays open and can be resumed at this step.", "$text")]


# The bench's bell rope: at every tick it asks what is due and pulls.


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


# The line on a page beside the bench that says what is not saved, or where the session is kept.

LOOK_S = 0.25


class SavingLine(Static):
    """Nothing while all is well. When what it says changes, so does what of the page is saved: it is redrawn."""

    def __init__(self, running: Running) -> None:
        super().__init__(markup=False)
        self.running = running
        self._told = ("", "")

    def on_mount(self) -> None:
        self.display = False
        self.set_interval(LOOK_S, self._look)

    @property
    def rows(self) -> int:
        """Rows it takes."""
        return self._content().plain.count("\n") + 1 if self.display else 0

    def _content(self) -> Content:
        return banner((), *self._told, self.app.size.width, UNICODE)

    def _look(self) -> None:
        told = (not_saved(self.running), self.running.moved)
        if told == self._told:
            return
        self._told = told
        self.display = any(told)
        self.update(self._content())
        redraw = getattr(self.screen, "redraw", None)
        if redraw is not None:
            redraw()
