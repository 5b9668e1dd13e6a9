"""What each colour of a plan may look like on the base, an approximation, and the sign for where there is
no colour.
"""

from __future__ import annotations

import os
import zlib
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import msgspec

from studio import __version__
from studio.plan.layout import laid_bands
from studio.plan.settled import Settled, SettledColour, rows_of
from studio.plan.shelf import Looks, Shelf
from studio.plan.work.worked import work_all
from studio.shaping import shaped_json
from studio.tables.finding import find_dye
from studio.tables.rows import DyeRow

if TYPE_CHECKING:
    from studio.craft.colour.dye_curve import DyeCurve
    from studio.craft.colour.preview import Undyed


# What each colour of a plan may look like on the base; an approximation, and said to be one.


class ColourSeen(msgspec.Struct, frozen=True):
    """One colour on screen."""

    name: str
    hex: str
    """`#rrggbb`; empty where nothing is known of how it looks."""
    lab: tuple[float, float, float] | None
    note: str


def colours_seen(settled: Settled) -> tuple[ColourSeen, ...]:
    """Each colour at its depth; without a hue, and saying why, where the dye's curve or depth is not known."""
    undyed, comes = _undyed(settled), dict[str, float | None]()
    if any(colour.plan.drops for colour in settled.colours):
        comes = {liquid.colour.plan.name: liquid.depth_percent for liquid in work_all(settled).liquids}
    return tuple(
        _seen(c, c.plan.depth.value if c.plan.depth else comes[c.plan.name], undyed) for c in settled.colours
    )


def undyed_hex(settled: Settled) -> str:
    """The bare yarn: the base's own white, else an estimate for scoured wool."""
    from studio.craft.colour.preview import preview

    return preview([], _undyed(settled)).hex


def _undyed(settled: Settled) -> Undyed:
    from studio.craft.colour.observer import lab_of_hex
    from studio.craft.colour.preview import undyed_from_lab, undyed_wool

    white = settled.base.white_hex if settled.base else ""
    return undyed_from_lab(lab_of_hex(white)) if white else undyed_wool()


def _seen(colour: SettledColour, depth: float | None, undyed: Undyed) -> ColourSeen:
    from studio.craft.colour.preview import mixture, preview

    name = colour.plan.name
    if depth is None:
        return ColourSeen(name, "", None, "drops of unknown strength: no depth, so no colour can be foretold")
    try:
        found = preview(mixture(_parts(colour, undyed), depth), undyed)
    except ValueError as problem:
        return ColourSeen(name, "", None, str(problem).rstrip("."))
    return ColourSeen(name, found.hex, found.lab, found.note)


DEPTHS = (0.25, 0.5, 1.0, 2.0, 4.0)
"""% of the ladder, from pale to deep: each twice the one before. House rule."""


def ladder(settled: Settled, name: str) -> tuple[tuple[float, str], ...]:
    """Depths in per cent, each with the hue that the dye of that colour comes to; none where that is not known."""
    from studio.craft.colour.preview import mixture, preview

    colour = next((one for one in settled.colours if one.plan.name == name), None)
    undyed = _undyed(settled)
    try:
        parts = _parts(colour, undyed) if colour else []
    except ValueError:
        return ()
    return tuple((depth, preview(mixture(parts, depth), undyed).hex) for depth in DEPTHS if parts)


def _parts(colour: SettledColour, undyed: Undyed) -> list[tuple[DyeCurve, float]]:
    """Each dye of a colour by its curve, with its share; ValueError where one is not known."""
    return [(_curve(s.dye.name, s.dye.looks, s.dye.row, undyed), s.share) for s in colour.stocks]


SEEN_AT_PERCENT = 1.0
"""Of the fibre; the depth at which a dye is shown by itself. House rule."""


