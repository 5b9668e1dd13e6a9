"""The layout as a list of bands with their coats, and the forecast as cloth in half blocks."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean
from studio.plan.preview import Look
from studio.report.forecast import Dot
from studio.report.telling import band_words
from studio.screens.draw.keys import DONE, NOW, OPEN, WAITS
from studio.session.live.painting import BandNow
from studio.session.state import State

# The layout as a list of bands with their coats.


def band_rows(
    state: State, bands: Sequence[BandNow], unsaved: frozenset[int], chosen: int, room: int
) -> Content:
    """As many bands as there is room for, with the chosen one among them; `unsaved` ones are not ticked."""
    first = max(0, min(chosen - 1 - room // 2, len(bands) - room))
    return Content("\n").join(
        _row(state, band, band.number in unsaved, chosen) for band in bands[first : first + room]
    )


def _row(state: State, band: BandNow, waits: bool, chosen: int) -> Content:
    plan = band.plan
    size = f"{plan.rows} rows" if plan.rows is not None else f"{plan.share_percent:g} %"
    plain = band.bare or (len(band.coats) == 1 and not band.strange)
    told = "" if plain else f"  {band_words(state, band)}"
    style = "bold $focus" if band.number == chosen else "$quiet" if band.bare else "$done"
    here = NOW if band.number == chosen else "   "
    mark = WAITS if waits else OPEN if band.bare else DONE
    told = f"{told}  to be saved" if waits else told
    return Content.assemble(
        (f" {here}", "bold $focus"),
        (f"{mark} {band.number:>3}  {clean(plan.colour, limit=30):<20} {size:>8}{told}", style),
    )


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
    lines: list[list[tuple[str, str]]] = [[]]
    room, at = width - 2, 0
    for number, (name, value) in enumerate(values):
        said = f"{'>' if number == chosen else ' '}{clean(name, limit=max(8, room - 12))} {value}"
        used = sum(len(text) for text, _ in lines[-1])
        if lines[-1] and used + len(said) > room:
            lines.append([])
        if number == chosen:
            at = len(lines) - 1
        lines[-1].append((f"{said}  ", "bold $focus" if number == chosen else "$text"))
    first = max(0, min(at - MOST_LINES + 1, len(lines) - MOST_LINES))
    shown = (Content.assemble(" ", *line).rstrip() for line in lines[first : first + MOST_LINES])
    return Content("\n").join(shown)
