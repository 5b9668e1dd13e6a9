"""What a plan loses and gains when its method changes."""

from __future__ import annotations

from typing import Any

from studio.plan.plan_text import PlanText

STEAM, KETTLE, MICROWAVE = "paint and steam", "kettle", "microwave"
OWN_TABLE = {STEAM: "set", KETTLE: "kettle", MICROWAVE: "microwave"}
ACID = ("acid", "target_ph", "acid_amount", "practice")
IN_KETTLE = ("acid", "target_ph", "acid_amount")


def change_method(new: PlanText, data: dict[str, Any], method: str) -> None:
    """Take out what belongs to another method, and carry the acid to the table where the new one has it.

    data: the plan before. What is taken out comes back with one step back.
    """
    kettle = data.get("kettle") if isinstance(data.get("kettle"), dict) else {}
    soak = data.get("presoak") if isinstance(data.get("presoak"), dict) else {}
    assert kettle is not None and soak is not None
    for other, table in OWN_TABLE.items():
        if other != method:
            new.drop_table(table)
    if method == KETTLE:
        new.drop_table("layout")
        new.erase("", None, "reserve")
        for key in ACID:
            new.erase("presoak", None, key)
        for key in IN_KETTLE:
            if key in soak and key not in kettle:
                new.write("kettle", None, key, soak[key])
        return
    for key in IN_KETTLE:
        if key in kettle and key not in soak:
            new.write("presoak", None, key, kettle[key])
