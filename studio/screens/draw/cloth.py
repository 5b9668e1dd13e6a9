"""The painted strip of a plan, a patch of a colour, the bands with their coats, and the forecast as cloth.

What is done stands full, what is to come is a thin line of the same colour: so it reads without colour too.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

import msgspec
from textual.color import Color
from textual.content import Content

from studio.plaintext import clean
from studio.screens.draw.keys import Glyphs, answers, leads
from studio.screens.theme import PALETTES

if TYPE_CHECKING:
    from studio.plan.preview import Look, StripBand
    from studio.report.forecast import Dot
    from studio.session.path import StageProgress

# The painted strip: all of a plan, edge to edge.

LEAST_BAND = 3
"""Cells; where the bands would be narrower, whole repeats are shown, as many as fit."""
POSTS = 1.6
"""A patch that stands out less than so much from the ground stands between two posts. House rule."""
LETTERED = 3
"""Rows from which a patch bears its letter."""
Part = tuple[str, str]
INKS = ("#000000", "#ffffff")
GROUNDS = tuple(palette["ground"] for palette in PALETTES.values())


def strip(
    bands: Sequence[StripBand], wide: int, rows: int, glyphs: Glyphs, *, done: float = 1.0
) -> tuple[Content, ...]:
    """So many rows; `done`: the share that is full, of the rest stands only a line at the foot."""
    return _strip(tuple(bands), wide, rows, glyphs, round(wide * done))


@lru_cache(maxsize=64)
def _strip(
    bands: tuple[StripBand, ...], wide: int, rows: int, glyphs: Glyphs, edge: int
) -> tuple[Content, ...]:
    """Kept: it is the same from step to step. `edge`: cells that are full."""
    bands = tuple(fitting(bands, wide))
    total, at = sum(band.size for band in bands), 0.0
    lines = [list[Part]() for _ in range(rows)]
    for band in bands:
        first, last = round(at * wide / total), round((at + band.size) * wide / total)
        at += band.size
        hue, sign = hue_of(band), sign_of(band, glyphs)
        texture = glyphs.block if glyphs.coloured else sign if glyphs.ascii_only else _texture(hue)
        full, cells = max(0, min(last, edge) - first), last - first
        for row, line in enumerate(lines):
            drawn = texture * full + (glyphs.line if row == rows - 1 else " ") * (cells - full)
            place = int(cells >= 4)  # of the letter: one cell in where the band is four wide
            if row or cells < 2 or (place >= full and rows == 1):
                line.append((drawn, hue))
            else:
                inked = f"bold {ink_on(hue)} on {hue}" if glyphs.coloured else "bold $text"
                ink = inked if place < full else "$quiet"
                line.extend(((drawn[:place], hue), (sign, ink), (drawn[place + 1 :], hue)))
    return tuple(Content.assemble(*(part for part in line if part[0])) for line in lines)


def stage_words(stages: Sequence[StageProgress], width: int, glyphs: Glyphs) -> Content:
    """The names of the stages under their part of the strip, the one in hand marked; where it is narrow that alone."""
    if width < 72 or not stages:
        here = next((n for n, s in enumerate(stages) if s.standing == "now"), None)
        if here is None:
            return Content("")
        now = stages[here]
        after = next((stage.stage for stage in stages[here + 1 :] if stage.standing == "ahead"), "")
        then = f"   then {after}" if after else ""
        unsaved = "   not all saved" if any(s.standing == "waiting" for s in stages) else ""
        place = f"   {min(now.closed + 1, now.total)} of {now.total}"
        return Content.assemble(
            (f"{glyphs.now}{now.stage}", "bold $focus"), (f"{place}{then}", "$quiet"), (unsaved, "$danger")
        )
    parts, at = list[Part](), 0
    for index, stage in enumerate(stages):
        start = round(index * width / len(stages))
        word = f"{glyphs.now}{stage.stage}" if stage.standing == "now" else stage.stage
        style = {"done": "$done", "waiting": "$danger", "now": "bold $focus", "ahead": "$quiet"}[
            stage.standing
        ]
        start = max(start, at + 1) if index else 0
        parts.extend([(" " * (start - at), ""), (word, style)])
        at = start + len(word)
    return Content.assemble(*parts)


def fitting(bands: Sequence[StripBand], wide: int) -> Sequence[StripBand]:
    """All of them; where they would be too narrow, whole repeats, as many as fit, or else the first ones."""
    total = sum(band.size for band in bands)
    if all(band.size * wide >= LEAST_BAND * total for band in bands):
        return bands
    period = next(
        n for n in range(1, len(bands) + 1) if all(b == bands[i % n] for i, b in enumerate(bands[:-1]))
    )
    most = max(1, wide // LEAST_BAND)
    return bands[: max(period, most // period * period)] if period <= most else bands[:most]


def sign_of(band: StripBand, glyphs: Glyphs) -> str:
    """Its letter; for bare a point in the middle of the cell where there is one."""
    return band.sign if band.name or glyphs.ascii_only else "·"


def hue_of(band: StripBand) -> str:
    """The colour's hue; bare wool's, or a line's as long as no hue is known."""
    return band.hex or ("$line" if band.name else "$bare")


