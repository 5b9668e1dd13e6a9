"""A list to choose from, which marks the chosen row by a sign and not by its ground alone."""

from __future__ import annotations

from rich.segment import Segment
from textual.strip import Strip
from textual.widgets import OptionList

CHOSEN = ">"


class Rows(OptionList):
    """The first cell of a row is kept for the sign."""

    def _get_left_gutter_width(self) -> int:
        return len(CHOSEN)

    def render_line(self, y: int) -> Strip:
        """The row, after the sign where it is the chosen one's first line."""
        strip = super().render_line(y)
        style = next((segment.style for segment in strip), None)
        line = self.scroll_offset.y + y
        chosen = self.highlighted is not None and self._index_to_line.get(self.highlighted) == line
        return Strip.join([Strip([Segment(CHOSEN if chosen else " " * len(CHOSEN), style)]), strip])
