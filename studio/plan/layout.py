"""Where each colour goes: bands of rows on a blank, shares of a skein, and what they come to."""

from __future__ import annotations

import re
from collections.abc import Sequence

import msgspec

from studio.plan.errors import PlanError, Term, named, quoted, refuse, write
from studio.plan.fields import LAYOUT, row
from studio.plan.keys import Keys
from studio.plan.model import ColourPlan, LayoutPlan, PlannedBand
from studio.plan.shares import number_text, quoted_name, unquoted
from studio.tables.finding import meant

MOST_BANDS = 400
MOST_ROWS = 100_000


def read_layout(keys: Keys, colours: tuple[ColourPlan, ...]) -> LayoutPlan:
    """The order of the bands; a single colour without a layout covers everything."""
    keys.only(("order", "repeat", "sides"))
    rows, sides = keys.rows("order"), keys.read(LAYOUT).get("sides", 1)
    if not rows:
        if len(colours) > 1 or "order" in keys:
            raise keys.wrong(
                "order",
                "is missing; write ",
                instead="rust 6, bare 5",
                toml='[ { colour = "rust", rows = 6 }, { bare = 5 } ]',
            )
        return LayoutPlan(order=(PlannedBand(colour=colours[0].name, share_percent=100.0),), sides=sides)
    if len(rows) > MOST_BANDS:
        raise keys.wrong("order", f"has {len(rows)} bands; write at most {MOST_BANDS}, and repeat them.")
    order = tuple(read_band(one, [c.name for c in colours]) for one in rows)
    layout = LayoutPlan(order=order, times=_repeat(keys), sides=sides)
    by_share = [band.share_percent is not None for band in order]
    if any(by_share) and not all(by_share):
        raise keys.wrong(
            "order", "mixes rows and shares; write rows in every band, or a share in every band."
        )
    if all(by_share):
        _check_shares(keys, layout)
    for colour in colours:
        if all(band.colour != colour.name for band in order):
            raise keys.wrong(
                "order", f"does not use the colour {quoted(colour.name)}; add a band, or take it out."
            )
    return layout


def _check_shares(keys: Keys, layout: LayoutPlan) -> None:
    total = sum(band.share_percent or 0.0 for band in layout.order)
    if total > 100.5:
        raise keys.wrong(
            "order", f"has shares that sum to {total:g} %; write shares of at most 100 % together."
        )
    if layout.times != 1:
        raise keys.wrong("repeat", "goes with bands of rows; leave it out beside shares.")


def read_band(keys: Keys, names: Sequence[str] | None = None) -> PlannedBand:
    """One band, of a colour of these names where they are given."""
    keys.only(("colour", "rows", "share", "bare"))
    if "bare" in keys:
        if "colour" in keys:
            raise keys.wrong("bare", "and colour say two things; write two bands.")
        if "rows" in keys or "share" in keys:
            raise keys.wrong(
                "bare", 'says by itself how wide it is; write { bare = 5 } or { bare = "20 %" }.'
            )
        return _wide(keys, "", "bare", "5", by_share=isinstance(keys.raw("bare"), str))
    name = keys.needed(row("colour", "", "text", names[0] if names else "rust"))
    if names is not None and name not in names:
        hint = meant(name, names, f"the colours are {', '.join(names[:6])}.")
        raise keys.wrong(
            "colour",
            f"names {quoted(name)}, which is no ",
            Term("[[colour]]", "colour"),
            f" of this plan; {hint}",
        )
    if ("rows" in keys) == ("share" in keys):
        raise keys.wrong(
            "rows",
            "or share must be there, one of the two; write ",
            write("rows", "6", "6"),
            " or ",
            write("share", "40 %"),
            ".",
        )
    return _wide(keys, name, "share" if "share" in keys else "rows", "6", by_share="share" in keys)


def _wide(keys: Keys, colour: str, key: str, example: str, *, by_share: bool) -> PlannedBand:
    """The band whose width that key says."""
    if by_share:
        share = keys.value(row(key, "", "share", "", high=100.0))
        return PlannedBand(colour=colour, share_percent=share.value)
    return PlannedBand(colour=colour, rows=keys.value(row(key, "", "whole", example, low=1, high=MOST_ROWS)))


