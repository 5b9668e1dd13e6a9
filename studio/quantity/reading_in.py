"""The units a dyer reads in: what is worked, kept and handed to other programs stays metric, and is turned where it
is shown.

A text of the program has each quantity as `show` writes it, so that it can be found again and told in ounces,
fluid ounces, spoons, inches and degrees Fahrenheit. What is told is rounded to what such a tool shows, from the metric
figure as it would be shown: the same figure is told alike wherever it stands.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Literal

from studio.plaintext import clean
from studio.quantity.showing import show, show_number

UnitSystem = Literal["metric", "US"]
UNIT_SYSTEMS: tuple[UnitSystem, ...] = ("metric", "US")

_asked: list[Callable[[], UnitSystem]] = [lambda: "metric"]


def read_in(asked: Callable[[], UnitSystem]) -> None:
    """From now on the units are what this says, asked anew each time."""
    _asked[:] = [asked]


def system() -> UnitSystem:
    """The units that are read in now."""
    return _asked[0]()


# What a kitchen has a tool for. Sizes are exact: NIST Special Publication 811, appendix B.8, held against pint.

_SIZES = {
    "oz": 28.349523125,
    "fl oz": 29.5735295625,
    "tsp": 4.92892159375,
    "in": 2.54,
    "yd": 0.9144,
    "ft": 0.3048,
}
_FAMILY = {"g": ("oz",), "mL": ("tsp", "fl oz"), "L": ("tsp", "fl oz"), "cm": ("in",), "m": ("yd",)}
SPOONS_ML = _SIZES["fl oz"]
"""Below a fluid ounce, which is six teaspoons, a kitchen takes a spoon. House rule."""
_QUARTERS = {0.25: "1/4", 0.5: "1/2", 0.75: "3/4"}


def unit_for(value: float, unit: str) -> str:
    """The unit an amount is read in, and a number typed alone is taken in: `tsp` for 8 mL where US units are read.

    `value` in `unit`. Grams are taken for those of goods.
    """
    family = _FAMILY.get(unit)
    if system() == "metric" or (unit != "degC" and family is None):
        return unit
    if family is None:
        return "degF"
    ml = value * 1000.0 if unit == "L" else value
    return family[-1] if len(family) == 1 or ml >= SPOONS_ML else family[0]


def told(value: float, unit: str, digits: int | None = None, *, goods: bool = True) -> str:
    """`show`, in the units that are read. Grams that are not of goods, as of dye, stay grams.

    >>> told(98.3, "degC"), told(2.0, "rounds")
    ('98.3 °C', '2 rounds')
    """
    if system() == "metric" or (unit == "g" and not goods):
        return show(value, unit, digits)
    shown = _as_shown(value, unit)
    return _in(shown, unit, unit_for(shown, unit)) or in_units(show(value, unit, digits))


def told_number(value: float, unit: str, like: float, *, goods: bool = True) -> str:
    """The number of `told` alone, in the unit that `like` is told in."""
    if system() == "metric" or (unit == "g" and not goods):
        return show_number(value, unit)
    whole = _in(_as_shown(value, unit), unit, unit_for(_as_shown(like, unit), unit))
    return whole.rpartition(" fl oz")[0] or whole.rpartition(" ")[0] if whole else show_number(value, unit)


def _in(value: float, unit: str, other: str) -> str:
    """The value in the other unit, as near as its tool shows it; empty where that is no other."""
    if other == unit:
        return ""
    if other == "degF":
        return f"{round(1.8 * value + 32.0)} °F"
    metric = value * 1000.0 if unit == "L" else value
    return f"{_rounded(metric / _SIZES[other], other)} {other}"


def _as_shown(value: float, unit: str) -> float:
    """The value as its metric text has it, from which a sentence tells it too."""
    return float(show_number(value, unit).replace(" ", ""))


def _rounded(amount: float, unit: str) -> str:
    size = abs(amount)
    if unit == "tsp" and size >= 0.25:
        return _spoons(round(4.0 * amount) / 4.0)
    if unit in ("in", "tsp") and size < 10.0:
        return show(amount, "1", 2)
    fine, whole_from = (
        (0.05, 100.0) if unit == "oz" and size < 10.0 else (0.1, 100.0 if unit == "oz" else 32.0)
    )
    step = fine if size < whole_from else 1.0
    return show(round(amount / step) * step, "1", 4)


def _spoons(quarters: float) -> str:
    """`2 3/4`."""
    whole, part = divmod(quarters, 1.0)
    return " ".join(p for p in (f"{whole:.0f}" if whole or not part else "", _QUARTERS.get(part, "")) if p)


# Sentences: quantities as `show` writes them, one or several before their unit.

_NUMBER = r"-?\d{1,3}(?: \d{3})+(?:\.\d+)?|-?\d+(?:\.\d+)?"
_QUANTITY = re.compile(
    rf"(?P<lead>(?:step of more than |within )?)(?<![\w.,/])(?P<numbers>(?:(?:{_NUMBER})(?: to | and | or | by ))*"
    rf"(?:{_NUMBER})) (?P<unit>mL/min|mL|L|cm|m|g|°C/min|°C)(?![\w/²³])(?P<blanks> {{2,}})?"
)
_APART = re.compile(r"(?: a minute| from the| ahead| behind| off\b| apart| either way)")
_GOODS = re.compile(
    r" (?:of (?:dry |wet |the )*(?:fibre|wool|yarn|goods)|(?:blank|skein|hank|yarn|sock|top|dry)\b)"
)
_WEIGHED = re.compile(r"(?:squeeze to|[Ff]ibre (?:squeezed and )?weighed(?: dry)?[:, ]) $")
_HIGH = re.compile(r"(?:altitude|altitude of|above the sea)[ ,]*$")


def in_units(text: str) -> str:
    """The sentence with its quantities in the units that are read; as it is where those are metric.

    Grams are told in ounces where they are of fibre. Blanks that set columns apart give what is longer its room.
    """
    if system() == "metric" or not any(sign in text for sign in ("L", "°C", "cm", " m", " g")):
        return text
    return _QUANTITY.sub(_sentence_part, text)


def _sentence_part(found: re.Match[str]) -> str:
    numbers, unit, blanks = found["numbers"], found["unit"], found["blanks"] or ""
    after = found.string[found.end("unit") :]
    before = found.string[: found.start("numbers")]
    if unit == "g" and not (_GOODS.match(after) or _WEIGHED.search(before)):
        return found[0]
    values = [float(n.replace(" ", "")) for n in re.findall(_NUMBER, numbers)]
    if unit in ("°C", "°C/min") and (found["lead"] or unit == "°C/min" or _APART.match(after)):
        parts, name = [show(1.8 * v, "1", 2) for v in values], unit.replace("C", "F")
    elif unit == "mL/min":
        parts, name = [show(v / _SIZES["fl oz"], "1", 2) for v in values], "fl oz/min"
    else:
        base = "degC" if unit == "°C" else unit
        other = "ft" if unit == "m" and _HIGH.search(before) else unit_for(max(values), base)
        wholes = [_in(v, base, other) for v in values]
        if not all(wholes):
            return found[0]
        name = "°F" if other == "degF" else other
        parts = [whole.removesuffix(f" {name}") for whole in wholes]
    joins = [*re.split(_NUMBER, numbers)[1:-1], ""]
    new = found["lead"] + "".join(p + j for p, j in zip(parts, joins, strict=True)) + f" {name}"
    room = len(found[0]) - len(new)
    return new + (" " * max(1, room) if blanks else "")


def as_read(text: str, *, limit: int = 200) -> str:
    """`clean`, with the quantities of a sentence of the program in the units that are read."""
    return clean(in_units(text), limit=limit)
