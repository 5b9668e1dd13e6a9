"""Loop length of plain knit from its gauge or its yarn, and the yarn a round takes."""

from __future__ import annotations

from studio.craft.limits import Range, above, within

KW = 4.1
"""Munden's constant for wales: of plain-knit worsted wool that was soaked and dried flat, with the loop in the same
unit. **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand."""
MOST_PER_10CM = 200.0
"""Stitches or rows per 10 cm; five times the finest hand knit (house rule, catches a slipped unit)."""
MOST_LOOP_MM = 200.0
"""mm of yarn in a stitch; ten times that of thick hand knit (house rule, catches a slipped unit)."""
LOOP_MM = Range("loop length", 0, MOST_LOOP_MM, "mm", positive=True)
YARN_M = Range("length of the yarn", 0, 100_000, "m")


def loop_mm_from_gauge(stitches_per_10cm: float) -> float:
    """Yarn in one stitch, from the gauge across.

    l = Kw / w

    `stitches_per_10cm`: above 0, to 200, of a swatch that was soaked and dried flat.
    Returns mm. Refused (ValueError): outside that range.

    >>> round(loop_mm_from_gauge(32 / 1.016), 3)
    13.017

    **Source:** D. J. Spencer, Knitting Technology, p. 281 (attributed to Munden 1959), read second-hand.
    Breaks for rib, cables, garter stitch, felted fabric, and for needles far from what the yarn wants.
    """
    above("gauge", stitches_per_10cm, 0, MOST_PER_10CM, "stitches per 10 cm")
    return KW * 100.0 / stitches_per_10cm


def loop_mm_from_yarn(yarn_length_m: float, stitches: int, rows: int, strands: int = 1) -> float:
    """Yarn in one stitch of one strand, from the yarn of the whole blank.

    l = length / (strands x rows x stitches)

    `yarn_length_m`: of all strands together, above 0, to 100 000 m. `stitches`, `rows`, `strands`: 1 or more.
    Returns mm. Refused (ValueError): outside those ranges.

    >>> round(loop_mm_from_yarn(420, 60, 220, strands=2), 2)
    15.91

    **Source:** arithmetic. Breaks where much of the yarn is not in the blank: waste rows, hems, tails.
    """
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