def _repeat(keys: Keys) -> int | None:
    if isinstance(keys.raw("repeat"), str):
        keys.value(row("repeat", "", "choice", "to fill", choices=("to fill",)))
        return None
    times = row("repeat", "", "whole", '3, or "to fill"', low=1, high=MOST_ROWS)
    return keys.value(times) if "repeat" in keys else 1


def shares(layout: LayoutPlan, rows: int | None, *, file: str) -> dict[str, float]:
    """Share (0 to 1) of the fibre under each colour; PlanError where the bands exceed the rows.

    rows: of the blank. Bands of rows are laid in order, `times` over or until the rows are full; the last
    repeat of `to fill` ends where the blank ends.
    """
    if layout.order[0].share_percent is not None:
        return _covered(layout.order, 1.0, 100.0)
    if rows is None:
        raise refuse(
            file,
            ("fibre", "rows"),
            "is missing; write the rows of the blank, for example ",
            instead="220",
            toml="220",
        )
    once = sum(band.rows or 0 for band in layout.order)
    laid = once * (layout.times or 1)
    if laid > rows:
        more = f" x {layout.times}" if (layout.times or 1) > 1 else ""
        raise refuse(
            file,
            ("layout", "order"),
            f"needs {once}{more} rows, but the blank has {rows} (",
            named("fibre", "rows"),
            "); write narrower bands, or fewer of them.",
        )
    return _covered(laid_bands(layout, rows), rows, 1.0)


def _covered(bands: Sequence[PlannedBand], whole: float, unit: float) -> dict[str, float]:
    """What of the whole lies under each colour, the bands counted in that unit."""
    found: dict[str, float] = {}
    for band in bands:
        found[band.colour] = found.get(band.colour, 0.0) + band.size / unit
    return {name: size / whole for name, size in found.items() if name}


def laid_bands(layout: LayoutPlan, rows: int | None) -> tuple[PlannedBand, ...]:
    """Every band as it lies on the goods, in order; the last of `to fill` ends where the blank ends."""
    if layout.order[0].share_percent is not None:
        return layout.order
    once = sum(band.rows or 0 for band in layout.order)
    left = (rows or 0) if layout.times is None else once * layout.times
    laid: list[PlannedBand] = []
    while left > 0:
        for band in layout.order:
            wide = min(band.rows or 0, left)
            left -= wide
            if wide:
                laid.append(PlannedBand(colour=band.colour, rows=wide))
    return tuple(laid)


def in_words(layout: LayoutPlan) -> str:
    """The order as the bench says it: `6 rows rust, 5 bare, 6 kelp, 5 bare, repeated to the end`."""
    parts: list[str] = []
    for band in layout.order:
        size = f"{band.rows}" if parts and band.rows is not None else band.size_told
        parts.append(f"{size} {band.colour or 'bare'}")
    if len(parts) > 12:
        parts = [*parts[:11], f"and {len(parts) - 11} more bands"]
    if layout.times is None:
        parts.append("repeated to the end")
    elif layout.times > 1:
        parts.append(f"{layout.times} times")
    return ", ".join(parts)


# Changing a layout band by band: pure, and every result is a layout again.

NEW_ROWS = 6
"""Rows of the first band of a new colour where there is none to go by. House rule."""
NEXT_SHARE = 5.0
"""Per cent by which a band of a share grows or shrinks. House rule."""


def widened(layout: LayoutPlan, index: int, by: int) -> LayoutPlan:
    """One band wider or narrower by rows, or by 5 % where bands are shares; never less than 1 row or 1 %."""
    band = layout.order[index]
    if band.rows is not None:
        return put_in(layout, index, msgspec.structs.replace(band, rows=max(1, band.rows + by)))
    share = (band.share_percent or 0.0) + by * NEXT_SHARE
    left = 100.0 - sum(b.share_percent or 0.0 for n, b in enumerate(layout.order) if n != index)
    share = round(max(1.0, min(share, left)), 6)
    return put_in(layout, index, msgspec.structs.replace(band, share_percent=share))


def inserted(layout: LayoutPlan, index: int, colour: str | None = None) -> LayoutPlan:
    """A band like that one after it, or of another colour; a band of a share is parted in two."""
    band = layout.order[index]
    if len(layout.order) >= MOST_BANDS:
        return layout
    if band.share_percent is not None:
        band = msgspec.structs.replace(band, share_percent=band.share_percent / 2)
    after = band if colour is None else msgspec.structs.replace(band, colour=colour)
    return put_in(layout, index, band, after)


