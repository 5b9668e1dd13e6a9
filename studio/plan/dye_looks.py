"""What a dye looks like, in one answer: a colour and the depth it was seen at, or a dye that looks like it."""

from __future__ import annotations

import re

import msgspec

from studio.plan.errors import PlanError, quoted
from studio.plan.shares_text import number_text
from studio.quantity import QuantityError, parse
from studio.tables import DyeRow, dyes, dyes_with, find_dye, nearest

EXAMPLE = "#b5532a at 1 %"
DEPTH_PERCENT = 1.0
"""The depth of a swatch where none is said: the one dyers compare dyes at. House rule."""
MOST_DEPTH_PERCENT = 20.0

_HEX = re.compile(r"#?(?P<six>[0-9a-f]{6})|#(?P<three>[0-9a-f]{3})", re.IGNORECASE)
_AT = re.compile(r"(?P<what>.+?)[\s,]+(?:at\s+)?(?P<depth>[0-9][^a-z]*(?:%|per\s*cent))", re.IGNORECASE)


class Looks(msgspec.Struct, frozen=True, kw_only=True):
    """A colour with its depth, or a stand-in; one of the two."""

    given: str
    """The colour or the dye as it was written."""
    hex: str = ""
    """`#rrggbb`; empty where a dye stands in."""
    depth_percent: float = DEPTH_PERCENT
    like: str = ""
    """Name of the table dye that looks like it."""

    @property
    def text(self) -> str:
        """As a shelf file holds it."""
        return f"{self.given} at {number_text(self.depth_percent)} %" if self.hex else self.given

    @property
    def told(self) -> str:
        """What it is taken for."""
        return f"{self.hex} at {number_text(self.depth_percent)} %" if self.hex else f"like {self.given}"


def read_looks(text: str) -> Looks:
    """The looks of `#b5532a at 1 %`, `peru`, `peru 2 %`, `like acid orange 7`; PlanError, one sentence, for others.

    >>> read_looks("saddle brown at 2 %").told, read_looks("orange 7").told
    ('#8b4513 at 2 %', 'like C.I. Acid Orange 7')
    """
    found = _AT.fullmatch(text.strip())
    what, depth = (found["what"], _depth(found["depth"])) if found else (text.strip(), DEPTH_PERCENT)
    colour = hex_of(what)
    if colour:
        return Looks(given=what, hex=colour, depth_percent=depth)
    row = _stand_in(what)
    return Looks(given=row.ci or row.name, like=row.name)


def hex_of(text: str) -> str:
    """`#rrggbb` of a hex value or of a colour name of CSS; empty where it is neither.

    **Source:** CSS Color Module Level 4, section 6.1 (named colours), by the library coloraide.

    >>> hex_of("#B5532A"), hex_of("Saddle Brown"), hex_of("#fff"), hex_of("kelp")
    ('#b5532a', '#8b4513', '#ffffff', '')
    """
    if found := _HEX.fullmatch(text.strip()):
        six = found["six"] or "".join(2 * digit for digit in found["three"])
        return f"#{six.lower()}"
    from coloraide import Color

    name = re.sub(r"[\s-]+", "", text).casefold()
    if not name.isalpha() or name == "transparent" or (match := Color.match(name, fullmatch=True)) is None:
        return ""
    return match.color.to_string(hex=True)


def _depth(typed: str) -> float:
    try:
        percent = parse(typed, "share").value
    except QuantityError as problem:
        raise PlanError(f"The depth: {problem}") from None
    if not 0 < percent <= MOST_DEPTH_PERCENT:
        raise PlanError(
            f"A depth lies above 0, up to {MOST_DEPTH_PERCENT:g} %, not at {quoted(typed)}; write {EXAMPLE}."
        )
    return percent


def _stand_in(text: str) -> DyeRow:
    """The dye that is named, or the only one in whose name the words stand, with a curve to go by."""
    name = re.sub(r"^(?:looks\s+)?like\s+", "", text, flags=re.IGNORECASE)
    exact = find_dye(name)
    found = (exact,) if exact else dyes_with(name)
    fitting = [row for row in found if row.peak_nm is not None and row.absorptivity_l_g_cm is not None]
    if len(fitting) == 1:
        return fitting[0]
    names = [row.ci or row.name for row in fitting]
    if exact is not None:
        raise PlanError(
            f"No colour is published for {quoted(name)}; write a colour, {EXAMPLE}, or another dye."
        )
    if names:
        more = ", ..." if len(names) > 4 else ""
        raise PlanError(f"{quoted(name)} may be {', '.join(names[:4])}{more}; write one of them.")
    near = nearest(name, [row.ci or row.name for row in dyes().values()])
    hint = f'did you mean "{near}"?' if near else f"write {EXAMPLE}, peru, or a dye that looks like it."
    raise PlanError(f"{quoted(name)} is no colour and no dye of the tables; {hint}")
