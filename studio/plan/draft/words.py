"""What the plan screen says: refusals in the words of its fields, and what takes the place of what."""

from __future__ import annotations

from collections.abc import Mapping

from studio.plan.draft.edits import Place, place_of
from studio.plan.draft.field_text import show_field
from studio.plan.draft.fields import field_of
from studio.plan.errors import KeyPath, PlanError, label_in_sentence, on_screen


def plan_sentence(problem: PlanError, place: Place | None = None) -> str:
    """A refusal of a plan in the words of the field it is about, without the name of the file.

    >>> from studio.plan.errors import named, refuse
    >>> plan_sentence(refuse("x.plan.toml", ("fibre", "rows"), "is less than ", named("fibre", "dry_weight"), "."))
    'Rows is less than dry weight.'
    """
    place = place or place_of(problem.path, {})
    field = field_of(place.table, place.key) if place else None
    if field is not None and problem.path[:2] == ("layout", "order") and len(problem.path) > 2:
        return f"Band {problem.path[2]} cannot be read; write {field.example}."
    return on_screen(problem, field, _label)


def _label(path: KeyPath) -> str:
    field = field_of(str(path[0]) if len(path) > 1 else "", str(path[-1]))
    return field.label if field is not None else ""


def in_its_place(place: Place, typed: str, out: Mapping[str, object]) -> str:
    """What is used now instead of other values of the same table, by key."""
    told = [
        f"{field.label} {show_field(field, value)}"
        for key, value in out.items()
        if (field := field_of(place.table, key)) is not None
    ]
    new = field_of(place.table, place.key)
    now = label_in_sentence(new) if new is not None else place.key
    return f"{now} {typed.strip()} is used now; {' and '.join(told)} {'is' if len(told) == 1 else 'are'} left out."
