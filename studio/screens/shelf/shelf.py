"""The shelf: everything on it by kind; from here to one entry, a new one, a draw-down, a shopping list."""

from __future__ import annotations

import asyncio
from typing import TYPE_CHECKING, Any

from textual import on, work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from studio.plaintext import clean, counted
from studio.plan.preview import dye_hues
from studio.report.printing import WIDEST
from studio.report.shelf_rows import shelf_row
from studio.screens.bench.entry import Entry
from studio.screens.draw.cloth import patch
from studio.screens.draw.lists import heading, kinds_line, row_content, section_head
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.shelf.adding import ASKED, Adding, answered, back, kept
from studio.shelf.keys import SHELF_TABLES, echo, refusal_on_shelf, takes
from studio.trouble import Trouble
from studio.words.actions import Question
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.services.shelf import ShelfSeen
    from studio.services.studio import Services
    from studio.shelf.telling import ToldLine


ROOMY = 40
"""Rows of a screen that has room for a blank one before each kind. House rule."""


class ShelfScreen(Keyed[str], where="shelf"):
    """A section for each kind; the bar moves from entry to entry."""

    FIELD = "adding"

    def __init__(self, services: Services, new: Adding | None = None) -> None:
        """`new` is asked for at once; once it is on the shelf its name is given back, none where it was left."""
        super().__init__()
        self._new = new
        self.services = services
        self.seen: ShelfSeen | None = None
        self._adding: Adding | None = None
        self._waiting = ""
        """What a finished session would take off, in a few words."""
        self._hues: dict[str, str] = {}
        """Of each dye by its name, once they are worked out."""
        self._short: dict[tuple[str, str], str] = {}
        """What a plan needs more of than there is, by kind and name, once that is counted."""

    def compose(self) -> ComposeResult:
        yield Static(id="shelf-title", markup=False)
        yield Static(id="shelf-kinds", markup=False)
        yield Rows(id="shelf-list")
        yield Static(id="shelf-mend", markup=False)
        yield Static(id="shelf-foot", markup=False)
        yield Static(id="shelf-said", markup=False)
        yield Entry()
        yield KeyLine()

    def on_mount(self) -> None:
        self._say("")
        if self._new is not None:
            self.redraw()
            self.query_one(Entry).ask(self._question(self._new))  # At once: the very next key answers it.

    def on_screen_resume(self) -> None:
        self.call_after_refresh(self.redraw)
        self.look_for_used_up()
        self.look_for_more()

    def redraw(self) -> None:
        """Read the shelf anew and list it."""
        with self.telling():
            self.seen = self.services.shelf_book.look()
            self._list(self.seen)

    def _list(self, seen: ShelfSeen, at: str = "") -> None:
        width = min(WIDEST, max(40, self.size.width - 4))
        options: list[Option] = []
        for table in SHELF_TABLES:
            lines = [line for line in seen.lines if line.table == table]
            left = self.services.shelf_book.unfinished(table)
            name = (left.typed.get("name") or "An entry") if left is not None else ""
            above = "\n" if options and self.size.height >= ROOMY else ""
            head = Content.assemble(above, " ", section_head(table, len(lines), name))
            options.append(Option(head, id=f"{table}:", disabled=bool(lines)))
            options.extend(Option(self._row(line, width), id=f"{table}:{line.name}") for line in lines)
        self.query_one(Rows).fill(options, at)
        self._tell()

    def _row(self, line: ToldLine, width: int) -> Content:
        """Its patch, where it has a colour, and what there is of it."""
        glyphs, seen = app_of(self).glyphs, self.seen
        dye = next((j.dye for j in seen.shelf.jars if j.name == line.name), "") if seen is not None else ""
        hue = self._hues.get(dye if line.table == "jar" else line.name if line.table == "dye" else "", "")
        shown = patch(hue, line.name[:1], 4, 1, glyphs)[0] if hue else Content(" " * 4)
        short = (line.table, line.name) in self._short
        return Content.assemble(" ", shown, "  ", row_content(shelf_row(line, width - 7, short=short)))

    def _tell(self) -> None:
        seen = self.seen
        if seen is None:
            return
        self.show("shelf-title", heading("Shelf", self._waiting, "$due"))
        self._show_chosen()
        mend = "\n".join(f" {clean(one.on_screen, limit=300)}" for one in seen.shelf.left_out[:3])
        if len(seen.shelf.remarks) > 3:
            mend += f"\n and {len(seen.shelf.remarks) - 3} more; potside shelf lists them"
        foot = self.query_one("#shelf-mend", Static)
        foot.update(Content.styled(mend, "$danger"))
        foot.display = bool(mend)

    def _show_chosen(self) -> None:
        """Which kind the bar is in, and all that is to be said of the entry under it."""
        table, _, name = self._at().partition(":")
        self.show("shelf-kinds", kinds_line(table, self.size.width - 4, app_of(self).glyphs))
        seen = self.seen.lines if self.seen is not None else ()
        line = next((one for one in seen if (one.table, one.name) == (table, name)), None)
        told = Content("")
        if line is not None and table != "studio":
            short = self._short.get((table, name), "")
            told = Content.assemble(
                (clean(line.label, limit=60), "bold $text"), (f"  {line.about}", "$quiet")
            )
            told = Content.assemble(
                (f"{app_of(self).glyphs.caution} {short}\n" if short else "", "$due"), told
            )
        self.show("shelf-foot", told)

    @work(exclusive=True, group="more")
    async def look_for_more(self) -> None:
        """The dyes' hues, and what a plan needs more of than there is."""
        if self.seen is None:
            self.seen = self.services.shelf_book.look()
        try:
            self._hues = await asyncio.to_thread(dye_hues, self.seen.shelf)
            self._short = dict(await asyncio.to_thread(self.services.short_of))
        except Trouble:
            return
        if self._adding is None:
            self.redraw()

    @work(exclusive=True)
    async def look_for_used_up(self) -> None:
        """Say so where the newest finished session has not come off the shelf yet."""
        try:
            drawn = await asyncio.to_thread(self.services.shelf_book.drawing)
        except Trouble:
            return
        count = len(drawn.open)
        title = clean(drawn.title, limit=max(10, self.size.width - 44))
        self._waiting = (
            f"{title} used {counted(count, 'thing')}: {spoken('{shelf.used_up}')}" if count else ""
        )
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

    def _at(self) -> str:
        """The entry under the bar: its kind, and its name behind a colon."""
        return self.query_one(Rows).chosen or "dye:"

    def _table(self) -> str:
        return self._at().partition(":")[0]

    def action_kind(self, by: int) -> None:
        """To the first entry of the next kind, or of the one before; round at the ends."""
        tables = list(SHELF_TABLES)
        self.go_to("kind", tables[(tables.index(self._table()) + by) % len(tables)])

    def go_to(self, what: str, which: Any) -> None:
        """To the first entry of a kind."""
        rows = self.query_one(Rows)
        places = (n for n, option in enumerate(rows.options) if (option.id or "").startswith(f"{which}:"))
        rows.highlighted = next(n for n in places if not rows.options[n].disabled)

    def adds(self) -> bool:
        """Whether the section under the bar takes new entries."""
        return self._table() in ASKED

    def adding(self) -> bool:
        """Whether a new entry is being asked for."""
        return self._adding is not None

    @on(OptionList.OptionHighlighted)
    def _looked_at(self) -> None:
        self._show_chosen()
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
        except Trouble as problem:
            self._adding = kept(adding, text)
            # The shelf as it is by now, so that another Enter can succeed where a file was changed by hand.
            self.redraw()
            raise ValueError(refusal_on_shelf(problem, adding.table)) from problem
        self._keep(None)
        self._adding = None
        if self._new is not None:
            self.dismiss(after.typed["name"])
            return None
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
        if self._new is not None:
            self.dismiss("")
            return
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
