"""Names that complete what is typed into a field: the shelf's own first, then the tables."""

from __future__ import annotations

from studio.plan.draft import PlanDraft
from studio.plan.fields import Field


def matches(field: Field, typed: str, names: list[str]) -> list[str]:
    """Names that hold what is typed, those that begin with it first; of a list of names, its last one."""
    told = _last_name(field, typed).casefold()
    if told in (name.casefold() for name in names):
        return []
    first = [n for n in names if n.casefold().startswith(told)]
    return [*first, *(n for n in names if told in n.casefold() and n not in first)]


def first_offer(field: Field, typed: str, offers: list[str]) -> str:
    """The name that is taken for what was typed of it; none, empty, where nothing was typed of one."""
    return offers[0] if offers and _last_name(field, typed).strip() else ""


def completed(field: Field, typed: str, name: str) -> str:
    """The text with the name in place of what was typed of it."""
    return typed[: len(typed) - len(_last_name(field, typed))] + name


def _last_name(field: Field, typed: str) -> str:
    if field.kind in ("names", "blend", "mix", "layout"):
        return typed.rpartition(",")[2].lstrip()
    return typed


def names_for(draft: PlanDraft, field: Field) -> list[str]:
    """What may be named there: the shelf's own first, then the tables."""
    from studio import tables

    shelf = draft.shelf
    if field.choices:
        return list(field.choices)
    if field.names == "dye":
        return _once([d.name for d in shelf.dyes], [j.name for j in shelf.jars], _dyes())
    if field.names == "acid":
        return _once([a.name for a in shelf.acids], [row.name for row in tables.acids().values()])
    if field.names == "base":
        return [base.name for base in shelf.bases]
    if field.names == "fibre":
        return [row.name for row in tables.fibres().values()]
    if field.names == "dose":
        return [row.id for row in tables.practice()]
    if field.names == "hold":
        return [row.id for row in tables.holds()]
    if field.names == "kit":
        return [item.name for item in shelf.kit]
    if field.names == "colour":
        return [*draft.colour_names(), "bare", "repeat"]
    return []


def _dyes() -> list[str]:
    from studio import tables

    rows = sorted(tables.dyes().values(), key=lambda row: not row.food)
    return [row.name if row.food or not row.ci else row.ci for row in rows]


def _once(*lists: list[str]) -> list[str]:
    return list(dict.fromkeys(name for names in lists for name in names if name))
