"""A knitted swatch held against the forecast; the spread of the edges is fitted to it and kept."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import msgspec

from studio.plan.errors import PlanError
from studio.session import commands as c
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.kinds.notes import SwatchCounted
from studio.session.refusals import Refused
from studio.session.state import State

if TYPE_CHECKING:
    from studio.plan.forecast import Foretelling

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
    from studio.craft.stripe.blank import Band
    from studio.craft.stripe.forecast import forecast
    from studio.craft.stripe.inverse import Measured, fit
    from studio.craft.stripe.painting import Painting

    blank = told.blank
    half = max(1.0, (blank.rows - rows) / 2)
    bands = (Band("", half), Band(colour, rows)) if half + rows <= blank.rows else (Band(colour, rows),)
    usual = forecast(blank, bands, Painting(), told.knitting, paintings=300)
    band = next(b for b in usual.bands if b.colour == colour)
    fitted = fit([Measured(rows, solid, mixed)], blank, told.knitting)
    return SwatchCounted(colour, rows, solid, mixed, band.solid, fitted.painting.spread, "")
