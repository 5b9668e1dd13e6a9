"""The forecast as content: cloth in half blocks, or in signs where there is no colour."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plan.colour_looks import Look
from studio.report.forecast_picture import Dot


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
    """What can be changed, with the one that plus and minus change always in sight."""
    said = [f"{'>' if n == chosen else ' '}{name} {value}  " for n, (name, value) in enumerate(values)]
    first = 0
    while sum(map(len, said[first : chosen + 1])) > width - 2 and first < chosen:
        first += 1
    parts: list[tuple[str, str]] = [(" ", "")]
    for number in range(first, len(said)):
        parts.append((said[number], "bold $focus" if number == chosen else "$text"))
    return Content.assemble(*parts)
