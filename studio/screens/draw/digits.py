"""Clock digits of full blocks, readable across a kitchen.

A digit of five rows of full blocks on a 4 mm row is seen under 34 minutes of arc at 2 m; 16 is the least
that can be read and 20 to 22 is comfortable (ISO 9241-303). Seven rows are used where there is room.
"""

from __future__ import annotations

from collections.abc import Sequence

_FIVE = {
    "0": "111 101 101 101 111",
    "1": "010 110 010 010 111",
    "2": "111 001 111 100 111",
    "3": "111 001 111 001 111",
    "4": "101 101 111 001 001",
    "5": "111 100 111 001 111",
    "6": "111 100 111 101 111",
    "7": "111 001 001 001 001",
    "8": "111 101 111 101 111",
    "9": "111 101 111 001 111",
    ":": "0 1 0 1 0",
    "+": "000 010 111 010 000",
    "-": "000 000 111 000 000",
}
_CELLS_PER_DOT = 2
_GAP = 2
_TALL_ROWS = (0, 1, 1, 2, 3, 3, 4)
_TALL_COLUMNS = (0, 1, 1, 2)


def _dots(character: str, tall: bool) -> list[str]:
    rows = _FIVE[character].split()
    if not tall:
        return rows
    stretched = [rows[i] for i in _TALL_ROWS]
    if len(rows[0]) == 1:
        return stretched
    return ["".join(row[i] for i in _TALL_COLUMNS) for row in stretched]


def big_text(text: str, *, block: str, tall: bool = False, scale: int = 1) -> list[str]:
    """Rows of blocks that show `text` (digits, colon, plus, minus).

    Five rows high, seven when `tall`, each times `scale`. Characters without a shape are left out.

    >>> for row in big_text("1:", block="#"): print(row.rstrip())
      ##
    ####    ##
      ##
      ##    ##
    ######
    """
    shapes = [_dots(c, tall) for c in text if c in _FIVE]
    if not shapes:
        return []
    rows = []
    for line in range(len(shapes[0])):
        parts = [_blocks(shape[line], block, scale) for shape in shapes]
        rows.extend([(" " * _GAP * scale).join(parts)] * scale)
    return rows


def _blocks(dots: Sequence[str], block: str, scale: int) -> str:
    return "".join((block if dot == "1" else " ") * _CELLS_PER_DOT * scale for dot in dots)


def width_of(text: str, *, tall: bool = False, scale: int = 1) -> int:
    """Cells a text takes.

    >>> width_of("1:04:30"), width_of("24:10", tall=True)
    (46, 42)
    """
    rows = big_text(text, block="#", tall=tall, scale=scale)
    return len(rows[0]) if rows else 0


def largest_scale(text: str, width: int, height: int) -> int:
    """The greatest whole scale at which five-row digits fit; 0 when not even one does."""
    scale = 0
    while width_of(text, scale=scale + 1) <= width and 5 * (scale + 1) <= height:
        scale += 1
    return scale
