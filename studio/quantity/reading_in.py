"""The units a dyer reads in: what is worked, kept and handed to other programs stays metric, and is turned where it
is shown.

A value is told by what it is: temperatures and lengths always, grams and millilitres only where a kitchen measures
them. What is told is rounded to what such a tool shows, from the metric figure as it would be shown: the same figure
is told alike wherever it stands. Of the sentences of a plan only the temperatures of a short list are turned, so that
no name, note or reason of the dyer's is.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Literal

from studio.plaintext import clean
from studio.quantity.showing import show, show_number, show_span, unit_text

UnitSystem = Literal["metric", "US"]
UNIT_SYSTEMS: tuple[UnitSystem, ...] = ("metric", "US")

_asked: list[Callable[[], UnitSystem]] = [lambda: "metric"]
"""Whose units they are: said once, when a studio is opened."""
_for_programs = ContextVar("for_programs", default=False)
"""Whether what is told is for another program: in the task that writes it, and nowhere else."""


def read_in(asked: Callable[[], UnitSystem]) -> None:
    """From now on the units are what this says, asked anew each time."""
    _asked[:] = [asked]


def system() -> UnitSystem:
    """The units that are read in now."""
    return "metric" if _for_programs.get() else _asked[0]()


@contextmanager
def in_metric() -> Iterator[None]:
    """All that is told within is metric, as it is for other programs."""
    before = _for_programs.set(True)
    try:
        yield
    finally:
        _for_programs.reset(before)


# What a kitchen has a tool for. Sizes are exact: NIST Special Publication 811, appendix B.8, held against pint.

_SIZES = {
    "oz": 28.349523125,
    "fl oz": 29.5735295625,
    "tsp": 4.92892159375,
    "in": 2.54,
    "yd": 0.9144,
    "ft": 0.3048,
    "fl oz/min": 29.5735295625,
    "°F/min": 1 / 1.8,
}
_OTHER = {
    "g": "oz",
    "mL": "fl oz",
    "cm": "in",
    "m": "yd",
    "mL/min": "fl oz/min",
    "degC/min": "°F/min",
    "degC": "degF",
}
SPOONS_ML = _SIZES["fl oz"]
"""Below a fluid ounce, which is six teaspoons, a kitchen takes a spoon. House rule."""
NEAR = 0.05
"""What the nearest mark of a tool is further off than this share stays metric. House rule."""
_QUARTERS = {0.25: "1/4", 0.5: "1/2", 0.75: "3/4"}


def unit_for(value: float, unit: str, *, kitchen: bool = False) -> str:
    """The unit an amount is read in, and a number typed alone is taken in: `tsp` for 25 mL where US units are read.

    `value` in `unit`. Grams and millilitres are turned only where a kitchen measures them: `kitchen`.
    """
    other = _OTHER.get(unit)
    if system() == "metric" or other is None or (unit in ("g", "mL") and not kitchen):
        return unit
    if other == "degF":
        return other
    shown = abs(_as_shown(value, unit))
    if unit == "mL" and shown < SPOONS_ML:
        other = "tsp"
    amount = shown / _SIZES[other]
    return other if abs(_nearest(amount, other) - amount) <= NEAR * amount else unit


def told(value: float, unit: str, digits: int | None = None, *, kitchen: bool = False) -> str:
    """`show`, in the units that are read; `kitchen` as for `unit_for`.

    >>> told(98.3, "degC"), told(2.0, "rounds")
    ('98.3 °C', '2 rounds')
    """
    other = unit_for(value, unit, kitchen=kitchen)
    if other == unit:
        return show(value, unit, digits)
    return f"{_number_in(_as_shown(value, unit), other)} {unit_text(other)}"


def told_number(value: float, unit: str, like: float, *, kitchen: bool = False) -> str:
    """The number of `told` alone, in the unit that `like` is told in."""
    other = unit_for(like, unit, kitchen=kitchen)
    return show_number(value, unit) if other == unit else _number_in(_as_shown(value, unit), other)


def told_span(low: float, high: float, unit: str, like: float, *, kitchen: bool = False) -> str:
    """`show_span` in the unit that `like` is told in: what lies outside never reads as one of its ends."""
    other = unit_for(like, unit, kitchen=kitchen)
    if other == unit:
        return show_span(low, high, unit)
    ends = [_amount_in(end, other) for end in (low, high)]
    first, last = (
        way(end / _step(end, other) + by) * _step(end, other)
        for end, way, by in zip(ends, (math.ceil, math.floor), (-1e-9, 1e-9), strict=True)
    )
    if first > last:
        first, last = (_nearest(end, other) for end in ends)
    return f"{_written(first, other)} to {_written(last, other)} {unit_text(other)}"


def told_height(metres: float) -> str:
    """A height above the sea."""
    return show(metres, "m") if system() == "metric" else f"{_number_in(_as_shown(metres, 'm'), 'ft')} ft"


def apart(degrees: float) -> tuple[float, str]:
    """A difference of temperatures, in degC, and its unit: 4 degC are 7.2 °F."""
    return (degrees, "°C") if system() == "metric" else (1.8 * degrees, "°F")


def _as_shown(value: float, unit: str) -> float:
    """The value as its metric text has it, from which a sentence tells it too."""
    return float(show_number(value, unit).replace(" ", ""))


def _amount_in(value: float, other: str) -> float:
    return 1.8 * value + 32.0 if other == "degF" else value / _SIZES[other]


def _number_in(value: float, other: str) -> str:
    return _written(_nearest(_amount_in(value, other), other), other)


def _step(amount: float, unit: str) -> float:
    """The marks of its tool."""
    size = abs(amount)
    if unit == "tsp":
        return 0.25
    if unit == "oz":
        return 0.05 if size < 10.0 else 0.1 if size < 100.0 else 1.0
    if unit in ("in", "fl oz/min", "°F/min") and size < 1.0:
        return 0.01
    return 0.1 if unit != "degF" and size < 32.0 else 1.0


def _nearest(amount: float, unit: str) -> float:
    step = _step(amount, unit)
    return round(amount / step) * step


def _written(amount: float, unit: str) -> str:
    """`2 3/4` of spoons."""
    if unit != "tsp":
        return show(amount, "1", 4)
    whole, part = divmod(amount, 1.0)
    return " ".join(p for p in (f"{whole:.0f}" if whole or not part else "", _QUARTERS.get(part, "")) if p)


# Sentences of a plan and its alarms: temperatures in the words they are written with, and what is left in the pot.

_AT = (
    "water, about ", "only at ", "middle at ", "water above ", "; at ", "hold begins at ",
    "should be at ", "is at about ", "goes in at about ", "boils at ", "bath is held at ", "and not at ",
    "not come to ", "brings the bath to ", "bring the packet to ", "wool needs ", "goes from ", "into a bath of ",
    "hotter than the ", "lustre from silk; ", "in water at ",
)  # fmt: skip
_N = r"\d+(?:\.\d+)?"
_KINDS = (
    rf"(?P<rate>(?:^|Heat on: about |slower than |faster than the )(?P<slope>{_N})) °C(?= a minute)"
    rf"|(?P<by>a step of more than )(?P<apart>{_N}) °C"
    rf"|(?P<lead>{'|'.join(_AT)}|^(?={_N} °C (?:is hotter|takes lustre)))(?P<low>{_N} to )?(?P<degrees>{_N}) °C"
    rf"|(?P<packet>(?:roll|flat packet) {_N} cm(?:(?: by |, \d+ layers of ){_N} cm)*)"
    rf"|(?<=about )(?P<ml>\d{{1,3}}(?: \d{{3}})*(?:\.\d+)?) mL(?= left\.)"
)


def in_units(text: str) -> str:
    """The sentence with its temperatures and the sides of a packet in the units that are read."""
    return text if system() == "metric" else re.sub(_KINDS, _sentence_part, text)


def _sentence_part(found: re.Match[str]) -> str:
    if found["ml"]:
        return told(float(found["ml"].replace(" ", "")), "mL", kitchen=True)
    if found["packet"]:
        return re.sub(rf"({_N}) cm", lambda side: told(float(side[1]), "cm"), found["packet"])
    if found["slope"]:
        return f"{found['rate'].removesuffix(found['slope'])}{show(1.8 * float(found['slope']), '1', 2)} °F"
    if found["apart"]:
        return f"{found['by']}{apart(float(found['apart']))[0]:.0f} °F"
    low = f"{told_number(float(found['low'][:-4]), 'degC', 0.0)} to " if found["low"] else ""
    return f"{found['lead']}{low}{told(float(found['degrees']), 'degC')}"


def as_read(text: str, *, limit: int = 200) -> str:
    """`clean`, with the temperatures of a sentence of the program in the units that are read."""
    return clean(in_units(text), limit=limit)
