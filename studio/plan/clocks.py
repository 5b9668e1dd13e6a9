"""Clocks that every method has."""

from __future__ import annotations

import math

from studio.plan.facts import ProcedureFacts
from studio.plan.shapes import Timer


def whole(minutes: float) -> int:
    """A clock runs in whole minutes, rounded up: never shorter than what was worked out.

    >>> whole(34.4), whole(30.0)
    (35, 30)
    """
    return math.ceil(minutes - 1e-9)


def presoak_timer(facts: ProcedureFacts, then: str) -> Timer:
    """The soak. `then`: what follows, after a colon."""
    return Timer(
        role="soak",
        counts="presoak.time",
        label="presoak",
        minutes=whole(facts.presoak_min),
        action=f"The soak is over: {then}.",
        priority="medium",
    )


def cool_timer(facts: ProcedureFacts, action: str) -> Timer:
    """The cooling, after which it is measured."""
    return Timer(
        role="cool", label="cooling", minutes=max(1, whole(facts.cool_min)), action=action, priority="medium"
    )
