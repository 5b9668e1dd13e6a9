"""The fields of a plan: the rows of one section, the chosen one, and the line that is typed into."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from textual import on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.content import Content
from textual.widgets import Input, Static

from studio.plaintext import clean, slug
from studio.plan.draft.draft import PlanDraft, completed, first_offer, last_name, matches, names_for
from studio.plan.draft.edits import Place, sized
from studio.plan.draft.field_text import read_field
from studio.plan.errors import PlanError
from studio.plan.fields import FieldSection, sections_for
from studio.plan.layout import layout_text
from studio.plan.model import LayoutPlan
from studio.plan.preview import Look
from studio.plan.ways import method_names
from studio.quantity.kinds import KINDS
from studio.screens.draw import plan as draw
from studio.screens.draw.keys import Glyphs, leads
from studio.screens.draw.plan import Fitted
from studio.screens.keyed import put
from studio.screens.plan.rows import BandRow, FieldRow, Row, rows_of_section, section_index
from studio.shelf.adding import ASKED

MOST_OFFERS = 4
COUNTED = ("number", "whole", "drops", "amount", "band")
"""Kinds of field that hold a number without being one quantity."""


class FieldText(Input):
    """Enter takes what is typed at once: the next key is meant for the next field."""

    async def action_submit(self) -> None:
        self.query_ancestor(Fields).submit()


class Fields(Vertical):
    """Figures follow every key; Enter, up or down keep what was typed, Esc leaves it as it was."""

    def __init__(self, draft: PlanDraft, changed: Callable[[str | None], object]) -> None:
        """`changed` is called at once where another row is chosen, or the draft holds another text.

        It gets what there is to say of it; None leaves what was said last.
        """
        super().__init__(id="plan-fields")
        self.draft = draft
        self._changed = changed
        self.section = 0
        self.cursor = 0
        self.typing: Row | None = None
        self._followed = ""
        """What of the line is in the draft: the message of what was just typed may be on its way."""
        self._bands: LayoutPlan | None = None
        """The layout before the size of one band was typed."""
        self._no_size = ""
        """Why what is typed is no size of a band: the plan stays as it was, and the line open."""
        self._offers: list[str] = []
        self._rows: list[Row] = []
        self._rows_of: tuple[str, int] | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="plan-above", markup=False)
        with Horizontal(id="plan-line"):
            yield Static(id="plan-label", markup=False)
            yield FieldText(id="plan-text", compact=True, select_on_focus=False)
            yield Static(id="plan-note", markup=False)
        yield Static(id="plan-below", markup=False)

    def on_mount(self) -> None:
        self.query_one("#plan-line").display = False

    # -- where the cursor is ---------------------------------------------------------------------

    @property
    def sections(self) -> tuple[FieldSection, ...]:
        """Of the plan's method."""
        method = self.draft.data.get("method", method_names()[0])
        return sections_for(method if isinstance(method, str) else "")

    @property
    def here(self) -> FieldSection:
        """The section that is shown."""
        self.section = min(self.section, len(self.sections) - 1)
        return self.sections[self.section]

    def rows(self) -> list[Row]:
        """Its rows; read once for a text."""
        shown = (self.draft.text, self.section)
        if shown != self._rows_of:
            self._rows, self._rows_of = rows_of_section(self.draft, self.here), shown
        return self._rows

    def row(self) -> Row | None:
        """The chosen one."""
        rows = self.rows()
        self.cursor = max(0, min(self.cursor, len(rows) - 1))
        return rows[self.cursor] if rows else None

    def number(self) -> int:
        """Of the colour whose fields are looked at, from 0."""
        row = self.row()
        return row.place.row if isinstance(row, FieldRow) and row.place.row is not None else 0

    def colour_name(self) -> str:
        """Its name; empty where it has none yet."""
        return dict(enumerate(self.draft.colour_names())).get(self.number(), "")

    def colour(self) -> str:
        """Its slug."""
        name = self.colour_name()
        return slug(name) if name else ""

    def go_to(self, place: Place | None) -> None:
        """Choose the field of a place."""
        index = section_index(self.sections, place) if place else None
        if place is None or index is None:
            return
        self.section = index
        found = [n for n, row in enumerate(self.rows()) if isinstance(row, FieldRow) and row.place == place]
        self.cursor = found[0] if found else 0

    def move(self, by: int) -> None:
        """The next row, or the one before; what is typed is taken, down completes a name first."""
        self._follow()
        name = self.first_offer() if by > 0 else ""
        if self.typing is not None and name:
            box = self.query_one(Input)
            box.value = completed(self.typing.field, box.value, name)
            box.cursor_position = len(box.value)
            return
        notice = self._take() if self.typing is not None else ""
        if self.typing is None:
            self.cursor = (self.cursor + by) % max(1, len(self.rows()))
        self._changed(notice)

    def turn(self, by: int) -> None:
        """The next section, or the one before; from a field that is typed into, the next field."""
        if self.typing is not None:
            self._take()
            self.cursor = (self.cursor + by * (self.typing is None)) % max(1, len(self.rows()))
        else:
            self.section = (self.section + by) % len(self.sections)
            self.cursor = 0
        self._changed("")

    def lead_to(self, what: str, which: int) -> None:
        """A click: to a section, to a row or to the same field of another colour; on the row in hand it is Enter.

        What is typed is taken first, as by the keys that leave it; of the names that fit one is chosen.
        """
        if what == "offer":
            return self.choose(self._offers[which])
        if self.typing is None and (what, which) == ("row", self.cursor):
            return self.edit()
        notice = self._take() if self.typing is not None else ""
        if self.typing is None and what == "section":
            self.section, self.cursor = which, 0
        elif self.typing is None:
            colours_on = (which - self.number()) * len(self.here.fields)
            self.cursor = which if what == "row" else self.cursor + colours_on
        self._changed(notice)

    # -- typing ----------------------------------------------------------------------------------

    def edit(self) -> None:
        """Type into the chosen field; of a band, its size."""
        row = self.row()
        if row is None:
            return
        self.typing, self._no_size = row, ""
        self._bands = self.draft.layout() if isinstance(row, BandRow) else None
        box = self.query_one(Input)
        with box.prevent(Input.Changed):
            box.value = row.value
        box.cursor_position = len(row.value)
        if row.field.kind != "names":
            box.select_all()  # What is typed first takes the place of what stands there; a list is added to.
        self._followed = row.value
        self._offers = self._offered(row, row.value)
        self.query_one("#plan-line").display = True
        self.screen.set_focus(box)  # At once: the very next key is meant for it.
        self._changed("")

    def edit_with(self, digit: str) -> bool:
        """Type into the chosen field where an amount stands, with its first digit; whether one stands there."""
        row = self.row()
        amount = row is not None and (row.field.kind in KINDS or row.field.kind in COUNTED)
        if amount:
            self.edit()
            box = self.query_one(Input)
            box.value, box.cursor_position = digit, len(digit)
        return amount

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self.typing is not None and event.input.value != self._followed:
            self._changed(self._follow())

    def _follow(self) -> str | None:
        """The draft has what stands in the line; why not, where the file cannot be edited that way."""
        text = self.query_one(Input).value
        if self.typing is None or text == self._followed:
            return None
        self._followed = text
        self._offers = self._offered(self.typing, text)
        try:
            self.draft.type(self.typing.place, self._written(self.typing, text))
        except PlanError as problem:
            return str(problem)
        return None

    def _written(self, row: Row, text: str) -> str:
        """What is typed as the field has it: with the size of a band all bands; where it is none, as they were."""
        if not isinstance(row, BandRow) or self._bands is None:
            return text
        bands, self._no_size = self._bands, ""
        try:
            bands = sized(bands, row.index, text)
        except PlanError as problem:
            self._no_size = str(problem)
        return layout_text(bands)

    def submit(self) -> None:
        """Take it and go on to the next field; where it is wrong, stay and say why."""
        if self.typing is None:
            return
        place, notice = self.typing.place, self._take()
        trouble = self.draft.trouble
        if self.typing is None and (trouble is None or trouble.place != place):
            self.cursor = min(self.cursor + 1, len(self.rows()) - 1)
        self._changed(notice)

    def take(self) -> None:
        """What is being typed, if anything is, becomes part of the plan, right or wrong; nothing typed is lost."""
        if self.typing is not None:
            self._changed(self._take())

    def _take(self) -> str | None:
        refused = self._follow()
        if self._no_size:
            return refused
        self.draft.keep()
        self.close()
        return refused or self.draft.notice or None

    def leave(self) -> bool:
        """Leave the field as it was; whether one was being typed into."""
        if self.typing is None:
            return False
        self.draft.drop()
        self.close()
        self._changed(None)
        return True

    def close(self) -> None:
        """Nothing is typed any more."""
        if self.typing is not None:
            self.typing, self._offers, self._no_size = None, [], ""
            self.screen.set_focus(None)

    def first_offer(self) -> str:
        """The name that Down takes; empty where nothing was typed of one."""
        if self.typing is None:
            return ""
        return first_offer(self.typing.field, self.query_one(Input).value, self._offers)

    def makes(self) -> str:
        """The table of the shelf that a new entry of the field goes into; empty where it names none."""
        table = self.typing.field.names if self.typing is not None else ""
        return table if table in ASKED else ""

    def new_name(self) -> str:
        """What is typed, where the field could name a new entry of the shelf and there is nothing of that name."""
        if self.typing is None or not self.makes():
            return ""
        typed = last_name(self.typing.field, self.query_one(Input).value).strip()
        known = {name.casefold() for name in names_for(self.draft, self.typing.field)}
        return "" if typed.casefold() in known else typed

    def choose(self, name: str) -> None:
        """The name of a new entry in place of what was typed of it; of a list the next one can follow."""
        if self.typing is None:
            return
        box = self.query_one(Input)
        box.value = completed(self.typing.field, box.value, name)
        box.cursor_position = len(box.value)
        self._followed, self._rows_of = "", None  # The shelf is another one: the same text may be right now.
        if self.typing.field.kind == "text":
            self.submit()
        else:
            self._changed(self._follow())

    def _offered(self, row: Row, typed: str) -> list[str]:
        return matches(row.field, typed, names_for(self.draft, row.field))[:MOST_OFFERS]

    # -- drawing ---------------------------------------------------------------------------------

    def draw(
        self, width: int, height: int, looks: Mapping[str, Look], ladder: Content, glyphs: Glyphs
    ) -> None:
        """The rows, the chosen one among them; while something is typed the line stands in its place.

        `ladder` stands beside the depth of the colour in hand, whose fields alone are shown.
        """
        self.styles.width, self.styles.height = width, height
        row, rows = self.row(), self.rows()
        typing = row if self.typing is not None else None
        to = Fitted(
            width=width,
            label=max(len(field.label) for field in self.here.fields),
            looks=looks,
            glyphs=glyphs,
            most=max((r.band.size for r in rows if isinstance(r, BandRow)), default=0.0),
        )
        lines: list[Content] = []
        first = last = 0
        for number, one in enumerate(rows):
            if isinstance(one, FieldRow) and isinstance(row, FieldRow) and one.place.row != row.place.row:
                continue
            chosen = number == self.cursor
            told = draw.row_line(one, to, _note(one, ladder), chosen=chosen)
            drawn = [leads(line, "row", number) for line in told]
            if chosen:
                first = len(lines)
                drawn = [*(drawn[:1] if typing else drawn), *self._under(one, width)]
                last = first + len(drawn) - 1
            lines.extend(drawn)
        self.query_one("#plan-line").display = typing is not None
        shown, cut = draw.window(lines, first, last, height)
        at = first - cut
        self._put("plan-above", shown[:at] if typing else shown, at if typing else height)
        self._put("plan-below", shown[at + 1 :], max(0, height - at - 1) if typing else 0)
        if typing is not None:
            self._draw_line(typing, to, _note(typing, ladder))

    def _draw_line(self, row: Row, to: Fitted, note: Content) -> None:
        """What is typed into: label, line, and beside it what it comes to where there is room."""
        label, line, beside = (self.query_one(f"#plan-{name}") for name in ("label", "text", "note"))
        cells = draw.LABEL if isinstance(row, BandRow) else to.label
        label.styles.width = draw.BAR + cells + 2
        wide = max(draw.VALUE, len(self.query_one(Input).value) + 3)
        beside.display = bool(note.plain) and draw.BAR + cells + 2 + wide + note.cell_length <= to.width
        line.styles.width = wide if beside.display else "1fr"
        named = clean(row.field.label, limit=cells)
        self._show("plan-label", Content.styled(f"{to.glyphs.bar} {named}", "bold $focus"))
        self._show("plan-note", note)

    def _show(self, name: str, content: Content) -> None:
        put(self.query_one(f"#{name}", Static), content)

    def _put(self, name: str, lines: list[Content], height: int) -> None:
        """Lines in a place of a known height."""
        widget = self.query_one(f"#{name}", Static)
        widget.display = height > 0
        widget.styles.height = height
        put(widget, Content("\n").join(lines))

    def _under(self, row: Row, width: int) -> list[Content]:
        if isinstance(row, BandRow) and self.typing is None:
            return []
        trouble = self.draft.trouble
        here = trouble is not None and trouble.place == row.place
        wrong = self._no_size or (trouble.sentence if trouble is not None and here else "")
        tells = f"{row.field.tells} {self._example(row)}" if self.typing is not None and not wrong else ""
        new = f"a new {self.makes()}, {self.new_name()}" if self.new_name() else ""
        return draw.under_lines(tells, wrong, self._echo(row), self._offers, new, width)

    def _example(self, row: Row) -> str:
        """What may be typed there; a base is one of the shelf."""
        bases = [base.name for base in self.draft.shelf.bases]
        example = row.field.example if row.field.names != "base" else next(iter(bases), "")
        return f"For example {example}." if example else ""

    def _echo(self, row: Row) -> str:
        if not row.value or row.field.kind in ("layout", "band"):
            return ""
        studio = self.draft.shelf.studio
        read = read_field(row.field, row.value, drops_per_ml=studio.drops_per_ml).echoes
        given = self.typing is not None and row.value.startswith(f"{self._followed.strip()} ")
        taken = row.value.replace(",", ".") if given else ""
        return " = ".join(dict.fromkeys(filter(None, (taken, *read))))


def _note(row: Row, ladder: Content) -> Content:
    """What stands beside a row: of a colour's depth the ladder, of another field what it comes to."""
    if isinstance(row, BandRow):
        return Content("")
    if (row.place.table, row.place.key) == ("colour", "depth") and ladder.plain:
        return ladder
    return Content.styled(clean(row.note, limit=200), "$quiet")
