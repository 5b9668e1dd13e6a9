"""One entry of the shelf: every value with where it comes from; Enter changes the one under the bar."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.draft.field_text import show_field
from studio.plan.errors import PlanError
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import value_line, whole_value
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.session import commands as c
from studio.shelf.adding import puts
from studio.shelf.editing import Change, EntryPlace, Remove, folded
from studio.shelf.keys import echo, hint, key_of, on_shelf_screen, takes
from studio.shelf.telling import NOT_WRITTEN, Told, told_of
from studio.trouble import Trouble

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
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self._say("")
        self.call_after_refresh(self.fill)

    def on_resize(self) -> None:
        self.call_after_refresh(self.fill)

    def fill(self) -> None:
        """The entry as its file has it now."""
        try:
            self._seen = self.services.shelf_book.look()
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        place = self._place()
        if place is None:
            self.dismiss()
            return
        told = told_of(self._seen.shelf, place)
        self._told = {one.key: one for one in told}
        rows = self.query_one(OptionList)
        at = rows.highlighted_option.id if rows.highlighted_option else self._at
        width = max(40, self.size.width - 4)
        with self.app.batch_update():
            rows.clear_options()
            rows.add_options(Option(value_line(one, width), id=one.key) for one in told)
        keys = [one.key for one in told]
        rows.highlighted = keys.index(at) if at in keys else 0
        where = f"{place.file}, line {place.line}" if place.line else place.file
        title = self.name_of_entry or "Water and studio"
        self.query_one("#log-title", Static).update(
            Content.assemble((f" {clean(title, limit=50)}", "bold $text"), (f"   {where}", "$quiet"))
        )
        if not self.query_one(Entry).is_asking:
            rows.focus()

    def _place(self) -> EntryPlace | None:
        if self._seen is None:
            return None
        found = self._seen.places.get((self.table, folded(self.name_of_entry)))
        if found is None and self.table == "studio":
            return EntryPlace(
                table="studio", name="", file="studio.toml", number=1, line=None, written={}, lines={}
            )
        return found

    @on(OptionList.OptionHighlighted)
    def _looked_at(self, event: OptionList.OptionHighlighted) -> None:
        """All of the value under the bar, where its line is too short for it."""
        told = self._told.get(event.option_id or "")
        if told is not None:
            text = Content.styled(f" {clean(whole_value(told), limit=400)}", "$quiet")
            self.query_one("#value-foot", Static).update(text)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self._changing = event.option_id or ""
        self._say("")
        key, told = key_of(self.table, self._changing), self._told[self._changing]
        place = self._place()
        raw = place.written.get(key.key) if place is not None else None
        empty = "" if key.needed else "; empty takes it out"
        label = f"{key.label}: {hint(key).rstrip('.')}{empty}"
        initial = "" if raw is None or told.value == NOT_WRITTEN else show_field(key, raw)
        question = Question(label, lambda text: c.AddNote(text), initial=initial, takes=takes(key))
        self.query_one(Entry).ask(question)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        """What is typed is taken for, while it is typed."""
        box = self.query_one(Entry)
        if not box.is_asking or not self._changing or self._seen is None:
            return
        read = echo(key_of(self.table, self._changing), event.value, self._seen.shelf.studio.drops_per_ml)
        self.query_one("#value-foot", Static).update(
            Content.styled(f" taken for {read}" if read else " ", "$focus")
        )

    @on(Entry.Answered)
    def _answered(self, message: Entry.Answered) -> None:
        box = self.query_one(Entry)
        try:
            said = self._take(message.text)
        except (PlanError, Trouble) as problem:
            why = problem.__cause__ if isinstance(problem, Trouble) else problem
            # The entry as it is by now, so that another Enter can succeed where its file was changed by hand.
            self.fill()
            box.say(on_shelf_screen(why, self.table) if isinstance(why, PlanError) else str(problem))
            return
        box.close()
        self.fill()
        self._say(said)

    def _say(self, sentence: str) -> None:
        """What else changed with a value."""
        line = self.query_one("#shelf-said", Static)
        line.update(Content.styled(f" {clean(sentence, limit=400)}", "$due"))
        line.display = bool(sentence)

    def _take(self, text: str) -> str:
        """Carry out what was typed; what else changed with it."""
        place, changes, said = self._place(), list[Change](), ""
        if self._seen is None or place is None:
            return ""
        if self._changing:
            changes, said = puts(place, key_of(self.table, self._changing), text, self._seen.shelf)
        elif text.strip().casefold() == "yes":
            changes = [Remove(table=self.table, name=self.name_of_entry)]
        if changes:
            self._seen = self.services.shelf_book.change(self._seen, changes)
        return said

    @on(Entry.Closed)
    def _given_up(self) -> None:
        self.query_one(OptionList).focus()

    def removable(self) -> bool:
        """Whether it can be taken off the shelf."""
        return self.table != "studio"

    def action_remove(self) -> None:
        """Ask first, and tell who uses it."""
        try:
            users = self.services.shelf_book.users(self.table, self.name_of_entry)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        used = f"Used by {', '.join(users)}." if users else "No plan uses it."
        self._changing = ""
        label = f"Take {self.name_of_entry} off the shelf for good? {used} Type yes."
        self.query_one(Entry).ask(Question(label, lambda text: c.AddNote(text)))
