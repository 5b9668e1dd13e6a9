"""What every line passes through on a terminal that shows plain ASCII only."""

from __future__ import annotations

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

NEAREST = {"…": "~", "–": "-", "—": "-", "─": "-", "━": "=", "│": "|", "█": "#", "▀": "-", "▄": "_"}
"""Signs that have a near look-alike; any other is shown as `?`, one for each cell it takes."""


class AsciiOnly(LineFilter):
    """Puts look-alikes for whatever is not ASCII; widths stay as they are."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """The same segments in ASCII."""
        return [s if s.text.isascii() else Segment(ascii_text(s.text), s.style, s.control) for s in segments]


def ascii_text(text: str) -> str:
    """The text in ASCII, as many cells wide.

    >>> ascii_text("20 °C … 漢"), ascii_text("e\u0301")
    ('20 ?C ~ ??', 'e')
    """
    return "".join(c if c.isascii() else NEAREST.get(c, "?") * cell_len(c) for c in text)
