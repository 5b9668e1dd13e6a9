"""Digits drawn of half blocks, with the unit small at their foot: to be read across a kitchen.

A cell is two pixels, upper and lower, about square. A digit of five rows on a 4 mm row is seen under 34 minutes of
arc at 2 m, one of three rows and a unit under 17; 16 is the least that can be read and 20 to 22 is comfortable
(ISO 9241-303).
"""

from __future__ import annotations

from functools import lru_cache

STROKES = {
    "0": "abcdef", "2": "abged", "3": "abgcd", "4": "fgbc", "5": "afgcd", "6": "afgecd", "8": "abcdefg",
    "9": "abcdfg", "-": "g",
}  # fmt: skip
"""a at the top, g across the middle, d at the foot; f and b above at the sides, e and c below."""
SMALL = {
    "g": ".### #..# .### ...# ###.", "m": "..... ####. #.#.# #.#.# #.#.#", "L": "#.. #.. #.. #.. ###",
    "C": ".### #... #... #... .###", "F": "### #.. ##. #.. #..", "°": ".#. #.# .#. ... ...",
    "%": "#...# ...#. ..#.. .#... #...#", "i": "# . # # #", "n": "... ##. #.# #.# #.#", "h": "#.. #.. ##. #.# #.#",
    "c": "... .## #.. #.. .##", "z": "... ### ..# #.. ###", "o": "... ### #.# #.# ###", "t": "#. ## #. #. .#",
    "s": "... .## #.. ..# ##.", "p": "... ### #.# ### #..", "f": ".# #. ## #. #.", "l": "# # # # #", " ": "." * 2,
}  # fmt: skip
"""Letters of units, five pixels high."""
WIDE = {3: 4, 5: 7, 7: 10}
PEN = {3: 1, 5: 2, 7: 3}
GAP = {3: 1, 5: 2, 7: 2}
LEAST = 3

Dots = frozenset[tuple[int, int]]


def big(text: str, rows: int, unit: str = "", *, ascii_only: bool = False) -> list[str]:
    """So many rows of cells that show digits, point, colon, signs and hours, and a unit whose letters can be drawn.

    Each row ends with its last drawn cell. Characters without a shape leave a gap.

    >>> for row in big("1.5", 5, "g", ascii_only=True): print(row)
    ####        #######
    # ##        ##
      ##        #######    ###
      ##             ##   ####
    ######  ##  #######   ####
    """
    return list(_big(text, rows, unit, ascii_only))


@lru_cache(maxsize=64)
def _big(text: str, rows: int, unit: str, ascii_only: bool) -> tuple[str, ...]:
    """Kept: how wide it is is asked before it is drawn, and it is drawn again at each look."""
    dots, x = set[tuple[int, int]](), 0
    for sign in text:
        shape, wide = glyph(sign, rows)
        dots |= {(x + dx, y) for dx, y in shape}
        x += wide + GAP.get(rows, 3)
    if can_draw(unit):
        x += 1
        for sign in unit:
            shape, wide = letter(sign, rows, hung=unit.startswith("°"))
            dots |= {(x + dx, y) for dx, y in shape}
            x += wide
    return tuple(cells(frozenset(dots), rows, ascii_only=ascii_only))


def can_draw(unit: str) -> bool:
    """Whether every letter of the unit has a small shape."""
    return bool(unit) and all(sign in SMALL for sign in unit)


def width_of(text: str, rows: int, unit: str = "") -> int:
    """Cells it takes.

    >>> width_of("24:10", 5), width_of("24:10", 3)
    (37, 20)
    """
    return max(map(len, _big(text, rows, unit, False)), default=0)


def largest(text: str, width: int, height: int) -> int:
    """The most rows at which the digits fit; 0 where not even the smallest do."""
    return next((rows for rows in range(height, LEAST - 1, -1) if width_of(text, rows) <= width), 0)


def cells(dots: Dots, rows: int, *, ascii_only: bool = False) -> list[str]:
    """Pixels as half blocks, two to a cell, or as one sign where only ASCII can be shown."""
    signs = " ###" if ascii_only else " ▀▄█"
    right = max((x for x, _ in dots), default=-1) + 1
    lines = []
    for y in range(rows):
        line = (signs[((x, 2 * y) in dots) + 2 * ((x, 2 * y + 1) in dots)] for x in range(right))
        lines.append("".join(line).rstrip())
    return lines


