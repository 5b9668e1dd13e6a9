"""Keys of a plan that say one thing in two ways: of each group a plan may have one."""

from __future__ import annotations

from collections.abc import Mapping

EITHER: dict[str, tuple[tuple[str, str], ...]] = {
    "presoak": (("acid_amount", "target_ph"), ("practice", "target_ph"), ("practice", "acid_amount")),
    "kettle": (("acid_amount", "target_ph"),),
    "set": (("practice", "hold"),),
    "colour": (("mix", "dye"), ("depth", "drops"), ("mix", "drops")),
}
"""By table; of two the first is blamed where a file has both."""
GOES_WITH = {("colour", "drops"): ("in",)}
"""What goes out with a key: the water drops are counted into says nothing without them."""


def ousted(table: str, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
    """The keys of the same table that a newer one takes the place of, of those that are there.

    >>> ousted("presoak", "target_ph", 4, {"acid_amount": "60 mL", "time": "30 min"})
    ('acid_amount',)
    """
    others = [other for pair in EITHER.get(table, ()) if key in pair for other in pair if other != key]
    if table == "kettle":
        others += _uneven(key, value, row)
    found = [other for other in others if other in row]
    return tuple(
        dict.fromkeys(k for other in found for k in (other, *GOES_WITH.get((table, other), ())) if k in row)
    )


def _uneven(key: str, value: object, row: Mapping[str, object]) -> list[str]:
    """Dye in parts lets a colour strike unevenly; acid in stages evens it out."""
    if key == "parts" and value not in (1, "1") and row.get("acid_added") == "staged":
        return ["acid_added"]
    return (
        ["parts"] if key == "acid_added" and value == "staged" and row.get("parts") not in (None, 1) else []
    )
