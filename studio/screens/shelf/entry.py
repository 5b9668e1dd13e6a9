"""One entry of the shelf: every value with where it comes from; Enter changes the one under the bar."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.draft.field_text import show_field
from studio.screens.bench.entry import Entry
from studio.screens.draw.lists import heading, value_line, whole_value
from studio.screens.keyed import Keyed, KeyLine
from studio.screens.rows import Rows
from studio.shelf.adding import puts
from studio.shelf.editing import Change, EntryPlace, Remove, place_in
from studio.shelf.keys import echo, hint, key_of, refusal_on_shelf, takes
from studio.shelf.telling import Told, told_of
from studio.trouble import Trouble
from studio.words.actions import Question

if TYPE_CHECKING:
    from studio.services.shelf import ShelfSeen
    from studio.services.studio import Services


class ShelfEntryScreen(Keyed[None], where="entry"):
    """Values in their order; what is typed is read by the same reader as the file, and echoed."""

    def __init__(self, services: Services, table: str, name: str, at: str = "") -> None:
        super().__init__()
        self.services = services
        self.table = table
        self.name_of_entry = name
        self._at = at
        """Key to begin at."""
        self._seen: ShelfSeen | None = None
        self._told: dict[str, Told] = {}
        self._changing = ""
        """The key that is being changed; empty while the entry is taken away."""

    def compose(self) -> ComposeResult:
        yield Static(id="log-title", markup=False)
        yield Rows(id="value-list")
        yield Static(id="value-foot", markup=False)
        yield Static(id="shelf-said", markup=False)
        yield Entry()
        yield KeyLine()

    def on_mount(self) -> None:
        self._say("")

    def redraw(self) -> None:
        """The entry as its file has it now."""
        with self.telling():
            self._seen = self.services.shelf_book.look()
            place = self._place()
            if place is None:
                self.dismiss()
            else:
                self._list(self._seen, place)

    def _list(self, seen: ShelfSeen, place: EntryPlace) -> None:
        told = told_of(seen.shelf, place)
        self._told = {one.key: one for one in told}
        width = max(40, self.size.width - 4)
        self.query_one(Rows).fill([Option(value_line(one, width), id=one.key) for one in told], self._at)
        self._at = ""
        where = f"{place.file}, line {place.line}" if place.line else place.file
        self.show("log-title", heading(clean(self.name_of_entry or "Water and studio", limit=50), where))

    def _place(self) -> EntryPlace | None:
        seen = self._seen
        return None if seen is None else place_in(seen.places, self.table, self.name_of_entry)

    @on(OptionList.OptionHighlighted)
    def _looked_at(self, event: OptionList.OptionHighlighted) -> None:
        """All of the value under the bar, where its line is too short for it."""
        told = self._told.get(event.option_id or "")
        if told is not None:
            self.show("value-foot", Content.styled(f" {clean(whole_value(told), limit=400)}", "$quiet"))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self._changing = event.option_id or ""
        self._say("")
        key = key_of(self.table, self._changing)
        place = self._place()
        raw = place.written.get(key.key) if place is not None else None
        empty = "" if key.needed else "; empty takes it out"
        label = f"{key.label}: {hint(key).rstrip('.')}{empty}"
        initial = "" if raw is None else show_field(key, raw)
        self.query_one(Entry).ask(Question(label, self._put, initial=initial, takes=takes(key)))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        """What is typed is taken for, while it is typed."""
        box = self.query_one(Entry)
        if not box.is_asking or not self._changing or self._seen is None:
            return
        read = echo(key_of(self.table, self._changing), event.value, self._seen.shelf.studio.drops_per_ml)
        self.show("value-foot", Content.styled(f" taken for {read}" if read else " ", "$focus"))

    def _say(self, sentence: str) -> None:
        """What else changed with a value."""
        self.show("shelf-said", Content.styled(f" {clean(sentence, limit=400)}", "$due"))
        self.query_one("#shelf-said").display = bool(sentence)

    def _put(self, text: str) -> None:
        """The value as it was typed, and what else changes with it."""
        place, seen = self._place(), self._seen
        if seen is not None and place is not None:
            key = key_of(self.table, self._changing)
            self._say(self._change(lambda: puts(place, key, text, seen.shelf)))

    def _take_away(self, text: str) -> None:
        if text.strip().casefold() == "yes":
            self._change(lambda: ([Remove(table=self.table, name=self.name_of_entry)], ""))

    def _change(self, change: Callable[[], tuple[list[Change], str]]) -> str:
        """Carry it out; what is said of it."""
        try:
            changes, said = change()
            if changes and self._seen is not None:
                self._seen = self.services.shelf_book.change(self._seen, changes)
        except Trouble as problem:
            # The entry as it is by now, so that another Enter can succeed where its file was changed by hand.
            self.redraw()
            raise ValueError(refusal_on_shelf(problem, self.table)) from problem
        self.redraw()
        return said

    def removable(self) -> bool:
        """Whether it can be taken off the shelf."""
        return self.table != "studio"

    def action_remove(self) -> None:
        """Ask first, and tell who uses it."""
        with self.telling():
            users = self.services.shelf_book.users(self.table, self.name_of_entry)
            used = f"Used by {', '.join(users)}." if users else "No plan uses it."
            self._changing = ""
            label = f"Take {self.name_of_entry} off the shelf for good? {used} Type yes."
            self.query_one(Entry).ask(Question(label, self._take_away, "yes"))
