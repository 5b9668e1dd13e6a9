"""What stands in for keys left out, and where the figures then say they come from."""

from __future__ import annotations

import pytest

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.sheet import work_sheet
from studio.plan.shelf import (
    EMPTY_SHELF,
    Jar,
    KitItem,
    Price,
    Shelf,
    ShelfAcid,
    ShelfBase,
    ShelfDye,
    StudioFacts,
)
from studio.quantity.kinds import Quantity
from tests.plan.conftest import HEAD, RED, ROLL, WOOL, value, work


def test_the_shortest_plan() -> None:
    """100 % held and 150 % wanted leave 50 mL; 1 % stock is too weak: 120 mL of it, where 60 mL were room for.

    100 g x 1 % x 1.2 = 1.2 g in those 120 mL; the 50 mL that go on bring 0.5 g, so a depth of 0.5 %.
    """
    worksheet = work(HEAD + WOOL + RED + ROLL)
    assert value(worksheet, "paint.capacity") == pytest.approx(50.0)
    assert value(worksheet, "paint.red.liquid") == pytest.approx(120.0)
    assert value(worksheet, "paint.red.stock") == pytest.approx(120.0)
    assert value(worksheet, "paint.red.water") == 0.0
    assert value(worksheet, "paint.red.apply") == pytest.approx(50.0)
    assert value(worksheet, "paint.red.depth") == pytest.approx(0.5)
    assert worksheet.caution("stock.red.too-weak") is not None
    assert worksheet.caution("acid.none") is not None
    held = worksheet.figure("paint.held")
    assert held is not None and held.origin == "estimate"


def test_no_wrapped_packet_is_held_for_less_than_half_an_hour() -> None:
    """A flat packet of 1 cm heats through in a few minutes, so the class minimum is the larger: nothing shorter than
    30 min is taught of wrapped wool, food colour or not."""
    text = (
        HEAD
        + WOOL
        + RED.replace("acid red 1", "food red")
        + '[set]\nshape = "flat packet"\nthickness = "1 cm"\n'
    )
    hold = work(text).figure("set.hold")
    assert hold is not None
    assert hold.value == hold.low == pytest.approx(30.0)
    assert "30 min (food colour)" in hold.because
    assert "common practice" in hold.source


def test_silk_asks_for_its_own_minutes() -> None:
    text = HEAD + WOOL.replace("wool = 100", "wool = 50, silk = 50") + RED + '[set]\nthickness = "2 cm"\n'
    hold = work(text).figure("set.hold")
    assert hold is not None
    assert hold.value == pytest.approx(45.0)
    assert "45 min (silk)" in hold.because


@pytest.mark.parametrize(("thickness", "near_min"), [("4 cm", 26.0), ("5 cm", 35.0)])
def test_hold_of_a_food_colour_roll(thickness: str, near_min: float) -> None:
    """Near 26 and 35 min, heat-through at the fast end and ten minutes, are the earliest, but never less than the 30
    taught of wrapped wool; held is the slow end.

    Long cylinder, theta = 15 / 80 at 100 °C: Fo = ln(1.601975 x 80 / 15) / 5.783186 = 0.37092; R 2 cm
    15.45 min, R 2.5 cm 24.15 min; steam of 98 °C takes 0.9 and 1.3 min more. The slow end is 1.6 times as long.
    """
    text = HEAD + WOOL + RED.replace("acid red 1", "food red") + f'[set]\nthickness = "{thickness}"\n'
    hold = work(text).figure("set.hold")
    assert hold is not None and hold.low == pytest.approx(max(30.0, near_min), abs=1.0)
    assert hold.value == pytest.approx(1.6 * (near_min - 10) + 10, abs=1.6)


PACKET = """[set]
shape = "{shape}"
{sides}
"""


