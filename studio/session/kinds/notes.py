"""Beside the steps: remarks, pictures, and what is counted of the studio itself; with the rules for them."""

from __future__ import annotations

import re
from pathlib import PurePosixPath, PureWindowsPath
from typing import TYPE_CHECKING, Annotated, ClassVar

import msgspec
from msgspec import Meta

from studio.craft.shade import dropper_drops_per_ml
from studio.plaintext import clean, counted
from studio.plan.errors import PlanError
from studio.quantity.showing import show
from studio.session import commands as c
from studio.session.asked import Refused, value_of, words
from studio.session.clock import Reading
from studio.session.events import Event, Head, Ml, OfAList, StepIdOrNone, Typed, Undo, Words
from studio.session.path import current_step
from studio.session.state import Note, State

if TYPE_CHECKING:
    from studio.craft.stripe.blank import Band
    from studio.plan.forecast import Foretelling


# Beside the steps: remarks, pictures, and what is counted of the studio itself.

BEGAN = r"(?i)(?:(?P<clock>.+) )?(?:started|began)"
"""Words that may tell when a clock began."""


class Remark(Event, frozen=True):
    """Words that a state keeps in the order they were written."""

    text: Words

    def apply(self, state: State, head: Head) -> None:
        at = self.happened_at if isinstance(self, NotedLate) else ""
        state.notes.append(Note(head.n, head.at.wall_ns, self.text, self.after_the_end, at))


class Noted(Remark, frozen=True, tag="noted"):
    """A remark in the dyer's words."""

    undo: ClassVar[Undo] = "free"

    step: StepIdOrNone

    def says(self, state: State) -> str:
        return f"note: {clean(self.text, limit=1000)}"


class NotedLate(Remark, frozen=True, tag="noted.late"):
    """A remark written later than it happened."""

    undo: ClassVar[Undo] = "free"

    happened_at: Annotated[str, Meta(description="Time of day where the session was opened, `14:05`.")]

    def says(self, state: State) -> str:
        told = f"late entry, for {clean(self.happened_at)}: {clean(self.text, limit=1000)}"
        if re.fullmatch(BEGAN, self.text) is None or not state.timers:
            return told
        clocks = list(dict.fromkeys(clean(t.label, limit=40) for t in state.timers.values()))
        named = "the clock is" if len(clocks) == 1 else "the clocks are"
        return f"{told}; no clock moved: {named} called {', '.join(clocks)}"


class Addendum(Remark, frozen=True, tag="addendum"):
    """A remark written after the closing."""

    after_the_end: ClassVar[bool] = True

    def says(self, state: State) -> str:
        return f"added later: {clean(self.text, limit=1000)}"


class PhotoAdded(OfAList, frozen=True, tag="photo.added"):
    """A picture."""

    after_the_end: ClassVar[bool] = True
    seen: ClassVar[bool] = False

    path: Annotated[str, Meta(description="From the studio folder, with /.")]
    text: Words

    def says(self, state: State) -> str:
        return f"picture {clean(self.path)}  {clean(self.text)}".rstrip()


class SwatchCounted(OfAList, frozen=True, tag="swatch.counted"):
    """Rounds counted on a knitted swatch, the forecast of the day, and the spread fitted to the counts."""

    after_the_end: ClassVar[bool] = True
    seen: ClassVar[bool] = False

    colour: str
    rows: float
    solid: float
    mixed_each_side: float | None
    forecast_solid: Annotated[tuple[int, int, int], Meta(description="5, 50 and 95 % of rounds.")]
    spread: Annotated[float, Meta(description="rows")]
    typed: Typed

    def says(self, state: State) -> str:
        mixed = "" if self.mixed_each_side is None else f", {self.mixed_each_side:g} mixed on each side"
        told = f"{counted(self.solid, 'round')} solid from {counted(self.rows, 'row')}{mixed}"
        return f"swatch of {clean(self.colour, limit=40)}: {told}, edges spread by {self.spread:.2g} rows"


class DropsCounted(OfAList, frozen=True, tag="drops.counted"):
    """Drops of the studio's dropper, and what they came to."""

    after_the_end: ClassVar[bool] = True

    drops: float
    ml: Ml
    typed: Typed

    def says(self, state: State) -> str:
        return f"dropper: {self.drops:g} drops in {show(self.ml, 'mL', 4)}"


# Words and pictures that are kept beside the steps: a note, a photo.
@c.rule(c.AddNote)
def add_note(state: State, command: c.AddNote, now: Reading) -> list[Event]:
    """A remark, whatever words are in it; after the closing an addendum."""
    if state.closed:
        return [Addendum(words(command.text))]
    step = current_step(state, now)
    return [Noted(words(command.text), step.id if step else "")]


@c.rule(c.AddPhoto)
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
COUNTED = r"(?i)(.+?)\s+(\d+(?:[.,]\d+)?)\s+solid(?:\s+(\d+(?:[.,]\d+)?)\s+mixed)?"
EXAMPLE = "rust 3 solid 2 mixed (mixed on each side)"


@c.rule(c.CountSwatch)
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
    counted = re.fullmatch(COUNTED, command.text.strip())
    if counted is None:
        raise Refused(f"Write the colour and what was counted, for example {EXAMPLE}.")
    colour, solid, mixed = counted[1].strip(), _number(counted[2]), counted[3]
    painted = next((b for b in told.bands if b.colour.casefold() == colour.casefold()), None)
    if painted is None:
        names = ", ".join(dict.fromkeys(b.colour for b in told.bands if b.colour))
        raise Refused(f"There is no band of {colour} on this blank; there are {names}.")
    try:
        swatch = _held_against(told, painted, solid, None if mixed is None else _number(mixed))
    except ValueError as problem:
        raise Refused(str(problem)) from problem
    return [msgspec.structs.replace(swatch, typed=command.text.strip())]


def _number(text: str) -> float:
    return float(text.replace(",", "."))


def _held_against(told: Foretelling, painted: Band, solid: float, mixed: float | None) -> SwatchCounted:
    from studio.craft.stripe.blank import Band, Painting
    from studio.craft.stripe.forecast import forecast
    from studio.craft.stripe.inverse import Measured, fit

    blank, colour, rows = told.blank, painted.colour, painted.rows
    half = max(1.0, (blank.rows - rows) / 2)
    bands = (Band("", half), Band(colour, rows)) if half + rows <= blank.rows else (Band(colour, rows),)
    hand = Painting(thickened=told.thickened)
    usual = forecast(blank, bands, hand, told.knitting, paintings=300)
    band = next(b for b in usual.bands if b.colour == colour)
    fitted = fit([Measured(rows, solid, mixed)], blank, told.knitting)
    # Kept as that of a paint without thickener, which the forecast begins from.
    spread = round(fitted.painting.spread * hand.spread / hand.spread_of(colour), 3)
    return SwatchCounted(colour, rows, solid, mixed, band.solid, spread, "")


# What is counted of the studio itself beside the steps: the dropper's drops.
DROPPER = "40 drops in 2 mL"
FEWEST_DROPS = 10
"""One drop more or less is then a tenth. House rule."""
_COUNTED = r"(?i)([0-9]{1,4})(?:\s*drops?)?\s+(?:in(?:to)?\s+)?(.{1,40})"


@c.rule(c.CountDrops)
def count_drops(state: State, command: c.CountDrops, now: Reading) -> list[Event]:
    """The drops and the volume they came to, `40 drops in 2 mL`."""
    told = re.fullmatch(_COUNTED, command.text.strip())
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
