"""The app: plain ASCII, keys that bounce, signals, passing remarks and the title of the terminal's window.

Textual has no public way to set a title, so its driver is asked; where that fails nothing is lost.
"""

from __future__ import annotations

import gc
import os
import re
import signal
from collections.abc import Callable, Sequence
from types import FrameType
from typing import TYPE_CHECKING, ClassVar

from rich.cells import cell_len
from rich.segment import Segment
from textual import events
from textual.app import App
from textual.binding import Binding, BindingType
from textual.color import Color
from textual.filter import LineFilter
from textual.geometry import Offset
from textual.screen import Screen
from textual.timer import Timer
from textual.widgets import Input

from studio.plaintext import PLAIN, osc_text
from studio.screens.draw.keys import ANSWERS, ASCII, LEADS, NO_COLOUR, PRESSES, SAYS, UNICODE, Glyphs
from studio.screens.keyed import Keyed
from studio.screens.theme import FLEECE, VAT
from studio.words.actions import written
from studio.words.table import remapped

if TYPE_CHECKING:
    from studio.services.studio import Services


def set_title(app: PotsideApp, title: str) -> None:
    """Set the title of the terminal window, if it changed and the terminal takes one."""
    text = osc_text(title)
    if app.window_title == text or app.is_headless:
        return
    app.window_title = text
    driver = getattr(app, "_driver", None)
    if driver is not None:
        driver.write(f"\x1b]0;{text}\x07")


# What every line passes through on a terminal that shows plain ASCII only.

NEAREST = {sign: near for sign, near in PLAIN.items() if len(near) == 1} | dict(
    zip("…°─━│▀►▌▐▼·░▒▓", "~ -=|->||v..:#", strict=True)
)
"""Signs that have a near look-alike; any other is shown as `?`, one for each cell it takes."""


class AsciiOnly(LineFilter):
    """Puts look-alikes for whatever is not ASCII; widths stay: `deg` takes of the blanks after it."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same segments in ASCII."""
        if all(segment.text.isascii() for segment in segments):
            return segments
        told, owed = [], 0
        for text, style, control in segments:
            plain, owed = _degrees(text, owed)
            told.append(Segment(ascii_text(plain), style, control))
        return told if not owed else [Segment(ascii_text(s.text), s.style, s.control) for s in segments]


def _degrees(text: str, owed: int) -> tuple[str, int]:
    """The text with `deg` for each degree, the cells it takes paid back by the blanks that follow."""
    parts = []
    for part in re.split("(°(?=[CF])|  +)", text):
        if part == "°":
            part, owed = "deg", owed + 2
        elif part.startswith("  "):
            paid = min(owed, len(part) - 1)
            part, owed = part[paid:], owed - paid
        parts.append(part)
    return "".join(parts), owed


def ascii_text(text: str) -> str:
    """The text in ASCII, as many cells wide.

    >>> ascii_text("20 °C … 漢"), ascii_text("e\u0301")
    ('20  C ~ ??', 'e')
    """
    return "".join(c if c.isascii() else NEAREST.get(c, "?") * cell_len(c) for c in text)


BOUNCE_S = 0.25
"""The same key again within this time is a bouncing or held key with a wet glove on it. House rule."""
SEEN_S = 1.0
"""So long after the start the first screen is seen and its keys hold. House rule."""
REMARK_S = 12.0
"""How long a passing remark stays. House rule."""


def _keep_what_is_loaded() -> None:
    """Garbage is looked for from now on, but never again among all that was loaded: no key waits for that."""
    if not gc.isenabled():
        gc.collect()
        gc.freeze()
        gc.enable()


def wait_for_no_window(driver: object) -> None:
    """What a closed window does not take is not waited for: the toolkit's writer has ended with it, and whoever then
    puts more than it queues, as the driver does at its own end, would wait for ever.
    """
    writer = getattr(driver, "_writer_thread", None)
    if writer is not None:
        writer._queue.maxsize = 0


