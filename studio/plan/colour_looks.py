"""How the colours of a plan are drawn: their hue, or a stand-in, and a sign for where there is no colour."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio.plan.colour_preview import ColourSeen

STANDINS = ("#c2572f", "#2f6f9f", "#6f8f3a", "#8a5a9a", "#b08a2a")
"""For colours nothing is known of: they tell bands apart and say nothing about the dye."""
HATCH = "#=+:%@*o"
"""Signs for the bands where there is no colour to show them."""


@dataclass(frozen=True, slots=True)
class Look:
    """How a colour is drawn: its hue, or a stand-in, and its sign."""

    name: str
    hex: str
    sign: str
    known: bool


def looks(names: Sequence[str], seen: Sequence[ColourSeen], undyed: str) -> dict[str, Look]:
    """Each colour and the bare yarn (the empty name) with its hue and its sign."""
    hues = {c.name: c.hex for c in seen}
    found = {"": Look("bare", undyed, ".", True)}
    for number, name in enumerate(dict.fromkeys(names)):
        hue = hues.get(name, "")
        sign = HATCH[number % len(HATCH)]
        found[name] = Look(name, hue or STANDINS[number % len(STANDINS)], sign, bool(hue))
    return found
