"""A forecast as a clean, scalable picture: blank, yarn, fabric, and the bands in numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING
from xml.sax.saxutils import escape, quoteattr

from studio.plaintext import clean
from studio.plan.colour_looks import Look
from studio.report.forecast_picture import Dot, grid
from studio.report.forecast_rows import count_text

if TYPE_CHECKING:
    from studio.craft.stripe.forecast import Forecast
    from studio.craft.stripe.picture import Picture

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