def dye_hues(shelf: Shelf) -> dict[str, str]:
    """The hue of each dye of a shelf on wool, by its name; without those of which nothing is known."""
    from studio.craft.colour.preview import mixture, preview, undyed_wool

    found, undyed = {}, undyed_wool()
    for dye in shelf.dyes:
        with suppress(ValueError):
            curve = _curve(dye.name, dye.looks, find_dye(dye.dye) if dye.dye else None, undyed)
            found[dye.name] = preview(mixture([(curve, 1.0)], SEEN_AT_PERCENT), undyed).hex
    return found


def _curve(name: str, looks: Looks | None, known: DyeRow | None, undyed: Undyed) -> DyeCurve:
    """From the studio's own swatch, else from the published maximum of the dye, or of the one that stands in.

    ValueError where there is none of these.
    """
    from studio.craft.colour.dye_curve import curve_from_maximum
    from studio.craft.colour.observer import lab_of_hex
    from studio.craft.colour.preview import curve_from_swatch

    if looks and looks.hex:
        return curve_from_swatch(lab_of_hex(looks.hex), looks.depth_percent, undyed)
    row = find_dye(looks.like) if looks else known
    if row is None or row.peak_nm is None or row.absorptivity_l_g_cm is None:
        hue = f" but its hue, {known.hue}" if known is not None and known.hue else ""
        raise ValueError(f"no colour is known of {name}{hue}; say on the shelf what it looks like")
    return curve_from_maximum(
        row.peak_nm,
        row.absorptivity_l_g_cm,
        ci=row.ci,
        ci_number=row.ci_number,
        dye_content_percent=_content(row),
    )


def _content(row: DyeRow) -> float:
    return row.dye_content_percent if row.dye_content_percent is not None else 100.0


def told_apart(seen: tuple[ColourSeen, ...]) -> tuple[str, ...]:
    """Sentences about pairs that are too close, or that a colour-blind customer may not tell apart."""
    from studio.craft.colour.apart import confused, too_close

    known = [c for c in seen if c.lab is not None]
    labs = [c.lab for c in known if c.lab is not None]
    told = []
    for pair in (*too_close(labs), *confused(labs)):
        to = f" to a customer with {pair.seen_by} colour vision" if pair.seen_by is not None else ""
        told.append(
            f"{known[pair.first].name} and {known[pair.second].name} may look alike{to} "
            f"(CIEDE2000 {pair.difference:.1f})."
        )
    return tuple(told)


# How the colours of a plan are drawn: their hue, or a stand-in, and a sign for where there is no colour.

STANDINS = ("#c2572f", "#2f6f9f", "#6f8f3a", "#8a5a9a", "#b08a2a")
"""For colours nothing is known of: they tell bands apart and say nothing about the dye."""
UNDYED = "#e9e2d0"
"""Bare yarn as long as nothing is worked out."""


class Look(msgspec.Struct, frozen=True):
    """How a colour is drawn: its hue, or a stand-in, and its sign."""

    name: str
    hex: str
    sign: str
    known: bool


def looks_of(settled: Settled) -> dict[str, Look]:
    """How each colour and the bare yarn look; stand-ins where that cannot be worked out."""
    names = [colour.plan.name for colour in settled.colours]
    try:
        return looks(names, colours_seen(settled), undyed_hex(settled))
    except ValueError:
        return looks(names, (), UNDYED)


def letters(names: Sequence[str]) -> dict[str, str]:
    """The sign of each colour, different within a plan: a letter of its name, else a digit; a point for bare.

    >>> letters(["rust", "", "red", "rrr"])
    {'rust': 'r', '': '.', 'red': 'e', 'rrr': '1'}
    """
    found: dict[str, str] = {}
    for name in dict.fromkeys(names):
        own = [c for c in name.casefold() if c.isascii() and c.isalpha()] if name else ["."]
        found[name] = next(c for c in (*own, *"123456789?") if c not in found.values() or c == "?")
    return found


class StripBand(msgspec.Struct, frozen=True):
    """One band as a strip shows it: the colour's name, empty for bare, its rows or per cent, and its hue if known."""

    name: str
    size: float
    hex: str = ""
    sign: str = "."


