"""The goods as they are laid out: a blank as a piece, a skein as a loop, and their bands as a list with the coats."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from itertools import groupby
from typing import TYPE_CHECKING

import msgspec
from textual.content import Content

from studio.plaintext import clean
from studio.screens.draw.cloth import LEAST_BAND, Part, hue_of, ink_on, sign_of
from studio.screens.draw.keys import Glyphs, leads

if TYPE_CHECKING:
    from studio.plan.preview import StripBand
    from studio.session.bands import BandNow
    from studio.session.kinds.paint import Face
    from studio.session.state import State


class Painted(msgspec.Struct, frozen=True):
    """Numbers of the bands that have a coat on the face that lies up, counted without the bare ones, and the one in
    hand.
    """

    done: frozenset[int]
    chosen: int
    face: Face = "front"


def blank(
    bands: Sequence[StripBand], at: Painted, wide: int, rows: int, glyphs: Glyphs, unit: str
) -> list[Content]:
    """The goods as they are laid out: painted bands full, the next one pale between edges, of the others two lines.

    So many rows, one above for the mark and one below for the scale, in `unit`s from the start, which is at the right
    end once it was turned over. Where they would be too narrow, those around the one in hand are shown.
    """
    places = _placed(bands, at)
    here = next((n for n, place in enumerate(places) if place.chosen), 0)
    shown = around(places, here, wide)
    first, total = shown[0].begins, shown[-1].end - shown[0].begins
    from_start = _scale(places, at)
    tail = f"{from_start(first + total):g} {unit}"
    lines, mark, scale = list[list[Content]]([[] for _ in range(rows)]), "", ""
    for place in shown:
        left, right = (round((x - first) * wide / total) for x in (place.begins, place.end))
        for row, line in enumerate(lines):
            part = Content.assemble(*_band_row(place, right - left, row, rows, glyphs))
            line.append(leads(part, "bands", place.number) if place.band.name else part)
        if place.chosen:
            mark = " " * ((left + right) // 2) + glyphs.down
        tick = f"{from_start(place.begins):g}"
        if (left >= len(scale) + 2 or not scale) and left + len(tick) + 2 <= wide - len(tail):
            scale = f"{scale:<{left}}{tick}"
    scale = f"{scale:<{wide - len(tail)}}{tail}"
    return [
        Content.styled(mark, "bold $text"),
        *(Content.assemble(*line) for line in lines),
        Content.styled(scale, "$quiet"),
    ]


class _Place(msgspec.Struct, frozen=True):
    """A band on the goods, from and to how far from the start."""

    band: StripBand
    begins: float
    end: float
    full: bool
    number: int
    """Of a painted band, counted without the bare ones."""
    chosen: bool


def _placed(bands: Sequence[StripBand], at: Painted) -> list[_Place]:
    """As they lie, from left to right: the last first once the goods were turned over.

    Bare stretches are full with the painted band before them, those at the start with the first.
    """
    places, number, begins = list[_Place](), 0, 0.0
    for band in bands:
        number += bool(band.name)
        full, chosen = (number or 1) in at.done, bool(band.name) and number == at.chosen
        places.append(_Place(band, begins, begins + band.size, full, number, chosen))
        begins += band.size
    if at.face == "front":
        return places
    turned = ((begins - place.end, begins - place.begins, place) for place in reversed(places))
    return [msgspec.structs.replace(place, begins=left, end=right) for left, right, place in turned]


def _scale(places: Sequence[_Place], at: Painted) -> Callable[[float], float]:
    """How far from the start a place of the drawing is."""
    whole = places[-1].end
    return lambda x: whole - x if at.face == "back" else x


def around(places: Sequence[_Place], here: int, wide: int) -> Sequence[_Place]:
    """As many bands about that one as are wide enough to be told apart; all where there is room."""
    first, last = 0, len(places)
    while last - first > 1:
        total = places[last - 1].end - places[first].begins
        if min(place.band.size for place in places[first:last]) * wide >= LEAST_BAND * total:
            break
        if here - first > last - 1 - here:
            first += 1
        else:
            last -= 1
    return places[first:last]


def _band_row(place: _Place, cells: int, row: int, rows: int, glyphs: Glyphs) -> list[Part]:
    """One row of one band."""
    hue, sign, chosen = hue_of(place.band), sign_of(place.band, glyphs), place.chosen
    letter = sign if row == rows // 2 and cells > 0 else ""
    inner = cells - 2 * chosen
    if chosen and cells >= 3:
        pale = f"on {hue} 38%" if glyphs.coloured else ""
        body = f"{letter:^{inner}}"
        return [
            (glyphs.bar, f"$text {pale}"),
            (body, f"bold $text {pale}"),
            (glyphs.right_bar, f"$text {pale}"),
        ]
    if place.full:
        before = max(0, cells // 2) if letter else cells
        texture = glyphs.block if glyphs.coloured else sign
        ink = f"bold {ink_on(hue)} on {hue}" if glyphs.coloured else "bold $text"
        after = max(0, cells - before - len(letter))
        return [(texture * before, hue), (letter, ink), (texture * after, hue)]
    line = glyphs.top if row == 0 else glyphs.line if row == rows - 1 else ""
    return [(line * cells, hue)] if line else [(f"{letter:^{cells}}", "$quiet")]


# A skein as a loop seen from above.

RING, RIM, EDGE = 0.5, 0.9, 0.035
"""Share of the radius from which there is yarn, and from which its outline; share of the round an edge takes."""
WIDER, LABEL = 1.25, 5
"""How much wider than high the loop is; cells for a share written beside it."""
LEAST_LOOP, MOST_LOOP = 14, 30
"""Rows below which a loop cannot be told from a blob, and above which it is no clearer."""


def loop_rows(wide: int, high: int) -> int:
    """How many rows a loop takes within so many cells and rows; 0 where it cannot be drawn in them."""
    fits = range(min(high, MOST_LOOP), LEAST_LOOP - 1, -1)
    return next((rows for rows in fits if 2 * (round((rows - 2) * WIDER) + LABEL) < wide), 0)


def loop(bands: Sequence[StripBand], at: Painted, rows: int, glyphs: Glyphs) -> list[Content]:
    """The skein from above, its knot at the top and on with the clock; shares of the round beside it.

    Painted parts are full, the one in hand pale between edges, of the others there is the outer line. Once it was
    turned over it goes on against the clock.
    """
    parts = _placed(bands, at)
    total, from_start = parts[-1].end, _scale(parts, at)
    high = rows - 2
    wide = round(high * WIDER)
    across = 2 * (wide + LABEL) + 1
    signs: dict[tuple[int, int], Part] = {}
    for part in parts:
        hue = hue_of(part.band)
        ink = f"bold {ink_on(hue)} on {hue}" if part.full else "bold $text" if part.chosen else "$quiet"
        signs[_spot((part.begins + part.end) / 2 / total, (RING + 1) / 2, high, wide)] = (
            sign_of(part.band, glyphs),
            ink,
        )
        row, x = _spot(part.begins / total, 1.0, high, wide)
        told = "0 %" if part is parts[0] else f"{from_start(part.begins):g}"
        row += -1 if row <= 1 else 1 if row >= high else 0
        x += 2 if x > across // 2 else -1 - len(told) if x < across // 2 else 0
        signs.update({(row, x + n): (sign, "$quiet") for n, sign in enumerate(told)})
    lines = list[Content]()
    for row in range(rows):
        places = [[_at(parts, x, y, high, wide) for y in (2 * row, 2 * row + 1)] for x in range(across)]
        cells = (signs.get((row, x)) or _cell(*map(_seen, pair)) for x, pair in enumerate(places))
        line, at_x = Content.assemble(*cells), 0
        for number, run in groupby(places, key=lambda pair: max(_number(place) for place in pair)):
            first, at_x = at_x, at_x + len(list(run))
            line = leads(line, "bands", number, first, at_x) if number else line
        lines.append(line)
    return lines


def _spot(share: float, radius: float, high: int, wide: int) -> tuple[int, int]:
    """Row and cell of a share of the round."""
    turn = 2 * math.pi * share
    across, down = wide * radius * math.sin(turn), -high * radius * math.cos(turn)
    return round((high + 1.5 + down) / 2), round(wide + LABEL + across)


Pixel = tuple[_Place, float, float] | None
"""What lies there, how far out, 0 to 1, and how near its edge, in shares of the round; None where there is no yarn."""


def _at(parts: Sequence[_Place], x: int, y: int, high: int, wide: int) -> Pixel:
    """What one pixel shows."""
    across, down = (x - wide - LABEL) / wide, (y - high - 1.5) / high
    radius, share = math.hypot(across, down), math.atan2(across, -down) / (2 * math.pi) % 1.0
    if not RING <= radius <= 1.0:
        return None
    total = parts[-1].end
    part = next((one for one in parts if share * total < one.end), parts[-1])
    return part, radius, min(share - part.begins / total, part.end / total - share)


def _number(pixel: Pixel) -> int:
    """Of the band, where one is painted there."""
    return pixel[0].number if pixel is not None and pixel[0].band.name else 0


def _seen(pixel: Pixel) -> str:
    """Its style; empty where there is no yarn, or none painted yet."""
    if pixel is None:
        return ""
    part, radius, near_edge = pixel
    hue = hue_of(part.band)
    if part.chosen:
        near = near_edge < EDGE / 2 / radius
        return "$text" if near or radius > RIM + 0.04 or radius < RING + 0.06 else f"{hue} 38%"
    return hue if part.full or radius > RIM else ""


def _cell(upper: str, lower: str) -> Part:
    """Two pixels; a pale one is the ground of the other, since it is thinned over what is below it."""
    if upper == lower or not (upper or lower):
        return ("█", upper) if upper else (" ", "")
    if not (upper and lower):
        return ("▀", upper) if upper else ("▄", lower)
    return ("▄", f"{lower} on {upper}") if upper.endswith("%") else ("▀", f"{upper} on {lower}")


# The layout as a list of bands with their coats.


def band_rows(
    state: State,
    bands: Sequence[BandNow],
    unsaved: frozenset[int],
    at: Painted,
    width: int,
    room: int,
    glyphs: Glyphs,
) -> list[Content]:
    """As many whole bands as there is room for, with the one in hand among them; `unsaved` ones are not ticked."""
    room, here = max(0, room), min(at.chosen - 1, max(0, room))
    near = bands[at.chosen - 1 - here : at.chosen + room]
    rows = [_band_lines(state, band, band.number in unsaved, at, width, glyphs) for band in near]
    first, last = 0, len(rows)
    while sum(map(len, rows[first:last])) > room:
        if here - first >= last - here:
            first += 1
        else:
            last -= 1
    return [line for row in rows[first:last] for line in row]


def _band_lines(
    state: State, band: BandNow, waits: bool, at: Painted, width: int, glyphs: Glyphs
) -> list[Content]:
    """One line; what is told of its coats goes below its name where it has no room behind, and its size goes."""
    from studio.report.telling import band_words

    plan, here = band.plan, band.number == at.chosen
    size = plan.size_told
    bare, plain = not band.on(at.face), not band.again and not band.strange
    told = "to be saved" if waits else "" if plain else band_words(state, band)
    style = "bold $focus" if here else "$quiet" if bare else "$done"
    mark = glyphs.due if waits else glyphs.open if bare else glyphs.done
    name = f" {mark} {band.number} {clean(plan.colour)}"
    row = Content.assemble((glyphs.bar if here else " ", "bold $focus"), (name, style))
    lines, behind = [row.truncate(width, ellipsis=True)], told or size
    if lines[0].cell_length + 2 + len(behind) <= width:
        lines = [lines[0].append(Content.styled(f"  {behind}", style))]
    elif told:
        lines.extend(line.pad_left(5) for line in Content.styled(told, style).wrap(width - 5))
    return [leads(line, "bands", band.number) for line in lines]
