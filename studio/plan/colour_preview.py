"""What each colour of a plan may look like on the base; an approximation, and said to be one."""

from __future__ import annotations

from dataclasses import dataclass

from studio.plan.model import Plan
from studio.plan.settled import SettledColour, settle
from studio.plan.shelf import Shelf
from studio.tables import DyeRow


@dataclass(frozen=True, slots=True)
class ColourSeen:
    """One colour on screen."""

    name: str
    hex: str
    """`#rrggbb`; empty where nothing is known of how it looks."""
    lab: tuple[float, float, float] | None
    note: str


def colours_seen(plan: Plan, shelf: Shelf) -> tuple[ColourSeen, ...]:
    """Each colour at its depth; without a hue, and saying why, where the dye's curve or depth is not known."""
    return tuple(_seen(colour) for colour in settle(plan, shelf).colours)


def undyed_hex() -> str:
    """Bare wool, an estimate."""
    from studio.craft.colour.preview import preview

    return preview([]).hex


def _seen(colour: SettledColour) -> ColourSeen:
    from studio.craft.colour.dye_curve import curve_from_maximum
    from studio.craft.colour.preview import mixture, preview

    name = colour.plan.name
    depth = colour.plan.depth
    if depth is None:
        return ColourSeen(name, "", None, "drops of unknown strength: no depth, so no colour can be foretold")
    parts = []
    for stock in colour.stocks:
        row = stock.dye.row
        if row is None or row.peak_nm is None or row.absorptivity_l_g_cm is None:
            return ColourSeen(name, "", None, f"no absorption curve is known of {stock.dye.name}")
        curve = curve_from_maximum(
            row.peak_nm,
            row.absorptivity_l_g_cm,
            ci=row.ci,
            ci_number=row.ci_number,
            dye_content_percent=_content(row),
        )
        parts.append((curve, stock.share))
    try:
        found = preview(mixture(parts, depth.value))
    except ValueError as problem:
        return ColourSeen(name, "", None, str(problem))
    return ColourSeen(name, found.hex, found.lab, found.note)


def _content(row: DyeRow) -> float:
    return row.dye_content_percent if row.dye_content_percent is not None else 100.0


def told_apart(seen: tuple[ColourSeen, ...]) -> tuple[str, ...]:
    """Sentences about pairs that are too close, or that a colour-blind customer may not tell apart."""
    from studio.craft.colour.apart import confused, too_close

    known = [c for c in seen if c.lab is not None]
    labs = [c.lab for c in known if c.lab is not None]
    close = too_close(labs)
    told = [
        f"{known[p.first].name} and {known[p.second].name} may look alike (CIEDE2000 {p.difference:.1f})."
        for p in close
    ]
    near = {(p.first, p.second) for p in close}
    for pair in confused(labs):
        if (pair.first, pair.second) not in near:
            told.append(
                f"{known[pair.first].name} and {known[pair.second].name} may look alike to a customer with "
                f"{pair.seen_by} colour vision (CIEDE2000 {pair.difference:.1f})."
            )
    return tuple(told)
