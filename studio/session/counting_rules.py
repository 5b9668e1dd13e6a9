"""What is counted of the studio itself beside the steps: the dropper's drops, and the water left in the pot."""

from __future__ import annotations

import re

from studio.craft.shade import dropper_drops_per_ml
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session.asked import value_of
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.kinds.notes import DropsCounted
from studio.session.kinds.steam import PotRead
from studio.session.live.given import record_of
from studio.session.refusals import Refused
from studio.session.sheet import value_now
from studio.session.state import State

DROPPER = "40 drops in 2 mL"
FEWEST_DROPS = 10
"""One drop more or less is then a tenth. House rule."""
_COUNTED = re.compile(r"([0-9]{1,4})(?:\s*drops?)?\s+(?:in(?:to)?\s+)?(.{1,40})", re.IGNORECASE)
_LEFT = re.compile(r"\s+left$", re.IGNORECASE)


def count_drops(state: State, command: c.CountDrops, now: Reading) -> list[Event]:
    """The drops and the volume they came to, `40 drops in 2 mL`."""
    told = _COUNTED.fullmatch(command.text.strip())
    if told is None:
        raise Refused(f"Write the drops that were counted and what they came to, for example {DROPPER}.")
    drops, ml = int(told[1]), value_of(told[2], "volume")
    if drops < FEWEST_DROPS:
        raise Refused(f"Count at least {FEWEST_DROPS} drops; one more or less is too much of a few.")
    try:
        per_ml = dropper_drops_per_ml(drops, ml)
    except ValueError as problem:
        raise Refused(str(problem)) from problem
    if not 5 <= per_ml <= 60:
        raise Refused(
            f"{drops} drops in {show(ml, 'mL')} are {per_ml:.3g} a mL; a dropper gives 5 to 60. Count again."
        )
    return [DropsCounted(drops, ml, command.text.strip())]


def read_pot(state: State, command: c.ReadPot, now: Reading) -> list[Event]:
    """The water that is left in the pot, once it has boiled: `820 mL`, or `820 mL left`."""
    first_ml = value_now(state, "set.pot_water")
    if first_ml is None or not record_of(state, "steam rolling").closed:
        raise Refused(
            "The pot has not steamed yet, so nothing has boiled off; measure what is left afterwards."
        )
    ml = value_of(_LEFT.sub("", command.text.strip()), "volume")
    poured = first_ml + sum(p.event.ml for p in state.refills)
    if ml > poured:
        raise Refused(f"Only {show(poured, 'mL')} went into the pot; write what is left of them.")
    return [PotRead(ml, command.text.strip())]
