"""A plan under way: its text, what can be worked out of it so far, and the way back and forth.

Every change is a change of the text, so that comments and keys nobody knows stay. What is typed may be wrong for a
while: the text holds it, the last good figures stay, and one sentence says what is wrong and where.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

import msgspec

from studio.plan import layout as layout_edit
from studio.plan.draft.edits import (
    Editing,
    Place,
    colour_names,
    filled_in,
    in_its_place,
    place_of,
    plan_sentence,
    repeat_of,
    row_at,
    write_layout,
)
from studio.plan.draft.field_text import Typed, read_field, show_field, with_unit
from studio.plan.errors import PlanError
from studio.plan.fields import Field, ousted
from studio.plan.keys import Keys
from studio.plan.layout import awaited, awaits, layout_text, order_rows, read_band, read_layout_text
from studio.plan.model import LayoutPlan, Plan, PlannedBand
from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Worksheet
from studio.plan.sheet import worked_out
from studio.plan.shelf import Shelf
from studio.plan.text import PlanText
from studio.plan.toml import toml_table
from studio.tables.rows import acids, dyes, fibres, holds, practice, thickeners

MOST_STEPS = 500
"""Changes that can be taken back. House rule."""


class PlanTrouble(msgspec.Struct, frozen=True):
    """What keeps the plan from being worked out."""

    sentence: str
    place: Place | None
    """The field that leads to it, where there is one."""


class EditStep(msgspec.Struct, frozen=True):
    text: str
    place: Place | None
    """The field that was changed to get here."""


class PlanDraft:
    """A plan text that is being changed. Pure: it reads no file and writes none."""

    def __init__(self, text: str, shelf: Shelf, *, name: str) -> None:
        """PlanError where the text is no TOML, so that there are no fields to show."""
        self.name = name
        self.shelf = shelf
        self.plan: Plan | None = None
        """The last one that could be read, with the figures of the same."""
        self.settled: Settled | None = None
        self.worksheet: Worksheet | None = None
        self.trouble: PlanTrouble | None = None
        """None where the figures are those of the text as it stands."""
        self.notice = ""
        """What was left out because what was typed last takes its place."""
        self._past: list[EditStep] = []
        self._now = EditStep(text, None)
        self._future: list[EditStep] = []
        self._typing: EditStep | None = None
        self._stood = ""
        """What stood in the field before it was typed into."""
        self._editing = Editing(name)
        self.data: dict[str, Any] = {}
        PlanText(text, name=name)
        self._look(text, None)

    @property
    def text(self) -> str:
        """As it stands, with what is being typed."""
        return (self._typing or self._now).text

    # -- fields ----------------------------------------------------------------------------------

    def value(self, place: Place) -> object:
        """What the plan holds there; None where the key was left out."""
        return row_at(self.data, place).get(place.key)

    def shown(self, place: Place) -> str:
        """The same as it is typed."""
        field = place.field
        if field.kind == "layout":
            layout = self.layout()
            return layout_text(layout) if layout else show_field(field, self.value(place))
        return show_field(field, self.value(place))

    def colour_names(self) -> list[str]:
        """Of the plan as it stands."""
        return colour_names(self.data)

    def layout(self) -> LayoutPlan | None:
        """The bands as they stand, also where the rest of the plan cannot be read; None without any."""
        names = self.colour_names()
        try:
            keys = Keys(self.data, file=self.name).table("layout")
            order = tuple(read_band(row) for row in keys.rows("order"))
        except PlanError:
            return None
        if "order" not in keys and len(names) == 1:
            order = (PlannedBand(colour=names[0], share_percent=100.0),)
        times = keys.raw("repeat") if "repeat" in keys else 1
        return LayoutPlan(order=order, times=times if isinstance(times, int) else None) if order else None

    def awaited(self) -> tuple[str, ...]:
        """Names of bands that no colour has yet; the plan cannot begin till they have."""
        layout = self.layout()
        return awaited(layout, self.colour_names()) if layout is not None else ()

    # -- typing ----------------------------------------------------------------------------------

    def type(self, place: Place, typed: str) -> Typed:
        """Try what is in a field so far: figures and trouble follow, nothing is kept yet.

        A blank text leaves the key out, a number alone takes the unit of what stood there. PlanError where the file
        is written in a way that cannot be edited.
        """
        field = place.field
        self.notice = ""
        if self._typing is None or self._typing.place != place:
            self._stood = self.shown(place)
        typed = with_unit(field, typed, self._stood)
        if not typed.strip():
            read = Typed(value="")
            text = self._editing.changed(self._now.text, place, None)
        else:
            read = self._read(field, typed)
            text = self._editing.changed(self._now.text, place, read.value)
            if not read.trouble:
                text = self._newer_wins(text, place, read.value, typed)
        self._typing = EditStep(text, place)
        self._look(text, PlanTrouble(read.trouble, place) if read.trouble else None)
        return read

    def keep(self) -> bool:
        """What is being typed becomes part of the plan; whether it changed anything."""
        typing, self._typing = self._typing, None
        if typing is None or typing.text == self._now.text:
            return False
        self._step(typing)
        return True

    def drop(self) -> None:
        """What is being typed is forgotten."""
        self.notice = ""
        if self._typing is not None:
            self._typing = None
            self._look(self._now.text, None)

    def put(self, place: Place, typed: str) -> Typed:
        """Type and keep."""
        read = self.type(place, typed)
        self.keep()
        return read

    # -- colours and bands -----------------------------------------------------------------------

    def add_colour(self, name: str = "") -> Place:
        """One more colour; the place of its dye, which is still to be named.

        It takes the name that a band waits for, or else a band of its own at the end of the layout.
        """
        names = self.colour_names()
        layout = self.layout()
        waiting = self.awaited()
        name = name or next(n for n in (*waiting, *(f"colour {i}" for i in range(1, 99))) if n not in names)
        new = self._open()
        row = {"name": name, "depth": "1 %"}
        if names:
            new.add_row("colour", row)
        else:
            new.write("", None, "colour", [row])
        if layout is not None and names and name not in waiting:
            write_layout(new, layout_edit.with_colour(layout, name))
        place = Place("colour", len(names), "dye")
        self._change(new.text(), place)
        return place

    def remove_colour(self, row: int) -> bool:
        """Without that colour; its bands stay bare. False for the last one, which stays."""
        names = self.colour_names()
        if len(names) < 2 or not 0 <= row < len(names):
            return False
        layout = self.layout()
        new = self._open()
        new.remove_row("colour", row)
        if layout is not None and "layout" in self.data:
            write_layout(new, layout_edit.without_colour(layout, names[row]))
        self._change(new.text(), Place("colour", max(0, row - 1), "name"))
        return True

    def set_layout(self, layout: LayoutPlan) -> bool:
        """Another layout; whether it is another one."""
        if layout == self.layout():
            return False
        new = self._open()
        write_layout(new, layout)
        self._change(new.text(), Place("layout", None, "order"))
        return True

    # -- back and forth --------------------------------------------------------------------------

    @property
    def undos(self) -> int:
        """How many changes can be taken back."""
        return len(self._past)

    @property
    def redos(self) -> int:
        """How many of those taken back can be made again."""
        return len(self._future)

    def undo(self) -> Place | None:
        """Take the last change back; the field it was made in."""
        self.drop()
        if not self._past:
            return None
        self._future.append(self._now)
        place, self._now = self._now.place, self._past.pop()
        self._look(self._now.text, None)
        return place

    def redo(self) -> Place | None:
        """Make it again."""
        self.drop()
        if not self._future:
            return None
        self._past.append(self._now)
        self._now = self._future.pop()
        self._look(self._now.text, None)
        return self._now.place

    def take_up(self, text: str) -> None:
        """Go on with another text; one step back leads to this one."""
        self.drop()
        self._change(text, None)

    def hold_ready(self, text: str) -> None:
        """Another text stands one step ahead."""
        self._future = [EditStep(text, None)]

    # -- within ----------------------------------------------------------------------------------

    def _read(self, field: Field, typed: str) -> Typed:
        if field.kind != "layout":
            return read_field(field, typed, drops_per_ml=self.shelf.studio.drops_per_ml)
        try:
            layout = read_layout_text(typed, [name for name in self.colour_names() if name])
        except PlanError as problem:
            return Typed(value=typed.strip(), trouble=str(problem))
        return Typed(value={"order": order_rows(layout), "repeat": repeat_of(layout)})

    def _newer_wins(self, text: str, place: Place, value: Any, typed: str) -> str:
        """The text without what says the same thing in another way; the notice says what that was."""
        row = row_at(toml_table(text, file=self.name), place)
        out = (*ousted(place.table, place.key, value, row), *filled_in(place, value, row, self.shelf.bases))
        if not out:
            return text
        self.notice = in_its_place(place, typed, {key: row[key] for key in out})
        return self._editing.without(text, place, out)

    def _open(self) -> PlanText:
        self.drop()
        return PlanText(self._now.text, name=self.name)

    def _change(self, text: str, place: Place | None) -> None:
        self._step(EditStep(text, place))
        self._look(text, None)

    def _step(self, step: EditStep) -> None:
        self._past = [*self._past, self._now][-MOST_STEPS:]
        self._now, self._future = step, []

    def _look(self, text: str, trouble: PlanTrouble | None) -> None:
        """Read the text and work it out; what fails leaves the last good figures."""
        try:
            self.data = toml_table(text, file=self.name)
            if trouble is None:
                plan = read_plan(text, name=self.name, drops_per_ml=self.shelf.studio.drops_per_ml)
                settled = settle(plan, self.shelf)
                self.plan, self.settled, self.worksheet = plan, settled, worked_out(settled)
        except PlanError as problem:
            place = place_of(problem.path, self.data)
            trouble = PlanTrouble(self._told(problem, place), place)
        self.trouble = trouble

    def _told(self, problem: PlanError, place: Place | None) -> str:
        """A refusal in the words of the field; where the field's own text cannot be read, as it is when it is typed."""
        value = self.value(place) if place is not None else None
        if place is not None and isinstance(value, str) and (wrong := self._read(place.field, value).trouble):
            return wrong
        if place is not None and place.table == "layout" and (waiting := self.awaited()):
            return awaits(waiting[0], [name for name in self.colour_names() if name])
        return plan_sentence(problem, place)


