"""The digit that opens a gate: shown in its question, another one each time, so that no habit can pass it."""

from __future__ import annotations

import random

from studio.plan.shapes import Step
from studio.session.live.given import leftovers_untold
from studio.session.state import State

DIGITS = range(1, 10)

Missed = tuple[tuple[str, int], ...]
"""Wrong digits that were pressed, each with its gate, oldest first."""


def gate_digit(state: State, gate: str, missed: Missed = ()) -> int:
    """1 to 9; never the one that opened the gate before, nor the one that was shown or pressed a moment ago.

    Of one session, one gate and the same presses it is always the same, so that no alarm and no tick of the
    clock changes it under the dyer's eyes; each session has digits of its own. A key held down never opens it.

    **Source:** house rule.
    """
    chance = random.Random(f"{state.opened.wall_ns} {gate} {len(state.step(gate).earlier)}")
    shown = state.gate_digit
    for wrong in (0, *(digit for at, digit in missed if at == gate)):
        shown = chance.choice([digit for digit in DIGITS if digit not in (shown, wrong)])
    return shown


def digit_asked(state: State, step: Step, missed: Missed = ()) -> int | None:
    """The digit a step asks for; None where it is no gate, or one that asks for reasons or for leftovers first."""
    if step.kind != "gate" or step.role == "accept cautions":
        return None
    if step.role == "leftovers" and leftovers_untold(state):
        return None
    return gate_digit(state, step.id, missed)