@pytest.mark.parametrize(
    ("shape", "sides", "thick_cm", "low_cm", "high_cm"),
    [
        # 100 g x (1 + 150 %) are 250 g, at 0.8 g/mL 312.5 mL: 2 sqrt(312.5 / (pi 25)); / 600 cm2; 8 x / 2500 cm2.
        ("roll", 'length = "25 cm"', 3.989, 3.568, 4.607),
        ("flat packet", 'length = "20 cm"\nwidth = "30 cm"', 0.5208, 0.4167, 0.6944),
        ("flat packet", 'length = "50 cm"\nwidth = "50 cm"\nlayers = 8', 1.0, 0.8, 1.3333),
    ],
)
def test_a_thickness_left_out_follows_from_weight_pick_up_and_layers(
    shape: str, sides: str, thick_cm: float, low_cm: float, high_cm: float
) -> None:
    """And what hangs on it goes from the quick end of a packet as thin as it may be to the slow end of the thickest."""
    found = work(HEAD + WOOL + RED + PACKET.format(shape=shape, sides=sides))
    thick = found.figure("set.thickness")
    assert thick is not None and thick.origin == "estimate"
    assert (thick.value, thick.low, thick.high) == pytest.approx((thick_cm, low_cm, high_cm), abs=1e-3)
    thin, thickest = (
        work(HEAD + WOOL + RED + PACKET.format(shape=shape, sides=f'{sides}\nthickness = "{cm:.9f} cm"'))
        for cm in (thick.low, thick.high)
    )
    assert thin.figure("set.thickness") is None
    hot = found.figure("set.heat_through")
    assert hot.low == pytest.approx(thin.figure("set.heat_through").low)
    assert hot.high == pytest.approx(thickest.figure("set.heat_through").high)
    assert found.figure("set.hold").value == thickest.figure("set.hold").value
    cool = [made.figure("cool.time") for made in (found, thin, thickest)]
    assert cool[0].low == pytest.approx(min(each.low for each in cool[1:]))
    assert cool[0].high == pytest.approx(max(each.high for each in cool[1:]))


def test_base_of_the_shelf_stands_in_and_the_plan_wins() -> None:
    base = ShelfBase(
        name="harbour", blend=(("wool", 60.0), ("nylon", 40.0)), form="blank", dry_weight_g=80.0, rows=50
    )
    shelf = Shelf(bases=(base,))
    text = (
        HEAD
        + '[fibre]\nbase = "Harbour"\n{}'
        + RED
        + '[layout]\norder = [{{ colour = "red", rows = 20 }}]\n'
        + ROLL
    )
    assert value(work(text.format(""), shelf), "paint.red.fibre") == pytest.approx(32.0)
    assert value(work(text.format('dry_weight = "100 g"\n'), shelf), "paint.red.fibre") == pytest.approx(40.0)
    assert value(work(text.format("rows = 100\n"), shelf), "paint.red.fibre") == pytest.approx(16.0)


def test_a_jar_is_poured_at_its_own_strength_and_diluted_when_asked() -> None:
    """100 g x 1 % at 2 % is 50 mL, 60 with the reserve; at 1 % 120 mL, of which 60 mL come from the jar."""
    jar = Jar(name="old red", dye="acid red 1", strength_percent=2.0, volume_ml=500.0)
    shelf = Shelf(jars=(jar,))
    text = HEAD + WOOL + RED.replace("acid red 1", "old red")
    straight = work(text + ROLL, shelf)
    assert value(straight, "stock.red.volume") == pytest.approx(60.0)
    assert value(straight, "stock.red.from_jar") == pytest.approx(60.0)
    assert straight.figure("stock.red.weighing") is None
    assert straight.caution("powder.dust") is None
    thin = work(text + 'stock = "1 %"\n' + ROLL, shelf)
    assert value(thin, "stock.red.volume") == pytest.approx(120.0)
    assert value(thin, "stock.red.from_jar") == pytest.approx(60.0)


def test_drops_scale_to_whole_drops() -> None:
    """50 mL of room, 60 with the reserve; 10 drops in 3/4 US cup (177.44 mL) are 3.38 drops, 3 of them for 53.2 mL."""
    text = HEAD + WOOL + '[[colour]]\nname = "kelp"\ndye = "food green"\ndrops = 10\nin = "3/4 cup"\n' + ROLL
    worksheet = work(text)
    assert value(worksheet, "stock.kelp.drops") == pytest.approx(3.0)
    assert value(worksheet, "paint.kelp.liquid") == pytest.approx(53.232, abs=0.001)
    # 3 drops at 20 to the mL.
    assert value(worksheet, "paint.kelp.stock") == pytest.approx(0.15)


def test_drops_of_a_dyers_own_liquid() -> None:
    """As written: 10 drops x 90 / 180 mL."""
    text = (
        HEAD
        + WOOL
        + '[[colour]]\nname = "k"\ndye = "food red"\ndrops = 10\nin = "180 mL"\nliquid = "90 mL"\n'
        + ROLL
    )
    worksheet = work(text)
    assert value(worksheet, "stock.k.drops") == pytest.approx(5.0)
    assert value(worksheet, "paint.k.liquid") == pytest.approx(90.0)