def deleted(layout: LayoutPlan, index: int) -> LayoutPlan:
    """Without that band; the last one stays."""
    return put_in(layout, index) if len(layout.order) > 1 else layout


def recoloured(layout: LayoutPlan, index: int, names: Sequence[str]) -> LayoutPlan:
    """The next colour of the plan in that band; after the last one it is bare."""
    circle = [*names, ""]
    now = layout.order[index].colour
    at = circle.index(now) if now in circle else -1
    following = circle[(at + 1) % len(circle)]
    return put_in(layout, index, msgspec.structs.replace(layout.order[index], colour=following))


def filling(layout: LayoutPlan) -> LayoutPlan:
    """Once, to fill, once again: bands of rows only."""
    if layout.order[0].share_percent is not None:
        return layout
    return msgspec.structs.replace(layout, times=None if layout.times is not None else 1)


def with_colour(layout: LayoutPlan, name: str) -> LayoutPlan:
    """A band of a new colour at the end: as wide as the last coloured one, or half of the widest share."""
    end = len(layout.order)
    if layout.order[0].share_percent is None:
        rows = next((b.rows for b in reversed(layout.order) if b.colour), None) or NEW_ROWS
        return put_in(layout, end, PlannedBand(colour=name, rows=rows))
    taken = sum(b.share_percent or 0.0 for b in layout.order)
    if taken < 99.0:
        return put_in(layout, end, PlannedBand(colour=name, share_percent=round(100.0 - taken, 6)))
    widest = max(range(end), key=lambda n: layout.order[n].share_percent or 0.0)
    return inserted(layout, widest, name)


def without_colour(layout: LayoutPlan, name: str) -> LayoutPlan:
    """Its bands stay bare, so that the others keep their places."""
    bare = tuple(msgspec.structs.replace(b, colour="") if b.colour == name else b for b in layout.order)
    return msgspec.structs.replace(layout, order=bare)


def put_in(layout: LayoutPlan, index: int, *bands: PlannedBand) -> LayoutPlan:
    """Those bands in the place of one, or after the last."""
    order = (*layout.order[:index], *bands, *layout.order[index + 1 :])
    return msgspec.structs.replace(layout, order=order)


# The layout on one line, as it is typed: `rust 6, bare 5, kelp 6, bare 5, repeat`.

EXAMPLE = "rust 6, bare 5, kelp 6, bare 5, repeat"
BARE = "bare"

_SIZE = r"(?:(?P<share>[0-9]+(?:[.,][0-9]+)?)\s*(?:%|per cent)|(?P<rows>[0-9]+)(?:\s*rows?)?)"
_END = r"\s*(?:[,;]|$)"
_QUOTED = r"\"(?P<quoted>(?:[^\"]|\"\")*)\""
_BAND = rf"\s*(?:{_QUOTED}|(?P<name>[^,;\"][^,;]*?))\s+{_SIZE}{_END}"
_SIZE_FIRST = rf"\s*{_SIZE}\s+(?:{_QUOTED}|(?P<name>[^,;\"]*[^,;\"\s])){_END}"
_FILL = rf"(?i)\s*(?:repeat(?:ed)?(?:\s+to\s+(?:fill|the\s+end))?|to\s+fill){_END}"
_TIMES = rf"(?i)\s*(?:repeat\s+(?P<n>[0-9]+)(?:\s*times)?|(?P<m>[0-9]+)\s*times|(?P<once>once)){_END}"


def layout_text(layout: LayoutPlan) -> str:
    """The line for a layout; `read_layout_text` gives the same layout back.

    >>> layout_text(LayoutPlan(order=(PlannedBand(colour="rust", rows=6), PlannedBand(colour="", rows=5)), times=None))
    'rust 6, bare 5, repeat'
    """
    parts = [_band_text(band) for band in layout.order]
    if layout.times is None:
        parts.append("repeat")
    elif layout.times != 1:
        parts.append(f"repeat {layout.times}")
    return ", ".join(parts)


