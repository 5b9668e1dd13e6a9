"""The colours of a plan: one dye, a mixture of several, or drops in a measure of water."""

from __future__ import annotations

from studio.plaintext import slug
from studio.plan.errors import Term, write
from studio.plan.keys import DROPS_IN, Keys, missing
from studio.plan.model import ColourPlan, MixPart
from studio.plan.ways import EITHER

MOST_COLOURS = 24
MOST_PARTS = 6
LEAST_DROPS, MOST_DROPS = 0.01, 10_000.0
"""A plan worked out anew for a tenth of its weight may ask for a part of a drop. House rule."""
KEYS = ("name", "dye", "mix", "depth", "stock", "drops", "in", "liquid")
PART_KEYS = ("dye", "share", "stock")
MIX_EXAMPLE = "gorse 70, deep water 30"


def read_colours(rows: tuple[Keys, ...], top: Keys) -> tuple[ColourPlan, ...]:
    """All colours; PlanError where there is none, or two of one name."""
    if not rows:
        raise top.wrong(
            "colour",
            "is missing; write a ",
            Term("[[colour]] table", "colour table"),
            " with ",
            write("name", "rust"),
            " and ",
            write("dye", "food red"),
            ".",
        )
    if len(rows) > MOST_COLOURS:
        raise top.wrong("colour", f"has {len(rows)} tables; write at most {MOST_COLOURS}.")
    colours: list[ColourPlan] = []
    for row in rows:
        colour = _colour(row)
        if any(other.slug == colour.slug for other in colours):
            raise row.wrong(
                "name", f'gives "{colour.slug}" a second time; give each colour a name of its own.'
            )
        colours.append(colour)
    return tuple(colours)


def _colour(keys: Keys) -> ColourPlan:
    keys.only(KEYS)
    name = keys.needed_text("name", "rust")
    keys.place = ("colour", name)
    if len(name) > 40:
        raise keys.wrong("name", "is longer than 40 characters; write it shorter.")
    dye = keys.text("dye", longest=80)
    mix = _mix(keys)
    keys.one_of(EITHER["colour"])
    if not dye and not mix:
        raise keys.wrong("dye", *missing("dye", "food red"))
    drops = _drops(keys)
    colour = ColourPlan(
        name=name,
        slug=slug(name),
        dye=dye,
        mix=mix,
        depth=keys.measure("depth", "share", high=20.0),
        stock=keys.measure("stock", "strength", high=50.0),
        drops=drops,
        drops_in=keys.measure("in", "volume", high=20_000.0),
        liquid=keys.measure("liquid", "volume", high=20_000.0),
    )
    _one_way(keys, colour)
    return colour


def _drops(keys: Keys) -> float | None:
    """Drops as a number or as text, `10` or `"10 drops"`."""
    if isinstance(keys.raw("drops"), str):
        found = keys.measure("drops", "count", low=LEAST_DROPS, high=MOST_DROPS)
        return None if found is None else found.value
    return keys.number("drops", LEAST_DROPS, MOST_DROPS, "10")


def _one_way(keys: Keys, colour: ColourPlan) -> None:
    """A colour is either a depth of shade or drops in a measure of water."""
    if colour.drops is None:
        if colour.drops_in is not None:
            raise keys.wrong("drops", "is missing beside in; write for example ", *DROPS_IN, ".")
        if colour.depth is None:
            raise keys.wrong(
                "depth", "is missing; write for example ", write("depth", "1 %"), ", or ", *DROPS_IN, "."
            )
        return
    if colour.drops_in is None:
        raise keys.wrong("in", "is missing beside drops; write for example ", write("in", "3/4 cup"), ".")


def _mix(keys: Keys) -> tuple[MixPart, ...]:
    rows = keys.rows("mix")
    if not rows:
        if "mix" in keys:
            raise keys.wrong(
                "mix",
                "is empty; write ",
                write("mix", MIX_EXAMPLE, '[ { dye = "food red", share = "60 %" }, ... ]'),
                ".",
            )
        return ()
    if not 2 <= len(rows) <= MOST_PARTS:
        raise keys.wrong(
            "mix",
            f"has {len(rows)} dye{'s' if len(rows) != 1 else ''}; write 2 to {MOST_PARTS}, or dye for a single one.",
        )
    parts = tuple(_part(row) for row in rows)
    total = sum(part.share_percent for part in parts)
    if abs(total - 100.0) > 0.5:
        raise keys.wrong(
            "mix", f"has shares that sum to {total:g} %, not to 100; write them so that they do."
        )
    if len({slug(part.dye) for part in parts}) < len(parts):
        raise keys.wrong("mix", "names one dye twice; add its shares together.")
    return parts


def _part(keys: Keys) -> MixPart:
    keys.only(PART_KEYS)
    dye = keys.needed_text("dye", "food red")
    share = _share(keys)
    part = MixPart(dye=dye, share_percent=share, stock=keys.measure("stock", "strength", high=50.0))
    return part


def _share(keys: Keys) -> float:
    found = keys.needed("share", "share", "60 %", high=100.0)
    return found.value
