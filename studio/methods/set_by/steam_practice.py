"""Published times at heat: the one a plan names, and how far those for its method and fibre lie apart."""

from __future__ import annotations

from collections.abc import Iterable

from studio.plan.errors import quoted, refuse
from studio.plan.materials import FibreInBlend
from studio.plan.shapes import Figure, Origin, fig, num, weakest, where_it_lies
from studio.tables.finding import find_hold, holds_for, near_names
from studio.tables.rows import HoldRow, holds

ORIGINS: dict[str, Origin] = {
    "published": "published",
    "second hand": "common practice",
    "hobby page": "common practice",
    "house rule": "house rule",
}


_HEAT: dict[str, str] = {"steam": "steam", "kettle": "the kettle"}


def hold_chosen(file: str, name: str) -> HoldRow | None:
    """The time at heat of the practice a plan names; None where it names none.

    PlanError where no practice is called so, or where it is told of another method.
    """
    if not name:
        return None
    found = find_hold(name, "steam")
    if found is not None:
        return found
    elsewhere = find_hold(name)
    if elsewhere is not None:
        raise refuse(
            file,
            ("set", "practice"),
            f"is {quoted(elsewhere.id)}, a time of {_HEAT[elsewhere.method]}, but this plan's heat is steam; "
            "potside practices lists the times of each.",
        )
    names = [row.id for row in holds() if row.method == "steam"]
    near = near_names(name, names) or names[:3]
    raise refuse(
        file,
        ("set", "practice"),
        f"names {quoted(name)}, which is not one published time at heat; write the name of one, such as "
        f"{', '.join(quoted(one) for one in near)}; potside practices lists them all.",
    )


def hold_min_of(row: HoldRow) -> float:
    """Minutes a practice stands for: the middle of its ends."""
    return (row.low_min + row.high_min) / 2.0


def hold_because(row: HoldRow) -> str:
    """The minutes of a practice with both ends."""
    if row.low_min == row.high_min:
        return f"{row.label}: {num(row.low_min)} min"
    middle = f"the middle of {num(row.low_min)} and {num(row.high_min)} min is {num(hold_min_of(row))} min"
    return f"{row.label}: {middle}"


def hold_source(row: HoldRow) -> str:
    """Who tells of it; what another reports says so."""
    told = f"second hand: {row.source}" if row.standing == "second hand" else row.source
    return f"{told}; practice {row.id}"


def hold_spread(blend: Iterable[FibreInBlend], hold_min: float) -> Figure:
    """set.hold.spread: shortest and longest published time at heat for such fibre, and where `hold_min` lies."""
    families = frozenset(fibre.row.family for fibre in blend)
    rows = [row for row in holds_for("steam", families) if row.standing != "house rule"]
    shortest, longest = min(rows, key=lambda r: r.low_min), max(rows, key=lambda r: r.high_min)
    low, high = shortest.low_min, longest.high_min
    nearest = min(rows, key=lambda r: max(r.low_min - hold_min, hold_min - r.high_min, 0.0))
    return fig(
        "set.hold.spread",
        low,
        "min",
        "published times, low to high",
        f"{num(low)} to {num(high)} min of steam in {len(rows)} published practices; "
        f"the {num(hold_min)} min of this plan: {where_it_lies(hold_min, low, high)}, "
        f"nearest to {nearest.id}; none of them names the thickness of the packet, "
        "so the time the heat takes to the middle comes first",
        weakest(ORIGINS[shortest.standing], ORIGINS[longest.standing]),
        f"shortest: {shortest.source}; longest: {longest.source}",
        low=low,
        high=high,
        chosen=hold_min,
    )
