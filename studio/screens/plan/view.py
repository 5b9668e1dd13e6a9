"""The plan screen as it is drawn: strip, fields and bands, what they come to, keys."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual import on
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, Static

from studio.plaintext import slug
from studio.plan.draft.draft import PlanDraft, first_offer
from studio.plan.draft.edits import Place, place_of
from studio.plan.draft.field_text import read_field
from studio.plan.draft.fields import FieldSection, sections_for
from studio.plan.errors import PlanError
from studio.plan.layout import laid_bands
from studio.plan.preview import looks
from studio.plan.settled import rows_of
from studio.plan.shapes import Caution
from studio.plan.ways import method_names
from studio.screens.draw import plan as draw
from studio.screens.keyed import Keyed, KeyLine, app_of, put
from studio.screens.plan.ahead import FORETOLD, Ahead, UnsavedEdits
from studio.screens.plan.rows import (
    BandRow,
    FieldRow,
    Row,
    cautions_of,
    figures_of,
    rows_of_section,
    section_index,
)

if TYPE_CHECKING:
    from studio.services.plan_files import PlanFile
    from studio.services.studio import Services

WIDE = 76
"""Columns from which figures stand beside the fields; below that they stand under them. House rule."""


class PlanView(Keyed[None]):
    """The draft in hand, where the cursor stands, and everything that is shown of it."""

    def __init__(self, services: Services, file: PlanFile) -> None:
        """Trouble where the file is no TOML, so that it has no fields."""
        super().__init__()
        self.services = services
        self.file = file
        self.draft = PlanDraft(file.text, services.plan_files.shelf, name=file.name)
        self.section = 0
        self.cursor = 0
        self.notice = ""
        self.ahead = Ahead(services)
        self.unsaved = UnsavedEdits(services)
        self._chosen_caution: Caution | None = None
        self._typing: FieldRow | None = None
        self._offers: list[str] = []

    @property
    def is_saved(self) -> bool:
        """Whether the file holds what is shown."""
        return self.draft.text == self.file.text

    def tell(self, sentence: str) -> None:
        """In the line for it."""
        self.notice = sentence
        self.redraw()

    def changed(self) -> None:
        """The text is another one: keep it safe, show it."""
        self.unsaved.keep(self.file, self.draft.text)
        self.redraw()

    def attempt(self, change: Callable[[], object]) -> None:
        """Carry out a change; where the file cannot be edited that way, say so."""
        self.notice = ""
        try:
            change()
        except PlanError as problem:
            self.draft.drop()
            self.notice = str(problem)
        self.changed()

    def action_caution(self) -> None:
        """The next thing that is wrong or to be known, and the field it leads to."""
        trouble = self.draft.trouble
        if trouble is not None:
            self.notice = trouble.sentence
            self.go_to(trouble.place)
            self.redraw()
            return
        sheet = self.draft.worksheet
        cautions = list(sheet.cautions) if sheet else []
        if not cautions:
            self.notice = "There is nothing to look out for."
            self.redraw()
            return
        at = cautions.index(self._chosen_caution) if self._chosen_caution in cautions else -1
        caution = cautions[(at + 1) % len(cautions)]
        self.go_to(place_of(caution.where, self.draft.data))
        self._chosen_caution = caution
        leads = "" if caution.where else " It leads to no single field."
        self.notice = f"{(at + 1) % len(cautions) + 1} of {len(cautions)}, {caution.level}.{leads}"
        self.redraw()
        self.query_one("#plan-side", VerticalScroll).scroll_home(animate=False)

    def action_why(self) -> None:
        from studio.screens.bench.correct import WhyScreen

        sheet = self.draft.worksheet
        if sheet is not None:
            figures = figures_of(self.here, sheet, self._colour())
            pressing = [c for c in sheet.cautions if c.level != "note"]
            own = [c for c in cautions_of(self.here, sheet) if c not in pressing]
            self.app.push_screen(WhyScreen(figures or sheet.figures, [*pressing, *own]))

    @on(Ahead.Came)
    def _hues_came(self) -> None:
        self.redraw()

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
        """Its rows."""
        return rows_of_section(self.draft, self.here)

    def row(self) -> Row | None:
        """The chosen one."""
        rows = self.rows()
        self.cursor = max(0, min(self.cursor, len(rows) - 1))
        return rows[self.cursor] if rows else None

    def go_to(self, place: Place | None) -> None:
        """Choose the field of a place."""
        index = section_index(self.sections, place) if place else None
        if place is None or index is None:
            return
        self.section = index
        found = [n for n, row in enumerate(self.rows()) if isinstance(row, FieldRow) and row.place == place]
        self.cursor = found[0] if found else 0

    def moved(self) -> None:
        """Another row is chosen: what was said about the last one is over."""
        self.notice, self._chosen_caution = "", None
        self.redraw()

    def redraw(self) -> None:
        """Everything at the present size."""
        width, height = self.size
        if not width or not self.query("#keys"):
            return
        wide = width >= WIDE
        self.query_one("#plan-body").set_class(not wide, "-narrow")
        left = min(64, (width * 52) // 100) if wide else width
        right = width - left if wide else width
        self.draw_foot()
        body = max(6, height - 3 - self.query_one(KeyLine).rows)
        tall = body if wide else max(5, min(len(self.rows()) + 4, body * 3 // 5))
        self.query_one("#plan-fields").styles.width = left
        self.query_one("#plan-fields").styles.height = tall
        title = self.draft.data.get("title", "")
        said = draw.standing(self.draft, saved=self.is_saved)
        told = draw.title_line(title if isinstance(title, str) else "", said, width)
        put(self.query_one("#plan-title", Static), told)
        strip = draw.strip(self.sections, self.section, self._marks(), width)
        put(self.query_one("#plan-strip", Static), strip)
        self._draw_fields(left, tall)
        self._draw_side(right - 1)
        self.refresh_bindings()
        self.ahead.follow(self.draft, self.here.table)

    def in_layout(self) -> bool:
        """Whether bands are shown."""
        return self.here.table == "layout"

    def in_list(self) -> bool:
        """Whether rows can be added to what is shown, and taken out."""
        return self.here.table in ("colour", "layout")

    def offers(self) -> bool:
        """Whether a name fits what is being typed."""
        return bool(self.first_offer())

    def first_offer(self) -> str:
        """The name that Down takes; empty where nothing was typed of one."""
        if self._typing is None:
            return ""
        return first_offer(self._typing.field, self.query_one("#plan-text", Input).value, self._offers)

    def _marks(self) -> list[str]:
        wrong: set[str] = set()
        if self.draft.trouble is not None and self.draft.trouble.place is not None:
            wrong.add(self.draft.trouble.place.table)
        for caution in self.draft.worksheet.stops if self.draft.worksheet else ():
            place = place_of(caution.where, self.draft.data)
            if place is not None:
                wrong.add(place.table)
        return ["!" if s.table in wrong else "" for s in self.sections]

    def _draw_fields(self, width: int, height: int) -> None:
        row, rows = self.row(), self.rows()
        most = max((r.rows for r in rows if isinstance(r, BandRow)), default=0.0)
        block = self._block()
        lines: list[Content] = []
        first = last = 0
        for number, one in enumerate(rows):
            if isinstance(one, FieldRow) and one.place.key == "name" and one.place.row:
                lines.append(Content(""))
            chosen = number == self.cursor
            drawn = draw.row_line(one, width, chosen=chosen, looks=self.ahead.looks, most=most, block=block)
            if chosen:
                first = len(lines)
                drawn = drawn[:1] if self._typing is not None else drawn
                drawn = [*drawn, *self._under(one, width)]
                last = first + len(drawn) - 1
            lines.extend(drawn)
        shown, cut = draw.window(lines, first, last, height)
        at = first - cut
        typing = self._typing is not None and isinstance(row, FieldRow)
        above, below = (shown[:at], shown[at + 1 :]) if typing else (shown, [])
        self._put("plan-above", above, len(above) if typing else height)
        self._put("plan-below", below, max(0, height - at - 1) if typing else 0)
        if typing and isinstance(row, FieldRow):
            label = Content.styled(f" > {row.field.label:<{draw.LABEL}} ", "bold $focus")
            put(self.query_one("#plan-label", Static), label)

    def _put(self, name: str, lines: list[Content], height: int) -> None:
        """Lines in a place of a known height."""
        widget = self.query_one(f"#{name}", Static)
        widget.display = height > 0
        widget.styles.height = height
        put(widget, Content("\n").join(lines))

    def _under(self, row: Row, width: int) -> list[Content]:
        if isinstance(row, BandRow):
            return []
        trouble = self.draft.trouble
        wrong = trouble.sentence if trouble is not None and trouble.place == row.place else ""
        tells = f"{row.field.tells} {row.field.example}" if self._typing is not None else row.field.tells
        return draw.under_lines("" if wrong else tells, wrong, self._echo(row), self._offers, width)

    def _echo(self, row: FieldRow) -> str:
        if not row.value or row.field.kind == "layout":
            return ""
        return read_field(
            row.field,
            row.value,
            drops_per_ml=self.draft.shelf.studio.drops_per_ml,
            units=self.draft.shelf.studio.units,
        ).echo

    def _draw_side(self, width: int) -> None:
        sheet = self.draft.worksheet
        figures = figures_of(self.here, sheet, self._colour()) if sheet else []
        cautions = cautions_of(self.here, sheet) if sheet else []
        if sheet is None or self._chosen_caution not in sheet.cautions:
            self._chosen_caution = None
        row = self.row()
        here = row.place if isinstance(row, FieldRow) else None
        lines = draw.side(self.draft, figures, cautions, self._chosen_caution, width, here=here)
        if self.here.table in FORETOLD:
            blank = self._blank(width) if self.here.table == "layout" else []
            lines = [*blank, *self.ahead.foretold(width), *lines]
        put(self.query_one("#plan-figures", Static), Content("\n").join(lines))

    def _blank(self, width: int) -> list[Content]:
        layout, settled = self.draft.layout(), self.draft.settled
        rows = rows_of(settled) if settled else None
        if layout is None or (layout.order[0].rows is not None and rows is None):
            return []
        bands = [(b.colour, float(b.rows or b.share_percent or 0)) for b in laid_bands(layout, rows)]
        laid = sum(size for _, size in bands)
        whole = float(rows or 0) if layout.order[0].rows is not None else 100.0
        if whole > laid:
            bands.append(("", whole - laid))
        said = f"{len(bands)} bands on {whole:g} {'rows' if layout.order[0].rows is not None else '%'}"
        return [
            Content.styled(f" the whole piece, {said}", "$quiet"),
            draw.blank_line(bands, self.ahead.looks, width, self._block()),
            Content(""),
        ]

    def _block(self) -> str:
        """Full cells where there is colour to fill them; nothing, and so the signs, where there is none."""
        names = self.draft.colour_names()
        if any(name not in self.ahead.looks for name in ("", *names)):
            self.ahead.looks = {**looks(names, (), "#e9e2d0"), **self.ahead.looks}
        block = app_of(self).glyphs.block
        return "" if os.environ.get("NO_COLOR") or block == "#" else block

    def _colour(self) -> str:
        """The slug of the colour whose fields are looked at."""
        row = self.row()
        names = self.draft.colour_names()
        number = row.place.row if isinstance(row, FieldRow) and row.place.row is not None else 0
        return slug(names[number]) if number < len(names) and names[number] else ""
