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
from studio.report.shelf_rows import shelf_row
from studio.screens.bench.entry import Entry, Question
from studio.screens.draw.lists import heading, row_content, section_head
from studio.screens.keyed import Keyed, KeyLine, Rows
from studio.shelf.adding import ASKED, Adding, answered, back, kept
from studio.shelf.keys import SHELF_TABLES, echo, refusal_on_shelf, takes
from studio.trouble import Trouble
from studio.words.table import spoken

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
        yield Entry()
        yield KeyLine()

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self.redraw)
        self.look_for_used_up()

    def redraw(self) -> None:
        """Read the shelf anew and list it."""
        with self.telling():
            self.seen = self.services.shelf_book.look()
            self._list(self.seen)

    def _list(self, seen: ShelfSeen, at: str = "") -> None:
        width = max(40, self.size.width - 6)
        options: list[Option] = []
        for table in SHELF_TABLES:
            lines = [line for line in seen.lines if line.table == table]
            left = self.services.shelf_book.unfinished(table)
            name = (left.typed.get("name") or "An entry") if left is not None else ""
            options.append(
                Option(section_head(table, len(lines), name), id=f"{table}:", disabled=bool(lines))
            )
            options.extend(
                Option(Content.assemble("  ", row_content(shelf_row(line, width))), id=f"{table}:{line.name}")
                for line in lines
            )
        self.query_one(Rows).fill(options, at)
        self._tell()

    def _tell(self) -> None:
        seen = self.seen
        if seen is None:
            return
        self.show("log-title", heading("Shelf", self._waiting, "$due"))
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
        things = f"{count} thing{'s' if count != 1 else ''}"
        self._waiting = f"{title} used {things}: {spoken('{shelf.used_up}')}" if count else ""
        if self.is_attached:  # The page may have been left meanwhile.
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
        self.query_one(Entry).ask(self._question(left or Adding(table=table)))
        if left is not None:
            name = clean(left.typed.get("name", ""), limit=40) or "what was begun"
            back = spoken("{shelf.question_before} goes back to what was answered.")
            self._say(f"Going on with {name} where it was left; {back}")

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

    def _question(self, adding: Adding) -> Question:
        """What is asked next of a new entry."""
        self._adding = adding
        self._say(adding.notice)
        return Question(adding.question, self._take, initial=adding.text, takes=takes(adding.key))

    def _say(self, sentence: str) -> None:
        """What an answer means, or what it is taken for, above the question."""
        self.show("shelf-said", Content.styled(f" {clean(sentence, limit=400)}", "$due"))
        self.query_one("#shelf-said").display = bool(sentence)

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        """What is typed is taken for, while it is typed."""
        adding = self._adding
        if adding is not None and event.value != adding.text:
            read = echo(adding.key, event.value)
            self._say(f"taken for {read}" if read else "")

    def _take(self, text: str) -> Question | None:
        """The next question; after the last the entry is on the shelf."""
        adding, seen = self._adding, self.seen
        assert adding is not None and seen is not None, "asked on a shelf that is shown"
        try:
            after = answered(adding, text, seen.texts)
            if after.at:
                self._keep(after)
                return self._question(after)
            self.seen = self.services.shelf_book.change(seen, [after.change])
        except (PlanError, Trouble) as problem:
            self._adding = kept(adding, text)
            # The shelf as it is by now, so that another Enter can succeed where a file was changed by hand.
            self.redraw()
            raise ValueError(refusal_on_shelf(problem, adding.table)) from problem
        self._keep(None)
        self._adding = None
        self._list(self.seen, f"{after.table}:{after.typed['name']}")
        self._say(f"{after.typed['name']} is on the shelf; {spoken('{shelf.choose}')} fills in the rest.")
        return None

    def _keep(self, adding: Adding | None) -> None:
        """Keep what was answered, so that neither Esc nor a kill loses it."""
        table = adding.table if adding is not None else self._adding.table if self._adding is not None else ""
        with self.telling():
            self.services.shelf_book.keep_unfinished(table, adding)

    def action_question_before(self) -> None:
        """Back to the question before, with its answer."""
        if self._adding is not None:
            box = self.query_one(Entry)
            box.ask(self._question(back(self._adding, self.query_one(Input).value)))

    def keep_typed(self) -> None:
        self._keep_for_later()

    def _keep_for_later(self) -> bool:
        if self._adding is None:
            return False
        text = self.query_one(Input).value
        later = bool(self._adding.done or text.strip())
        if later:
            self._keep(kept(self._adding, text))
        return later

    @on(Entry.Closed)
    def _left_for_later(self) -> None:
        if self._adding is None:
            return
        later = self._keep_for_later()
        self._adding = None
        self.redraw()
        self._say(spoken("What was answered is kept; {shelf.add} goes on with it.") if later else "")

    # -- further ---------------------------------------------------------------------------------

    def action_used_up(self) -> None:
        """What the newest finished session takes off the shelf."""
        from studio.screens.shelf.shopping import DrawDownScreen

        with self.telling():
            book = self.services.shelf_book
            self.app.push_screen(DrawDownScreen(book, book.drawing()))

    def action_shopping(self) -> None:
        """What plans need against what is there."""
        from studio.screens.shelf.shopping import ShoppingScreen

        self.app.push_screen(ShoppingScreen(self.services))