def test_drops_for_a_written_liquid_are_whole_and_the_liquid_follows() -> None:
    """10 drops x 80 / 180 mL are 4.44 drops: 4 of them colour 72 mL, above the 80 / 1.2 = 66.7 mL for the fibre."""
    colour = 'name = "k"\ndye = "food red"\ndrops = 10\nin = "180 mL"\nliquid = "80 mL"\n'
    worksheet = work(HEAD + WOOL + "[[colour]]\n" + colour + ROLL)
    assert value(worksheet, "stock.k.drops") == 4.0
    assert value(worksheet, "paint.k.liquid") == pytest.approx(72.0)


def test_paint_is_never_stronger_than_its_stock() -> None:
    """25.4 mL of stock, read as 23.3 mL of paint, are 25.4 mL: what is left is as strong as the stock, 2 %."""
    red = RED + 'stock = "2 %"\n'
    settled = settle(read_plan(HEAD + WOOL + red + ROLL, name="p"), EMPTY_SHELF)
    poured = {"paint.red.stock": 25.4, "paint.red.liquid": 23.3, "paint.red.left": 5.4}
    sheet = work_sheet(settled, poured)
    assert value(sheet, "paint.red.left.strength") == pytest.approx(2.0)
    assert value(sheet, "paint.red.apply") == pytest.approx(20.0)
    assert value(sheet, "paint.red.depth") == pytest.approx(0.4)


def test_cost_says_which_price_is_not_known() -> None:
    """Base 10; 2 % stock, 100 g at 1 %: 1.2 g of dye at 8 / 25 g = 0.384; 15 mL of vinegar at 1 / 1000 mL = 0.015."""
    dye = ShelfDye(name="house red", dye="acid red 1", price=Price(8.0, 25.0, "g"))
    acid = ShelfAcid(name="vinegar", acid="white vinegar", price=Price(1.0, 1000.0, "mL"))
    base = ShelfBase(
        name="b", blend=(("wool", 100.0),), form="skein", dry_weight_g=100.0, price=Price(10.0, 1.0, "1")
    )
    shelf = Shelf(dyes=(dye,), acids=(acid,), bases=(base,), studio=StudioFacts(currency="EUR"))
    text = (
        HEAD
        + '[fibre]\nbase = "b"\n[presoak]\nacid = "vinegar"\nacid_amount = "15 mL"\n'
        + RED.replace("acid red 1", "house red")
        + 'stock = "2 %"\n'
        + ROLL
    )
    assert value(work(text, shelf), "cost.total") == pytest.approx(10.399)
    # Without the price of its dye the total says that it is without it: 10 + 0.015.
    unpriced = work(text.replace("house red", "acid orange 7"), shelf).figure("cost.total")
    assert unpriced is not None and unpriced.value == pytest.approx(10.015)
    assert "without dye" in unpriced.label


def test_the_finest_scale_in_use_weighs() -> None:
    kit = (
        KitItem(name="wool scale", kept_for="dye only", resolution_g=1.0),
        KitItem(name="fine scale", kept_for="dye only", resolution_g=0.01),
    )
    text = HEAD + WOOL + RED + ROLL + '[kit]\nuse = ["wool scale", "fine scale"]\n'
    # 1.2 g: 0.776393 x 0.01 / 1.2.
    assert value(work(text, Shelf(kit=kit)), "stock.red.weighing") == pytest.approx(0.64699, abs=1e-4)


def test_shelf_facts_of_the_studio_are_the_dyers_own() -> None:
    shelf = Shelf(studio=StudioFacts(altitude_m=2000.0, hob_w=1000.0))
    boiling = work(HEAD + WOOL + RED + ROLL, shelf).figure("set.boiling_point")
    assert boiling is not None
    assert boiling.value == pytest.approx(93.315, abs=0.001)  # IF97 and ISA at 2000 m
    assert "shelf" in boiling.source


def test_kinds_of_dye_by_name_with_and_without_ci() -> None:
    for name in ("C.I. Acid Orange 7", "acid orange 7", "ci acid orange 7"):
        assert work(HEAD + WOOL + RED.replace("acid red 1", name) + ROLL).stops == ()


def test_drops_are_rounded_up_where_fewer_would_not_cover_the_fibre() -> None:
    """50 mL of room, 60 with the reserve; at 43 mL a drop 1.4 drops. One is for 43 mL, too little: two, for 86."""
    text = HEAD + WOOL + '[[colour]]\nname = "kelp"\ndye = "food green"\ndrops = 10\nin = "430 mL"\n' + ROLL
    assert value(work(text), "stock.kelp.drops") == 2.0


