"""The painting page: bands in any order, more coats, other jars, what is left and whether it reaches."""

from __future__ import annotations

from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import Static

from studio.screens.acting import ActingScreen
from studio.screens.draw.bands import band_rows
from studio.screens.draw.bench import figure_row
from studio.screens.draw.worksheet import caution_lines
from studio.screens.entry import Entry
from studio.screens.keyed import KeyLine
from studio.screens.questions import jar_question, left_question, more_question, note_question
from studio.screens.saving_line import SavingLine
from studio.session import commands as c
from studio.session.live.painting import bands_of, next_band, still_bare, think_painting
from studio.session.run import Running


class PaintingScreen(ActingScreen, where="painting"):
    """Arrows or its number choose a band; Enter paints it and moves on to the next bare one."""

    def __init__(self, running: Running) -> None:
        super().__init__(running)
        self.chosen = next_band(running.state) or 1
        self._typed = ""
        """Digits of the number so far; any other key begins it anew."""

    def compose(self) -> ComposeResult:
        yield SavingLine(self.running)
        yield Static(Content.styled(" Painting", "bold $text"), id="paint-title")
        yield Static(id="paint-bands", markup=False)
        yield Static(id="paint-figures", markup=False)
        yield Entry(id="entry")
        yield KeyLine()

    def on_mount(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """Bands, jars, warnings."""
        state = self.running.state
        bands = bands_of(state)
        saved = {band.number: band.coats for band in bands_of(self.running.saved)}
        unsaved = frozenset(band.number for band in bands if band.coats != saved[band.number])
        painted = sum(not band.bare and band.number not in unsaved for band in bands)
        bare = f"   still bare: {still_bare(state)}" if still_bare(state) else ""
        title = Content.assemble(
            (" Painting", "bold $text"), (f"   {painted} of {len(bands)} bands{bare}", "$quiet")
        )
        self.query_one("#paint-title", Static).update(title)
        thought = think_painting(state)
        width = max(40, self.size.width - 2)
        rows = [figure_row(f, width) for f in thought.figures]
        rows.extend(line for w in thought.warnings for line in caution_lines(w, width))
        self.query_one("#paint-figures", Static).update(Content("\n").join(rows))
        room = max(3, self.size.height - len(rows) - 6 - self.query_one(SavingLine).rows)
        self.query_one("#paint-bands", Static).update(band_rows(state, bands, unsaved, self.chosen, room))
        self.draw_foot()

    def after(self, command: c.Command) -> None:
        """From a band that is painted the mark moves on to the next bare one; another coat leaves it there."""
        if isinstance(command, c.PaintBand) and not command.again:
            self._move_on()
        self.redraw()

    def _move_on(self) -> None:
        self._go(next_band(self.running.state, after=self.chosen) or self.chosen)

    def _go(self, band: int) -> None:
        self.chosen, self._typed = band, ""

    async def action_paint(self) -> None:
        if not still_bare(self.running.state):
            self.ask("Every band has a coat; Esc goes back to the bench.")
            return
        coated = any(b.number == self.chosen and not b.bare for b in bands_of(self.running.state))
        if not await self.act(c.PaintBand(self.chosen)) and coated:
            self._move_on()
            self.redraw()

    async def action_coat(self) -> None:
        self._typed = ""
        await self.act(c.PaintBand(self.chosen, again=True))

    def action_jar(self) -> None:
        self._typed = ""
        self.ask(jar_question(self.running.state, self.chosen))

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

    def action_left(self) -> None:
        self.ask(left_question(self.running.state))

    def action_more(self) -> None:
        self.ask(more_question(self.running.state))

    def action_note(self) -> None:
        self.ask(note_question())
