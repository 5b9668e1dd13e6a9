"""What is kept beside the steps: remarks and pictures, a swatch held against its forecast, drops and water
counted.
"""

from __future__ import annotations

import re
from pathlib import PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING

import msgspec

from studio.craft.shade import dropper_drops_per_ml
from studio.plan.errors import PlanError
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session.asked import Refused, value_of, words
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.kinds.notes import Addendum, DropsCounted, Noted, PhotoAdded, SwatchCounted
from studio.session.kinds.steam import PotRead
from studio.session.live.given import record_of
from studio.session.path import current_step
from studio.session.sheet import value_now
from studio.session.state import State

if TYPE_CHECKING:
    from studio.plan.forecast import Foretelling


# Words and pictures that are kept beside the steps: a note, a photo.


def add_note(state: State, command: c.AddNote, now: Reading) -> list[Event]:
    """A remark, whatever words are in it; after the closing an addendum."""
    if state.closed:
        return [Addendum(words(command.text))]
    step = current_step(state, now)
    return [Noted(words(command.text), step.id if step else "")]


def add_photo(state: State, command: c.AddPhoto, now: Reading) -> list[Event]:
    """A path from the studio folder; nothing outside it."""
    path = words(command.path)
    pure = PurePosixPath(path.replace("\\", "/"))
    if pure.is_absolute() or PureWindowsPath(path).drive or ".." in pure.parts:
        raise Refused(
            "Keep the picture in the studio folder and write its path from there, photos/swatch.jpg."
        )
    return [PhotoAdded(str(pure), command.text.strip()[:500])]


# A knitted swatch held against the forecast; the spread of the edges is fitted to it and kept.

COUNTED = re.compile(r"(.+?)\s+(\d+(?:[.,]\d+)?)\s+solid(?:\s+(\d+(?:[.,]\d+)?)\s+mixed)?", re.IGNORECASE)
EXAMPLE = "rust 3 solid 2 mixed (mixed on each side)"


def count_swatch(state: State, command: c.CountSwatch, now: Reading) -> list[Event]:
    """The counts, the forecast of the day and the fitted spread."""
    # The craft of stripes is loaded here, at the moment of use, and nowhere else in a session.
    from studio.plan.forecast import foretell

    try:
        told = foretell(state.choices.plan, state.choices.shelf)
    except PlanError as problem:
        raise Refused(
            "This plan says too little for a forecast, so a swatch cannot be held against one."
        ) from problem
    counted = COUNTED.fullmatch(command.text.strip())
    if counted is None:
        raise Refused(f"Write the colour and what was counted, for example {EXAMPLE}.")
    colour, solid, mixed = counted[1].strip(), _number(counted[2]), counted[3]
    rows = next((b.rows for b in told.bands if b.colour.casefold() == colour.casefold()), None)
    if rows is None:
        names = ", ".join(dict.fromkeys(b.colour for b in told.bands if b.colour))
        raise Refused(f"There is no band of {colour} on this blank; there are {names}.")
    try:
        swatch = _held_against(told, colour, rows, solid, None if mixed is None else _number(mixed))
    except ValueError as problem:
        raise Refused(str(problem)) from problem
    return [msgspec.structs.replace(swatch, typed=command.text.strip())]


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _held_against(
    told: Foretelling, colour: str, rows: float, solid: float, mixed: float | None
) -> SwatchCounted:
    from studio.craft.stripe.blank import Band, Painting
    from studio.craft.stripe.forecast import forecast
    from studio.craft.stripe.inverse import Measured, fit

    blank = told.blank
    half = max(1.0, (blank.rows - rows) / 2)
    bands = (Band("", half), Band(colour, rows)) if half + rows <= blank.rows else (Band(colour, rows),)
    usual = forecast(blank, bands, Painting(), told.knitting, paintings=300)
    band = next(b for b in usual.bands if b.colour == colour)
    fitted = fit([Measured(rows, solid, mixed)], blank, told.knitting)
    return SwatchCounted(colour, rows, solid, mixed, band.solid, fitted.painting.spread, "")


# What is counted of the studio itself beside the steps: the dropper's drops, and the water left in the
# pot.

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