GUAR = 'thicken = { with = "guar gum", strength = "0.5 %" }\n'
SOAK_5 = '[presoak]\nacid = "citric acid"\ntarget_ph = 5\n'
BOTH = '[layout]\norder = [{ colour = "red", share = "50 %" }, { colour = "blue", share = "50 %" }]\n'
BLUE = RED.replace("red", "blue").replace("acid blue 1", "acid blue 80")


def test_a_thickener_takes_its_room_and_swells_before_the_fibre_is_squeezed() -> None:
    """100 g take 50 mL, and of two colours each 30 with the reserve: 0.15 g of gum, 0.1 mL of it (1.5 g/mL)."""
    half = RED.replace('"1 %"', '"0.5 %"\nstock = "2 %"'), BLUE.replace('"1 %"', '"0.5 %"\nstock = "2 %"')
    sheet = work(HEAD + WOOL + SOAK_5 + half[0] + GUAR + half[1] + BOTH + ROLL)
    assert value(sheet, "paint.red.thickener") == pytest.approx(0.15)
    assert sheet.figure("paint.blue.thickener") is None, "only the colour that says so"
    used = sum(value(sheet, f"paint.red.{what}") for what in ("stock", "water"))
    assert used + 0.1 == pytest.approx(value(sheet, "paint.red.liquid"))
    named = [step.id.removeprefix("paint.") for step in sheet.procedure[3].steps]
    assert named == ["red.mix", "swell", "end-ph", "squeezed", "blue.mix", "apply", "wrap"]
    (mix,) = [s for s in sheet.procedure[3].steps if s.role == "mix" and s.of == "red"]
    assert "Sprinkle 0.15 g of guar onto it" in mix.text and "paint.red.thickener" in mix.fixes
    assert "thickener" in mix.cautions
    of_all = work(HEAD + GUAR + WOOL + SOAK_5 + half[0] + half[1] + BOTH + ROLL)
    assert value(of_all, "paint.blue.thickener") == pytest.approx(0.15)


@pytest.mark.parametrize(
    ("thicken", "soak", "said"),
    [
        ('{ with = "guarr", strength = "0.5 %" }', SOAK_5, 'did you mean "guar"'),
        ('{ with = "guar", strength = "3 %" }', SOAK_5, "guar thickens paint at 0.3 to 1 %"),
        (
            '{ with = "guar" }',
            SOAK_5,
            'colour.red.thicken.strength is missing; write for example strength = "0.5 %"',
        ),
        ('"guar"', SOAK_5, "names no gum with its strength"),
        ('{ with = "alginate", strength = "3 %" }', SOAK_5, "sodium alginate thickens paint at 0.18 to 2 %"),
        (
            '{ with = "alginate", strength = "1 %" }',
            SOAK_5,
            "has room for only 0 mL of water; write a stronger stock",
        ),
        ('{ with = "alginate", strength = "1 %" }', SOAK_5.replace("= 5", "= 4.2"), "gels below about pH 4"),
        ('{ with = "alginate", strength = "1 %" }', SOAK_5.replace("= 5", "= 3.8"), "gels below about pH 4"),
        ('{ with = "alginate", strength = "1 %" }', f'{SOAK_5}paint_acid = "1 g"\n', "gels below about pH 4"),
    ],
)
def test_a_thickener_that_will_not_do_is_refused(thicken: str, soak: str, said: str) -> None:
    with pytest.raises(PlanError, match=said):
        work(HEAD + WOOL + soak + RED + f"thicken = {thicken}\n" + ROLL)


def test_a_gum_that_swells_overnight_is_mixed_the_evening_before() -> None:
    """8 h are no wait of a session: the 480 min of alginate are over when one begins, in the water of its paint."""
    alginate = 'stock = "10 %"\nthicken = { with = "alginate", strength = "1 %" }\n'
    sheet = work(HEAD + WOOL + SOAK_5 + RED + alginate + ROLL)
    paste, mix = sheet.step("ready.paste"), sheet.step_for("mix", "red")
    assert paste is not None and "the evening before: 0.6 g in 47.6 mL for red" in paste.text
    assert (
        mix is not None
        and "its 47.6 mL of water with 0.6 g of sodium alginate, mixed the evening" in mix.text
    )
    assert "Sprinkle" not in mix.text and sheet.step("paint.swell") is None
    assert all(clock.role != "swell" for clock in sheet.timers)


