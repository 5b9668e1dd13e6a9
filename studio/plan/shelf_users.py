"""Who uses an entry of the shelf: plans by name, and jars of a dye."""

from __future__ import annotations

from studio.plan.model import Plan
from studio.plan.shelf import Shelf
from studio.plan.shelf_places import folded


def names_in(plan: Plan) -> frozenset[tuple[str, str]]:
    """Every shelf entry a plan may mean, by table and name; a dye may be a jar."""
    named = [colour.dye for colour in plan.colours]
    named.extend(part.dye for colour in plan.colours for part in colour.mix)
    found = {(table, folded(name)) for name in named for table in ("dye", "jar")}
    found.add(("acid", folded(plan.sour.acid)))
    found.add(("base", folded(plan.fibre.base)))
    found.update(("kit", folded(item)) for item in plan.kit)
    return frozenset(pair for pair in found if pair[1])


def jars_of(shelf: Shelf, table: str, name: str) -> tuple[str, ...]:
    """Jars that hold a dye of the shelf."""
    if table != "dye":
        return ()
    return tuple(jar.name for jar in shelf.jars if folded(jar.dye) == folded(name))
