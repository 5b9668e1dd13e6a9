"""The layout on one line, as it is typed: `rust 6, bare 5, kelp 6, bare 5, repeat`."""

from __future__ import annotations

import re
from collections.abc import Sequence

from studio.plan.errors import PlanError, quoted
from studio.plan.layout import MOST_BANDS
from studio.plan.model import LayoutPlan, PlannedBand
from studio.plan.shares_text import number_text, quoted_name, unquoted
from studio.tables import nearest

EXAMPLE = "rust 6, bare 5, kelp 6, bare 5, repeat"
BARE = "bare"
MOST_ROWS = 100_000

_SIZE = r"(?:(?P<share>[0-9]+(?:[.,][0-9]+)?)\s*(?:%|per cent)|(?P<rows>[0-9]+)(?:\s*rows?)?)"
_END = r"\s*(?:[,;]|$)"
_QUOTED = r"\"(?P<quoted>(?:[^\"]|\"\")*)\""
_BAND = re.compile(rf"\s*(?:{_QUOTED}|(?P<name>[^,;\"][^,;]*?))\s+{_SIZE}{_END}")
_SIZE_FIRST = re.compile(rf"\s*{_SIZE}\s+(?:{_QUOTED}|(?P<name>[^,;\"]*[^,;\"\s])){_END}")
_FILL = re.compile(rf"\s*(?:repeat(?:\s+to\s+fill)?|to\s+fill){_END}", re.IGNORECASE)
_TIMES = re.compile(
    rf"\s*(?:repeat\s+(?P<n>[0-9]+)(?:\s*times)?|(?P<m>[0-9]+)\s*times|(?P<once>once)){_END}", re.IGNORECASE
)


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
    name = quoted_name(band.colour, words=(BARE, "repeat", "to fill", "once")) if band.colour else BARE
    if re.match(r"(?:repeat|to)\b", name, re.IGNORECASE):
        name = f'"{name}"'
    size = str(band.rows) if band.rows is not None else f"{number_text(band.share_percent or 0.0)} %"
    return f"{name} {size}"


def read_layout_text(text: str, names: Sequence[str]) -> LayoutPlan:
    """The layout of such a line; PlanError, one sentence, where it cannot be read.

    names: of the plan's colours; a band may have a name that none of them has yet. Sizes are rows, or shares
    with a per cent sign; they may stand before the name, as the bench says them (`6 rust, 5 bare, to fill`).

    >>> read_layout_text("6 rust, bare 5, repeat 3", ["rust"]).times
    3
    """
    order: list[PlannedBand] = []
    times: int | None = 1
    at, end = 0, len(text.rstrip(" ,;"))
    while at < end:
        if found := _FILL.match(text, at):
            times = None
        elif found := _TIMES.match(text, at):
            times = _times(found)
        elif found := _BAND.match(text, at) or _SIZE_FIRST.match(text, at):
            order.append(_band(found, names))
        else:
            rest = re.split("[,;]", text[at:])[0].strip()
            raise PlanError(f"{quoted(rest)} is no band yet: a colour and its rows, {EXAMPLE}.")
        at = found.end()
        if found.re in (_FILL, _TIMES) and at < end:
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


def _band(found: re.Match[str], names: Sequence[str]) -> PlannedBand:
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
    near = nearest(name, [*names, BARE])
    hint = f'did you mean "{near}"?' if near else "add it among the colours."
    return f"No colour is called {quoted(name)} yet; {hint}"


def order_rows(layout: LayoutPlan) -> list[dict[str, str | int]]:
    """The bands as a plan file holds them under `layout.order`."""
    return [_row(band) for band in layout.order]


def _row(band: PlannedBand) -> dict[str, str | int]:
    size: str | int = band.rows if band.rows is not None else f"{number_text(band.share_percent or 0.0)} %"
    if not band.colour:
        return {"bare": size}
    return {"colour": band.colour, "rows" if band.rows is not None else "share": size}
