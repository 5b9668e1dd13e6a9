"""Notes that measure the studio: drops counted into a measure, and what is left in the pot.

They stay notes in words, so that every reader of the file shows them, and hold the numbers beside.
"""

from __future__ import annotations

import re

from studio.craft.drops import dropper_drops_per_ml
from studio.quantity import QuantityError, parse
from studio.session import commands as c
from studio.session import events as e
from studio.session.clock import Reading
from studio.session.live.given import facts_of, set_suffix
from studio.session.path import current_step
from studio.session.refusals import Refused
from studio.session.state import State

DROPPER = "dropper 40 drops in 2 mL"
POT = "pot 820 mL left"
FEWEST_DROPS = 10
"""One drop more or less is then a tenth. House rule."""
_COUNTED = re.compile(r"([0-9]{1,4})\s*drops?\s+(?:in(?:to)?\s+)?(.{1,40})", re.IGNORECASE)
_LEFT = re.compile(r"(.{1,40}?)\s+left", re.IGNORECASE)


def measured_note(text: str) -> c.Command | None:
    """The command that a note becomes which begins like one of these; None for any other note."""
    first, _, rest = text.strip().partition(" ")
    word = first.casefold()
    if word == "dropper" and "drop" in rest.casefold():
        return c.CountDrops(rest.strip())
    if word == "pot" and rest.casefold().split()[-1:] == ["left"]:
        return c.ReadPot(rest.strip())
    return None


def count_drops(state: State, command: c.CountDrops, now: Reading) -> list[e.Draft]:
    """A note with the drops and the volume they came to."""
    told = _COUNTED.fullmatch(command.text.strip())
    if told is None:
        raise Refused(f"Write the drops that were counted and what they came to, for example {DROPPER}.")
    drops, ml = int(told[1]), _ml(told[2], DROPPER)
    if drops < FEWEST_DROPS:
        raise Refused(f"Count at least {FEWEST_DROPS} drops; one more or less is too much of a few.")
    try:
        per_ml = dropper_drops_per_ml(drops, ml)
    except ValueError as problem:
        raise Refused(str(problem)) from problem
    if not 5 <= per_ml <= 60:
        raise Refused(
            f"{drops} drops in {ml:g} mL are {per_ml:.3g} a mL; a dropper gives 5 to 60. Count again."
        )
    return [_note(state, now, f"dropper {command.text.strip()}", "dropper", {"drops": drops, "ml": ml})]


def read_pot(state: State, command: c.ReadPot, now: Reading) -> list[e.Draft]:
    """A note with the water that is left in the pot, once it has boiled."""
    told = _LEFT.fullmatch(command.text.strip())
    if told is None:
        raise Refused(f"Write how much water is left, for example {POT}.")
    known, suffix = facts_of(state), set_suffix(state)
    if known is None or not state.step(f"steam{suffix}.rolling").closed:
        raise Refused(
            "The pot has not steamed yet, so nothing has boiled off; measure what is left afterwards."
        )
    ml = _ml(told[1], POT)
    poured = (state.step(f"steam{suffix}.water").value or known[0].pot_water_ml) + sum(
        p.ml for p in state.refills
    )
    if ml > poured:
        raise Refused(f"Only {poured:g} mL went into the pot; write what is left of them.")
    return [_note(state, now, f"pot {command.text.strip()}", "pot_left", {"ml": ml})]


def _ml(text: str, example: str) -> float:
    try:
        return parse(text.strip(), "volume").value
    except QuantityError:
        raise Refused(f"There is no volume in that; write for example {example}.") from None


def _note(state: State, now: Reading, text: str, key: str, numbers: dict[str, float]) -> e.Draft:
    if state.closed:
        return e.Draft(e.ADDENDUM, {"text": text, "step": "", key: numbers})
    step = current_step(state, now)
    return e.Draft(e.NOTED, {"text": text, "step": step.id if step else "", key: numbers})
