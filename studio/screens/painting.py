"""The painting page: bands in order, second coats, what is left in the jars and whether it reaches."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.screens.acting import ActingScreen
from studio.screens.draw.bands import band_rows
from studio.screens.draw.bench import figure_row
from studio.screens.draw.worksheet import caution_lines
from studio.screens.entry import Entry
from studio.screens.questions import left_question, more_question, note_question
from studio.session import commands as c
from studio.session.live.painting import bands_of, next_band, think_painting
from studio.session.run import Running

KEYS = " Enter next band   + second coat   J jar   C more   N note   Esc back"


class PaintingScreen(ActingScreen):
    """Enter ticks the first bare band; plus gives the marked one another coat."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "next_band", "next band", show=False),
        Binding("plus,kp_plus", "coat", "another coat", show=False),
        Binding("up", "move(-1)", "up", show=False),
        Binding("down", "move(1)", "down", show=False),
        Binding("j", "left", "left in a jar", show=False),
        Binding("c", "more", "more colour", show=False),
        Binding("n", "note", "note", show=False),
        Binding("escape,q,p", "back", "back", show=False),
    ]

    def __init__(self, running: Running) -> None:
        super().__init__(running)
        self.chosen = next_band(running.state) or 1

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Painting", "bold $text"), id="paint-title")
        yield Static(id="paint-bands", markup=False)
        yield Static(id="paint-figures", markup=False)
        yield Static(id="paint-notice", markup=False)
        yield Entry(id="entry")
        yield Static(Content.styled(KEYS, "$quiet"), id="keys")

    def on_mount(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """Bands, jars, warnings."""
        state = self.running.state
        bands = bands_of(state)
        painted = sum(coats > 0 for _, _, coats in bands)
        title = Content.assemble(
            (" Painting", "bold $text"), (f"   {painted} of {len(bands)} bands", "$quiet")
        )
        self.query_one("#paint-title", Static).update(title)
        thought = think_painting(state)
        width = max(40, self.size.width - 2)
        rows = [figure_row(f, width) for f in thought.figures]
        rows.extend(line for w in thought.warnings for line in caution_lines(w, width))
        self.query_one("#paint-figures", Static).update(Content("\n").join(rows))
        room = max(3, self.size.height - len(rows) - 6)
        self.query_one("#paint-bands", Static).update(band_rows(bands, self.chosen, room))
        self.query_one("#paint-notice", Static).update(
            Content.styled(f" {clean(self.notice, limit=300)}", "bold $due")
        )

    def after(self, command: c.Command) -> None:
        """The mark moves on to the next bare band."""
        if isinstance(command, c.PaintBand):
            self.chosen = next_band(self.running.state) or self.chosen
        self.redraw()

    async def action_next_band(self) -> None:
        band = next_band(self.running.state)
        if band is None:
            self.notice = "Every band has a coat; Esc goes back to the bench."
            self.redraw()
        else:
            await self.act(c.PaintBand(band))

    async def action_coat(self) -> None:
        await self.act(c.PaintBand(self.chosen))

    def action_move(self, by: int) -> None:
        self.chosen = max(1, min(len(bands_of(self.running.state)), self.chosen + by))
        self.redraw()

    def action_left(self) -> None:
        self.ask(left_question(self.running.state))

    def action_more(self) -> None:
        self.ask(more_question(self.running.state))

    def action_note(self) -> None:
        self.ask(note_question())

    def action_back(self) -> None:
        self.dismiss()
