"""The forecast as content: cloth in half blocks, or in signs where there is no colour."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean
from studio.plan.colour_looks import Look
from studio.report.forecast_picture import Dot

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
