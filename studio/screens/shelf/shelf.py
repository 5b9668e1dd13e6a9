"""The shelf: everything on it by kind; from here to one entry, a new one, a draw-down, a shopping list."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.errors import PlanError
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import entry_line, section_head
from studio.screens.keyed import Keyed, KeyLine, Rows, app_of
from studio.session import commands as c
from studio.shelf.adding import ASKED, Adding, answered, back, kept
from studio.shelf.keys import SHELF_TABLES, echo, on_shelf_screen, takes
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.shelf import ShelfSeen
    from studio.services.studio import Services


class ShelfScreen(Keyed[None], where="shelf"):
    """A section for each kind; the bar moves from entry to entry."""

    FIELD = "adding"

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self.seen: ShelfSeen | None = None
        self._adding: Adding | None = None
        self._waiting = ""
        """What a finished session would take off, in a few words."""

    def compose(self) -> ComposeResult:
        yield Static(id="log-title", markup=False)
        yield Rows(id="shelf-list")
        yield Static(id="shelf-mend", markup=False)
        yield Static(id="shelf-said", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self.fill)
        self.look_for_used_up()

    def on_resize(self) -> None:
        self.call_after_refresh(self.fill)

    def fill(self, stay_at: str = "") -> None:
        """Read the shelf anew and list it."""
        try:
            self.seen = self.services.shelf_book.look()
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        rows = self.query_one(OptionList)
        at = stay_at or (rows.highlighted_option.id if rows.highlighted_option else "")
        width = max(40, self.size.width - 6)
        options: list[Option] = []
        for table in SHELF_TABLES:
            lines = [line for line in self.seen.lines if line.table == table]
            left = self.services.shelf_book.unfinished(table)
            name = (left.typed.get("name") or "An entry") if left is not None else ""
            options.append(
                Option(section_head(table, len(lines), name), id=f"{table}:", disabled=bool(lines))
            )
            options.extend(
                Option(Content.assemble("  ", entry_line(line, width)), id=f"{table}:{line.name}")
                for line in lines
            )
        with self.app.batch_update():
            rows.clear_options()
            rows.add_options(options)
        places = [option.id for option in options if not option.disabled]
        chosen = at if at in places else places[0]
        rows.highlighted = [option.id for option in options].index(chosen)
        self._tell()
        if not self.query_one(Entry).is_asking:
            rows.focus()

    def _tell(self) -> None:
        seen = self.seen
        if seen is None:
            return
        title = Content.assemble((" Shelf", "bold $text"), (f"   {self._waiting}", "$due"))
        self.query_one("#log-title", Static).update(title)
        mend = "\n".join(f" {clean(one.on_screen, limit=300)}" for one in seen.shelf.left_out[:3])
        if len(seen.shelf.remarks) > 3:
            mend += f"\n and {len(seen.shelf.remarks) - 3} more; potside shelf lists them"
        foot = self.query_one("#shelf-mend", Static)
        foot.update(Content.styled(mend, "$danger"))
        foot.display = bool(mend)

    @work(exclusive=True)
    async def look_for_used_up(self) -> None:
        """Say so where the newest finished session has not come off the shelf yet."""
        try:
            drawn = await asyncio.to_thread(self.services.shelf_book.drawing)
        except Trouble:
            return
        count = len(drawn.open)
        title = clean(drawn.title, limit=max(10, self.size.width - 44))
        self._waiting = f"{title} used {count} thing{'s' if count != 1 else ''}: U" if count else ""
        self._tell()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        from studio.screens.shelf.entry import ShelfEntryScreen

        table, _, name = (event.option_id or "").partition(":")
        if not name:
            self.action_add()
            return
        at = name if table == "studio" else ""
        entry = "" if table == "studio" else name
        self.app.push_screen(ShelfEntryScreen(self.services, table, entry, at))

    # -- a new entry -----------------------------------------------------------------------------

    def action_add(self) -> None:
        """A new entry of the section the bar is in."""
        table = self._table()
        left = self.services.shelf_book.unfinished(table)
        self._ask(left or Adding(table=table))
        if left is not None:
            name = clean(left.typed.get("name", ""), limit=40) or "what was begun"
            self._say(f"Going on with {name} where it was left; Up goes back to what was answered.")

    def _table(self) -> str:
        option = self.query_one(OptionList).highlighted_option
        return (option.id or "dye:").partition(":")[0] if option else "dye"

    def adds(self) -> bool:
        """Whether the section under the bar takes new entries."""
        return self._table() in ASKED

    def adding(self) -> bool:
        """Whether a new entry is being asked for."""
        return self._adding is not None

    @on(OptionList.OptionHighlighted)
    def _looked_at(self) -> None:
        self.refresh_bindings()

    def _ask(self, adding: Adding, trouble: str = "") -> None:
        self._adding = adding
        box = self.query_one(Entry)
        wanted = takes(adding.key)
        box.ask(Question(adding.question, lambda text: c.AddNote(text), initial=adding.text, takes=wanted))
        box.say(trouble)
        self._say(adding.notice)

    def _say(self, sentence: str) -> None:
        """What an answer means, or what it is taken for, above the question."""
        line = self.query_one("#shelf-said", Static)
        line.update(Content.styled(f" {clean(sentence, limit=400)}", "$due"))
        line.display = bool(sentence)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        """What is typed is taken for, while it is typed."""
        adding = self._adding
        if adding is not None and event.value != adding.text:
            read = echo(adding.key, event.value)
            self._say(f"taken for {read}" if read else "")

    @on(Entry.Answered)
    def _answered(self, message: Entry.Answered) -> None:
        adding, seen = self._adding, self.seen
        if adding is None or seen is None:
            return
        try:
            after = answered(adding, message.text, seen.texts)
            if not after.at:
                self.seen = self.services.shelf_book.change(seen, [after.change])
        except (PlanError, Trouble) as problem:
            why = problem.__cause__ if isinstance(problem, Trouble) else problem
            # The shelf as it is by now, so that another Enter can succeed where a file was changed by hand.
            self.fill()
            said = on_shelf_screen(why, adding.table) if isinstance(why, PlanError) else str(problem)
            self._ask(kept(adding, message.text), said)
            return
        if after.at:
            self._ask(after)
            self._keep(after)
            return
        self._keep(None)
        self._close()
        self.fill(f"{after.table}:{after.typed['name']}")
        self._say(f"{after.typed['name']} is on the shelf; Enter fills in the rest.")

    def _keep(self, adding: Adding | None) -> None:
        """Keep what was answered, so that neither Esc nor a kill loses it."""
        table = adding.table if adding is not None else self._adding.table if self._adding is not None else ""
        try:
            self.services.shelf_book.keep_unfinished(table, adding)
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)

    def action_question_before(self) -> None:
        """Back to the question before, with its answer."""
        if self._adding is not None:
            self._ask(back(self._adding, self.query_one(Input).value))

    @on(Entry.Closed)
    def _left_for_later(self) -> None:
        adding, text = self._adding, self.query_one(Input).value
        if adding is not None and (adding.done or text.strip()):
            self._keep(kept(adding, text))
        self._close()
        self.fill()
        if adding is not None and (adding.done or text.strip()):
            self._say("What was answered is kept; A goes on with it.")

    def _close(self) -> None:
        self.query_one(Entry).close()
        self._adding = None
        self._say("")
        self.query_one(OptionList).focus()

    # -- further ---------------------------------------------------------------------------------

    def action_used_up(self) -> None:
        """What the newest finished session takes off the shelf."""
        from studio.screens.shelf.shopping import DrawDownScreen

        try:
            drawn = self.services.shelf_book.drawing()
        except Trouble as problem:
            app_of(self).say(str(problem), bad=True)
            return
        self.app.push_screen(DrawDownScreen(self.services.shelf_book, drawn))

    def action_shopping(self) -> None:
        """What plans need against what is there."""
        from studio.screens.shelf.shopping import ShoppingScreen

        self.app.push_screen(ShoppingScreen(self.services))
