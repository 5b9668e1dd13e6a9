"""Yarn in a pair of socks: what was read, and what each figure is worth."""

from __future__ import annotations

from typing import Literal

from studio.craft.limits import within

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
    within("length of the yarn", yarn_m, 0, 100_000, "m")
    if yarn_m >= PAIR_MOST_M:
        return "enough"
    return "too little" if yarn_m < PAIR_LEAST_M else "perhaps"
