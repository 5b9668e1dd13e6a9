"""The layout as a list of bands with their coats."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.plaintext import clean
from studio.report.telling import band_words
from studio.screens.draw.glyphs import DONE, NOW, OPEN, WAITS
from studio.session.live.painting import BandNow
from studio.session.state import State


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