@lru_cache(maxsize=64)
def letter(sign: str, rows: int, *, hung: bool = False) -> tuple[Dots, int]:
    """Pixels and width, with the gap after it, of a small letter at the foot of digits that high, or at their head."""
    times = max(2, rows // 5) if rows >= 7 else 1
    foot = 0 if hung else _high(rows) - 5 * times
    lines = SMALL[sign].split()
    dots = frozenset[tuple[int, int]]().union(
        *(
            _box(across * times, foot + down * times, times, times)
            for down, line in enumerate(lines)
            for across, mark in enumerate(line)
            if mark == "#"
        )
    )
    return dots, (max(map(len, lines), default=2) + 1) * times


@lru_cache(maxsize=256)
def glyph(sign: str, rows: int) -> tuple[Dots, int]:
    """Pixels and width of a digit or mark that is so many rows high."""
    high = _high(rows)
    wide, pen = WIDE.get(rows, round(high * 0.72)), PEN.get(rows, max(1, round(high / 5)))
    if sign == "h":
        return letter(sign, rows)
    if sign in ".,":
        return _box(0, high - pen, pen, pen), pen
    if sign == ":":
        return _box(0, high // 4, pen, pen) | _box(0, high - high // 4 - pen, pen, pen), pen
    if sign == "/":
        rise = (_box(round((high - 1 - y) * (wide - pen) / high / 1.5), y, pen, 1) for y in range(high))
        return frozenset[tuple[int, int]]().union(*rise), wide - pen
    if sign == "+":
        arm, middle = (wide - 1 - pen) // 2, (high - pen) // 2
        return _box(0, middle, wide - 1, pen) | _box(arm, middle - arm, pen, 2 * arm + pen), wide - 1
    if sign == "1":
        flag = frozenset((pen - 1 - i, i + k) for i in range(pen) for k in range(pen))
        return _box(pen, 0, pen, high) | _box(0, high - pen, 3 * pen, pen) | flag, 3 * pen
    if sign == "7":
        lean = (round((wide - pen) * (1 - 0.55 * (y - pen) / (high - pen))) for y in range(pen, high))
        slope = frozenset(dot for y, x in enumerate(lean, start=pen) for dot in _box(x, y, pen, 1))
        return _box(0, 0, wide, pen) | slope, wide
    if sign == " ":
        return frozenset(), 0  # The gaps about it part what it stands between.
    return (_strokes(STROKES[sign], wide, high, pen), wide) if sign in STROKES else (frozenset(), pen)


def _high(rows: int) -> int:
    """Pixels of a digit that is so many rows high."""
    return 5 if rows == LEAST else rows * 2


def _box(x: int, y: int, wide: int, high: int) -> Dots:
    return frozenset((x + i, y + j) for i in range(wide) for j in range(high))


def _strokes(names: str, wide: int, high: int, pen: int) -> Dots:
    """The strokes of a digit, every outer corner cut as a knife leaves it."""
    middle = 2 if high == 5 else (high - pen + 1) // 2
    right, low = wide - pen, high - pen
    every = {
        "a": _box(0, 0, wide, pen), "g": _box(0, middle, wide, pen), "d": _box(0, low, wide, pen),
        "f": _box(0, 0, pen, middle + pen), "b": _box(right, 0, pen, middle + pen),
        "e": _box(0, middle, pen, high - middle), "c": _box(right, middle, pen, high - middle),
    }  # fmt: skip
    dots = frozenset[tuple[int, int]]().union(*(every[name] for name in names))
    corners = (
        ("af", "", 0, 0), ("ab", "", wide - 1, 0), ("de", "", 0, high - 1), ("dc", "", wide - 1, high - 1),
        ("gb", "c", wide - 1, middle + pen - 1), ("gc", "b", wide - 1, middle),
        ("gf", "e", 0, middle + pen - 1), ("ge", "f", 0, middle),
    )  # fmt: skip
    cut = 0 if high == 5 else max(1, pen // 2)
    for both, without, x, y in corners:
        if all(name in names for name in both) and not (without and without in names):
            across, down = (1 if x == 0 else -1), (1 if y in (0, middle) else -1)
            dots -= {(x + across * i, y + down * j) for i in range(cut) for j in range(cut - i)}
    return dots
