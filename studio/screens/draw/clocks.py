"""Clock digits of full blocks, and the bath on its ramp as a plot of braille dots."""

from __future__ import annotations

from collections.abc import Sequence

from textual.content import Content

from studio.session.live.bath import Ramp

# Clock digits of full blocks, readable across a kitchen. A digit of five rows of full blocks on a 4 mm
# row is seen under 34 minutes of arc at 2 m; 16 is the least that can be read and 20 to 22 is
# comfortable (ISO 9241-303). Seven rows are used where there is room.

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


# The bath on its ramp as a small plot of braille dots: the planned line, and the readings beside it.

DOT_ROWS, DOT_COLUMNS = 4, 2
BRAILLE = 0x2800
BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
"""Of the dots of a cell by row and column. **Source:** The Unicode Standard, block Braille Patterns."""
READ, HERE = "●", "|"
AXIS = 7
"""Cells for the degrees at the left."""
LEAST_WIDTH, LEAST_HEIGHT = 30, 3


def plot(seen: Ramp, width: int, height: int, *, ascii_only: bool = False) -> list[Content]:
    """`height` lines and one for the minutes, at most `width` cells; nothing where there is no room.

    The line is the plan, a dot a reading, the bar now. Degrees stand at the left, minutes below.
    """
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return []
    across = min(width - AXIS - 1, 72)
    low, high = _degrees(seen)
    end = max(seen.heat.ramp_min * 1.15, seen.now_min, 1.0)
    lines = _planned(seen, across, height, low, high, end, ascii_only)
    styles = {(r, c): "$quiet" for r in range(height) for c in range(across)}
    now = min(across - 1, int(seen.now_min / end * across))
    for row in range(height):
        if lines[row][now] == " ":
            lines[row][now], styles[row, now] = HERE, "$line"
    for minute, c in seen.readings:
        column = min(across - 1, max(0, int(minute / end * across)))
        row = min(height - 1, max(0, round((high - c) / (high - low) * (height - 1))))
        lines[row][column], styles[row, column] = "o" if ascii_only else READ, "bold $due"
    return [*_rows(lines, styles, low, high), _minutes(across, end)]


def _degrees(seen: Ramp) -> tuple[float, float]:
    """Lowest and highest temperature of the plot, in whole tens."""
    read = [c for _, c in seen.readings]
    low, high = min([seen.heat.start_c, *read]), max([seen.heat.top_c, *read])
    return 10.0 * (low // 10.0), 10.0 * (high // 10.0 + 1.0)


def _planned(
    seen: Ramp, across: int, height: int, low: float, high: float, end: float, ascii_only: bool
) -> list[list[str]]:
    """The planned line: braille dots, or one sign to a column."""
    cells = [[0] * across for _ in range(height)]
    dots_across, dots_down = across * DOT_COLUMNS, height * DOT_ROWS
    for x in range(dots_across):
        share = (high - seen.planned_c(x / dots_across * end)) / (high - low)
        y = min(dots_down - 1, max(0, round(share * (dots_down - 1))))
        cells[y // DOT_ROWS][x // DOT_COLUMNS] |= BITS[y % DOT_ROWS][x % DOT_COLUMNS]
    if ascii_only:
        return [["." if cell else " " for cell in row] for row in cells]
    return [[chr(BRAILLE + cell) if cell else " " for cell in row] for row in cells]


def _rows(
    lines: list[list[str]], styles: dict[tuple[int, int], str], low: float, high: float
) -> list[Content]:
    found = []
    last = len(lines) - 1
    for row, line in enumerate(lines):
        degrees = high - (high - low) * row / last
        label = f"{degrees:>4.0f} C " if row in (0, last) or (last > 4 and row == last // 2) else " " * AXIS
        parts = [(label, "$quiet"), *((sign, styles[row, column]) for column, sign in enumerate(line))]
        found.append(Content.assemble(*parts))
    return found


def _minutes(across: int, end: float) -> Content:
    """0, the middle and the end of the time axis."""
    middle, last = f"{end / 2:.0f}", f"{end:.0f} min"
    gap = across // 2 - 1 - len(middle) // 2
    rest = across - 1 - gap - len(middle) - len(last)
    return Content.styled(f"{' ' * AXIS}0{' ' * gap}{middle}{' ' * max(1, rest)}{last}", "$quiet")
