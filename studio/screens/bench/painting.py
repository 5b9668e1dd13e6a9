"""The painting page and the packets in the steam."""

from __future__ import annotations

from typing import Any

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static
from textual.widgets.option_list import Option

from studio.plaintext import clean
from studio.plan.preview import hues_of, letters, strip_bands
from studio.report.telling import end_words
from studio.screens.bench.acting import Acting
from studio.screens.bench.clock import SavingLine
from studio.screens.bench.view import band_unit, dose_of, painted
from studio.screens.draw.bench import TALL, large_lines, left_text
from studio.screens.draw.goods import band_rows, blank, loop, loop_rows
from studio.screens.draw.keys import beside
from studio.screens.draw.lists import heading
from studio.screens.draw.panel import caution_lines, figure_row
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.session import commands as c
from studio.session.bands import bands_of, face_up, next_band, painted_with, still_bare
from studio.session.live.given import gathered
from studio.session.live.painting import think_painting
from studio.session.run import Running
from studio.session.state import TimerRecord
from studio.session.timers import minutes_text, packets, view
from studio.words.questions import jar_question

# The painting page: bands in any order, more coats, other jars, what is left and whether it reaches.


ASKING = 5
"""Rows kept for a question, its field and what stands against the answer."""
ALL_PAINTED = "Every band has a coat; {painting.leave} goes back to the bench."
ELSEWHERE = "Every band has a coat on this side; {painting.turn} turns it over."
BESIDE = 38
"""Cells for the dose and the list beside a loop."""


class PaintingScreen(Keyed[None], where="painting"):
    """Arrows or its number choose a band; Enter paints it and moves on to the next bare one."""

    AUTO_FOCUS = ""

    def __init__(self, running: Running, chosen: int = 0) -> None:
        """`chosen` is the band that is marked first, if one is."""
        super().__init__()
        self.running: Running = running
        self.line = Acting(running, self.after)
        self.face = face_up(running.state)
        self.chosen = chosen or next_band(running.state) or 1
        self.hues = hues_of(running.state.choices)
        self._typed = ""
        """Digits of the number so far; any other key begins it anew."""

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(heading("Painting"), id="paint-title", markup=False)
        yield Static(id="paint-bands", markup=False)
        yield Static(id="paint-figures", markup=False)
        yield self.line
        yield KeyLine()

    def redraw(self) -> None:
        """Bands, jars, warnings."""
        state = self.running.state
        bands = bands_of(state)
        at = painted(self.running, self.chosen, self.face)
        saved = {band.number: band.coats for band in bands_of(self.running.saved)}
        unsaved = frozenset(band.number for band in bands if band.coats != saved[band.number])
        left = still_bare(state)
        bare = f"   still to paint: {left}" if left else ""
        side = f"Painting, {self.face}" if self.face == "back" or len(bands[0].faces) > 1 else "Painting"
        self.show("paint-title", heading(side, f"{len(at.done)} of {len(bands)} bands{bare}"))
        thought = gathered(think_painting(state))
        self.draw_foot()
        width, height, glyphs = self.size.width, self.size.height, app_of(self).glyphs
        asking = ASKING if self.line.display else 0
        low = height < 24 or (asking and height < TALL)
        high, digits = (3, 3) if low else (9, 7) if height >= TALL else (5, 5)
        strip = strip_bands(state.choices, self.hues, painted_with(self.running.saved, self.face))
        rows = [figure_row(f, width - 2) for f in thought.figures]
        rows.extend(line for w in thought.warnings for line in caution_lines(w, width - 2))
        room = height - 1 - self.query_one(SavingLine).rows - self.query_one(KeyLine).rows - asking
        round_rows = loop_rows(width - BESIDE, room - len(rows) - 1)
        if state.choices.form == "skein" and glyphs.coloured and round_rows:
            goods, below = loop(strip, at, round_rows, glyphs), 0
            column = max(line.cell_length for line in goods) + 1
            dose = [Content(""), *self._dose(digits, width - column - 2), Content("")]
        else:
            goods = [line.pad_left(2) for line in blank(strip, at, width - 4, high, glyphs, band_unit(state))]
            below, column = len(goods), max(34, min(width - 36, 76))
            least = digits + 1  # Rows of the dose, and so of the list beside it.
            rows = rows[: max(0, room - below - least)]  # The field that is typed in never gives way to them.
            dose = self._dose(digits, column - 4)
        room -= len(rows) + below
        most = room if below else room - len(dose)
        listed = band_rows(state, bands, unsaved, at, width - column - 2, most, glyphs)
        lines = [*goods, *beside(dose, listed, column)] if below else beside(goods, [*dose, *listed], column)
        self.show("paint-bands", Content("\n").join(lines))
        self.show("paint-figures", Content("\n").join(rows))

    def _dose(self, rows: int, room: int) -> list[Content]:
        """What the band in hand takes of its jar."""
        large = dose_of(self.running.state, self.chosen, self.face)
        if large is None:
            return []
        sign = letters(["", *self.hues]).get(large.colour, "")
        hue = self.hues.get(large.colour, "")
        drawn, _ = large_lines(large, "", hue, sign, rows, room, app_of(self).glyphs)
        label = Content.styled(large.label, "$quiet").wrap(room)
        return [line.pad_left(2) for line in (*drawn, *label)]

    def after(self, command: c.Command) -> None:
        """From a band that is painted the mark moves on to the next bare one; another coat leaves it there."""
        if isinstance(command, c.PaintBand) and not command.again:
            self._move_on()
        self.redraw()

    def _move_on(self) -> None:
        self._go(next_band(self.running.state, self.chosen, self.face) or self.chosen)

    def _go(self, band: int) -> None:
        self.chosen, self._typed = band, ""

    def go_to(self, what: str, which: Any) -> None:
        """A click marks a band; on the marked one it paints it."""
        if which == self.chosen:
            app_of(self).press("enter")
        self._go(which)
        self.redraw()

    async def action_paint(self) -> None:
        band = bands_of(self.running.state)[self.chosen - 1]
        if next_band(self.running.state, face=self.face) is None and band.on(self.face):
            self.tell(ELSEWHERE if still_bare(self.running.state) else ALL_PAINTED)
            return
        if not await self.line.act(c.PaintBand(self.chosen, face=self.face)) and band.on(self.face):
            self._move_on()
            self.redraw()

    async def action_coat(self) -> None:
        self._typed = ""
        await self.line.act(c.PaintBand(self.chosen, again=True, face=self.face))

    def action_turn(self) -> None:
        """The other side: what is painted from here on is painted on it."""
        self.face = "front" if self.face == "back" else "back"
        self._go(next_band(self.running.state, face=self.face) or 1)
        self.redraw()

    def action_jar(self) -> None:
        self._typed = ""
        self.line.ask(jar_question(self.running.state, self.chosen, self.face))

    def action_move(self, by: int) -> None:
        self._go(max(1, min(len(bands_of(self.running.state)), self.chosen + by)))
        self.redraw()

    def action_digit(self, digit: int) -> None:
        """1, then 2, is band 12; where there is none so far up it is band 2."""
        numbers = {str(band.number) for band in bands_of(self.running.state)}
        typed = next((t for t in (f"{self._typed}{digit}", f"{digit}") if t in numbers), "")
        if typed:
            self.chosen, self.notice = int(typed), ""
        else:
            self.notice = f"There is no band {digit}; they are 1 to {len(numbers)}."
        self._typed = typed
        self.redraw()

    def action_ask(self, what: str) -> None:
        self._typed = ""
        self.line.ask_for(what)

    async def action_undo(self) -> None:
        self._typed = ""
        await self.line.undo()


