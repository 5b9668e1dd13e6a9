"""Yarn in a pair of socks: what was read, and what each figure is worth."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from studio.craft.limits import within

PAIR_M = 300.0
"""m for an adult pair; between one measured pair (312 m) and the trade rule (estimate)."""
PAIR_LEAST_M, PAIR_MOST_M = 260.0, 360.0
"""m for a small and a large pair (estimate; the upper end is the buying rule of about 400 yd)."""


@dataclass(frozen=True)
class YarnFigure:
    """One figure that was read: `what`, `value` in `unit`, its `source` and its `worth`.

    **Source:** each row names its own.
    """

    what: str
    value: float
    unit: Literal["m", "mm"]
    source: str
    worth: str


YARN_FIGURES = (
    YarnFigure(
        "an adult pair",
        312.0,
        "m",
        "V. Bird, notes on metres in a sock, 8 April 2021: 78 g of a yarn of 400 m in 100 g",
        "one pair weighed; its size and gauge are not stated",
    ),
    YarnFigure(
        "yarn to buy for a pair",
        366.0,
        "m",
        "handout of a toe-up sock class: 100 g, about 400 yd",
        "a buying rule, with yarn to spare",
    ),
    YarnFigure(
        "one stitch of a round hat in sock yarn",
        9.94,
        "mm",
        "hobby notes on counting stitches, February 2011: 92 stitches to the yard",
        "one measurement; its gauge is not stated, and it is tighter than a sock (39 to 43 stitches to 4 in)",
    ),
    YarnFigure(
        "one stitch of a sock of 64 stitches",
        12.5,
        "mm",
        "taught rule: 1.6 m are about two rounds of 64 stitches on 2 mm needles",
        "a rule of thumb, called approximate by who teaches it",
    ),
)
"""What could be read about yarn in socks; no council or textbook table of metres per sock was found."""


def pair_room(yarn_m: float) -> Literal["enough", "perhaps", "too little"]:
    """Whether so much yarn makes an adult pair.

    `yarn_m`: of all strands together, 0 to 100 000 m.
    Returns `enough` from 360 m on, `too little` under 260 m, else `perhaps`.
    Refused (ValueError): outside that range.

    >>> pair_room(420), pair_room(312), pair_room(200)
    ('enough', 'perhaps', 'too little')

    **Source:** estimate, from one measured pair (V. Bird, 8 April 2021) and a buying rule of about 400 yd.
    Breaks for long legs, thick yarn and children's feet.
    """
    within("length of the yarn", yarn_m, 0, 100_000, "m")
    if yarn_m >= PAIR_MOST_M:
        return "enough"
    return "too little" if yarn_m < PAIR_LEAST_M else "perhaps"
