"""A skein painted in sections around its circumference: runs, repeat, what a stitch count makes of it; and
yarn in socks.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import msgspec

from studio.craft.limits import above, within
from studio.craft.stripe.blank import LOOP_MM, MOST_STITCHES, YARN_M, whole

# A skein painted in sections around its circumference: runs, repeat, and what a stitch count makes of
# it.

STACK_STITCHES = 1.0
"""Colours that move by no more than this a round are seen as columns (house rule)."""
SPIRAL_SHARE = 0.125
"""Colours that move by no more than this share of the repeat a round are seen to wind round (house rule)."""
STRIPE_ROUNDS = 2.0
"""A repeat of so many rounds or more makes stripes instead (house rule)."""

Kind = Literal["stack", "spiral", "stripes", "scatter"]
"""Columns of colour, colour that winds round the piece, stripes of rounds, or flecked all over."""


class SkeinSection(msgspec.Struct, frozen=True):
    """A length of the skein in one colour: `colour` ("" for bare) and `length_cm` (above 0, to 2000).

    Refused (ValueError): outside that range. **Source:** the dyer's plan; the limit is a house rule.
    """

    colour: str
    length_cm: float

    def __post_init__(self) -> None:
        above("length of a section", self.length_cm, 0, 2_000, "cm")


class Run(msgspec.Struct, frozen=True):
    """One length of colour along the yarn: `colour`, its length in `stitches` and in `rounds`.

    **Source:** arithmetic; see `runs`.
    """

    colour: str
    stitches: float
    rounds: float


class Pooling(msgspec.Struct, frozen=True):
    """What the colours do at so many `stitches`.

    `every`: rounds after which the colours come back.
    `shift_stitches`: by how much they then stand further on (in the direction of knitting) or back (negative).

    **Source:** arithmetic; `kind` is by house rules.
    """

    stitches: int
    kind: Kind
    every: int
    shift_stitches: float


def repeat_stitches(circumference_cm: float, loop_mm: float) -> float:
    """Stitches from one colour till it comes again: once round the skein.

    circumference / loop

    `circumference_cm`: above 0, to 2000. `loop_mm`: above 0, to 200. Refused (ValueError): outside those ranges.

    >>> repeat_stitches(160.0, 12.5)
    128.0

    **Source:** arithmetic. Breaks where the wraps of the skein differ in length, inner against outer.
    """
    above("circumference of the skein", circumference_cm, 0, 2_000, "cm")
    LOOP_MM(loop_mm)
    return circumference_cm * 10.0 / loop_mm


def runs(
    circumference_cm: float, sections: Sequence[SkeinSection], stitches: int, loop_mm: float
) -> tuple[Run, ...]:
    """The lengths of colour along the yarn, once round; neighbours of one colour joined, the rest bare.

    `stitches` of a round, 1 to 1000. Returns runs in order, their stitches summing to the repeat.
    Refused (ValueError): sections longer than the skein is round, none at all, ranges as `repeat_stitches`.

    >>> [(r.colour, r.stitches) for r in runs(160, [SkeinSection("rust", 80), SkeinSection("kelp", 60)], 64, 12.5)]
    [('rust', 64.0), ('kelp', 48.0), ('', 16.0)]

    **Source:** arithmetic.
    """
    repeat = repeat_stitches(circumference_cm, loop_mm)
    whole("stitches of the new piece", stitches, 1, MOST_STITCHES)
    painted = sum(section.length_cm for section in sections)
    if not sections:
        raise ValueError("The skein has no sections; paint one at least, for example 40 cm of a colour.")
    if painted > circumference_cm * (1 + 1e-9):
        raise ValueError(
            f"The sections are {painted:g} cm long, but the skein is {circumference_cm:g} cm round; "
            "write shorter sections, or fewer."
        )
    lengths = [(s.colour, s.length_cm) for s in sections]
    if circumference_cm - painted > 1e-9:
        lengths.append(("", circumference_cm - painted))
    joined: list[tuple[str, float]] = []
    for colour, length in lengths:
        if joined and joined[-1][0] == colour:
            length += joined.pop()[1]
        joined.append((colour, length))
    if len(joined) > 1 and joined[0][0] == joined[-1][0]:
        colour, length = joined.pop()
        joined[0] = (colour, joined[0][1] + length)
    each = [(colour, length / circumference_cm * repeat) for colour, length in joined]
    return tuple(Run(colour, count, count / stitches) for colour, count in each)


def pooling(repeat: float, stitches: int) -> Pooling:
    """Whether the colours of a skein stack, spiral, make stripes or scatter at a stitch count.

    after q rounds the colours stand q x stitches, less the nearest whole number of repeats, further back

    `repeat`: in stitches, above 0, to 100 000. `stitches`: 1 to 1000. Returns `Pooling`: a stack after the
    fewest of up to four rounds, else the shift of one round. Refused (ValueError): outside those ranges.

    >>> pooling(128.0, 64).kind, pooling(60.0, 64).shift_stitches, pooling(60.0, 61).kind
    ('stripes', -4.0, 'stack')

    **Source:** arithmetic; the limits are house rules.
    Breaks where the gauge changes by a hundredth: a stack over 100 rounds needs it steadier than a hand's.
    """
    above("repeat of the skein", repeat, 0, 100_000, "stitches")
    whole("stitches of the new piece", stitches, 1, MOST_STITCHES)
    if repeat >= STRIPE_ROUNDS * stitches:
        return Pooling(stitches, "stripes", 1, _shift(stitches, repeat))
    for every in range(1, 5):
        shift = _shift(every * stitches, repeat)
        if abs(shift) <= STACK_STITCHES * every:
            return Pooling(stitches, "stack", every, shift)
    shift = _shift(stitches, repeat)
    kind: Kind = "spiral" if abs(shift) <= SPIRAL_SHARE * repeat else "scatter"
    return Pooling(stitches, kind, 1, shift)


def nearby(repeat: float, stitches: int, *, reach: int) -> tuple[Pooling, ...]:
    """The same for the stitch counts about this one, so that another can be chosen.

    `reach`: 0 to 100 stitches to either side. Counts below 1 or beyond 1000 are left out.
    Refused (ValueError): outside that range.

    >>> [(p.stitches, p.kind) for p in nearby(60.0, 60, reach=2)]
    [(58, 'spiral'), (59, 'stack'), (60, 'stack'), (61, 'stack'), (62, 'spiral')]

    **Source:** as `pooling`.
    """
    within("reach", reach, 0, 100, "stitches")
    counts = range(stitches - reach, stitches + reach + 1)
    return tuple(pooling(repeat, count) for count in counts if 1 <= count <= MOST_STITCHES)


def _shift(stitches: int, repeat: float) -> float:
    """How much further on the colours stand after so many stitches, from -repeat/2 to repeat/2."""
    return round(stitches / repeat) * repeat - stitches


# Yarn in a pair of socks: what was read, and what each figure is worth.

PAIR_LEAST_M, PAIR_MOST_M = 260.0, 360.0
"""m for a small and a large pair (estimate; the upper end is the buying rule of about 400 yd)."""


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
    YARN_M(yarn_m)
    if yarn_m >= PAIR_MOST_M:
        return "enough"
    return "too little" if yarn_m < PAIR_LEAST_M else "perhaps"