# Names that complete what is typed into a field: the shelf's own first, then the tables.


def matches(field: Field, typed: str, names: list[str]) -> list[str]:
    """Names that hold what is typed, those that begin with it first; of a list of names, its last one."""
    told = last_name(field, typed).casefold()
    if told in (name.casefold() for name in names):
        return []
    first = [n for n in names if n.casefold().startswith(told)]
    return [*first, *(n for n in names if told in n.casefold() and n not in first)]


def first_offer(field: Field, typed: str, offers: list[str]) -> str:
    """The name that is taken for what was typed of it; none, empty, where nothing was typed of one."""
    return offers[0] if offers and last_name(field, typed).strip() else ""


def completed(field: Field, typed: str, name: str) -> str:
    """The text with the name in place of what was typed of it."""
    return typed[: len(typed) - len(last_name(field, typed))] + name


def last_name(field: Field, typed: str) -> str:
    """What is typed of a name; in a list, of its last one."""
    if field.kind in ("names", "blend", "mix", "layout"):
        return typed.rpartition(",")[2].lstrip()
    return typed


def names_for(draft: PlanDraft, field: Field) -> list[str]:
    """What may be named there: the shelf's own first, then the tables."""
    shelf = draft.shelf
    if field.choices:
        return list(field.choices)
    known: dict[str, Callable[[], Iterable[str]]] = {
        "dye": lambda: (*(d.name for d in shelf.dyes), *(j.name for j in shelf.jars), *_dyes()),
        "acid": lambda: (*(a.name for a in shelf.acids), *acids()),
        "thickener": lambda: (*(t.name for t in shelf.thickeners), *thickeners()),
        "base": lambda: (base.name for base in shelf.bases),
        "fibre": fibres,
        "dose": lambda: (row.id for row in practice()),
        "hold": lambda: (row.id for row in holds()),
        "kit": lambda: (item.name for item in shelf.kit),
        "colour": lambda: (*draft.colour_names(), "bare", "repeat"),
        "": tuple,
    }
    return [name for name in dict.fromkeys(known[field.names]()) if name]


def _dyes() -> list[str]:
    rows = sorted(dyes().values(), key=lambda row: not row.food)
    return [row.name if row.food or not row.ci else row.ci for row in rows]
