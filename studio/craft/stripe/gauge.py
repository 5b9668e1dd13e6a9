"""Loop length, courses and wales of plain knit, and the yarn a round takes (Munden's constants)."""

from __future__ import annotations

import math
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from studio.craft.limits import above, within

State = Literal["dry", "wet", "fully"]
"""How far a knit has relaxed: dry (lain), wet (soaked, dried flat), fully (soaked, spun, tumbled)."""

SOURCE = "D. J. Spencer, Knitting Technology, p. 281, table after Munden 1959, read second-hand"
"""Where the constants come from; Munden's own paper (J. Text. Inst. 50, T448) was not seen."""


@dataclass(frozen=True)
class Constants:
    """Munden's constants: `ks` stitches, `kc` courses, `kw` wales, each with the loop in the same unit.

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    """

    ks: float
    kc: float
    kw: float


MUNDEN = MappingProxyType(
    {
        "dry": Constants(19.0, 5.0, 3.8),
        "wet": Constants(21.6, 5.3, 4.1),
        "fully": Constants(23.1, 5.5, 4.2),
    }
)
"""Plain-knit worsted wool. Ks was rounded by itself: 5.3 x 4.1 is 21.73. **Source:** `SOURCE`; the last row
also in the examination GATE 2015, Textile Engineering, Q. 54."""

MOST_PER_10CM = 200.0
"""Stitches or rows per 10 cm; five times the finest hand knit (house rule, catches a slipped unit)."""
MOST_LOOP_MM = 200.0
"""mm of yarn in a stitch; ten times that of thick hand knit (house rule, catches a slipped unit)."""


def constants(state: State) -> Constants:
    """Munden's constants of a state of relaxation: `dry`, `wet` or `fully`; refused (ValueError) otherwise.

    >>> constants("wet").kw
    4.1

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    Breaks for rib, cables, garter stitch and for felted fabric.
    """
    try:
        return MUNDEN[state]
    except (KeyError, TypeError):
        raise ValueError(
            f"The state of the knit is dry, wet or fully (relaxed), not {state!r:.20}."
        ) from None


def loop_mm_from_gauge(stitches_per_10cm: float, state: State = "wet") -> float:
    """Yarn in one stitch, from the gauge across.

    l = Kw / w

    `stitches_per_10cm`: above 0, to 200. `state`: of the swatch the gauge was counted on.
    Returns mm. Refused (ValueError): outside those ranges.

    >>> round(loop_mm_from_gauge(32 / 1.016, "dry"), 3)
    12.065

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    Breaks for rib and for needles far from what the yarn wants.
    """
    above("gauge", stitches_per_10cm, 0, MOST_PER_10CM, "stitches per 10 cm")
    return constants(state).kw * 100.0 / stitches_per_10cm


def loop_mm_from_both_gauges(stitches_per_10cm: float, rows_per_10cm: float, state: State = "wet") -> float:
    """Yarn in one stitch, from the gauges across and along; errors of the two average out.

    l = sqrt(Ks / (w c))

    Both above 0, to 200. Returns mm. Refused (ValueError): outside those ranges.

    >>> round(loop_mm_from_both_gauges(28 / 1.016, 36 / 1.016, "wet"), 2)
    14.87

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    Breaks as `loop_mm_from_gauge` does.
    """
    above("gauge", stitches_per_10cm, 0, MOST_PER_10CM, "stitches per 10 cm")
    above("row gauge", rows_per_10cm, 0, MOST_PER_10CM, "rows per 10 cm")
    return 100.0 * math.sqrt(constants(state).ks / (stitches_per_10cm * rows_per_10cm))


def loop_mm_from_yarn(yarn_length_m: float | None, stitches: int, rows: int, strands: int = 1) -> float:
    """Yarn in one stitch of one strand, from the yarn of the whole blank.

    l = length / (strands x rows x stitches)

    `yarn_length_m`: of all strands together, above 0, to 100 000 m. `stitches`, `rows`, `strands`: 1 or more.
    Returns mm. Refused (ValueError): outside those ranges; a length that is missing.

    >>> round(loop_mm_from_yarn(420, 60, 220, strands=2), 2)
    15.91

    **Source:** arithmetic. Breaks where much of the yarn is not in the blank: waste rows, hems, tails.
    """
    if yarn_length_m is None:
        raise ValueError(
            "The length of the yarn is missing; write the metres of all strands together, for example 420 m."
        )
    above("length of the yarn", yarn_length_m, 0, 100_000, "m")
    for what, count in (("stitches", stitches), ("rows", rows), ("strands", strands)):
        within(f"{what} of the blank", count, 1, 100_000)
    return yarn_length_m * 1000.0 / (strands * rows * stitches)


@dataclass(frozen=True)
class Fabric:
    """Plain knit of a loop length: `courses_per_cm` (rows), `wales_per_cm` (stitches), `loops_per_cm2`.

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    """

    courses_per_cm: float
    wales_per_cm: float
    loops_per_cm2: float


def fabric(loop_mm: float, state: State = "wet") -> Fabric:
    """Courses, wales and loops of plain knit.

    c = Kc / l, w = Kw / l, S = c w

    `loop_mm`: above 0, to 200. Returns `Fabric`. Refused (ValueError): outside those ranges.

    >>> round(fabric(5.0, "fully").loops_per_cm2, 1)
    92.4

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    S is c w here; Munden's own Ks was rounded apart and differs by up to 0.6 %.
    """
    above("loop length", loop_mm, 0, MOST_LOOP_MM, "mm")
    k, loop_cm = constants(state), loop_mm / 10.0
    return Fabric(k.kc / loop_cm, k.kw / loop_cm, k.kc * k.kw / loop_cm**2)


def rows_from_mm(distance_mm: float, loop_mm: float, state: State = "wet") -> float:
    """How many rows of a blank a distance along it covers; for a spread measured with a ruler.

    rows = distance x Kc / l

    `distance_mm`: 0 to 10 000. `loop_mm`: above 0, to 200. Refused (ValueError): outside those ranges.

    >>> round(rows_from_mm(3.0, 15.9, "wet"), 2)
    1.0

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    Breaks for a blank that is stretched while it is painted.
    """
    within("distance", distance_mm, 0, 10_000, "mm")
    return distance_mm / 10.0 * fabric(loop_mm, state).courses_per_cm


def round_m(stitches: int, loop_mm: float) -> float:
    """Yarn one round, or one row, takes.

    `stitches`: 1 to 100 000. `loop_mm`: above 0, to 200. Returns m. Refused (ValueError): outside those ranges.

    >>> round_m(64, 12.5)
    0.8

    **Source:** arithmetic. Breaks for rib, heels, and stitches slipped or crossed.
    """
    within("stitches of a round", stitches, 1, 100_000)
    above("loop length", loop_mm, 0, MOST_LOOP_MM, "mm")
    return stitches * loop_mm / 1000.0
