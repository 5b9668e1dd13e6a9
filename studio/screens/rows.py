"""A list to choose from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, ClassVar, cast

from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.binding import Binding, BindingType
from textual.strip import Strip
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from studio.screens.keyed import Keyed
from studio.screens.theme import PALETTES

CHOSEN = "▌"


class Rows(OptionList, inherit_bindings=False):
    """The first cell of a row is kept for the sign; what Enter does is the screen's, and a second click does it too."""

    BINDINGS: ClassVar[list[BindingType]] = [
        binding for binding in OptionList.BINDINGS if isinstance(binding, Binding) and binding.key != "enter"
    ]

    @property
    def chosen(self) -> str:
        """Id of the row under the bar; empty where there is none."""
        option = self.highlighted_option
        return (option.id or "") if option is not None else ""

    def fill(self, options: Sequence[Option], at: str | None = None) -> None:
        """List these anew; the bar goes to `at`, else stays on its row, else about where it was."""
        place, wanted = self.highlighted or 0, at or self.chosen
        with self.app.batch_update():
            self.clear_options()
            self.add_options(options)
        ids = [option.id for option in options]
        place = ids.index(wanted) if wanted and wanted in ids else min(place, len(options) - 1)
        places = [*range(place, len(options)), *range(place)] if options else []
        self.highlighted = next((n for n in places if not options[n].disabled), None)

    async def _on_click(self, event: events.Click) -> None:
        """One click chooses a row, so that a key can be meant for it; on the chosen one it is Enter."""
        event.prevent_default()
        row = event.style.meta.get("option")
        screen = cast("Keyed[Any]", self.screen)
        if row is None or self.get_option_at_index(row).disabled or screen.asking() is not None:
            return
        if row == self.highlighted:
            self.action_select()
        self.highlighted = row

    def _get_left_gutter_width(self) -> int:
        return len(CHOSEN)

    def render_line(self, y: int) -> Strip:
        """A line of a row, after the sign where it is the chosen one's."""
        strip = super().render_line(y)
        style = next((segment.style for segment in strip if segment.style), Style())
        line = self.scroll_offset.y + y
        chosen = line < len(self._lines) and self._lines[line][0] == self.highlighted
        if chosen:
            style += Style(color=PALETTES[self.app.theme]["focus"])
        return Strip.join([Strip([Segment(CHOSEN if chosen else " " * len(CHOSEN), style)]), strip])
