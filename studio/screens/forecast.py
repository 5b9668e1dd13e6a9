"""The forecast screen: the blank, the yarn, the fabric and the odds; plus and minus to try things out."""

from __future__ import annotations

import asyncio
from typing import Any

import msgspec
from msgspec.structs import replace
from textual import work
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.craft.stripe.blank import Band
from studio.craft.stripe.forecast import PAINTINGS, PREVIEW_PAINTINGS, Forecast
from studio.craft.stripe.picture import Picture
from studio.plaintext import clean
from studio.plan.forecast import Foreseen
from studio.report.forecast import band_section, grid
from studio.screens.draw import cloth as draw
from studio.screens.draw.lists import sections_content
from studio.screens.keyed import Keyed, KeyLine, app_of

MOST_ROWS_ASTRAY = 3.0
"""Spread, tilt and wander are tried out up to here: beyond it the simulation takes too long to watch."""


class Knob(msgspec.Struct, frozen=True):
    """One thing that plus and minus change."""

    name: str
    step: float
    colour: str = ""
    """Whose bands it widens."""


class ForecastScreen(Keyed[None], where="forecast"):
    """A quick forecast after each key, the full one when the keys rest."""

    AUTO_FOCUS = ""

    def __init__(self, foreseen: Foreseen) -> None:
        super().__init__()
        self.planned = foreseen
        self.foreseen = foreseen
        self.chosen = 0
        self.trouble = ""
        self._found: Forecast | None = None
        self._picture: Picture | None = None

    def compose(self) -> ComposeResult:
        for name in ("title", "blank", "yarn", "fabric", "legend", "knobs", "bands", "notes"):
            yield Static(id=f"forecast-{name}", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.work_out()

    @property
    def knobs(self) -> tuple[Knob, ...]:
        """Widths of the colours first, then the painting, then the new piece."""
        widths = tuple(Knob(f"{name} rows", 1, name) for name in self.planned.told.colours)
        return (*widths, Knob("spread", 0.1), Knob("tilt", 0.25), Knob("wander", 0.1), Knob("stitches", 1))

    def _value(self, knob: Knob) -> str:
        told, painting = self.foreseen.told, self.foreseen.painting
        if knob.name == "stitches":
            return str(told.knitting.stitches)
        if knob.name in ("spread", "tilt", "wander"):
            return f"{getattr(painting, knob.name):.2g}"
        return f"{next((b.rows for b in told.bands if b.colour == knob.colour), 0):g}"

    # -- changing --------------------------------------------------------------------------------

    def action_knob(self, by: int) -> None:
        self.chosen = (self.chosen + by) % len(self.knobs)
        self.redraw()

    def go_to(self, what: str, which: Any) -> None:
        self.chosen = which
        self.redraw()

    def action_change(self, way: int) -> None:
        knob = self.knobs[self.chosen]
        try:
            self.foreseen = changed(self.foreseen, knob, way)
            self.trouble = ""
        except ValueError as problem:
            self.trouble = str(problem)
        self.work_out()

    def action_as_planned(self) -> None:
        self.foreseen, self.trouble = self.planned, ""
        self.work_out()

    @work(exclusive=True)
    async def work_out(self) -> None:
        """A preview at once; the full number of paintings once no key comes for a while."""
        try:
            self._found = await asyncio.to_thread(self.foreseen.forecast, PREVIEW_PAINTINGS)
            self._picture = await asyncio.to_thread(self.foreseen.picture)
            self.redraw()
            await asyncio.sleep(0.4)
            self._found = await asyncio.to_thread(self.foreseen.forecast, PAINTINGS)
        except ValueError as problem:
            self.trouble = str(problem)
        self.redraw()

    # -- drawing ---------------------------------------------------------------------------------

    def redraw(self) -> None:
        """Everything at the present size."""
        width, height = self.size
        found, picture = self._found, self._picture
        if found is None or picture is None or width == 0:
            self.show("forecast-title", Content.styled(f" {self.trouble or 'Working out ...'}", "$quiet"))
            return
        coloured = app_of(self).glyphs.coloured
        palette = self.foreseen.palette
        knobs = draw.knobs([(k.name, self._value(k)) for k in self.knobs], self.chosen, width)
        lines = knobs.plain.count("\n") + 1
        tall = 2 * max(1, (height - 11 - lines - len(found.kinds)) // 2)
        across = width - 2
        self.show("forecast-title", self._title(found))
        for name, said, cloth, down in (
            ("blank", "blank, first row on the left", picture.blank, tall),
            ("yarn", "yarn, from the end that is knitted first", picture.yarn, 2),
            ("fabric", "fabric, first round on the left", picture.fabric, tall),
        ):
            dots = grid(picture, cloth, palette, across, down)
            label = Content.styled(f" {said}", "$quiet")
            self.show(f"forecast-{name}", Content("\n").join([label, draw.cloth(dots, coloured=coloured)]))
        self.show("forecast-legend", draw.legend(palette, coloured=coloured))
        self.show("forecast-knobs", knobs)
        self.show("forecast-bands", sections_content([band_section(found, width - 3)], width))
        self.show("forecast-notes", self._notes())

    def _title(self, found: Forecast) -> Content:
        told = self.foreseen.told
        pair = f", {told.blank.strands} strands that match" if told.blank.strands > 1 else ""
        rounds = f"{found.rounds:.0f} rounds of {told.knitting.stitches} st"
        paintings = f"; {found.paintings} paintings"
        title = clean(told.title, limit=30)
        room = self.size.width - len(title) - 5
        said = next((s for s in (rounds + pair + paintings, rounds + paintings) if len(s) <= room), rounds)
        return Content.assemble((f" {title}   ", "bold $text"), (said, "$quiet"))

    def _notes(self) -> Content:
        if self.trouble:
            return Content.styled(f" {clean(self.trouble, limit=200)}", "bold $due")
        spread = "" if self.foreseen.spread_is else " spread,"
        notes = " ".join(self.foreseen.notes) or f"Colours,{spread} tilt and wander (rows) are estimates."
        return Content.styled(f" {clean(notes, limit=max(20, self.size.width - 3))}", "$quiet")


def changed(foreseen: Foreseen, knob: Knob, way: int) -> Foreseen:
    """The forecast with one thing changed; ValueError with a sentence where it cannot be."""
    told, by = foreseen.told, way * knob.step
    if knob.name == "stitches":
        knitting = replace(told.knitting, stitches=told.knitting.stitches + round(by))
        return msgspec.structs.replace(foreseen, told=msgspec.structs.replace(told, knitting=knitting))
    if knob.name in ("spread", "tilt", "wander"):
        value = min(MOST_ROWS_ASTRAY, max(0.0, round(getattr(foreseen.painting, knob.name) + by, 3)))
        painting = replace(foreseen.painting, **{knob.name: value})
        return msgspec.structs.replace(foreseen, painting=painting)
    bands = tuple(_wider(band, by) if band.colour == knob.colour else band for band in told.bands)
    told = msgspec.structs.replace(told, bands=_cut_to(bands, told.blank.rows))
    return msgspec.structs.replace(foreseen, told=told)


def _wider(band: Band, by: float) -> Band:
    if band.rows + by < 1:
        raise ValueError("A band has at least one row.")
    return replace(band, rows=band.rows + by)


def _cut_to(bands: tuple[Band, ...], rows: int) -> tuple[Band, ...]:
    """The bands as far as the blank goes."""
    kept, left = [], float(rows)
    for band in bands:
        if left <= 0:
            break
        kept.append(replace(band, rows=min(band.rows, left)))
        left -= band.rows
    return tuple(kept)