def test_a_bath_and_a_second_gum_are_refused() -> None:
    with pytest.raises(PlanError, match="is for painting"):
        work(HEAD + GUAR + 'method = "kettle"\n' + WOOL + RED)
    with pytest.raises(PlanError, match="is for painting"):
        work(HEAD + 'method = "kettle"\n' + WOOL + RED + GUAR)
    with pytest.raises(PlanError, match="thicken all with one"):
        work(HEAD + GUAR + WOOL + SOAK_5 + RED + BLUE + GUAR.replace("guar gum", "xanthan") + BOTH + ROLL)


def test_a_mix_that_names_a_dye_twice_is_refused() -> None:
    """By its other name too: both would be weighed under one name."""
    twice = 'mix = [{ dye = "acid red 1", share = "50 %" }, { dye = "C.I. Acid Red 1", share = "50 %" }]\n'
    with pytest.raises(PlanError, match="once more; write it once, with both its shares"):
        work(HEAD + WOOL + RED.replace('dye = "acid red 1"\n', twice) + ROLL)


def two_depths(pale: str, deep: str) -> str:
    """Two colours of one dye, each on 50 g of fibre that has room for 0.5 mL/g."""
    layout = '[layout]\norder = [{ colour = "pale", share = "50 %" }, { colour = "red", share = "50 %" }]\n'
    first = RED.replace("red", "pale", 1).replace('"1 %"', pale)
    return HEAD + WOOL + first + RED.replace('"1 %"', deep) + layout + ROLL


def test_a_stock_is_shared_only_where_it_is_strong_enough() -> None:
    """2 % takes a stock of 4 % at least: not the one of 0.2 % that is written for 0.1 %."""
    weak = '"0.1 %"\nstock = "0.2 %"'
    settled = settle(read_plan(two_depths(weak, '"2 %"'), name="t"), EMPTY_SHELF)
    assert [[stock.strength.value for _, stock in jar if stock.strength] for jar in settled.jars] == [
        [0.2],
        [1.0],
    ]
    with_room = settle(read_plan(two_depths(weak, '"0.1 %"'), name="t"), EMPTY_SHELF)
    assert [len(jar) for jar in with_room.jars] == [2], "where it fits it is one jar"


def test_a_jar_that_is_too_weak_is_advised_one_strength() -> None:
    """Of 1 % for 0.8 and 1.5 %: 1.6 and 3 % are the least, and 3 is enough for both."""
    sheet = work(two_depths('"0.8 %"\nstock = "1 %"', '"1.5 %"'))
    for name in ("pale", "red"):
        told = sheet.caution(f"stock.{name}.too-weak")
        assert told is not None and "make the stock 3.01 % or stronger" in told.text.lower()


@pytest.mark.parametrize(
    ("stock", "step", "there", "said"),
    [
        (2.0, 0.1, None, "make 250 mL of stock from 5 g and keep the"),
        (2.0, 0.1, 4.0, "use a ready liquid, or drops, or use a scale"),
        (1.0, 0.1, None, "make 250 mL of 2 % stock from 5 g and thin 30 mL of it to 60 mL"),
        (1.0, 0.1, 4.0, "use a ready liquid, or drops, or use a scale"),
    ],
)
def test_a_larger_stock_keeps_to_a_jar_and_to_what_is_on_hand(
    stock: float, step: float, there: float | None, said: str
) -> None:
    """50 steps of 0.1 g are 5 g: 250 mL of 2 %; of 1 % a jar of 250 mL holds 2.5, so that a stronger one is thinned."""
    on_hand = None if there is None else Quantity(there, "g", f"{there} g")
    dye = ShelfDye(name="shelf red", dye="acid red 1", on_hand=on_hand)
    text = (
        HEAD
        + WOOL
        + RED.replace("acid red 1", "shelf red").replace('"1 %"', f'"0.5 %"\nstock = "{stock} %"')
        + ROLL
    )
    sheet = work(text, Shelf(dyes=(dye,), studio=StudioFacts(scale_resolution_g=step)))
    told, round_ = sheet.caution("stock.red.weighing"), sheet.figure("stock.red.round")
    assert told is not None and said in told.text
    assert (round_ is not None) == ("keep the" in said)


def test_water_too_little_to_be_kept_up_is_not_said_to_be_topped_up() -> None:
    """200 mL at 0.9 of 1000 W are gone in 8.4 min, before the last ten minutes that a pot is filled up at."""
    sides = 'length = "25 cm"\npot_water = "{ml} mL"'
    low, little = (
        work(HEAD + WOOL + RED + PACKET.format(shape="roll", sides=sides.format(ml=ml))).caution(
            "set.pot-dry"
        )
        for ml in (200, 500)
    )
    assert "may last 8.4 min, too soon for a look: pour" in low.text and "top up" not in low.text
    assert "top up with boiling water" in little.text
