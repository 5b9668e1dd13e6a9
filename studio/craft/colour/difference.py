"""How far apart two colours are to the eye."""

from __future__ import annotations

from collections.abc import Sequence

from studio.craft.colour.screen_colour import checked_lab


def ciede2000(first: Sequence[float], second: Sequence[float]) -> float:
    """Colour difference CIEDE2000 of two CIELAB colours, kL = kC = kH = 1.

    `first`, `second`: L, a, b under D65.
    Returns the difference, 0 or more; about 1 can just be seen side by side, 100 is black against white.
    Refused (ValueError): not three numbers, L outside 0 to 100, a or b outside -200 to 200.

    >>> ciede2000((50, 2.5, 0), (73, 25, -18))
    27.1492

    **Source:** ISO/CIE 11664-6; G. Sharma, W. Wu and E. N. Dalal, Color Research and Application 30(1),
    2005, 21-30, by the library coloraide.
    Breaks for large differences, which it was not fitted to, and for colours that do not lie side by side.
    """
    from coloraide import Color

    one, other = (Color("lab-d65", list(checked_lab(lab))) for lab in (first, second))
    return float(one.delta_e(other, method="2000", space="lab-d65"))
