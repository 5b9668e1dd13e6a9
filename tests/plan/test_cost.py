"""What a lot costs and what to ask for it: by hand, in proportion, and honest about what has no price."""

from __future__ import annotations

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft import pot as energy
from studio.craft import pot as pricing
from studio.plan.reading import read_plan
from studio.plan.shapes import Figure, Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF, Jar, Price, Shelf, ShelfAcid, ShelfBase, ShelfDye, StudioFacts
from studio.report.worksheet import sections, value_words
from studio.shelf.reading import read_shelf

PLAN = """format = "potside-plan/1"
title = "Ebb"
[fibre]
base = "skein"
dry_weight = "{weight} g"
squeezed_weight = "{wet} g"
target_pickup = "150 %"
[water]
altitude = "0 m"
[presoak]
acid = "vinegar"
acid_amount = "{acid} mL"
[[colour]]
name = "red"
dye = "{dye}"
depth = "1 %"
stock = "2 %"
[set]
thickness = "4 cm"
hob = "1200 W"
hob_efficiency = 0.8
pot_water = "1 L"
hold = "{hold} min"
"""
STUDIO = StudioFacts(currency="EUR", energy_price=0.3, hourly_rate=18.0, margin_percent=40.0, room_c=20.0)
SHELF = Shelf(
    dyes=(ShelfDye(name="house red", dye="acid red 1", price=Price(8.0, 25.0, "g")),),
    acids=(ShelfAcid(name="vinegar", acid="white vinegar", price=Price(1.0, 1000.0, "mL")),),
    bases=(
        ShelfBase(
            name="skein",
            blend=(("wool", 100.0),),
            form="skein",
            dry_weight_g=100.0,
            price=Price(10.0, 1.0, "1"),
        ),
    ),
    jars=(Jar(name="old red", dye="house red", strength_percent=2.0, volume_ml=500.0),),
    studio=STUDIO,
)


def work(
    shelf: Shelf = SHELF, *, weight: float = 200.0, hold: float = 45.0, dye: str = "house red"
) -> Worksheet:
    text = PLAN.format(weight=weight, wet=weight * 1.8, acid=weight * 0.15, hold=hold, dye=dye)
    return work_out(read_plan(text, name="ebb.plan.toml"), shelf)


def figure(worksheet: Worksheet, figure_id: str) -> Figure:
    found = worksheet.figure(figure_id)
    assert found is not None, figure_id
    return found


def value(worksheet: Worksheet, figure_id: str) -> float:
    return figure(worksheet, figure_id).value


BY_HAND = [
    # Two skeins at 10.
    ("cost.base", 20.0, 1e-9),
    # 200 g x 1 % = 2 g, a fifth more 2.4 g, x 8 / 25 g.
    ("cost.dye", 0.768, 1e-9),
    # 30 mL x 1 / 1000 mL.
    ("cost.acid", 0.03, 1e-9),
    # Water 1000 mL, in the goods (1.8 - 1) x 200 = 160 mL and paint 140 mL = 200 x (1.5 - 0.8): 1300 mL x 4.19 =
    # 5447 J/K; fibre 200 x 1.36 = 272, pot 1500 x 0.5 = 750: 6469 J/K x (99.974 - 20) = 517 352 J, / 0.8 / 3.6e6 =
    # 0.179636 kWh; 1200 W x 45 min = 0.9 kWh; 1.079636 kWh x 0.30.
    ("cost.energy", 0.323891, 1e-5),
    # ready 10, soak 5, one powder 5, squeeze and wrap 10, one colour 3, 200 g 40, steam 8, rinse 12, record 5 = 98 min
    # at 18 an hour.
    ("cost.labour", 29.4, 1e-9),
    ("cost.total", 50.521891, 1e-5),
    # A pack of 25 g of dye at 8 and a litre of vinegar at 1, beside two skeins, energy and labour.
    ("cost.packs", 20 + 8 + 1 + 0.323891 + 29.4, 1e-5),
    ("cost.per_100g", 25.260945, 1e-5),
    ("cost.per_piece", 25.260945, 1e-5),
    # / (1 - 0.40).
    ("price.suggested", 42.101576, 1e-5),
]


@pytest.mark.parametrize(("figure_id", "by_hand", "within"), BY_HAND, ids=[row[0] for row in BY_HAND])
def test_by_hand(figure_id: str, by_hand: float, within: float) -> None:
    worksheet = work()
    assert value(worksheet, figure_id) == pytest.approx(by_hand, abs=within)
    found = figure(worksheet, figure_id)
    assert (found.unit, found.currency) == ("1", "EUR") and found.because and found.source


def test_all_of_it_stands_in_one_section_and_in_money() -> None:
    cost = sections(work())["cost"]
    assert [f.id for f in cost] == [row[0] for row in BY_HAND]
    assert value_words(cost[-1]) == "42.10 EUR"
    assert work().caution("cost.incomplete") is None


def test_margin_and_markup_are_named() -> None:
    """A margin of 40 % of the price is a markup of 66.67 % on cost."""
    told = figure(work(), "price.suggested").because
    assert "margin of 40 % of the price" in told and "markup of 66.67 % on cost" in told


WITHOUT = {
    "dye": ({"dyes": (ShelfDye(name="house red", dye="acid red 1"),)}, "house red"),
    "acid": ({"acids": (ShelfAcid(name="vinegar", acid="white vinegar"),)}, "vinegar"),
    "base": ({"bases": (msgspec.structs.replace(SHELF.bases[0], price=None),)}, "the base skein"),
    "energy": ({"studio": msgspec.structs.replace(STUDIO, energy_price=None)}, "electricity per kWh"),
    "labour": ({"studio": msgspec.structs.replace(STUDIO, hourly_rate=None)}, "your hourly rate"),
}


