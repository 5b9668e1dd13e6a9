"""Between the text a person types into a field and the value the plan file holds, and what stands in for
none.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

import msgspec

from studio.plan.errors import PlanError, quoted
from studio.plan.fields import Field
from studio.plan.habits import HabitId
from studio.plan.settled import DEFAULT_HELD, DEFAULT_PICKUP, Settled
from studio.plan.shapes import Known, Worksheet
from studio.plan.shares import number_text, read_shares, shares_text
from studio.quantity.kinds import KINDS, QuantityError
from studio.quantity.reading import NUMBER, parse, parse_number, plain
from studio.quantity.reading_in import told as in_read_units
from studio.quantity.reading_in import told_height
from studio.quantity.showing import show
from studio.tables.finding import find_dose, find_fibre, find_hold, near_names
from studio.tables.rows import holds, practice

# Between the text a person types into a field and the value the plan file holds. What cannot be read is
# kept as it was typed, as text: a plan under way may hold it, and nothing is lost.

YES = ("yes", "y", "true", "on")
NO = ("no", "n", "false", "off")
Value = str | int | float | bool | list[Any] | dict[str, Any]


class Typed(msgspec.Struct, frozen=True, kw_only=True):
    """What a field's text comes to."""

    value: Value
    """As the plan file holds it."""
    trouble: str = ""
    """One sentence, where the text is not what the field wants."""
    echoes: tuple[str, ...] = ()
    """The quantity in metric and in preferred units, where it was typed in others: `567 g`, `20 oz`."""

    @property
    def echo(self) -> str:
        """All of them: `567 g = 20 oz`."""
        return " = ".join(self.echoes)


def read_field(field: Field, text: str, *, drops_per_ml: float = 20.0) -> Typed:
    """The value of a text that is not blank, echoed in the units the dyer prefers; never raises."""
    told = text.strip()
    try:
        if field.kind in KINDS:
            return _quantity(field.kind, told, drops_per_ml, kitchen=field.kitchen)
        return _READERS[field.kind](field, told, drops_per_ml)
    except (QuantityError, PlanError) as problem:
        return Typed(value=told, trouble=str(problem))


def with_unit(field: Field, text: str, standing: str) -> str:
    """A number alone with the unit of the value that stands in its field, else of the field's example.

    Another text, and a number where `1 lb 4 oz` or `2 h` stands, stay as they are: minutes may be meant.

    >>> from studio.plan.fields import field_of
    >>> weight, gauge = field_of("fibre", "squeezed_weight"), field_of("knit", "gauge")
    >>> with_unit(weight, "120", ""), with_unit(weight, "5", "4 oz"), with_unit(weight, "5", "1 lb 4 oz")
    ('120 g', '5 oz', '5')
    >>> with_unit(gauge, "7 1/2", "8 st / in"), with_unit(weight, "5 lb", "4 oz")
    ('7 1/2 st / in', '5 lb')
    """
    kind = KINDS.get("volume" if field.kind == "amount" else field.kind)
    try:
        parse_number(text)
    except QuantityError:
        return text
    stands = re.fullmatch(_NUMBER_AND_UNIT, plain(standing)) or re.fullmatch(_NUMBER_AND_UNIT, field.example)
    if kind is None or kind.bare or stands is None or (kind.compound and re.search("[0-9]", stands[1])):
        return text
    if kind.name == "duration" and kind.words.get(stands[1]) != kind.base:
        return text
    return f"{text.strip()} {stands[1]}"


_NUMBER_AND_UNIT = rf"-?(?:{NUMBER}) ?([^0-9 ].*)"


def _quantity(kind: str, told: str, drops_per_ml: float, *, kitchen: bool = False) -> Typed:
    found = parse(told, kind, drops_per_ml=drops_per_ml)
    if kind == "ph":
        value: Value = told
        try:
            value = parse_number(told)
        except QuantityError:
            pass
        return Typed(value=value)
    meant = " as CaCO3" if kind == "alkalinity" else ""
    metric = show(found.value, found.unit) + meant
    read = in_read_units(found.value, found.unit, kitchen=kitchen) + meant
    shown = dict.fromkeys((metric, told_height(found.value) if kind == "altitude" else read))
    if _bare(show(found.value, found.unit, 12)) == _bare(told):
        del shown[metric]  # 101.5 g is 101.5 g, and not the 102 g of a page
    return Typed(value=told, echoes=tuple(s for s in shown if _bare(s) != _bare(told)))


def _bare(text: str) -> str:
    """Without what says nothing: blanks, and the sign of a degree."""
    return "".join(text.split()).replace("deg", "").replace("°", "")


def _text(field: Field, told: str, drops_per_ml: float) -> Typed:
    ids = _published(field.names, told)
    if not ids:
        return Typed(value=told)
    near = near_names(told, ids) or ids[:3]
    return Typed(
        value=told,
        trouble=f"{quoted(told)} is not one published practice; write one, such as {', '.join(near)}.",
    )


def _published(names: str, told: str) -> list[str]:
    """The published practices of that kind, where what was typed is none of them."""
    if names == "dose":
        return [] if find_dose(told) else [row.id for row in practice()]
    return [row.id for row in holds()] if names == "hold" and not find_hold(told) else []


def _choice(field: Field, told: str, drops_per_ml: float) -> Typed:
    same = [c for c in field.choices if c.casefold() == told.casefold()]
    if same:
        return Typed(value=same[0])
    near = [c for c in field.choices if c.casefold().startswith(told.casefold())]
    said = f"{quoted(told)} is not one of {', '.join(field.choices)}."
    return Typed(value=told, trouble=said, echoes=tuple(near) if len(near) == 1 else ())