# Several packets in the steam, each with its own clock.


class PacketsScreen(Keyed[None], where="packets"):
    """The first packet is the session's own; the others go in and out at their own times."""

    AUTO_FOCUS = "#packets-list"

    def __init__(self, running: Running) -> None:
        super().__init__()
        self.running: Running = running
        self.line = Acting(running, lambda command: self.redraw())

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(id="packets-title", markup=False)
        yield Rows(id="packets-list")
        yield self.line
        yield KeyLine()

    def on_mount(self) -> None:
        """Listed at once, so that no key comes too early for it."""
        self.redraw()
        self.set_interval(0.5, self.redraw)

    def redraw(self) -> None:
        """Every packet with its clock."""
        listed, rows = packets(self.running.state), self.query_one(Rows)
        soon = "" if listed else "The first packet's clock starts when the steam rolls."
        self.show("packets-title", heading("Packets in the steam", soon))
        if [option.id for option in rows.options] != [timer.id for timer in listed]:
            rows.fill([Option(self._row(timer), id=timer.id) for timer in listed])
        else:
            for timer in listed:
                rows.replace_option_prompt(timer.id, self._row(timer))
        self.draw_foot()
        self.refresh_bindings()

    def _row(self, timer: TimerRecord) -> Content:
        state, glyphs = self.running.state, app_of(self).glyphs
        if timer.running:
            seen = view(timer, self.running.clock.now())
            told = f"{left_text(seen):>8}  {end_words(seen, state.utc_offset_min)}"
        else:
            waits = self.running.saved.timers.get(timer.id) != timer
            told = (
                f"{glyphs.due if waits else glyphs.done} out after {minutes_text(timer.stopped_after_s or 0)}"
            )
        return Content.assemble((f" {clean(timer.label, limit=30):<32}", "$text"), (told, "bold $text"))

    def action_ask(self, what: str) -> None:
        self.line.ask_for(what)

    async def action_packet_out(self) -> None:
        if packet := self.query_one(Rows).chosen:
            await self.line.act(c.PacketOut(packet))

    def packet(self) -> bool:
        """Whether one is in."""
        return bool(packets(self.running.state))
