"""Roots, fixed points and lines through readings: the numerical methods that the formulas share."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TypeVar

import msgspec

Found = TypeVar("Found")
MOST_ROUNDS = 200
"""Enough for a bracket to shrink from any two floats to the last bit."""
LAST_BITS = 4e-16


def root_between(function: Callable[[float], float], low: float, high: float) -> float:
    """Root of a continuous function between two points where its signs differ.

    Where the straight line between both ends crosses zero, over and over; an end that stays twice counts half.

    `function`: float to float. `low`, `high`: the bracket. Returns the root to the last bits.
    Refused (ValueError): no change of sign in the bracket.

    >>> root_between(lambda x: x * x - 2.0, 1.0, 2.0)
    1.41421356237309

    **Source:** regula falsi in the Illinois form, M. Dowell and P. Jarratt, BIT 11 (1971) 168-174 (from memory).
    Breaks where the function jumps: it then gives the place of the jump.
    """
    at_low, at_high = function(low), function(high)
    if (at_low > 0) == (at_high > 0):
        raise ValueError(f"The function has no change of sign between {low:g} and {high:g}.")
    tried, moved_high = low, False
    for _ in range(MOST_ROUNDS):
        before, tried = tried, high - at_high * (high - low) / (at_high - at_low)
        value = function(tried)
        if value == 0.0 or abs(tried - before) <= LAST_BITS * abs(tried):
            break
        if (value > 0) == (at_high > 0):
            high, at_high, at_low = tried, value, at_low / 2.0 if moved_high else at_low
            moved_high = True
        else:
            low, at_low, at_high = tried, value, at_high if moved_high else at_high / 2.0
            moved_high = False
    return tried


def falling_root(
    function: Callable[[float], tuple[float, float]],
    guess: float,
    low: float,
    high: float,
    near: float = 1e-13,
) -> float:
    """Root of a falling function, by Newton steps kept inside a shrinking bracket.

    `function`: gives its value and how steeply it falls there (above 0). `low`, `high`: the bracket.
    `near`: the step that ends it; a Newton step of 1e-9 lands within 1e-13 of a smooth root.
    Returns the root. Refuses nothing: without a root in the bracket, the end that is nearer to it.
    Halves the bracket where Newton would leave it, and where a step is no shorter than the one before: where a curve
    bends both ways Newton alone can swing between two ends for ever. A steepness that is told a tenth wrong would take
    a step for each digit: it is put right by what the last step really fell.

    >>> falling_root(lambda x: (2.0 - x * x, 2.0 * x), 1.0, 0.5, 2.0)
    1.41421356237309

    **Source:** textbook Newton steps with a bracket.
    """
    at, step, before = guess, high - low, None
    for _ in range(MOST_ROUNDS):
        value, fall = function(at)
        low, high = (at, high) if value > 0 else (low, at)
        told, before = before, (at, value, fall)
        if told is not None and (fell := (told[1] - value) / (at - told[0])) > 0:
            fall *= 2.0 * fell / (fall + told[2])
        better = at + value / fall
        if not low <= better <= high or abs(better - at) >= step:
            better = (low + high) / 2.0
        step = abs(better - at)
        at = better
        if step < near:
            break
    return at


def fixed_point(work: Callable[[float], tuple[Found, float]], start: float, near: float) -> Found:
    """What is worked out with a value that follows from the very thing, once the value moves by less than `near`.

    `work`: gives what is wanted and the value it makes. `start`: the first value. Infinite `near`: once is enough.

    >>> fixed_point(lambda x: ("cosine", math.cos(x)), 1.0, 1e-9), fixed_point(lambda x: (x, math.cos(x)), 1.0, 1e-9)
    ('cosine', 0.73908513)

    **Source:** textbook fixed point iteration. Breaks where a step moves the value further than the one before.
    """
    for _ in range(MOST_ROUNDS):
        found, made = work(start)
        moved, start = abs(made - start), made
        if moved < near:
            break
    return found


class FittedLine(msgspec.Struct, frozen=True):
    """A straight line through weighted points.

    `middle`, `height`: the point all of them balance on. `weight`: of all points together. `spread`: sum of
    weight x (x - middle)^2. `scatter`: sum of weight x (distance from the line)^2.

    **Source:** as `line_through`.
    """

    middle: float
    height: float
    slope: float
    weight: float
    spread: float
    scatter: float


def line_through(points: Sequence[tuple[float, float, float]]) -> FittedLine:
    """Weighted least squares line through (x, y, weight) at two or more different x; weights above 0.

    >>> line = line_through([(0.0, 1.0, 1.0), (1.0, 3.0, 1.0), (2.0, 5.0, 4.0)])
    >>> line.slope, line.middle, line.height
    (2.0, 1.5, 4.0)

    **Source:** least squares, any text on the fitting of data.
    """
    weight = math.fsum(w for _, _, w in points)
    middle = math.fsum(w * x for x, _, w in points) / weight
    height = math.fsum(w * y for _, y, w in points) / weight
    spread = math.fsum(w * (x - middle) ** 2 for x, _, w in points)
    slope = math.fsum(w * (x - middle) * (y - height) for x, y, w in points) / spread
    scatter = math.fsum(w * (y - height - slope * (x - middle)) ** 2 for x, y, w in points)
    return FittedLine(middle, height, slope, weight, spread, scatter)