def _flag(field: Field, told: str, drops_per_ml: float) -> Typed:
    word = told.casefold()
    if word in YES or word in NO:
        return Typed(value=word in YES)
    raise PlanError(f"{quoted(told)} is neither yes nor no; write one of them.")


def _whole(field: Field, told: str, drops_per_ml: float) -> Typed:
    value = parse_number(told)
    if value != int(value):
        raise PlanError(f"{quoted(told)} is not a whole number; write for example {field.example}.")
    return Typed(value=int(value))


def _amount(field: Field, told: str, drops_per_ml: float) -> Typed:
    try:
        return _quantity("volume", told, drops_per_ml)
    except QuantityError as by_volume:
        try:
            return _quantity("mass", told, drops_per_ml)
        except QuantityError:
            raise by_volume from None


def _blend(field: Field, told: str, drops_per_ml: float) -> Typed:
    return Typed(value={name: _plain(share) for name, share in read_shares(told, field.example, find_fibre)})


def _mix(field: Field, told: str, drops_per_ml: float) -> Typed:
    shares = read_shares(told, field.example)
    return Typed(value=[{"dye": name, "share": f"{number_text(share)} %"} for name, share in shares])


def _thickener(field: Field, told: str, drops_per_ml: float) -> Typed:
    ((gum, percent), *more) = read_shares(told, field.example)
    if more:
        raise PlanError(f"Paint takes one thickener; write for example {field.example}.")
    return Typed(value={"with": gum, "strength": f"{number_text(percent)} %"})


_READERS: dict[str, Callable[[Field, str, float], Typed]] = {
    "text": _text,
    "choice": _choice,
    "flag": _flag,
    "number": lambda field, told, drops_per_ml: Typed(value=_plain(parse_number(told))),
    "whole": _whole,
    "drops": lambda field, told, drops_per_ml: Typed(value=_plain(parse(told, "count").value)),
    "amount": _amount,
    "names": lambda field, told, drops_per_ml: Typed(
        value=[part.strip() for part in told.split(",") if part.strip()]
    ),
    "blend": _blend,
    "mix": _mix,
    "thickener": _thickener,
}


def _plain(value: float) -> int | float:
    return int(value) if value == int(value) else value


def show_field(field: Field, value: object) -> str:
    """A value of the plan file as it is typed; empty where there is none.

    Whatever the file holds there, a table or a date among them, comes out as some text.
    """
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return number_text(value) if abs(value) < 1e15 else quoted(value)
    if isinstance(value, str):
        return value
    if isinstance(value, date):
        return value.isoformat()[:10]
    try:
        return _SHOWN[field.kind](value)
    except (KeyError, TypeError, ValueError, AttributeError):
        return quoted(value)


def _shown_mix(value: Any) -> str:
    return shares_text((str(part["dye"]), _share(part["share"])) for part in value)


def _share(value: object) -> float:
    if isinstance(value, str):
        return parse(value, "share").value
    if isinstance(value, int | float):
        return float(value)
    raise TypeError("no share")


_SHOWN: dict[str, Callable[[Any], str]] = {
    "names": lambda value: ", ".join(str(item) for item in value),
    "blend": lambda value: shares_text((name, _share(share)) for name, share in value.items()),
    "mix": _shown_mix,
    "thickener": lambda value: shares_text([(str(value["with"]), _share(value["strength"]))]),
}


BASE_UNITS = {"dry_weight_g": "g", "yarn_length_m": "m"}
HABIT_OF: dict[str, tuple[HabitId, float]] = {
    "pickup": ("painted", DEFAULT_PICKUP),
    "squeezed": ("held", DEFAULT_HELD),
}
KNOWN_UNITS = {"alkalinity": "mg/L", "water_ph": "pH", "altitude": "m", "hob_w": "W"}


def stand_in(
    field: Field, settled: Settled | None, worksheet: Worksheet | None, colour_slug: str = ""
) -> tuple[str, str]:
    """The value that is used instead and where it comes from; empty where nothing stands in, or is known yet."""
    instead = field.empty
    if instead is None:
        return "", ""
    if instead.of == "figure":
        figure_id = instead.name or field.decides[0][0]
        return _figure(worksheet, figure_id.replace("{colour}", colour_slug).replace("{stock}", colour_slug))
    if instead.of == "base":
        return _of_base(settled, instead.name), "base"
    if instead.of == "known":
        return _known(settled, instead.name)
    return instead.name, instead.origin


def told(field: Field, table: Mapping[str, object], settled: Settled | None) -> str:
    """A key as it was written, else what stands in for it: the same words, wherever they come from.

    Empty for what only a figure stands in for.
    """
    return show_field(field, table.get(field.key)) or stand_in(field, settled, None)[0]


def _figure(worksheet: Worksheet | None, figure_id: str) -> tuple[str, str]:
    figure = worksheet.figure(figure_id) if worksheet else None
    return (show(figure.value, figure.unit), figure.origin) if figure else ("", "")


def _of_base(settled: Settled | None, name: str) -> str:
    base = settled.base if settled else None
    value = getattr(base, name) if base else None
    if not value:
        return ""
    if name == "blend":
        return shares_text(value)
    return show(value, BASE_UNITS.get(name, "1")) if isinstance(value, int | float) else str(value)


def _known(settled: Settled | None, name: str) -> tuple[str, str]:
    if name in HABIT_OF:
        habit_id, default = HABIT_OF[name]
        own = settled.own(habit_id) if settled else None
        percent, origin = (own.value, own.origin) if own else (default, "estimate")
        if name == "pickup":
            return show(percent, "%"), origin
        return (show(settled.piece_g * (1 + percent / 100.0), "g"), origin) if settled else ("", "")
    if settled is None:
        return "", ""
    known: Known = getattr(settled, name)
    return show(known.value, KNOWN_UNITS[name]), "shelf" if known.origin == "yours" else known.origin
