"""Time as a picture: the bath on its ramp, a day of several pieces."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import groupby
from typing import TYPE_CHECKING

import msgspec
from textual.content import Content

from studio.plaintext import clean
from studio.quantity.reading_in import told_number
from studio.screens.draw.cloth import ink_on
from studio.screens.draw.keys import Glyphs, leads
from studio.session.asked import unit_asked

if TYPE_CHECKING:
    from studio.methods.day import DaySheet
    from studio.report.day_rows import ChartRow
    from studio.session.live.bath import Ramp

# The bath on its ramp: the planned line, and the readings on it.

HALVES = " ▀▄█"
"""Of a cell: nothing, its upper half, its lower one, both."""
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
        row = _half_row(c, height, low, high) // 2
        lines[row][column], styles[row, column] = "o" if ascii_only else READ, "bold $due"
    unit = unit_asked("temperature")
    sign = unit.replace("°", " ") if ascii_only else unit
    return [*_rows(lines, styles, low, high, sign), _minutes(across, end)]


def _degrees(seen: Ramp) -> tuple[float, float]:
    """Lowest and highest temperature of the plot, in whole tens."""
    read = [c for _, c in seen.readings]
    low, high = min([seen.heat.start_c, *read]), max([seen.heat.top_c, *read])
    return 10.0 * (low // 10.0), 10.0 * (high // 10.0 + 1.0)


def _planned(
    seen: Ramp, across: int, height: int, low: float, high: float, end: float, ascii_only: bool
) -> list[list[str]]:
    """The planned line, or one sign to a column."""
    cells = [[0] * across for _ in range(height)]
    for x in range(across):
        y = _half_row(seen.planned_c((x + 0.5) / across * end), height, low, high)
        cells[y // 2][x] |= 1 + y % 2
    signs = " ..." if ascii_only else HALVES
    return [[signs[cell] for cell in row] for row in cells]


def _half_row(c: float, height: int, low: float, high: float) -> int:
    """The half row, from the top, in which a temperature lies."""
    share = (high - c) / (high - low)
    return min(2 * height - 1, max(0, round(share * (2 * height - 1))))


def _rows(
    lines: list[list[str]], styles: dict[tuple[int, int], str], low: float, high: float, sign: str
) -> list[Content]:
    found = []
    last = len(lines) - 1
    for row, line in enumerate(lines):
        degrees = told_number(round(high - (high - low) * row / last), "degC", 0.0)
        label = f"{degrees:>3} {sign} " if row in (0, last) or (last > 4 and row == last // 2) else " " * AXIS
        parts = [(label, "$quiet"), *((dot, styles[row, column]) for column, dot in enumerate(line))]
        found.append(Content.assemble(*parts))
    return found


def _minutes(across: int, end: float) -> Content:
    """0, the middle and the end of the time axis."""
    middle, last = f"{end / 2:.0f}", f"{end:.0f} min"
    gap = across // 2 - 1 - len(middle) // 2
    rest = across - 1 - gap - len(middle) - len(last)
    return Content.styled(f"{' ' * AXIS}0{' ' * gap}{middle}{' ' * max(1, rest)}{last}", "$quiet")


# A day: bars of the hands, the steamer and each piece in its colour, the task that is looked at below a mark.


def day_page(sheet: DaySheet, width: int, hues: Mapping[str, str], at: int, glyphs: Glyphs) -> list[Content]:
    """The times, the mark, a row for each; `hues` by piece, `at` the number of the task."""
    from studio.report.day_rows import day_axis, day_chart, day_times, label_room

    column = label_room(sheet, width)
    axis = day_axis(sheet, width - column)
    mark = " " * (column + axis.cell(sheet.at(sheet.lines[at].start_min))) + glyphs.down
    times = Content.styled(" " * column + day_times(sheet, axis.wide), "$quiet")
    hands, *bars = (_bars(row, column, hues, glyphs) for row in day_chart(sheet, axis.wide))
    for number, task in enumerate(sheet.lines):
        ends = axis.cell(sheet.at(task.start_min)), axis.cell(sheet.at(task.end_min) - 1e-6) + 1
        hands = leads(hands, "row", number, *(column + cell for cell in ends))
    return [times, Content.styled(mark, "bold $focus"), hands, *bars]


def plan_day(sheet: DaySheet, width: int, hue: str, column: int, glyphs: Glyphs) -> list[Content]:
    """The hours of one plan from its beginning: a row for the hands, the steamer and each piece, and all in all."""
    from studio.report.day_rows import day_chart, day_times
    from studio.report.timeline import span_told

    hands, free, steamer, *pieces = day_chart(sheet, width - column)
    names = ["the fibre"] if len(pieces) == 1 else [f"piece {n}" for n in range(1, len(pieces) + 1)]
    named = (msgspec.structs.replace(row, label=name) for row, name in zip(pieces, names, strict=True))
    hues = dict.fromkeys((line.task.who for line in sheet.lines if line.task.lots), hue)
    times = f"{'from the start':<{column}}{day_times(sheet, width - column)}"
    bars = [_bars(row, column, hues, glyphs) for row in (hands, free, steamer, *named)]
    whole = Content.assemble(
        (f"{'hours':<{column}}", "$quiet"), (f"{span_told(sheet.finish_min)} in all", "$text")
    )
    return [Content.styled(times, "$quiet"), *bars, whole]


def _bars(row: ChartRow, column: int, hues: Mapping[str, str], glyphs: Glyphs) -> Content:
    """One row behind its name."""
    parts = [(f"{clean(row.label, limit=column - 2):<{column}}", "$quiet")]
    for (who, kind), run in groupby(row.cells, key=lambda cell: (cell[1], _kind(*cell))):
        signs = "".join(sign for sign, _ in run)
        parts.append(_stretch(signs, kind, hues.get(who, ""), bool(row.label), glyphs))
    return Content.assemble(*parts)


def _kind(sign: str, who: str) -> str:
    return sign if sign in HALVES and not (sign == " " and who) else "letter"


def _stretch(signs: str, kind: str, hue: str, bars: bool, glyphs: Glyphs) -> tuple[str, str]:
    """Signs of one kind: a bar in the colour of its piece, a wait in the colour of lines, letters on the bar."""
    if kind == " ":
        return signs, ""
    if not bars:
        return signs, "$quiet"
    if kind == "letter":
        ground = f" on {hue}" if hue else ""
        ink = ink_on(hue) if hue else "$text"
        return signs, f"bold {ink}{ground}" if glyphs.coloured else "bold $text"
    if kind == "\N{LOWER HALF BLOCK}":
        return glyphs.gone * len(signs), "$line"
    return glyphs.block * len(signs), (hue if glyphs.coloured else "") or "$text"
