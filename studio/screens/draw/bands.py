"""The layout as a list of bands with their coats."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean
from studio.plan.facts import BandFacts
from studio.screens.draw.glyphs import DONE, NOW, OPEN


def band_rows(bands: Sequence[tuple[int, BandFacts, int]], chosen: int, room: int) -> Content:
    """As many bands as there is room for, with the chosen one among them."""
    first = max(0, min(chosen - 1 - room // 2, len(bands) - room))
    return Content("\n").join(_row(*band, chosen) for band in bands[first : first + room])


def _row(number: int, band: BandFacts, coats: int, chosen: int) -> Content:
    size = f"{band.rows} rows" if band.rows is not None else f"{band.share_percent:g} %"
    told = "" if coats < 2 else f"  {coats} coats"
    style = "bold $focus" if number == chosen else "$done" if coats else "$quiet"
    here = NOW if number == chosen else "   "
    return Content.assemble(
        (f" {here}", "bold $focus"),
        (f"{DONE if coats else OPEN} {number:>3}  {clean(band.colour, limit=30):<20} {size:>8}{told}", style),
    )
