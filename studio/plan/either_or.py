"""Keys of a plan that say one thing in two ways: of each group a plan may have one."""

from __future__ import annotations

from collections.abc import Mapping

from studio.plan.ways import methods

EITHER: dict[str, tuple[tuple[str, str], ...]] = {
    "presoak": (("acid_amount", "target_ph"), ("practice", "target_ph"), ("practice", "acid_amount")),
    "colour": (("mix", "dye"), ("depth", "drops"), ("mix", "drops")),
}
"""By table that every plan has; of two the first is blamed where a file has both."""
GOES_WITH = {("colour", "drops"): ("in",)}
"""What goes out with a key: the water drops are counted into says nothing without them."""


def ousted(table: str, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
    """The keys of the same table that a newer one takes the place of, of those that are there.

    >>> ousted("presoak", "target_ph", 4, {"acid_amount": "60 mL", "time": "30 min"})
    ('acid_amount',)
    """
    own = next((m.set_by for m in methods() if m.set_by.table == table), None)
    pairs = EITHER.get(table, ()) if own is None else own.either
    others = [other for pair in pairs if key in pair for other in pair if other != key]
    others += () if own is None else own.uneven(key, value, row)
    found = [other for other in others if other in row]
    return tuple(
        dict.fromkeys(k for other in found for k in (other, *GOES_WITH.get((table, other), ())) if k in row)
    )
