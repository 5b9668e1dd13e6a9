"""Paint: more of a colour mixed, what a jar holds, bands painted, and what became of the rest."""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal

import msgspec
from msgspec import Meta

from studio.plaintext import clean
from studio.plan.shapes import listed
from studio.plan.ways import Addition
from studio.quantity.showing import show
from studio.session.events import Doubted, Event, Head, Kept, Ml, OfAList, Typed, Undo
from studio.session.kinds.steps import doubted
from studio.session.state import State

Face = Literal["front", "back"]
"""Which way up the goods lie."""
Percent = Annotated[float, Meta(description="per cent; of a stock, g of dye in 100 mL made up")]
ColourSlug = Annotated[str, Meta(description="Slug of a colour of the plan, `deep-water`.")]


class BatchMixed(OfAList, frozen=True, tag="batch.mixed"):
    """More of a colour was mixed: `ml` of liquor, of which `stock_ml` is stock, and what was `added` with water."""

    colour: ColourSlug
    ml: Ml
    stock_ml: Ml
    water_ml: Ml
    typed: Typed
    added: tuple[Addition, ...] = ()
    """Acid and thickener."""
    strength_percent: Percent | None = None
    """Of a stock that was made for it; left out where it is the colour's own."""
    lot_difference_percent: Annotated[float | None, Meta(description="% off the first jar")] = None
    flagged: Doubted = False

    def says(self, state: State) -> str:
        all_of_it, stock, water = (show(ml, "mL") for ml in (self.ml, self.stock_ml, self.water_ml))
        told = f"{all_of_it} more of {colour_name(state, self.colour)}: {stock} of stock and {water} of water"
        if self.added:
            told += f", with {clean(listed([each.said for each in self.added]))}"
        off = self.lot_difference_percent
        lot = "" if off is None else f"; ANOTHER LOT, {show(off, '%')} off the first jar"
        return f"{told}{lot}{doubted(self.flagged)}"


class JarRead(OfAList, frozen=True, tag="paint.left"):
    """What a jar holds now."""

    seen: ClassVar[bool] = False

    colour: ColourSlug
    ml: Ml
    typed: Typed

    def says(self, state: State) -> str:
        return f"{colour_name(state, self.colour)}: {show(self.ml, 'mL')} left in the jar"


class BandPainted(Event, frozen=True, tag="band.painted"):
    """A band got a coat, or the jar of one it has is put right."""

    undo: ClassVar[Undo] = "free"

    band: Annotated[int, Meta(description="Place in the layout, from 1; bare stretches not counted.", ge=1)]
    colour: Annotated[str, Meta(description="Slug of the planned colour.")]
    jar: Annotated[str, Meta(description="Slug of the colour whose jar it was painted from.")]
    coat: Annotated[int, Meta(description="Of this face; one it has already: its jar is put right.", ge=1)]
    instead_of: Annotated[str, Meta(description="The jar that was named before.")] = ""
    face: Annotated[Face, Meta(description="The side that lay up.")] = "front"

    def apply(self, state: State, head: Head) -> None:
        if not self.instead_of:
            state.coats.append(Kept(head.n, head.at, self))
            return
        for index in reversed(range(len(state.coats))):
            coat = state.coats[index]
            if (coat.event.band, coat.event.face) == (self.band, self.face):
                right = msgspec.structs.replace(coat.event, jar=self.jar)
                state.coats[index] = msgspec.structs.replace(coat, event=right)
                return

    def says(self, state: State) -> str:
        """`band 7 painted, rust`; where another jar than planned was used, or it lay face down, that is said."""
        faces = self.face == "back" or state.choices.plan.layout.sides > 1
        band = f"band {self.band}, {self.face}," if faces else f"band {self.band}"
        jar, more = colour_name(state, self.jar), f", coat {self.coat}" if self.coat > 1 else ""
        said = colour_name(state, self.instead_of) if self.instead_of else ""
        before = f"; {said} was said before" if said else ""
        if self.jar == self.colour and not before:
            return f"{band} painted, {jar}{more}"
        other = "" if self.jar == self.colour else f" (planned {colour_name(state, self.colour)})"
        return f"{band} painted from the {jar} jar{other}{more}{before}"


class LeftoverKept(OfAList, frozen=True, tag="leftover.kept"):
    """What became of leftover paint."""

    colour: ColourSlug
    ml: Ml
    to: Literal["jar", "disposed"]
    typed: Typed
    strength_percent: Percent | None = None
    use_by: Annotated[str, Meta(description="A day, 2026-09-19.")] = ""
    use_by_source: str = ""

    def says(self, state: State) -> str:
        told = f"{colour_name(state, self.colour)} left over: {show(self.ml, 'mL')}"
        if self.to == "jar":
            return f"{told}, into a jar, use by {clean(self.use_by)}"
        return f"{told}, disposed of" if self.ml else told


def colour_name(state: State, slug: str) -> str:
    """The colour's name as the plan has it."""
    plans = (colour.plan for colour in state.choices.colours)
    return clean(next((plan.name for plan in plans if plan.slug == slug), slug))
