"""Loop length, courses and wales of plain knit, and the yarn a round takes (Munden's constants)."""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from studio.craft.limits import Range, above, within

State = Literal["dry", "wet", "fully"]
"""How far a knit has relaxed: dry (lain), wet (soaked, dried flat), fully (soaked, spun, tumbled)."""


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
LOOP_MM = Range("loop length", 0, MOST_LOOP_MM, "mm", positive=True)
YARN_M = Range("length of the yarn", 0, 100_000, "m")


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
    YARN_M._replace(positive=True)(yarn_length_m)
    for what, count in (("stitches", stitches), ("rows", rows), ("strands", strands)):
        within(f"{what} of the blank", count, 1, 100_000)
    return yarn_length_m * 1000.0 / (strands * rows * stitches)


def round_m(stitches: int, loop_mm: float) -> float:
    """Yarn one round, or one row, takes.

    `stitches`: 1 to 100 000. `loop_mm`: above 0, to 200. Returns m. Refused (ValueError): outside those ranges.

    >>> round_m(64, 12.5)
    0.8

    **Source:** arithmetic. Breaks for rib, heels, and stitches slipped or crossed.
    """
    within("stitches of a round", stitches, 1, 100_000)
    LOOP_MM(loop_mm)
    return stitches * loop_mm / 1000.0
