"""The plan screen: fields with what they come to, the keys that change colours and bands, the ways on from it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal
from textual.widgets import Static

from studio.plan import layout as layout_edit
from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.errors import PlanError
from studio.plan.model import LayoutPlan
from studio.screens.draw import plan as draw
from studio.screens.draw.keys import MARGIN
from studio.screens.keyed import Keyed, KeyLine, app_of, question
from studio.screens.plan import bands
from studio.screens.plan.fields import Fields
from studio.screens.plan.rows import BandRow, FieldRow, cautions_of, figures_of
from studio.screens.plan.saving import Saving
from studio.screens.plan.side import ROOMY, Above, Below, Side
from studio.screens.worksheet import ask_to_begin
from studio.services.plans import WorkedPlan, refusal_text
from studio.shelf.adding import begun
from studio.trouble import Trouble

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile
    from studio.services.studio import Services

WIDE = 76
"""Columns from which figures stand beside the fields. House rule."""
MAIN = 78
"""Cells of the fields where the side has the rest."""
LEAST_FIELDS = 3


class PlanScreen(Keyed[None], where="plan"):
    """Up and down choose a field, left and right a section, Enter types into it."""

    AUTO_FOCUS = ""
    FIELD = "typing"

    def __init__(self, services: Services, file: PlanFile) -> None:
        """PlanError where the file is no TOML, so that it has no fields."""
        super().__init__()
        self.services = services
        self.draft = PlanDraft(file.text, services.shelf, name=file.name)
        self.fields = Fields(self.draft, self._fields_changed)
        self.side = Side(services, self.draft)
        self.above, self.below = Above(self.draft), Below(self.draft, self.fields, self.side)
        self.saving = Saving(services.plan_files, file, self.draft)

    def compose(self) -> ComposeResult:
        yield Static(id="plan-title", markup=False)
        yield self.above
        with Horizontal(id="plan-body"):
            yield self.fields
            yield self.side
        yield self.below
        yield self.saving
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.saving.offer_unsaved)

    # -- what the widgets say ----------------------------------------------------------------------

    def _fields_changed(self, notice: str | None) -> None:
        self.notice = self.notice if notice is None else notice
        self.changed()

    @on(Saving.Said)
    def _said(self, message: Saving.Said) -> None:
        if not message.instead or self.notice == message.instead:
            self.tell(message.sentence)

    @on(Side.Came)
    def _hues_came(self) -> None:
        self.redraw()

    def tell(self, sentence: str) -> None:
        """In the line for it."""
        self.notice = sentence
        self.redraw()

    def changed(self) -> None:
        """The text may be another one: keep it safe, show it."""
        self.saving.keep()
        self.redraw()

    # -- conditions of keys ------------------------------------------------------------------------

    def in_layout(self) -> bool:
        """Whether bands are shown."""
        return self.fields.here.table == "layout"

    def blank(self) -> bool:
        """Whether a forecast can be made of it, as far as the plan can be read."""
        settled = self.draft.settled
        return settled is None or settled.form == "blank"

    def in_list(self) -> bool:
        """Whether rows can be added to what is shown, and taken out."""
        return self.fields.here.table in ("colour", "layout")

    def offers(self) -> bool:
        """Whether a name fits what is being typed."""
        return bool(self.fields.first_offer())

    def makes(self) -> bool:
        """Whether the field that is typed into names what a new entry of the shelf could be."""
        return bool(self.fields.makes())

    def none_fits(self) -> bool:
        """Whether what is typed could be one, and no name that is there fits it."""
        return bool(self.fields.new_name()) and not self.offers()

    def filled(self) -> bool:
        """Whether there is something to leave out where the cursor is."""
        row = self.fields.row()
        return isinstance(row, BandRow) or (isinstance(row, FieldRow) and bool(row.value))

    def undoable(self) -> bool:
        """Whether a change can be taken back."""
        return bool(self.draft.undos) or self.fields.typing is not None

    def redoable(self) -> bool:
        """Whether one can be made again."""
        return bool(self.draft.redos)

    # -- the cursor and the text -------------------------------------------------------------------

    def action_move(self, by: int) -> None:
        if by > 0 and self.none_fits():
            self.action_new_entry()
        else:
            self.fields.move(by)

    def action_new_entry(self) -> None:
        """The shelf's own questions for what the field names; back with it chosen, or with what was typed."""
        from studio.screens.shelf.shelf import ShelfScreen

        table, book = self.fields.makes(), self.services.shelf_book
        with self.telling():
            new = book.unfinished(table) or begun(table, self.fields.new_name(), book.look().texts)
            self.app.push_screen(ShelfScreen(self.services, new), self._entry_made)

    def _entry_made(self, name: str | None) -> None:
        if name:
            self.draft.shelf = self.services.shelf
            self.fields.choose(name)

    def go_to(self, what: str, which: Any) -> None:
        """A click on a caution goes to it, on a depth takes it; of anything else the fields know what it is."""
        if what == "caution":
            self.fields.take()
            self.action_caution(which)
        elif what == "new":
            self.action_new_entry()
        elif what == "depth":
            self.fields.take()
            self.attempt(lambda: self.draft.put(Place("colour", self.fields.number(), "depth"), which))
        else:
            self.fields.lead_to(what, which)

    def action_turn(self, by: int) -> None:
        self.fields.turn(by)

    async def takes_key(self, event: events.Key) -> bool:
        """An amount may begin with its digit."""
        return (event.character or "") in tuple("0123456789") and self.fields.edit_with(event.character or "")

    def action_edit(self) -> None:
        self.fields.edit()

    def action_undo(self) -> None:
        """While something is typed that alone is given up: what was changed before it stands."""
        if not self.fields.leave():
            self._back(self.draft.undo)

    def action_redo(self) -> None:
        self._back(self.draft.redo)

    def _back(self, step: Callable[[], Place | None]) -> None:
        self.fields.close()
        self.fields.go_to(step())
        self.notice = ""
        self.changed()

    def attempt(self, change: Callable[[], object]) -> None:
        """Carry out a change; where the file cannot be edited that way, say so."""
        self.notice = ""
        try:
            change()
        except PlanError as problem:
            self.draft.drop()
            self.notice = str(problem)
        self.changed()

    def action_clear(self) -> None:
        row = self.fields.row()
        if isinstance(row, BandRow):
            self.action_take_out()
        elif isinstance(row, FieldRow):
            self.attempt(lambda: self.draft.put(row.place, ""))

    # -- colours and bands -------------------------------------------------------------------------

    def action_add(self) -> None:
        if self.in_layout():
            self._on_band(layout_edit.inserted, bands.MANY_BANDS, move=1)
            return
        self.fields.take()
        added: list[Place] = []
        self.attempt(lambda: added.append(self.draft.add_colour()))
        if added:
            self.fields.go_to(added[0])
            self.tell("Name its dye; the new colour has its band in the layout.")

    def action_take_out(self) -> None:
        row = self.fields.row()
        if self.in_layout():
            self._on_band(layout_edit.deleted, bands.LAST_BAND)
        elif not isinstance(row, FieldRow) or row.place.row is None:
            return
        elif len(self.draft.colour_names()) < 2:
            self.tell("A plan has one colour at least; this is its only one.")
        else:
            number = row.place.row
            self.attempt(lambda: self.draft.remove_colour(number))
            self.fields.go_to(Place("colour", max(0, number - 1), "name"))
            self.tell(self.notice or "Taken out; its bands are bare now. {plan.undo} brings it back.")

    def action_wider(self, by: int) -> None:
        stays = bands.ALL_TAKEN if by > 0 else bands.NARROWEST
        self._on_band(lambda layout, index: layout_edit.widened(layout, index, by), stays)

    def action_recolour(self) -> None:
        names = [name for name in self.draft.colour_names() if name]
        self._on_band(lambda layout, index: layout_edit.recoloured(layout, index, names), bands.NO_NAMES)

    def action_fill(self) -> None:
        layout = self.draft.layout()
        if layout is None:
            self.tell(bands.NO_BANDS)
        else:
            self._lay(layout_edit.filling(layout), bands.SHARES_FILL)

    def _on_band(self, change: Callable[[LayoutPlan, int], LayoutPlan], stays: str, move: int = 0) -> None:
        """Change the chosen band, or say why it stays as it is; with none chosen, the first one is."""
        layout = bands.changed(self.fields, change)
        if isinstance(layout, str):
            self.tell(layout)
        elif self._lay(layout, stays):
            self.fields.cursor += move
        self.redraw()

    def _lay(self, layout: LayoutPlan, stays: str) -> bool:
        """Take a layout in place of another; where it is the same, say why it stays."""
        before = self.draft.layout()
        self.attempt(lambda: self.draft.set_layout(layout))
        another = self.draft.layout() != before
        if not another:
            self.tell(self.notice or stays)
        return another

    # -- further -----------------------------------------------------------------------------------

    def action_caution(self, *number: int) -> None:
        """The next thing that is wrong or to be known, or the caution of that number, and the field it leads to."""
        trouble = self.draft.trouble
        if trouble is not None:
            self.fields.go_to(trouble.place)
        self.tell(trouble.sentence if trouble is not None else self.below.go_on(*number))

    def action_why(self) -> None:
        from studio.screens.bench.correct import why_page

        sheet = self.draft.worksheet
        if sheet is not None:
            figures = figures_of(self.fields.here, sheet, self.fields.colour())
            pressing = [c for c in sheet.cautions if c.level != "note"]
            own = [c for c in cautions_of(self.fields.here, sheet) if c not in pressing]
            self.app.push_screen(why_page(figures or sheet.figures, [*pressing, *own]))

    def action_save(self) -> None:
        self.fields.take()
        self.saving.save()

    def action_forecast(self) -> None:
        from studio.screens.forecast import ForecastScreen

        if not self._can_go_on():
            return
        try:
            foreseen = self.services.foresee_text(self.draft.text)
        except Trouble as problem:
            self.tell(refusal_text(problem))
            return
        self.app.push_screen(ForecastScreen(foreseen))

    def action_worksheet(self) -> None:
        from studio.screens.worksheet import WorksheetScreen

        worked = self._worked()
        if worked is not None and (self.saving.is_saved or self.saving.save()):
            self.app.push_screen(WorksheetScreen(self.services, worked))

    def action_begin(self) -> None:
        """To the pot, once nothing stops it; the plan is saved first."""
        worked = self._worked()
        if worked is None:
            return
        if worked.worksheet.stops:
            self.tell(self.below.go_on(0))
        elif self.saving.is_saved or self.saving.save():
            ask_to_begin(self, self.services, worked, instead=True)

    def _can_go_on(self) -> bool:
        """Whether the plan can be worked out as it stands; goes to what is wrong where it cannot."""
        self.fields.take()
        if self.draft.trouble is not None:
            self.action_caution()
            return False
        return True

    def _worked(self) -> WorkedPlan | None:
        choices, sheet = self.draft.settled, self.draft.worksheet
        if not self._can_go_on() or choices is None or sheet is None:
            return None
        return WorkedPlan(self.saving.file.key, self.draft.text, choices, sheet)

    def action_leave(self) -> None:
        if self.fields.leave():
            return
        if self.saving.is_saved:
            self.app.call_next(self._keep_and_leave)
            return
        told = f"{self.saving.file.name} has edits that are not saved."
        now = ("unkept",) if self.saving.is_unkept else ()
        self.app.push_screen(question("leaving", told, now=now), self._after_leaving)

    async def _after_leaving(self, answer: str | None) -> None:
        if answer == "g":
            self.draft.take_up(self.saving.file.text)
        elif answer == "s" and self.saving.save():
            app_of(self).say(f"Saved as {self.saving.file.name}.")
        if answer == "k" or (answer and self.saving.is_saved):
            await self._keep_and_leave()

    async def _keep_and_leave(self) -> None:
        """What was edited is on disk before the screen is gone; of what is saved nothing is left beside the plan.

        The app waits for it, so that no key edits meanwhile: the next one is meant for the screen before.
        """
        if await self.saving.keep_now():
            self.dismiss()

    def keep_typed(self) -> None:
        self.saving.keep_at_once()

    # -- drawing -----------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Everything at the present size."""
        width, height = self.size
        if not width or not self.query("#keys"):
            return
        self.draw_foot()
        foretell = self.side.foretells(self.fields.here.table, width, height)
        self.side.follow(foretell, height)
        title, inner = self.draft.data.get("title", ""), width - 2 * MARGIN
        said = draw.standing(self.draft, saved=self.saving.is_saved)
        self.show("plan-title", draw.title_line(title if isinstance(title, str) else "", said, inner))
        above, with_table = self.above.draw(self.fields, self.side.looks, inner, height)
        room = height - 1 - above - self.query_one(KeyLine).rows
        below = self.below.draw(inner, height, room, room + above - with_table, foretell=foretell)
        self._beside(width, max(LEAST_FIELDS, room - below), foretell)
        self.refresh_bindings()

    def _beside(self, width: int, height: int, foretell: bool) -> None:
        """The fields, and beside them what their section comes to; of the colours that stands in their table."""
        fields, sheet = self.fields, self.draft.worksheet
        table = fields.here.table
        shown = figures_of(fields.here, sheet, "") if sheet is not None and table != "colour" else []
        shown = [figure for figure in shown if not figure.of]
        self.side.display = width >= WIDE and (bool(shown) or foretell)
        left = MAIN if width >= ROOMY[0] else width * 52 // 100
        left = left if self.side.display else width
        cells = 0 if left < 40 else left - draw.BAR - 30
        steps = self.side.ladders.get(fields.colour_name(), ())
        glyphs = app_of(self).glyphs
        fields.draw(left, height, self.side.looks, draw.ladder(steps, glyphs, cells), glyphs)
        if self.side.display:
            self.side.draw(shown, width - left - MARGIN - 1, height, foretell=foretell)