@pytest.mark.parametrize("part", WITHOUT)
def test_a_part_without_a_price_is_left_out_and_named(part: str) -> None:
    changes, name = WITHOUT[part]
    whole, worksheet = work(), work(msgspec.structs.replace(SHELF, **changes))
    assert worksheet.figure(f"cost.{part}") is None
    assert worksheet.figure("price.suggested") is None, "no price from half a cost"
    assert value(worksheet, "cost.total") == pytest.approx(
        value(whole, "cost.total") - value(whole, f"cost.{part}")
    )
    assert figure(worksheet, "cost.total").label.endswith(f"without {part}")
    caution = worksheet.caution("cost.incomplete")
    assert caution is not None and caution.level == "note" and name in caution.text


def test_no_currency_or_no_price_counts_no_costs() -> None:
    nowhere = msgspec.structs.replace(SHELF, studio=msgspec.structs.replace(STUDIO, currency=""))
    priceless = Shelf(
        bases=(msgspec.structs.replace(SHELF.bases[0], price=None),),
        dyes=(ShelfDye(name="house red", dye="acid red 1"),),
        acids=(ShelfAcid(name="vinegar", acid="white vinegar"),),
        studio=StudioFacts(currency="EUR"),
    )
    for shelf in (nowhere, priceless):
        worksheet = work(shelf)
        assert not [f.id for f in worksheet.figures if f.id.startswith(("cost.", "price."))]
        assert worksheet.caution("cost.incomplete") is None


def test_a_jar_left_over_was_paid_for_before() -> None:
    worksheet = work(dye="old red")
    assert value(worksheet, "cost.dye") == 0.0 and "paid for before" in figure(worksheet, "cost.dye").because
    assert worksheet.figure("price.suggested") is not None


def test_a_base_of_unknown_weight_has_no_price_for_a_piece() -> None:
    base = msgspec.structs.replace(SHELF.bases[0], dry_weight_g=None)
    worksheet = work(msgspec.structs.replace(SHELF, bases=(base,)))
    assert worksheet.figure("cost.per_piece") is None
    assert "the lot" in figure(worksheet, "price.suggested").label


def test_no_margin_no_price() -> None:
    studio = msgspec.structs.replace(STUDIO, margin_percent=None)
    assert work(msgspec.structs.replace(SHELF, studio=studio)).figure("price.suggested") is None


@given(weight=st.floats(20, 2000), times=st.floats(1.1, 5))
def test_materials_are_proportional_to_weight_and_the_rest_is_not_less(weight: float, times: float) -> None:
    once, more = work(weight=weight), work(weight=weight * times)
    for part in ("base", "dye", "acid"):
        assert value(more, f"cost.{part}") == pytest.approx(value(once, f"cost.{part}") * times, rel=1e-6)
    for part in ("energy", "labour", "total"):
        assert value(more, f"cost.{part}") > value(once, f"cost.{part}")
    parts = sum(value(once, f"cost.{p}") for p in ("base", "dye", "acid", "energy", "labour"))
    assert value(once, "cost.total") == pytest.approx(parts)
    assert value(once, "cost.per_100g") == pytest.approx(parts / weight * 100)


@given(hold=st.floats(5, 400), longer=st.floats(1, 200))
def test_energy_grows_with_the_hold_and_never_falls_below_the_heat_of_the_water(
    hold: float, longer: float
) -> None:
    short, long = work(hold=round(hold, 3)), work(hold=round(hold + longer, 3))
    assert value(long, "cost.energy") > value(short, "cost.energy")
    # A litre of water alone from 20 to 99.97 °C, with nothing lost on the way.
    assert value(short, "cost.energy") > energy.kwh(energy.sensible_j(1000, 20, 99.97), 1.0) * 0.3


@given(cost=st.floats(0.01, 1e6), margin=st.floats(0, 95))
def test_a_price_leaves_the_margin_it_was_made_for(cost: float, margin: float) -> None:
    price = pricing.price_for_margin(cost, margin)
    assert pricing.gross_margin_percent(price, cost) == pytest.approx(margin, abs=1e-6)
    assert cost * (1 + pricing.markup_percent(margin) / 100) == pytest.approx(price)


STUDIO_FILE = '[studio]\ncurrency = "EUR"\nenergy_price = 0.32\nhourly_rate = 16\nmargin = "35 %"\n'


def test_prices_on_the_shelf() -> None:
    studio = read_shelf({"studio.toml": STUDIO_FILE}).studio
    assert (studio.energy_price, studio.hourly_rate, studio.margin_percent) == (0.32, 16.0, 35.0)
    assert EMPTY_SHELF.studio.hourly_rate is None


@pytest.mark.parametrize(
    ("old", "new", "key"),
    [
        ("0.32", '"cheap"', "studio.energy_price"),
        ("16", "-1", "studio.hourly_rate"),
        ('"35 %"', '"100 %"', "studio.margin"),
        ('"35 %"', "35", "studio.margin"),
    ],
)
def test_a_price_that_is_none_is_one_sentence(old: str, new: str, key: str) -> None:
    remarks = read_shelf({"studio.toml": STUDIO_FILE.replace(old, new)}).remarks
    assert len(remarks) == 1 and key in remarks[0] and "studio.toml" in remarks[0]
