"""A forecast drawn: three cloths of coloured stretches, the odds, and what it rests on, for a page or by itself."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import clean
from studio.report.forecast import BandWords, Dot, band_words, grid, pair_sentences
from studio.report.printing import fill

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.picture import Picture
    from studio.plan.forecast import Foreseen

CLOTH_WIDTH = 720.0
ACROSS = 240
"""Dots along a cloth: fine enough for a band of one row on a blank of 240."""
BLANK_DOWN, YARN_DOWN, FABRIC_DOWN = 16, 1, 24
DOT = 3.0
"""Height of a dot, the same as its width."""
LABEL = 16.0
GAP = 10.0
OVERLAP = 0.2
"""Of a stretch over the next, so that no hairline shows between them."""


class Stretch(msgspec.Struct, frozen=True):
    """One colour from one dot to another."""

    x: float
    y: float
    width: float
    height: float
    hex: str


class DrawnCloth(msgspec.Struct, frozen=True):
    """The blank, the yarn or the fabric, lying."""

    label: str
    label_y: float
    stretches: tuple[Stretch, ...]


class DrawnForecast(msgspec.Struct, frozen=True):
    """All of it, in units of a picture `width` by `height`."""

    cloths: tuple[DrawnCloth, ...]
    bands: tuple[BandWords, ...]
    rests_on: tuple[str, ...]
    """What it is worth, one sentence each."""
    height: float
    width: float = CLOTH_WIDTH

    @property
    def told(self) -> str:
        """The same in words, for those who cannot see it."""
        parts = (f"{b.name} {b.rows} rows: {b.solid} solid, {b.mixed} mixed rounds" for b in self.bands)
        return "Forecast of blank, yarn and fabric; " + "; ".join(parts)


def drawn_forecast(foreseen: Foreseen, paintings: int) -> DrawnForecast:
    """Run and draw a forecast; ValueError, one sentence, where it cannot be run. Loads numpy.

    **Source:** `craft.stripe.forecast`; what the picture leaves out is said in `rests_on`.
    """
    return draw(foreseen, foreseen.forecast(paintings), foreseen.picture())


def draw(foreseen: Foreseen, found: Forecast, picture: Picture) -> DrawnForecast:
    """The same of a forecast that has been run."""
    cloths, height = _cloths(picture, foreseen, found.rounds)
    return DrawnForecast(cloths, band_rows(foreseen, found), rests_on(foreseen, found), height)


def band_rows(foreseen: Foreseen, found: Forecast) -> tuple[BandWords, ...]:
    """The odds, a row for each kind of band."""
    looks = ((kind, foreseen.palette[kind.colour]) for kind in found.kinds)
    return tuple(band_words(kind, look.name, look.hex) for kind, look in looks)


def forecast_svg(foreseen: Foreseen, found: Forecast) -> str:
    """The drawing by itself as SVG text; no script, no font, nothing from outside."""
    how = f"Chance over {found.paintings} simulated paintings; the picture shows one of them."
    return fill(
        "forecast.svg.j2",
        title=clean(foreseen.told.title, limit=60),
        drawn=draw(foreseen, found, foreseen.picture()),
        how="Exact geometry: no spread, no tilt, no wander." if found.exact else how,
    )


def _cloths(picture: Picture, foreseen: Foreseen, rounds: float) -> tuple[tuple[DrawnCloth, ...], float]:
    drawn, y = [], 0.0
    for label, cloth, down, dot in (
        ("the painted blank, first row on the left", picture.blank, BLANK_DOWN, DOT),
        ("the yarn of one strand, from the end that is knitted first", picture.yarn, YARN_DOWN, 4 * DOT),
        (f"the fabric, {rounds:.0f} rounds, first round on the left", picture.fabric, FABRIC_DOWN, DOT),
    ):
        dots = grid(picture, cloth, foreseen.palette, ACROSS, down, lying=True)
        drawn.append(DrawnCloth(label, y + LABEL - 5, _stretches(dots, y + LABEL, dot)))
        y += LABEL + down * dot + GAP
    return tuple(drawn), y


def _stretches(dots: Sequence[Sequence[Dot]], top: float, dot: float) -> tuple[Stretch, ...]:
    found = []
    for number, line in enumerate(dots):
        start = 0
        for hex_, run in groupby(line, key=lambda point: point.hex):
            end = start + len(list(run))
            wide = (end - start) * DOT + (OVERLAP if end < len(line) else 0.0)
            found.append(Stretch(start * DOT, round(top + number * dot, 1), round(wide, 1), dot, hex_))
            start = end
    return tuple(found)


def rests_on(foreseen: Foreseen, found: Forecast) -> tuple[str, ...]:
    """What the forecast is worth, one sentence each."""
    if found.exact:
        how = "Exact geometry of the plan: no spread, no tilt, no wander."
    else:
        ours = "tilt and wander are estimates"
        how = (
            f"{found.paintings} simulated paintings of the plan; {clean(foreseen.painted_by(), limit=120)}: "
            f"{ours if foreseen.spread_is else 'all three are estimates until fitted to a swatch'}. "
            "The picture shows one of them."
        )
    return (
        f"A forecast from the plan as it was written, no record of what came out. {how}",
        "Solid: one colour on 95 % of a round or more (house rule). Rounds: the middle of the paintings, and in "
        "brackets where nine of ten of them lie. Hues are approximations.",
        *(f"{sentence[0].upper()}{sentence[1:]}." for sentence in pair_sentences(foreseen.told, found)),
        *(clean(note, limit=400) for note in foreseen.notes),
    )