def _band_text(band: PlannedBand) -> str:
    name = (
        quoted_name(band.colour, words=(BARE, "repeat", "repeated", "to fill", "once"))
        if band.colour
        else BARE
    )
    if re.match(r"(?:repeat(?:ed)?|to)\b", name, re.IGNORECASE):
        name = f'"{name}"'
    size = str(band.rows) if band.rows is not None else f"{number_text(band.share_percent or 0.0)} %"
    return f"{name} {size}"


def read_layout_text(text: str, names: Sequence[str]) -> LayoutPlan:
    """The layout of such a line; PlanError, one sentence, where it cannot be read.

    names: of the plan's colours; a band may have a name that none of them has yet. Sizes are rows, or shares
    with a per cent sign; they may stand before the name, as the bench says them (`6 rust, repeated to the end`).

    >>> read_layout_text("6 rust, bare 5, repeat 3", ["rust"]).times
    3
    """
    order: list[PlannedBand] = []
    times: int | None = 1
    at, end = 0, len(text.rstrip(" ,;"))
    while at < end:
        if found := re.compile(_FILL).match(text, at):
            times = None
        elif found := re.compile(_TIMES).match(text, at):
            times = _times(found)
        elif found := re.compile(_BAND).match(text, at) or re.compile(_SIZE_FIRST).match(text, at):
            order.append(_band_of(found, names))
        else:
            rest = re.split("[,;]", text[at:])[0].strip()
            raise PlanError(f"{quoted(rest)} is no band yet: a colour and its rows, {EXAMPLE}.")
        at = found.end()
        if found.re.pattern in (_FILL, _TIMES) and at < end:
            raise PlanError(f"How often it is laid comes last; write {EXAMPLE}.")
    if not order:
        raise PlanError(f"No band is written here; write for example {EXAMPLE}.")
    if len(order) > MOST_BANDS:
        raise PlanError(f"These are {len(order)} bands; write at most {MOST_BANDS}, and repeat them.")
    return LayoutPlan(order=tuple(order), times=times)


def _times(found: re.Match[str]) -> int:
    times = 1 if found["once"] else int((found["n"] or found["m"])[:9])
    if not 1 <= times <= MOST_ROWS:
        raise PlanError(f"It can be laid 1 to {MOST_ROWS} times; write for example repeat 3.")
    return times


def _band_of(found: re.Match[str], names: Sequence[str]) -> PlannedBand:
    written = unquoted(found["name"] or "", found["quoted"])
    if found["quoted"] is None and written.casefold() == BARE:
        name = ""
    else:
        name = _known(written, names)
    if found["share"] is not None:
        share = float(found["share"].replace(",", "."))
        if not 0 < share <= 100:
            raise PlanError(f"A share lies above 0, up to 100 %, not at {number_text(share)} %.")
        return PlannedBand(colour=name, share_percent=share)
    rows = int(found["rows"][:9])
    if not 1 <= rows <= MOST_ROWS:
        raise PlanError(f"A band has 1 to {MOST_ROWS} rows, not {rows}.")
    return PlannedBand(colour=name, rows=rows)


def _known(written: str, names: Sequence[str]) -> str:
    """The colour of that name in the plan, else the name as it was written: its colour may come later."""
    folded = {name.casefold(): name for name in names}
    if written in names or written.casefold() in folded:
        return written if written in names else folded[written.casefold()]
    if re.search(r"\s[0-9]+\s", written):
        raise PlanError(f"A comma is missing in {quoted(written)}; write {EXAMPLE}.")
    return written


def awaited(layout: LayoutPlan, names: Sequence[str]) -> tuple[str, ...]:
    """Names of bands that no colour of the plan has yet, in order."""
    return tuple(dict.fromkeys(b.colour for b in layout.order if b.colour and b.colour not in names))


def awaits(name: str, names: Sequence[str]) -> str:
    """What is said of a band that waits for its colour."""
    hint = meant(name, [*names, BARE], "add it among the colours.")
    return f"No colour is called {quoted(name)} yet; {hint}"


def order_rows(layout: LayoutPlan) -> list[dict[str, str | int]]:
    """The bands as a plan file holds them under `layout.order`."""
    return [_row(band) for band in layout.order]


def _row(band: PlannedBand) -> dict[str, str | int]:
    size: str | int = band.rows if band.rows is not None else f"{number_text(band.share_percent or 0.0)} %"
    if not band.colour:
        return {"bare": size}
    return {"colour": band.colour, "rows" if band.rows is not None else "share": size}
