"""Quantities that carry a second number: knitting gauge and yarn count."""

from __future__ import annotations

import re
from collections.abc import Callable

from studio.quantity.kinds import KINDS, Kind
from studio.quantity.measure import quoted, wrong
from studio.quantity.numbers import NUMBER, value_of
from studio.quantity.pint_units import factor
from studio.quantity.refusals import no_number, unknown_unit

_STITCHES = ("st", "sts", "stitch", "stitches")
_RATIO = re.compile(rf"({NUMBER}) ?([a-zA-Z]+) ?(?:/|per |to |in |over ) ?(?:({NUMBER}) ?)?([a-zA-Z\"']+)")


def _halves(rest: str, typed: str, kind: Kind) -> tuple[float, str, float, str]:
    """The numbers and units above and below the stroke; the lower number is 1 where none is written."""
    found = _RATIO.fullmatch(rest)
    if found is None:
        raise no_number(typed, kind)
    top, top_unit, bottom, bottom_unit = found.groups()
    over = value_of(bottom) if bottom else 1.0
    if over == 0:
        raise wrong(f"{quoted(typed)} divides by nothing", kind.example)
    return value_of(top), top_unit, over, bottom_unit


def read_gauge(rest: str, typed: str) -> float:
    """Stitches in 10 cm from `32 st / 4 in`, `28 st / 10 cm`, `8 st/in`; 4 in are 10.16 cm, not 10.

    >>> read_gauge("32 st / 4 in", "")
    31.496062992125985

    **Source:** the international yard and pound, 1 in = 2.54 cm (NIST Special Publication 811, B.8).
    """
    kind = KINDS["gauge"]
    stitches, word, span, unit = _halves(rest, typed, kind)
    if word.lower() not in _STITCHES:
        raise unknown_unit(word, typed, kind)
    return stitches * 10.0 / (span * _size(unit, "length", typed, kind))


def read_yarn_count(rest: str, typed: str) -> float:
    """Metres of yarn in one gram from `400 m / 100 g` or `437 yd / 100 g`.

    >>> read_yarn_count("50 m/100 g", "")
    0.5
    """
    kind = KINDS["yarn count"]
    length, long_unit, weight, heavy_unit = _halves(rest, typed, kind)
    metres = length * _size(long_unit, "yarn length", typed, kind)
    return metres / (weight * _size(heavy_unit, "mass", typed, kind))


def _size(word: str, of_kind: str, typed: str, kind: Kind) -> float:
    """Base units of `of_kind` in one of the unit that word names."""
    part = KINDS[of_kind]
    unit = part.words.get(word) or part.words.get(word.lower())
    if unit is None:
        raise unknown_unit(word, typed, kind)
    return factor(unit, part.base)


RATIOS: dict[str, Callable[[str, str], float]] = {"gauge": read_gauge, "yarn count": read_yarn_count}
