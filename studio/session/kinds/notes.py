"""Beside the steps: remarks, pictures, and what is counted of the studio itself."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Annotated, ClassVar

import msgspec
from msgspec import Meta

from studio.plaintext import clean
from studio.quantity.showing import show
from studio.session.events import Event, Head, Ml, OfAList, StepIdOrNone, Typed, Undo, Words
from studio.session.state import Note

if TYPE_CHECKING:
    from studio.session.state import State


BEGAN = re.compile(r"(?:(?P<clock>.+) )?(?:started|began)", re.IGNORECASE)
"""Words that may tell when a clock began."""


class Remark(Event, frozen=True):
    """Words that a state keeps in the order they were written."""

    text: Words

    def apply(self, state: State, head: Head) -> None:
        state.notes.append(msgspec.structs.replace(self.note, n=head.n, at_ns=head.at.wall_ns))

    @property
    def note(self) -> Note:
        """What is kept of it, but number and time."""
        return Note(text=self.text)


class Noted(Remark, frozen=True, tag="noted"):
    """A remark in the dyer's words."""

    undo: ClassVar[Undo] = "free"

    step: StepIdOrNone

    @property
    def note(self) -> Note:
        return Note(text=self.text, step=self.step)

    def says(self, state: State) -> str:
        return f"note: {clean(self.text, limit=1000)}"


class NotedLate(Remark, frozen=True, tag="noted.late"):
    """A remark written later than it happened."""

    undo: ClassVar[Undo] = "free"

    happened_at: Annotated[str, Meta(description="Time of day where the session was opened, `14:05`.")]

    @property
    def note(self) -> Note:
        return Note(text=self.text, happened_at=self.happened_at)

    def says(self, state: State) -> str:
        told = f"late entry, for {clean(self.happened_at)}: {clean(self.text, limit=1000)}"
        if BEGAN.fullmatch(self.text) is None or not state.timers:
            return told
        clocks = list(dict.fromkeys(clean(t.label, limit=40) for t in state.timers.values()))
        named = "the clock is" if len(clocks) == 1 else "the clocks are"
        return f"{told}; no clock moved: {named} called {', '.join(clocks)}"


class Addendum(Remark, frozen=True, tag="addendum"):
    """A remark written after the closing."""

    after_the_end: ClassVar[bool] = True

    @property
    def note(self) -> Note:
        return Note(text=self.text, addendum=True)

    def says(self, state: State) -> str:
        return f"added later: {clean(self.text, limit=1000)}"


class PhotoAdded(OfAList, frozen=True, tag="photo.added"):
    """A picture."""

    undo: ClassVar[Undo] = "free"
    after_the_end: ClassVar[bool] = True
    into: ClassVar[str] = "photos"

    path: Annotated[str, Meta(description="From the studio folder, with /.")]
    text: Words

    def says(self, state: State) -> str:
        return f"picture {clean(self.path)}  {clean(self.text)}".rstrip()


class SwatchCounted(OfAList, frozen=True, tag="swatch.counted"):
    """Rounds counted on a knitted swatch, the forecast of the day, and the spread fitted to the counts."""

    undo: ClassVar[Undo] = "free"
    after_the_end: ClassVar[bool] = True
    into: ClassVar[str] = "swatches"

    colour: str
    rows: float
    solid: float
    mixed_each_side: float | None
    forecast_solid: Annotated[tuple[int, int, int], Meta(description="5, 50 and 95 % of rounds.")]
    spread: Annotated[float, Meta(description="rows")]
    typed: Typed

    def says(self, state: State) -> str:
        mixed = "" if self.mixed_each_side is None else f", {self.mixed_each_side:g} mixed on each side"
        counted = f"{self.solid:g} rounds solid from {self.rows:g} rows{mixed}"
        return f"swatch of {clean(self.colour, limit=40)}: {counted}, edges spread by {self.spread:.2g} rows"


class DropsCounted(OfAList, frozen=True, tag="drops.counted"):
    """Drops of the studio's dropper, and what they came to."""

    undo: ClassVar[Undo] = "free"
    after_the_end: ClassVar[bool] = True
    into: ClassVar[str] = "droppers"

    drops: float
    ml: Ml
    typed: Typed

    def says(self, state: State) -> str:
        return f"dropper: {self.drops:g} drops in {show(self.ml, 'mL', 4)}"


KINDS = (Noted, NotedLate, Addendum, PhotoAdded, SwatchCounted, DropsCounted)
