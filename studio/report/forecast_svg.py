"""A forecast as a clean, scalable picture, and as a page holds it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from studio.plaintext import clean
from studio.plan.preview import Look
from studio.report.forecast import Dot, count_text, grid, pair_sentences

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.picture import Picture
    from studio.plan.forecast import Foreseen


# A forecast as a clean, scalable picture: blank, yarn, fabric, and the bands in numbers.

WIDTH, HEIGHT = 900, 620
TEXT = 'font-family="sans-serif" fill="#23262e"'
MOST_ACROSS, MOST_DOWN = 60, 110


def forecast_svg(title: str, found: Forecast, picture: Picture, palette: dict[str, Look]) -> str:
    """The whole picture as SVG text; no script, no font, nothing from outside."""
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH} {HEIGHT}" role="img" '
        f"aria-label={quoteattr(clean(title, limit=120))}>",
        f'<rect width="{WIDTH}" height="{HEIGHT}" fill="#f5efe2"/>',
        _text(30, 44, clean(title, limit=60), 24, bold=True),
        _text(30, 82, "the painted blank", 14),
        _cloth(grid(picture, picture.blank, palette, MOST_ACROSS, MOST_DOWN), 30, 92, 220, 420),
        _text(290, 82, "the yarn, unravelled, from the end that is knitted first", 14),
        _cloth(grid(picture, picture.yarn, palette, 280, 1), 290, 92, 580, 22),
        _text(290, 146, f"the fabric, {found.rounds:.0f} rounds", 14),
        _cloth(grid(picture, picture.fabric, palette, MOST_ACROSS, MOST_DOWN), 290, 156, 220, 356),
        *_table(found, palette, 540, 176),
        _text(30, 548, "An approximation. Solid: one colour on 95 % of a round or more (house rule).", 12),
        _text(30, 568, _rests_on(found), 12),
        "</svg>",
    ]
    return "\n".join(parts) + "\n"


def _rests_on(found: Forecast) -> str:
    if found.exact:
        return "Exact geometry: no spread, no tilt, no wander."
    return f"Odds over {found.paintings} simulated paintings; the picture shows one of them."


def _text(x: float, y: float, text: str, size: int, *, bold: bool = False) -> str:
    weight = ' font-weight="bold"' if bold else ""
    return f'<text x="{x}" y="{y}" font-size="{size}"{weight} {TEXT}>{escape(text)}</text>'


def _cloth(dots: Sequence[Sequence[Dot]], x: float, y: float, width: float, height: float) -> str:
    """Runs of one colour as rectangles."""
    down, across = height / len(dots), width / len(dots[0])
    rects = []
    for number, line in enumerate(dots):
        start = 0
        for end in range(1, len(line) + 1):
            if end == len(line) or line[end].hex != line[start].hex:
                rects.append(
                    f'<rect x="{x + start * across:.2f}" y="{y + number * down:.2f}" '
                    f'width="{(end - start) * across + 0.3:.2f}" height="{down + 0.3:.2f}" fill="{line[start].hex}"/>'
                )
                start = end
    return '<g shape-rendering="crispEdges">' + "".join(rects) + "</g>"


def _table(found: Forecast, palette: dict[str, Look], x: float, y: float) -> list[str]:
    parts = [_text(x, y, "band and its rows: solid and mixed rounds, odds of a solid", 13)]
    for number, band in enumerate(found.kinds[:14]):
        line = y + 28 + number * 24
        look = palette[band.colour]
        told = (
            f"{clean(look.name, limit=14)} {band.rows:g}: {count_text(*band.solid)} solid, "
            f"{count_text(*band.mixed)} mixed, {100 * band.odds_solid:.0f} %"
        )
        parts.append(
            f'<rect x="{x}" y="{line - 12}" width="14" height="14" fill="{look.hex}" stroke="#5c594f"/>'
        )
        parts.append(_text(x + 22, line, told, 12))
    return parts


# A forecast as a page holds it: three cloths of coloured stretches to draw, the odds, and what it rests
# on.

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


@dataclass(frozen=True, slots=True)
class Stretch:
    """One colour from one dot to another."""

    x: float
    y: float
    width: float
    height: float
    hex: str


@dataclass(frozen=True, slots=True)
class DrawnCloth:
    """The blank, the yarn or the fabric, lying."""

    label: str
    label_y: float
    stretches: tuple[Stretch, ...]


@dataclass(frozen=True, slots=True)
class BandWords:
    """One kind of band in words."""

    name: str
    hex: str
    rows: str
    times: str
    solid: str
    mixed: str
    odds: str


@dataclass(frozen=True, slots=True)
class DrawnForecast:
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
    looks = foreseen.palette
    return tuple(
        BandWords(
            clean(looks[kind.colour].name, limit=40),
            looks[kind.colour].hex,
            f"{kind.rows:g}",
            f"{kind.times}",
            count_text(*kind.solid),
            count_text(*kind.mixed),
            f"{100 * kind.odds_solid:.0f} %",
        )
        for kind in found.kinds
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
        for end in range(1, len(line) + 1):
            if end == len(line) or line[end].hex != line[start].hex:
                wide = (end - start) * DOT + (OVERLAP if end < len(line) else 0.0)
                found.append(
                    Stretch(start * DOT, round(top + number * dot, 1), round(wide, 1), dot, line[start].hex)
                )
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
