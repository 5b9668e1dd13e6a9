"""What stands in for a key of the plan that was left out, in words: `150 % (estimate)`."""

from __future__ import annotations

from collections.abc import Mapping

from studio.plan.field_text import show_field
from studio.plan.fields import Field
from studio.plan.figures_room import DEFAULT_HELD, DEFAULT_PICKUP
from studio.plan.habit_kinds import HabitId
from studio.plan.settled import Known, Settled
from studio.plan.shapes import Worksheet
from studio.plan.shares_text import shares_text
from studio.quantity import show

BASE_UNITS = {"dry_weight_g": "g", "yarn_length_m": "m"}
HABIT_OF: dict[str, tuple[HabitId, float]] = {
    "pickup": ("painted", DEFAULT_PICKUP),
    "squeezed": ("held", DEFAULT_HELD),
}
KNOWN_UNITS = {"alkalinity": "mg/L", "water_ph": "pH", "altitude": "m", "hob_w": "W"}


def stand_in(
    field: Field, settled: Settled | None, worksheet: Worksheet | None, colour_slug: str = ""
) -> str:
    """The value that is used instead and where it comes from; empty where nothing stands in, or is known yet."""
    what, _, name = field.empty.partition(" ")
    if what == "figure":
        figure_id = name or field.decides[0][0]
        return _figure(worksheet, figure_id.replace("{colour}", colour_slug).replace("{stock}", colour_slug))
    if what == "base":
        return _of_base(settled, name)
    if what == "known":
        return _known(settled, name)
    return field.empty


def told(field: Field, table: Mapping[str, object], settled: Settled | None) -> str:
    """A key as it was written, else what stands in for it: the same words, wherever they come from.

    Empty for what only a figure stands in for.
    """
    words = show_field(field, table.get(field.key))
    if words or field.empty.startswith("figure"):
        return words
    return stand_in(field, settled, None).partition(" (")[0]


def _figure(worksheet: Worksheet | None, figure_id: str) -> str:
    figure = worksheet.figure(figure_id) if worksheet else None
    return f"{show(figure.value, figure.unit)} ({figure.origin})" if figure else ""


def _of_base(settled: Settled | None, name: str) -> str:
    base = settled.base if settled else None
    value = getattr(base, name) if base else None
    if not value:
        return ""
    if name == "blend":
        return f"{shares_text(value)} (base)"
    said = show(value, BASE_UNITS.get(name, "1")) if isinstance(value, int | float) else str(value)
    return f"{said} (base)"


def _known(settled: Settled | None, name: str) -> str:
    if name in HABIT_OF:
        habit_id, default = HABIT_OF[name]
        own = settled.own(habit_id) if settled else None
        percent, origin = (own.value, own.origin) if own else (default, "estimate")
        if name == "pickup":
            return f"{show(percent, '%')} ({origin})"
        return f"{show(settled.piece_g * (1 + percent / 100.0), 'g')} ({origin})" if settled else ""
    if settled is None:
        return ""
    known: Known = getattr(settled, name)
    where = "shelf" if known.origin == "yours" else known.origin
    return f"{show(known.value, KNOWN_UNITS[name])} ({where})"
