"""What the events beside the steps hold: readings, steam, paint, rinses, leftovers, pictures."""

from __future__ import annotations

from typing import Annotated, Literal

from msgspec import UNSET, Meta, Struct, UnsetType, field

from studio.session import events as e
from studio.session.event_shapes_steps import Closes, ClosesWithClocks, Doubted, Typed
from studio.session.event_shapes_time import (
    EndsAlarms,
    EventData,
    Happened,
    Late,
    StartsClocks,
    TimerExtended,
    Words,
)

Ml = Annotated[float, Meta(description="mL")]
Percent = Annotated[float, Meta(description="per cent; of a stock, g of dye in 100 mL made up")]
ColourSlug = Annotated[str, Meta(description="Slug of a colour of the plan, `deep-water`.")]


class SwatchCounted(EventData, frozen=True):
    """Rounds counted on a knitted swatch, the forecast of the day, and the spread fitted to the counts."""

    colour: str
    rows: float
    solid: float
    mixed_each_side: float | None
    forecast_solid: Annotated[tuple[int, int, int], Meta(description="5, 50 and 95 % of rounds.")]
    spread: Annotated[float, Meta(description="rows")]
    typed: Typed


class DropsCountedData(EventData, frozen=True):
    """Drops of the studio's dropper, and what they came to."""

    drops: float
    ml: Ml
    typed: Typed


class PotReadData(EventData, frozen=True):
    """Water that was left in the pot after some steam."""

    ml: Ml
    typed: Typed


class ReadingTaken(ClosesWithClocks, frozen=True):
    """A temperature; one that ends a wait closes it."""

    where: Literal["packet", "lid", "bath", "room"]
    value: Annotated[float, Meta(description="degC")]
    unit: Literal["degC"]
    typed: Typed


class SteamTurned(Late, frozen=True, kw_only=True):
    """The steam rolls again; after a long loss the set takes longer."""

    extends: list[TimerExtended] | UnsetType = UNSET
    ends: EndsAlarms = UNSET


class SteamStopped(SteamTurned, frozen=True, kw_only=True):
    """The steam stopped; what needs it stands still, until it was back where it was told later."""

    again: Happened | UnsetType = UNSET


class PotRefilled(EventData, frozen=True):
    """Boiling water went into the pot."""

    ml: Ml
    typed: Typed
    ends: EndsAlarms = UNSET
    starts: StartsClocks = UNSET


class BatchMixed(EventData, frozen=True):
    """More of a colour was mixed: `ml` of liquor, of which `stock_ml` is dye stock and the rest water."""

    colour: ColourSlug
    ml: Ml
    stock_ml: Ml
    water_ml: Ml
    typed: Typed
    strength_percent: Percent | UnsetType = UNSET
    """Of a stock that was made for it; left out where it is the colour's own."""
    lot_difference_percent: Annotated[float, Meta(description="% off the first jar")] | UnsetType = UNSET
    flagged: Doubted | UnsetType = UNSET


class PaintLeftData(EventData, frozen=True):
    """What a jar holds now."""

    colour: ColourSlug
    ml: Ml
    typed: Typed


class BandPainted(EventData, frozen=True):
    """A band got a coat, or the jar of one it has is put right."""

    band: Annotated[int, Meta(description="Place in the layout, from 1; bare stretches not counted.", ge=1)]
    colour: Annotated[str, Meta(description="Slug of the planned colour.")]
    jar: Annotated[str, Meta(description="Slug of the colour whose jar it was painted from.")]
    coat: Annotated[int, Meta(description="A coat the band has already: its jar is put right.", ge=1)]
    instead_of: Annotated[str, Meta(description="The jar that was named before.")] | UnsetType = UNSET


class RinseRoundData(Closes, frozen=True):
    """One rinse, graded from 1, dark as the bath, to 5, clear."""

    staining: Annotated[int, Meta(ge=1, le=5)]
    clear: bool
    set_number: Annotated[int, Meta(ge=1)] = field(name="set")
    round: Annotated[int, Meta(ge=1)]


class BathLooked(ClosesWithClocks, frozen=True):
    """The white spoon: the bath, or the liquid of a packet in the microwave, graded from 1 dark to 5 clear."""

    step: Annotated[str, Meta(description="Id of the step that asks for the look.")]
    grade: Annotated[int, Meta(ge=1, le=5)]
    clear: bool
    set_number: Annotated[int, Meta(ge=1)] = field(name="set")


class AcidDosed(EventData, frozen=True):
    """Acid into a kettle's bath beyond the plan's, because it would not clear."""

    amount: Annotated[float, Meta(gt=0)]
    unit: Literal["mL", "g"]
    typed: Typed


class SetAdded(Closes, frozen=True):
    """A second set: heat, cool and rinse once more, as stages `steam-2` and so on."""

    number: Annotated[int, Meta(ge=2)]
    why: Words


class LeftoverKept(EventData, frozen=True):
    """What became of leftover paint."""

    colour: ColourSlug
    ml: Ml
    to: Literal["jar", "disposed"]
    typed: Typed
    strength_percent: Percent | UnsetType = UNSET
    use_by: Annotated[str, Meta(description="A day, 2026-09-19.")] | UnsetType = UNSET
    use_by_source: str | UnsetType = UNSET


class PhotoAdded(EventData, frozen=True):
    """A picture."""

    path: Annotated[str, Meta(description="From the studio folder, with /.")]
    text: Words


SHAPES: dict[str, type[Struct]] = {
    e.READING_TAKEN: ReadingTaken,
    e.STEAM_STOPPED: SteamStopped,
    e.STEAM_AGAIN: SteamTurned,
    e.POT_REFILLED: PotRefilled,
    e.BATCH_MIXED: BatchMixed,
    e.PAINT_LEFT: PaintLeftData,
    e.BAND_PAINTED: BandPainted,
    e.RINSE_ROUND: RinseRoundData,
    e.BATH_LOOKED: BathLooked,
    e.ACID_DOSED: AcidDosed,
    e.SET_ADDED: SetAdded,
    e.LEFTOVER_KEPT: LeftoverKept,
    e.PHOTO_ADDED: PhotoAdded,
    e.SWATCH_COUNTED: SwatchCounted,
    e.DROPS_COUNTED: DropsCountedData,
    e.POT_READ: PotReadData,
}
"""The shape of the data of each of these kinds."""