def strip_bands(
    settled: Settled, hues: Mapping[str, str] = {}, painted: Mapping[int, str] = {}
) -> tuple[StripBand, ...]:
    """The bands of a plan to the end of the piece, each with its hue where one is given; bare yarn has none.

    `painted`: the colour a band really got, by its number among those that are not bare.
    """
    rows, signs = rows_of(settled), letters(["", *(colour.plan.name for colour in settled.colours)])
    bands, number = list[StripBand](), 0
    for band in laid_bands(settled.plan.layout, rows):
        number += bool(band.colour)
        name = painted.get(number, band.colour) if band.colour else ""
        if band.size > 0:
            bands.append(StripBand(name, band.size, hues.get(name, ""), signs[name]))
    whole = (rows or 0) if settled.plan.layout.order[0].rows is not None else 100.0
    rest = whole - sum(band.size for band in bands)
    return (*bands, StripBand("", rest)) if rest > 0 else tuple(bands)


def hues_of(settled: Settled) -> dict[str, str]:
    """The hue of each colour, or a stand-in, by its name.

    Kept in the user's cache folder: to load the library of colours takes longer than to draw all else of a screen.
    """
    kept = _kept_hues()
    choices = msgspec.json.encode((__version__, COLOUR_SUMS, settled))
    mark = f"{len(choices):x}-{zlib.crc32(choices):08x}-{zlib.adler32(choices):08x}"  # hashlib would load OpenSSL
    if mark not in kept:
        kept[mark] = {name: look.hex for name, look in looks_of(settled).items() if name}
        for oldest in list(kept)[:-MOST_KEPT]:
            kept.pop(oldest, None)
        _keep_hues(kept)
    return kept[mark]


COLOUR_SUMS = 1
"""Counted up where what a colour comes to is worked out in another way."""
MOST_KEPT = 500
"""Plans and sessions whose hues are kept. House rule."""
_Hex = Annotated[str, msgspec.Meta(pattern="^#[0-9a-f]{6}$")]


def _hues_file() -> Path:
    from platformdirs import user_cache_path

    return user_cache_path("potside", appauthor=False) / "hues.json"


@cache
def _kept_hues() -> dict[str, dict[str, str]]:
    """What the cache has; nothing where it cannot be read, or somebody else wrote it."""
    try:
        return shaped_json(_hues_file().read_bytes(), dict[str, dict[str, _Hex]])
    except (OSError, msgspec.MsgspecError, ValueError):
        return {}


def _keep_hues(kept: Mapping[str, Mapping[str, str]]) -> None:
    """Whole or not at all; where it cannot be written the hues are worked out again another time."""
    file = _hues_file()
    draft = file.with_name(f"{file.name}.{os.getpid()}")
    with suppress(OSError):
        file.parent.mkdir(parents=True, exist_ok=True)
        draft.write_bytes(msgspec.json.encode(kept))
        draft.replace(file)


def seen_strip(settled: Settled, painted: Mapping[int, str] = {}) -> tuple[StripBand, ...]:
    """The bands with their hues; none of choices that nothing follows from, as those of a forged file."""
    try:
        return strip_bands(settled, hues_of(settled), painted)
    except (ValueError, LookupError):
        return ()


def main_hue(bands: Sequence[StripBand]) -> str:
    """The hue that covers most of the goods; empty where none is known."""
    covered: dict[str, float] = {}
    for band in bands:
        if band.name:
            covered[band.hex] = covered.get(band.hex, 0.0) + band.size
    return max(covered, key=covered.__getitem__, default="")


def looks(names: Sequence[str], seen: Sequence[ColourSeen], undyed: str) -> dict[str, Look]:
    """Each colour and the bare yarn (the empty name) with its hue and its sign."""
    hues = {c.name: c.hex for c in seen}
    found, signs = {"": Look("bare", undyed, ".", True)}, letters(["", *names])
    for number, name in enumerate(dict.fromkeys(names)):
        hue = hues.get(name, "")
        found[name] = Look(name, hue or STANDINS[number % len(STANDINS)], signs[name], bool(hue))
    return found
