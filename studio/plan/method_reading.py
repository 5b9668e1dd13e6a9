"""The tables of a plan that only some methods have: [kettle], [microwave], and what is not for them."""

from __future__ import annotations

from typing import cast

from studio.craft.ramp import FASTEST_C_MIN
from studio.plan import model
from studio.plan.either_or import EITHER
from studio.plan.errors import PlanError
from studio.plan.keys import Keys
from studio.quantity import Quantity

KETTLE = (
    "acid",
    "target_ph",
    "acid_amount",
    "acid_added",
    "liquor_ratio",
    "start",
    "ramp",
    "top",
    "hold",
    "parts",
    "hob",
    "hob_efficiency",
    "pot",
    "lid",
)
MICROWAVE = ("power", "burst", "rest", "rounds", "stand", "thickness")
OWN_TABLE = {model.STEAM: "set", model.KETTLE: "kettle", model.MICROWAVE: "microwave"}
ACID = ("acid", "target_ph", "acid_amount", "practice")


def right_tables(keys: Keys, method: str) -> None:
    """Refuse a table that belongs to another method, and say which of the two to change."""
    own = OWN_TABLE[method]
    for other, table in OWN_TABLE.items():
        if table in keys and table != own:
            raise keys.wrong(
                table,
                f'belongs to method = "{other}", and this plan says "{method}"; take [{table}] out and write '
                f"[{own}], or change the method.",
            )
    if method != model.KETTLE:
        return
    if "layout" in keys:
        raise keys.wrong(
            "layout", "is for painting; a kettle dyes all of the fibre one colour, so take [layout] out."
        )
    if "reserve" in keys:
        raise keys.wrong("reserve", "is for painting; all of a kettle's dye goes into the bath: take it out.")
    soak = keys.table("presoak")
    for key in ACID:
        if key in soak:
            raise soak.wrong(
                key,
                "belongs in [kettle]: the fibre is wetted out in plain water, the acid goes into the bath.",
            )


def one_colour(keys: Keys, method: str, colours: tuple[model.ColourPlan, ...]) -> None:
    """A kettle has one colour; drops for it are counted for a written volume of dye liquid."""
    if method != model.KETTLE:
        return
    if len(colours) > 1:
        raise keys.wrong(
            "colour",
            f"stands there {len(colours)} times; a kettle dyes one colour: keep one, with a mix for several dyes.",
        )
    only = colours[0]
    if only.drops is None and only.liquid is not None:
        raise keys.wrong(
            f"colour.{only.name}.liquid", "is for painting; in a kettle the depth says how much dye goes in."
        )
    if only.drops is not None and only.liquid is None:
        raise keys.wrong(
            f"colour.{only.name}.liquid",
            'is missing: write how much of the drop recipe goes into the bath, for example liquid = "250 mL".',
        )


def read_kettle(keys: Keys) -> model.KettlePlan:
    """[kettle]; every key of it may be left out."""
    keys.only(KETTLE)
    acid = keys.text("acid")
    target, amount = read_ph(keys, "target_ph", 2.0, 7.0), read_amount(keys)
    keys.one_of(EITHER["kettle"])
    if not acid and (target is not None or amount is not None):
        raise keys.wrong("acid", 'is missing; write for example acid = "white vinegar".')
    parts = keys.whole("parts", 1, model.MOST_PARTS, "2") or 1
    added = keys.choice("acid_added", model.ACID_ADDED, "")
    if parts > 1 and added == "staged":
        raise keys.wrong(
            "acid_added",
            'is "staged", which evens a colour out, and parts let it strike unevenly; leave one of them out.',
        )
    start = keys.measure("start", "temperature", low=5.0, high=80.0)
    top = keys.measure("top", "temperature", low=30.0, high=100.0)
    if start is not None and top is not None and top.value <= start.value:
        raise keys.wrong(
            "top", f"is not above the start ({start.typed}); write the temperature that is held."
        )
    return model.KettlePlan(
        acid=acid,
        target_ph=target,
        acid_amount=amount,
        acid_added=cast(model.AcidAdded, added) if added else None,
        liquor_ratio=keys.number("liquor_ratio", 5.0, 200.0, "30"),
        start=start,
        ramp=keys.number("ramp", 0.2, FASTEST_C_MIN, "1.5"),
        top=top,
        hold=keys.measure("hold", "duration", low=1.0, high=6 * 60.0),
        parts=parts,
        hob=keys.measure("hob", "power", low=50.0, high=20_000.0),
        hob_efficiency=keys.number("hob_efficiency", 0.1, 1.0, "0.8"),
        pot=keys.measure("pot", "mass", high=50_000.0),
        lid=keys.flag("lid", True),
    )


def read_microwave(keys: Keys) -> model.MicrowavePlan:
    """[microwave]; its power must be there."""
    keys.only(MICROWAVE)
    return model.MicrowavePlan(
        power=keys.needed("power", "power", "600 W", low=80.0, high=3_000.0),
        burst=keys.measure("burst", "duration", low=0.25, high=5.0),
        rest=keys.measure("rest", "duration", low=0.5, high=30.0),
        rounds=keys.whole("rounds", 1, model.MOST_BURSTS, "2"),
        stand=keys.measure("stand", "duration", low=1.0, high=12 * 60.0),
        thickness=keys.measure("thickness", "length", low=0.2, high=15.0),
    )


def read_ph(keys: Keys, key: str, low: float, high: float) -> Quantity | None:
    """A pH, written as a number or as text."""
    value = keys.raw(key)
    if isinstance(value, str) or value is None:
        return keys.measure(key, "ph", low=low, high=high)
    number = keys.number(key, low, high, "4.0")
    return None if number is None else Quantity(number, "1", f"{number:g}")


def read_amount(keys: Keys) -> Quantity | None:
    """Acid by volume or by weight; which of the two fits is known once the acid is."""
    try:
        return keys.measure("acid_amount", "volume", high=20_000.0)
    except PlanError as by_volume:
        try:
            return keys.measure("acid_amount", "mass", high=20_000.0)
        except PlanError:
            raise by_volume from None
