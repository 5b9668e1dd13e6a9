"""Reading one quantity: text and kind to a Measure, or one sentence that says what to write instead."""

from __future__ import annotations

import math
import re
from itertools import pairwise

from studio.quantity.kinds import DROP, KINDS, Kind
from studio.quantity.measure import Quantity, QuantityError, quoted, wrong
from studio.quantity.numbers import LARGEST, NUMBER, plain, refuse_odd_numbers, value_of
from studio.quantity.pint_units import factor, to_celsius
from studio.quantity.ratios import RATIOS
from studio.quantity.refusals import no_number, unknown_unit

LONGEST = 80
"""Characters of a quantity. House rule: nothing a person means is longer."""
DROPS_PER_ML = 20.0
"""**Source:** USP <1101> Medicine Dropper: 20 drops of water weigh 1 g within 10 %."""
ABSOLUTE_ZERO_C = -273.15
PH_HIGHEST = 14.0

_FIRST = re.compile(rf"({NUMBER}) ?(.*)")
_PART = re.compile(rf"({NUMBER}) ?([^0-9.,]*?) ?(?=[.,]?[0-9]|$)")
_ABBREVIATION_DOT = re.compile(r"(?<=[A-Za-z])\.(?![0-9])")
_JOINED = re.compile(r"(?<=[A-Za-z\"'])(?:,| and| \+| &) (?=[.,]?[0-9])")
_AROUND_SLASH = re.compile(r" ?(?:/| per ) ?")


def parse(text: str, kind: str, *, drops_per_ml: float = DROPS_PER_ML) -> Quantity:
    """The quantity a person wrote, as a number in the base unit of its kind.

    text: at most 80 characters, one line; fractions, decimal comma, compound (`1 lb 4 oz`), drops.
    kind: a key of `KINDS`: mass g, volume mL, length cm, yarn length m, altitude m, duration min,
    temperature degC, share %, strength % (g per 100 mL), power W, alkalinity mg/L as CaCO3, gauge st/10 cm,
    yarn count m/g, rate mL/min, count 1, ph 1.
    drops_per_ml: the dyer's own dropper, more than 0.

    Refused, always with QuantityError: no unit, a unit of another kind, `nan`, `inf`, `1e400`, `1,234.5`,
    empty, and less than nothing except for a temperature or an altitude.

    >>> parse("1 lb 4 oz", "mass").value
    566.9904625
    >>> parse("10 drops", "volume")
    Quantity(value=0.5, unit='mL', typed='10 drops')

    **Source:** units NIST Special Publication 811, appendix B.8; drops USP <1101>; reading rules house rule.
    """
    known = KINDS.get(kind) if isinstance(kind, str) else None
    if known is None:
        raise QuantityError(
            f'There is no kind of quantity called {quoted(ascii(kind))}; use for example "mass".'
        )
    if not isinstance(text, str) or not text.strip():
        raise wrong(f"Nothing is written where {known.a_name} is wanted", known.example)
    if len(text) > LONGEST:
        raise wrong(f"{quoted(text)} is too long for {known.a_name}", known.example)
    if not math.isfinite(drops_per_ml) or drops_per_ml <= 0:
        raise wrong("The drops in one mL must be more than 0", "20")
    typed = text.strip()
    value = _value(typed, known, drops_per_ml)
    _refuse_impossible(typed, known, value)
    return Quantity(value=value + 0.0, unit=known.base, typed=typed)  # + 0.0 turns -0.0 into 0.0


def _value(typed: str, kind: Kind, drops_per_ml: float) -> float:
    tidy = _JOINED.sub(" ", _ABBREVIATION_DOT.sub("", plain(typed)))
    refuse_odd_numbers(tidy, kind.example)
    negative = tidy.startswith("-")
    if negative and not kind.signed:
        raise wrong(f"{quoted(typed)}: {kind.a_name} cannot be negative", kind.example)
    rest = tidy[1:].lstrip(" ") if negative else tidy
    if kind.name in RATIOS:
        return RATIOS[kind.name](rest, typed)
    if kind.name == "ph" and rest[:2].lower() == "ph":
        rest = rest[2:].lstrip(" ")
    if kind.compound:
        return _parts(rest, typed, kind, drops_per_ml)
    return _single(rest, typed, kind, -1.0 if negative else 1.0)


def _single(rest: str, typed: str, kind: Kind, sign: float) -> float:
    """One number and all that follows as its unit."""
    found = _FIRST.fullmatch(rest)
    if found is None:
        raise no_number(typed, kind)
    number, words = found.groups()
    unit = _unit(_AROUND_SLASH.sub("/", words), typed, kind)
    value = sign * value_of(number)
    if kind.name == "temperature":
        return to_celsius(value, unit)
    return value * factor(unit, kind.base)


def _parts(rest: str, typed: str, kind: Kind, drops_per_ml: float) -> float:
    """Numbers each with its unit, the larger unit first: `1 lb 4 oz`."""
    values: list[float] = []
    sizes: list[float] = []
    at = 0
    while at < len(rest):
        found = _PART.match(rest, at)
        if found is None:
            raise no_number(typed, kind)
        number, words = found.groups()
        unit = _unit(words, typed, kind)
        sizes.append(1.0 / drops_per_ml if unit == DROP else factor(unit, kind.base))
        values.append(value_of(number) * sizes[-1])
        at = found.end()
    if not values:
        raise no_number(typed, kind)
    if any(small >= large for large, small in pairwise(sizes)):
        raise wrong(f"{quoted(typed)} does not go from the larger unit to the smaller", kind.example)
    return math.fsum(values)


def _unit(words: str, typed: str, kind: Kind) -> str:
    """What pint calls the unit; the spelling as typed goes before the one in lower case (T is not t)."""
    tidy = words.strip(" ")
    if not tidy and kind.bare:
        return "1"
    unit = kind.words.get(tidy) or kind.words.get(tidy.lower())
    if unit is None:
        raise unknown_unit(tidy, typed, kind)
    return unit


def _refuse_impossible(typed: str, kind: Kind, value: float) -> None:
    if not abs(value) <= LARGEST:
        raise wrong(f"{quoted(typed)} is larger than can be meant here", kind.example)
    if kind.name == "temperature" and value < ABSOLUTE_ZERO_C:
        raise wrong(f"{quoted(typed)} is below absolute zero", kind.example)
    if kind.name == "ph" and value > PH_HIGHEST:
        raise wrong(f"{quoted(typed)} is not between pH 0 and pH 14", kind.example)
