"""What a plan loses and gains when its method changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from studio.plan.ways import method_called, methods

if TYPE_CHECKING:
    from studio.plan.text import PlanText

ACID = ("acid", "target_ph", "acid_amount", "practice")
CARRIED = ("acid", "target_ph", "acid_amount")


def change_method(new: PlanText, data: dict[str, Any], name: str) -> None:
    """Take out what belongs to another method, and carry the acid to the table where the new one has it.

    data: the plan before. What is taken out comes back with one step back.
    """
    method, tables = method_called(name), {m.acid_table: _table(data, m.acid_table) for m in methods()}
    for other in methods():
        if other.set_by.table != method.set_by.table:
            new.drop_table(other.set_by.table)
    if not method.put_on.has_bands:
        new.drop_table("layout")
        new.erase("", None, "reserve")
    if method.acid_table != "presoak":
        for key in ACID:
            new.erase("presoak", None, key)
    here = tables.pop(method.acid_table)
    for there in tables.values():
        for key in CARRIED:
            if key in there and key not in here:
                new.write(method.acid_table, None, key, there[key])


def _table(data: dict[str, Any], name: str) -> dict[str, Any]:
    found = data.get(name)
    return found if isinstance(found, dict) else {}
