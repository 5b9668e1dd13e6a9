"""Reading what was typed in answer to a question, in the unit that was asked for."""

from __future__ import annotations

from studio.quantity import QuantityError, parse, parse_number
from studio.session.refusals import Refused

UNITS = {"mass": "g", "volume": "mL", "temperature": "degC", "duration": "min", "strength": "%"}


def value_of(text: str, kind: str) -> float:
    """The value in the unit of its kind; a bare number is taken in that unit. Refused with a sentence.

    >>> value_of("12,5", "volume"), value_of("1/2 cup", "volume")
    (12.5, 118.29411825)
    """
    try:
        return parse(_with_unit(text, kind), kind).value
    except QuantityError as problem:
        raise Refused(str(problem)) from problem


def _with_unit(text: str, kind: str) -> str:
    unit = UNITS.get(kind)
    if unit is None:
        return text
    try:
        parse_number(text.strip().removeprefix("-"))
    except QuantityError:
        return text
    return f"{text.strip()} {unit}"
