"""What screens share: keys by the table, the foot that tells them, a page to read or answer."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Collection, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, cast

from rich.cells import cell_len
from textual import events
from textual.actions import parse
from textual.app import ComposeResult
from textual.await_complete import AwaitComplete
from textual.await_remove import AwaitRemove
from textual.binding import Binding, BindingsMap
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen, Screen
from textual.widget import Widget
from textual.widgets import Input, OptionList, Static

from studio.plaintext import clean
from studio.screens.bench.entry import Entry
from studio.screens.draw.keys import SAYS, explained, key_line, key_rows, with_keys
from studio.trouble import Trouble
from studio.words.actions import ASK_FOR_KEYS, BY_FOCUS, Action, key_of, printed
from studio.words.table import declared, rows_of

if TYPE_CHECKING:
    from studio.screens.app import PotsideApp
    from studio.session.live.applies import Here
    from studio.session.run import Running


OTHERS = Path(__file__).with_name("others.tcss")


def app_of(screen: Screen[Any]) -> PotsideApp:
    """The app, with its glyphs, its remarks and its idle time."""
    return cast("PotsideApp", screen.app)


Answer = TypeVar("Answer")


def put(widget: Static, content: Content) -> None:
    """Put content into its place: the same is not painted again, and what takes as many lines is not laid out anew."""
    before = widget.content
    if not isinstance(before, Content):
        widget.update(content)
    elif not before.is_same(content):
        width = widget.size.width
        widget.update(content, layout=_lines(before, width) != _lines(content, width))


def _lines(content: Content, width: int) -> list[int]:
    """How many cells more than the width each line has; a line that is wrapped is told from any other."""
    return [max(0, cell_len(line) - width) for line in content.plain.split("\n")] if content.plain else []


class Keyed(Screen[Answer]):
    """Given its place in the table when it is declared: `class Home(Keyed[None], where="home")`."""

    CSS_PATH: ClassVar[Path | None] = OTHERS
    """Read when the first of them opens; `potside.tcss` has what the bench needs."""
    WHERE: str = ""
    FIELD: ClassVar[str] = "field"
    """Whose keys hold while something is typed."""
    notice = ""
    """One sentence on what was done last; the next thing done clears it."""
    due = ""
    """The alarm that stands on the bench below this screen."""
    keys_wait = False
    """The keys hold already, but are told only after the first paint."""
    ELSE: str = ASK_FOR_KEYS
    """What is said where a key does nothing."""
    running: Running | None = None
    """The session that the keys act on, where they do: which of them hold is asked of it."""
    passing = ""
    """What was said of the key just pressed; a question that is asked after it takes its place."""
    _looked: Here | None = None

    def __init_subclass__(cls, where: str = "", **options: Any) -> None:
        if where:
            cls.WHERE = where
            cls.BINDINGS = list(bindings(where))
        super().__init_subclass__(**options)

    def at(self, where: str) -> None:
        """Be at a place of the table that only the object knows, not its class."""
        self.WHERE = where
        own = BindingsMap(bindings(where))
        self._bindings = BindingsMap.merge([self._bindings, own])

    def holds(self, condition: str) -> bool:
        """Whether a condition of the table holds on this screen now."""
        if self.running is not None:
            from studio.session.live.applies import CONDITIONS

            if condition in CONDITIONS:
                return CONDITIONS[condition](self._looked or self._look(self.running))
        return bool(getattr(self, condition)())

    def _look(self, running: Running) -> Here:
        from studio.session.live.applies import Here

        return Here(running.state, running.clock.now())

    def keys_now(self) -> list[Action]:
        """The keys that do something now, all of them asked about at one reading of the clock."""
        typing = isinstance(self.focused, Input)
        rows = rows_of(self.FIELD if typing else self.WHERE)
        self._looked = self._look(self.running) if self.running is not None else None
        try:
            return [row for row in rows if self._does(row) and not (typing and row.name == "keys")]
        finally:
            self._looked = None

    def repeats(self, key: str) -> bool:
        """Whether the key is meant also when it comes fast."""
        return any(row.repeats and key in row.keys.split(",") for row in rows_of(self.WHERE))

    async def takes_key(self, event: events.Key) -> bool:
        """Whether it is done with a key that the table does not name; asked while nothing is typed."""
        return False

    def why_not(self, key: str) -> str:
        """What is said when a key does nothing."""
        return next((row.otherwise for row in rows_of(self.WHERE) if key in row.keys.split(",")), self.ELSE)

    def tell(self, sentence: str) -> None:
        """Of the key just pressed: in the line for it, where a session is acted on; else as a passing remark."""
        if self.running is None:
            app_of(self).say(sentence)
        else:
            self.notice = self.passing = sentence
            self.redraw()

    @contextmanager
    def telling(self) -> Iterator[None]:
        """What cannot be done is told, and the screen stays as it is."""
        try:
            yield
        except Trouble as problem:
            from studio.services.plans import refusal_text

            app_of(self).say(refusal_text(problem), bad=True)

    def show(self, name: str, content: Content) -> None:
        """Put content into the place of that name."""
        put(self.query_one(f"#{name}", Static), content)

    def on_screen_resume(self) -> None:
        self.draw_foot()

    def on_entry_stands(self) -> None:
        self.draw_foot()

    def on_resize(self) -> None:
        """Comes before the first paint as well; what is drawn when it is mounted has the size already."""
        if not self.keys_wait:
            self.call_after_refresh(self.redraw)

    def dismiss(self, result: Answer | None = None) -> AwaitComplete:
        """Go back, and with it all that was opened over it meanwhile; what is gone already stays gone."""
        if self not in self.app.screen_stack:
            return AwaitComplete()
        while self.app.screen is not self:
            self.app.pop_screen()
        if len(self.app.screen_stack) == 1:
            return self.app.switch_screen(app_of(self).home())
        return super().dismiss(result)

    def remove(self) -> AwaitRemove:
        """What is still being worked out finds no screen any more to be drawn on."""
        self.workers.cancel_node(self)
        return super().remove()

    def redraw(self) -> None:
        """Show the screen as it stands."""
        self.draw_foot()

    def draw_foot(self) -> None:
        """The notice and the keys as they are now."""
        for foot in self.walk_children(KeyLine):
            foot.draw()

    def takes(self) -> str:
        """What the field takes that is typed into, for the line at the foot; empty where none is."""
        return next((e.question.takes for e in self.walk_children(Entry) if e.question is not None), "")

    def _does(self, row: Action) -> bool:
        return not row.when or self.holds(row.when)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """An action of the table is there only while one of its rows holds, and none before the screen is drawn."""
        rows = [r for r in rows_of(self.WHERE) if parse(r.call)[1:] == (action, parameters)]
        return not rows or (bool(self.children) and any(self._does(row) for row in rows))

    # -- the mouse ---------------------------------------------------------------------------------

    def go_to(self, what: str, which: Any) -> None:
        """A click on one of those that are drawn; `which`: its number or name."""

    def asking(self) -> Entry | None:
        """The line in which something is asked."""
        return next((line for line in self.query(Entry) if line.is_asking), None)

    def get_focusable_widget_at(self, x: int, y: int) -> Widget | None:
        """What is asked keeps the cursor, wherever a click goes."""
        found = super().get_focusable_widget_at(x, y)
        return found if isinstance(found, Input) or self.asking() is None else None

    # -- what every screen can do ------------------------------------------------------------------

    def action_keys(self) -> None:
        """Show the keys that hold here now."""
        self.app.push_screen(Page("card", lambda width: (), self.keys_now()))

    def action_choose(self) -> Awaitable[None] | None:
        """Take what is under the bar."""
        self.query_one(OptionList).action_select()
        return None

    def keep_typed(self) -> None:
        """What was typed and not entered is kept, where there is a place for it: the screen is being left."""
        for line in self.query(Entry):
            line.keep_half_typed()

    def action_leave(self) -> None:
        """Back to the screen before."""
        self.keep_typed()
        self.dismiss()

    def action_read(self, way: int) -> None:
        """A page on, or back."""
        for sheet in self.walk_children(VerticalScroll):
            (sheet.scroll_page_down if way > 0 else sheet.scroll_page_up)(animate=False)

    def more_below(self) -> bool:
        """Whether there is more to read below."""
        return any(sheet.scroll_offset.y < sheet.max_scroll_y for sheet in self.walk_children(VerticalScroll))

    def more_above(self) -> bool:
        """Whether there is more to read above."""
        return any(sheet.scroll_offset.y > 0 for sheet in self.walk_children(VerticalScroll))


def bindings(where: str) -> Iterator[Binding]:
    """The bindings of a place in the table, each with the name a keymap calls it by."""
    for row in declared(where):
        if row.call != BY_FOCUS:
            yield Binding(row.keys, row.call, row.says, show=False, priority=row.first, id=row.id)


class KeyLine(Vertical):
    """The foot of a screen: what is to be said, in lines of its own, and below it the keys that hold now."""

    def __init__(self) -> None:
        self._notice, self._keys = Static(id="notice", markup=False), Static(id="keys", markup=False)
        super().__init__(self._notice, self._keys)
        self.rows = 1
        """Lines it takes."""
        self._said = ("", "", False, 0)
        self._stale = False

    def on_mount(self) -> None:
        self.screen.bindings_updated_signal.subscribe(self, self._draw_next, immediate=True)

    def _draw_next(self, _: object) -> None:
        """Keys may hold or not after what is done now; where that draws the foot itself they are told once."""
        self._stale = True
        self.call_next(lambda: self.draw() if self._stale else None)

    def on_resize(self) -> None:
        self.draw()

    def on_mouse_move(self, event: events.MouseMove) -> None:
        """What the key under the pointer does."""
        self._keys.tooltip = event.style.meta.get(SAYS)

    def draw(self) -> None:
        """The notice as long as it is, the keys as far as the width goes; only what changed is painted."""
        self._stale = False
        if self._keys.is_attached and isinstance(self.screen, Keyed):
            width = self.screen.size.width
            told = (self.screen.notice, False) if self.screen.notice else app_of(self.screen).remark
            self._say(self.screen.due, *told)
            if self.screen.keys_wait:
                return
            keys = key_line(self.screen.keys_now(), width, self.screen.takes())
            put(self._keys, keys)

    def _say(self, due: str, sentence: str, bad: bool) -> None:
        width = self.screen.size.width
        if (due, sentence, bad, width) == self._said:
            return
        styled = ((due, "bold $background on $due"), (sentence, "bold $danger" if bad else "bold $due"))
        told = [with_keys(clean(text, limit=400), style) for text, style in styled if text]
        lines = [line.pad_left(1) for one in told for line in one.wrap(max(20, width - 2))]
        self._said, self.rows = (due, sentence, bad, width), 1 + len(lines)
        self._notice.display = bool(lines)
        self._notice.update(Content("\n").join(lines))


class Page(Keyed[str], ModalScreen[str]):
    """Over another screen: something to read, then keys with what they do. Gives the answer, empty for none.

    One class for the key card, the why page and every question, each a place of the table.
    """

    def __init__(
        self,
        where: str,
        above: Callable[[int], Sequence[Content]],
        keys: Sequence[Action] | None = None,
        *,
        now: Collection[str] = (),
    ) -> None:
        """Without `keys` the place's own are shown: its answers; `now` are the conditions of them that hold."""
        super().__init__()
        self.at(where)
        self._now = now
        self._above = above
        everywhere = rows_of("any")
        own = [row for row in rows_of(where) if row not in everywhere and self._does(row)]
        self._keys = own if keys is None else keys
        if keys:
            self.ELSE = "{card.leave} goes back to where this key works."

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card"):
            yield Static(id="card-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()

    def redraw(self) -> None:
        """All of it at the present width."""
        width = max(30, self.size.width)
        lines = [*self._above(width - 3), *key_rows(self._keys, width)]
        self.show("card-text", Content("\n").join(lines))

    def holds(self, condition: str) -> bool:
        return condition in self._now or (hasattr(self, condition) and super().holds(condition))

    def action_words(self) -> None:
        """The words that the screen below uses, then all the others."""
        below = self.app.screen_stack[-2]
        told = [str(widget.content) for widget in below.query(Static)]
        told += [str(option.prompt) for rows in below.query(OptionList) for option in rows.options]
        self.app.push_screen(Page("glossary", lambda width: explained(" ".join(told), width)))

    def go_to(self, what: str, which: Any) -> None:
        """A click on a row is its key; of a card, which tells the keys of the screen below, it is that there."""
        if self.WHERE == "card":
            self.dismiss("")
        app_of(self).press(key_of(printed(self._keys)[which].foot_keys[0]))

    def action_answer(self, answer: str) -> None:
        self.dismiss(answer)

    def action_leave(self) -> None:
        self.dismiss("")


def question(where: str, asked: str, *more: Content, now: Collection[str] = ()) -> Page:
    """A question, with its answers by the table."""
    parts = (Content.styled(clean(asked, limit=400), "bold $text"), *more, Content(""))
    return Page(
        where, lambda width: [line.pad_left(1) for part in parts for line in part.wrap(width)], now=now
    )