class PotsideApp(App[int]):
    """Opens on the home screen, or on the screen it is given."""

    CSS_PATH = "potside.tcss"
    ENABLE_COMMAND_PALETTE = False
    """Ours is opened by a row of the table of keys."""
    TITLE = "Potside"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "leave", "leave", show=False, priority=True),
        Binding("ctrl+c", "copy", "copy", show=False, priority=True),
    ]

    def __init__(
        self,
        open_services: Callable[[], Services],
        first: Callable[[], Screen[None]] | None = None,
        *,
        theme: str = "vat",
        ascii_only: bool = False,
        bounce_s: float = BOUNCE_S,
        remark: str = "",
    ) -> None:
        super().__init__()
        self._open_services = open_services
        self.glyphs: Glyphs = ASCII if ascii_only else NO_COLOUR if os.environ.get("NO_COLOR") else UNICODE
        self._ascii_only = ascii_only
        self.window_title = ""
        """What the terminal's window was last called."""
        self.stopped_by: int | None = None
        """The signal that ended the app, if one did."""
        self.remark = (remark, bool(remark))
        """What was said last, until its time is over, and whether it is bad news."""
        self._remark_timer: Timer | None = None
        self._first = first
        self.register_theme(VAT)
        self.register_theme(FLEECE)
        self._begin_with(theme)
        self.animation_level = "none"
        self._bounce_s = bounce_s
        self._last_key: tuple[str, float] = ("", 0.0)
        self._down_at: Offset | None = None
        """Where the button of the mouse went down."""

    def _begin_with(self, theme: str) -> None:
        """The usual theme is dark like Textual's own: put in its place at once, no style sheet is read twice."""
        if theme == VAT.name:
            self.set_reactive(App.theme, theme)
            self.stylesheet.set_variables(self.get_css_variables())
        else:
            self.theme = theme

    @property
    def services(self) -> Services:
        """Of the studio; opened when they are first asked for."""
        return self._open_services()

    def on_mount(self) -> None:
        self._catch_signals()
        if hasattr(signal, "SIGCONT") and not self.is_headless:
            self._come_back_whole()
        self.set_timer(SEEN_S, _keep_what_is_loaded)
        self.set_keymap(remapped())

    def get_default_screen(self) -> Screen[None]:
        """Home, where no other screen is to come first.

        What Textual does for a screen that is pushed is done here: its sheet is read, and it can be switched.
        """
        screen = self._first() if self._first is not None else self.home()
        screen._push_result_callback(screen, None)
        for path in screen.css_path:
            self.stylesheet.read(path)
        return screen

    def home(self) -> Screen[None]:
        """Made only when it is wanted: it lists and works out every plan."""
        from studio.screens.home import HomeScreen

        return HomeScreen()

    def _catch_signals(self) -> None:
        """A closed window or a kill leaves the terminal as it was found."""
        import asyncio

        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, getattr(signal, "SIGHUP", None), signal.SIGINT):
            if number is None:
                continue
            try:
                loop.add_signal_handler(number, self._stop_for, int(number))
            except (NotImplementedError, RuntimeError, ValueError):
                return

    def _come_back_whole(self) -> None:
        """Stopped without being told and let go on, its driver would read the keys twice over, and hang at the end.

        So it is suspended first, as where it is told to stop; the terminal is then set anew for both.
        """
        driver, resume = self._driver, signal.getsignal(signal.SIGCONT)
        if driver is None or not callable(resume):
            return

        def come_back(number: int, frame: FrameType | None) -> None:
            if not getattr(driver, "_must_signal_resume", True):
                driver.suspend_application_mode()
            resume(number, frame)

        signal.signal(signal.SIGCONT, come_back)

    def _stop_for(self, number: int) -> None:
        self.stopped_by = number
        wait_for_no_window(self._driver)
        try:
            for screen in self.screen_stack:
                if isinstance(screen, Keyed):
                    screen.keep_typed()
        finally:
            self.exit(128 + number)

    async def on_event(self, event: events.Event) -> None:
        """Drop a key that bounces and take a letter in either case; what is typed into a line is left alone."""
        if isinstance(event, events.Key) and not event.is_forwarded:
            if len(event.key) == 1 and not isinstance(self.focused, Input):
                event.key = event.key.lower()
            if self._bounces(event):
                self._tell_bounced(event.key)
                return
            if await self._in_turn(event):
                return
        await super().on_event(event)

    async def _in_turn(self, event: events.Key) -> bool:
        """Carry a key out before the next is looked at: what is typed on goes into the field it opened.

        Textual would have it wait in the queue of what has the focus, where a slow line's next keys pass it.
        """
        field, screen = self.focused, self.screen
        if await self._check_bindings(event.key, priority=True):
            return True
        if isinstance(field, Input):
            if event.is_printable:
                await field._on_key(event)
                return True
        elif isinstance(screen, Keyed) and await screen.takes_key(event):
            return True
        return await self._check_bindings(event.key)

    def on_mouse_down(self, event: events.MouseDown) -> None:
        self._down_at = event.screen_offset

    def on_click(self, event: events.Click) -> None:
        """What is drawn there says what a click does; where text was dragged over, it does nothing."""
        does, screen = event.style.meta, self.screen
        if not isinstance(screen, Keyed) or event.screen_offset != self._down_at:
            return
        line, typing = screen.asking(), isinstance(self.focused, Input)
        if does.keys() & {PRESSES, LEADS, ANSWERS}:
            screen.clear_selection()  # A second click soon after the first selects all there is.
        if PRESSES in does and (SAYS in does or not typing):  # The foot alone tells the keys of a field.
            self.press(does[PRESSES])
        elif ANSWERS in does and line is not None:
            line.put(does[ANSWERS])
        elif ANSWERS in does:
            self.press(does[ANSWERS])
        elif LEADS in does and line is None:
            screen.go_to(*does[LEADS])

    def on_key(self, event: events.Key) -> None:
        """Say what stands against a key that nothing answers to; where text is typed there is nothing to say."""
        screen = self.screen
        if not isinstance(screen, Keyed) or isinstance(self.focused, Input):
            return
        if event.key not in screen.active_bindings:
            screen.tell(screen.why_not(event.key))

    def _bounces(self, event: events.Key) -> bool:
        before, when = self._last_key
        self._last_key = (event.key, event.time)
        typing = isinstance(self.focused, Input) and event.key not in ("enter", "escape")
        moving = event.key in ("up", "down", "pageup", "pagedown", "home", "end", "tab")
        moving = moving or (isinstance(self.screen, Keyed) and self.screen.repeats(event.key))
        return not typing and not moving and event.key == before and event.time - when < self._bounce_s

    def _tell_bounced(self, key: str) -> None:
        """Where a session is acted on nobody shall take it for another band painted; it hides nothing else said."""
        screen = self.screen
        if isinstance(screen, Keyed) and screen.running is not None and not screen.notice:
            screen.tell(f"{written(key)} again so soon counts once; wait a moment before the next.")

    def idle_s(self) -> float:
        """Seconds since the last key; 0 before the first."""
        import asyncio

        return asyncio.get_running_loop().time() - self._last_key[1] if self._last_key[1] else 0.0

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Textual's own filters, and the one for plain ASCII where that is all there is."""
        filters = super().get_line_filters()
        if not self._ascii_only:
            return filters

        return [*filters, AsciiOnly()]

    def action_leave(self) -> None:
        """Hand the wish to leave to the screen that is shown; a page over another one goes back to it."""
        getattr(self.screen, "action_leave", self.exit)()

    async def _shutdown(self) -> None:
        """What is still being worked out is left before the screens are taken apart, not after."""
        self.workers.cancel_all()
        await super()._shutdown()

    def action_copy(self) -> None:
        """What was selected with the mouse, once; where nothing is, the wish to leave."""
        text = self.screen.get_selected_text()
        if not text:
            return self.action_leave()
        self.copy_to_clipboard(text)
        self.screen.clear_selection()
        self.say("Copied.")

    async def action_find_by_name(self) -> None:
        """What can be done on the screen that is shown, every plan and every session."""
        from studio.screens.palette import open_palette

        if isinstance(self.screen, Keyed):
            await open_palette(self.screen, self.screen.keys_now())

    def press(self, key: str) -> None:
        """As if the key were pressed: for a click, and for what is found by its name."""
        self.post_message(events.Key(key, key if len(key) == 1 else None))

    def action_change_theme(self) -> None:
        """Dark to light and back."""
        self.theme = "fleece" if self.theme == "vat" else "vat"

    def say(self, sentence: str, *, bad: bool = False) -> None:
        """A passing remark; never parsed as markup."""
        self._set_remark(sentence, bad)
        if self._remark_timer is not None:
            self._remark_timer.stop()
        self._remark_timer = self.set_timer(REMARK_S, lambda: self._set_remark("", False))

    def _set_remark(self, sentence: str, bad: bool) -> None:
        self.remark = (sentence, bad)
        if self.screen_stack and isinstance(self.screen, Keyed):
            self.screen.draw_foot()
