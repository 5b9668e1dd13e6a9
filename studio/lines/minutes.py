"""Minutes at the beginning of a line."""

from __future__ import annotations

from studio.quantity import QuantityError, parse, parse_number
from studio.session.refusals import Refused


def minutes_only(text: str) -> float:
    """`12`, `12 min`, `1 h 5 min`, in minutes; Refused otherwise.

    >>> minutes_only("12"), minutes_only("1 h 5 min")
    (12.0, 65.0)
    """
    try:
        try:
            return parse_number(text)
        except QuantityError:
            return parse(text, "duration").value
    except QuantityError as problem:
        raise Refused(str(problem)) from problem


def minutes_first(text: str) -> tuple[float, str]:
    """Minutes and the words after them; the unit may be left out.

    >>> minutes_first("5 steam was late"), minutes_first("1 h pot went cold")
    ((5.0, 'steam was late'), (60.0, 'pot went cold'))
    """
    number, _, rest = text.strip().partition(" ")
    unit, _, after = rest.strip().partition(" ")
    try:
        return parse(f"{number} {unit}", "duration").value, after.strip()
    except QuantityError:
        return minutes_only(number), rest.strip()