def _texture(hue: str) -> str:
    light = luminance(hue) if hue.startswith("#") else 1.0 if hue == "$bare" else 0.2
    return "░" if light > 0.45 else "▒" if light > 0.15 else "▓"


def patch(hue: str, sign: str, wide: int, rows: int, glyphs: Glyphs) -> list[Content]:
    """A colour, `sign` its letter on the strip; one that hardly stands out from either ground stands between posts.

    Two cells have no room for posts: the colour comes first. Where it is tall, the letter stands in it as on the
    strip, so that a narrow one beside digits is not read as a 1.
    """
    if not glyphs.coloured:
        return [Content.styled((sign if glyphs.ascii_only else _texture(hue)) * wide, "$text")] * rows
    posts = wide > 2 and hue.startswith("#") and min(contrast(hue, ground) for ground in GROUNDS) < POSTS
    ends = (("▐", "$line"), ("▌", "$line")) if posts else (("", ""), ("", ""))
    inner = wide - 2 * posts
    plain = Content.assemble(ends[0], (glyphs.block * inner, hue or "$line"), ends[1])
    if rows < LETTERED or not hue:
        return [plain] * rows
    inked = Content.assemble(ends[0], (f"{sign:^{inner}}", f"bold {ink_on(hue)} on {hue}"), ends[1])
    return [*[plain] * (rows // 2), inked, *[plain] * (rows - rows // 2 - 1)]


def ink_on(hue: str) -> str:
    """Black or white, whichever reads better on it; black on bare wool and on a line."""
    return (
        max(INKS, key=lambda ink: contrast(ink, hue))
        if hue.startswith("#")
        else "$background"
        if hue == "$line"
        else INKS[0]
    )


def luminance(hex_colour: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1. **Source:** WCAG 2.2, definition of relative luminance."""
    channels = [int(hex_colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21. **Source:** WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


# The rinse water, or the bath on a white spoon, from 1, dark, to 5, clear.


class Cups(msgspec.Struct, frozen=True):
    """What each of five grades looks like: `names` a word or two from 1 to 5, `told` whole, and what was seen last."""

    names: tuple[str, ...]
    told: tuple[str, ...] = ()
    last: str = ""


WHITE = Color(255, 255, 255)
TINTS = (1.0, 0.62, 0.34, 0.13, 0.0)
"""Share of the dye's own colour over white, for the eye alone. House rule."""
CUP, GAP, CUP_TEXTURES = 13, 3, "█▓▒░ "
"""Cells of a cup and between two; what fills them where there is no colour."""


def five_cups(cups: Cups, hue: str, chosen: int, wide: int, rows: int, glyphs: Glyphs) -> list[Content]:
    """Five cups side by side, so many rows of water in each; the chosen one between two bars."""
    room = min(CUP, (wide - 4 * GAP) // 5)
    lines = [list[Content]() for _ in range(rows + 3)]
    for grade, (name, share) in enumerate(zip(cups.names, TINTS, strict=True), start=1):
        edge, after = "$focus" if grade == chosen else "$line", " " * GAP * (grade < 5)
        if hue.startswith("#") and glyphs.coloured:
            fill, style = " ", f"on {WHITE.blend(Color.parse(hue), share).hex}"
        else:
            fill, style = ("#*+. " if glyphs.ascii_only else CUP_TEXTURES)[grade - 1], "$text"
        water = (glyphs.right_bar, edge), (fill * (room - 2), style), (glyphs.bar, edge), (after, "")
        bold, plain = ("bold $focus", "$text") if grade == chosen else ("bold $text", "$quiet")
        cup = (
            *[Content.assemble(*water)] * rows,
            Content.assemble((glyphs.top * room, edge), (after, "")),
            Content.styled(f"{grade:^{room}}{after}", bold),
            Content.styled(f"{clean(name, limit=room):^{room}}{after}", plain),
        )
        for line, part in zip(lines, cup, strict=True):
            line.append(answers(part, f"{grade}"))
    said = cups.told[chosen - 1] if cups.told and chosen else cups.last
    return [*(Content.assemble(*line) for line in lines), Content.styled(said, "$quiet")]


# The forecast as content: cloth in half blocks, or in signs where there is no colour.

MOST_LINES = 3
"""Lines of things that can be changed; with more of them the line of the chosen one is kept in sight. House rule."""


def cloth(dots: Sequence[Sequence[Dot]], *, coloured: bool, margin: str = " ") -> Content:
    """Two rows of dots in each row of cells; runs of alike cells are one part."""
    lines = []
    for upper in range(0, len(dots) - 1, 2):
        parts: list[tuple[str, str] | str] = [margin]
        for text, style in _runs(dots[upper], dots[upper + 1], coloured):
            parts.append((text, style))
        lines.append(Content.assemble(*parts))
    return Content("\n").join(lines)


def _runs(upper: Sequence[Dot], lower: Sequence[Dot], coloured: bool) -> list[tuple[str, str]]:
    runs: list[tuple[str, str]] = []
    for top, bottom in zip(upper, lower, strict=True):
        text, style = ("▀", f"{top.hex} on {bottom.hex}") if coloured else (top.sign, "$text")
        if runs and runs[-1][1] == style:
            runs[-1] = (runs[-1][0] + text, style)
        else:
            runs.append((text, style))
    return runs


def legend(palette: dict[str, Look], *, coloured: bool) -> Content:
    """What each hue or sign stands for."""
    parts: list[tuple[str, str]] = [(" ", "")]
    for look in palette.values():
        mark = ("██", look.hex) if coloured else (look.sign, "bold $text")
        standin = "" if look.known else " (stand-in)"
        parts.extend([mark, (f" {look.name}{standin}   ", "$quiet")])
    if not coloured:
        parts.append(("~ mixed", "$quiet"))
    return Content.assemble(*parts)


def knobs(values: Sequence[tuple[str, str]], chosen: int, width: int) -> Content:
    """What can be changed, on as many lines as it needs; the line of the chosen one is always in sight."""
    lines: list[list[Content]] = [[]]
    room, at = width - 2, 0
    for number, (name, value) in enumerate(values):
        said = f"{'>' if number == chosen else ' '}{clean(name, limit=max(8, room - 12))} {value}"
        used = sum(len(part) for part in lines[-1])
        if lines[-1] and used + len(said) > room:
            lines.append([])
        if number == chosen:
            at = len(lines) - 1
        style = "bold $focus" if number == chosen else "$text"
        lines[-1].append(leads(Content.styled(f"{said}  ", style), "knob", number))
    first = max(0, min(at - MOST_LINES + 1, len(lines) - MOST_LINES))
    shown = (Content.assemble(" ", *line).rstrip() for line in lines[first : first + MOST_LINES])
    return Content("\n").join(shown)
