"""What the plan screen says: refusals in the words of its fields, and what takes the place of what."""

from __future__ import annotations

import re
from collections.abc import Mapping

from studio.plan.draft.edits import Place, place_of
from studio.plan.draft.field_text import show_field
from studio.plan.draft.fields import field_of, labels_of
from studio.plan.errors import PlanError, in_file, label_in_sentence, on_screen
from studio.shelf.keys import remark_on_screen


def plan_sentence(problem: PlanError, place: Place | None = None) -> str:
    """A refusal of a plan in the words of the field it is about, without the name of the file.

    >>> from studio.plan.errors import refuse
    >>> plan_sentence(refuse("x.plan.toml", "fibre.rows", "is missing; write rows = 220."))
    'Rows is missing; write 220.'
    """
    place = place or place_of(problem.key, {})
    field = field_of(place.table, place.key) if place else None
    if not problem.what:
        return remark_on_screen(str(problem))
    if place is None or field is None:
        return in_file(problem)
    inside = re.fullmatch(r"layout\.order\[([0-9]+)\].*", problem.key)
    if inside:
        return f"Band {inside[1]} cannot be read; write {field.example}."
    return on_screen(problem, field, labels_of(place.table))


def in_its_place(place: Place, typed: str, out: Mapping[str, object]) -> str:
    """What is used now instead of other values of the same table, by key."""
    told = [
        f"{field.label.removeprefix('or ')} {show_field(field, value)}"
        for key, value in out.items()
        if (field := field_of(place.table, key)) is not None
    ]
    new = field_of(place.table, place.key)
    now = label_in_sentence(new) if new is not None else place.key
    return f"{now} {typed.strip()} is used now; {' and '.join(told)} {'is' if len(told) == 1 else 'are'} left out."
