"""The sentence for a quantity that cannot be read: what is wrong, and what to write instead."""

from __future__ import annotations

from studio.quantity.kinds import KINDS, Kind
from studio.quantity.measure import QuantityError, quoted, wrong

_HINTS = {
    ("volume", "oz"): 'is a weight; for a volume write "fl oz", for example "4 fl oz"',
    ("volume", "ounce"): 'is a weight; for a volume write "fl oz", for example "4 fl oz"',
    ("volume", "ounces"): 'is a weight; for a volume write "fl oz", for example "4 fl oz"',
    ("mass", "gr"): 'could be grams or grains; write "g", for example "100 g"',
    ("mass", "t"): 'could be tonnes or teaspoons; write grams, for example "100 g"',
    ("temperature", "°"): 'does not say which degrees; write "C" or "F", for example "85 C"',
    ("temperature", "deg"): 'does not say which degrees; write "C" or "F", for example "85 C"',
    ("temperature", "degrees"): 'does not say which degrees; write "C" or "F", for example "85 C"',
    **{
        ("alkalinity", spelling): "is total hardness (GH), and alkalinity is wanted: read the pad called "
        'KH, carbonate hardness or total alkalinity, for example "4 °dKH"'
        for spelling in ("gh", "°gh", "dgh", "°dgh", "deg gh")
    },
}
_VAGUE = ("pinch", "pinches", "smidgen", "splash", "handful", "glug", "capful", "spoon", "spoonful")


def no_number(typed: str, kind: Kind) -> QuantityError:
    """There is no number where one must stand."""
    return wrong(f"{quoted(typed)} cannot be read as {kind.a_name}", kind.example)


def unknown_unit(words: str, typed: str, kind: Kind) -> QuantityError:
    """The unit is missing, vague, of another kind, or no unit at all."""
    small = words.lower()
    if not words:
        return wrong(f"{quoted(typed)} has a number without a unit", kind.example)
    if hint := _HINTS.get((kind.name, small)):
        return QuantityError(f"{quoted(typed)} {hint}.")
    if small in _VAGUE:
        return QuantityError(
            f'A {small} has no fixed size; weigh or measure it and write for example "{kind.example}".'
        )
    if small == "nm":
        return QuantityError(
            f'{quoted(typed)} reads as a yarn number or a torque; write for example "{kind.example}".'
        )
    if other := _other_kind(words, kind):
        return wrong(f"{quoted(typed)} is {other.a_name}, and {kind.a_name} is wanted", kind.example)
    return wrong(f"{quoted(words)} is not a unit of {kind.name} here", kind.example)


def _other_kind(words: str, kind: Kind) -> Kind | None:
    for other in KINDS.values():
        if other.name != kind.name and (words in other.words or words.lower() in other.words):
            return other
    return None
