"""What reading a quantity gives, and how a refusal is worded."""

from __future__ import annotations

import msgspec


class QuantityError(ValueError):
    """A quantity that cannot be read; `str(error)` is one plain sentence with an example of what to write."""


class Quantity(msgspec.Struct, frozen=True):
    """A quantity as the program uses it, beside the words it was typed in."""

    value: float
    """In `unit`, finite."""
    unit: str
    """The base unit of the kind: `g`, `mL`, `cm`, `m`, `min`, `degC`, `%`, `W`, `mg/L`, `1` ..."""
    typed: str
    """The text as typed, without the blanks around it."""


MOST_QUOTED = 30


def quoted(text: str) -> str:
    """The text as a sentence may carry it: short, on one line, nothing in it a terminal would obey.

    >>> quoted("3 g\\n")
    '"3 g\\\\n"'
    """
    cut = text if len(text) <= MOST_QUOTED else text[:MOST_QUOTED] + "..."
    return '"' + "".join(c if c.isprintable() else ascii(c)[1:-1] for c in cut) + '"'


def wrong(what: str, example: str) -> QuantityError:
    """The refusal: what is wrong, and what to write.

    >>> str(wrong("There is no mass here", "100 g"))
    'There is no mass here; write for example "100 g".'
    """
    return QuantityError(f'{what}; write for example "{example}".')
