"""Each caution of the issue: the plan that calls it, its level, its stage, and a plan that does not."""

from __future__ import annotations

import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shapes import Caution, Worksheet
from studio.plan.sheet import work_out, work_sheet
from studio.plan.shelf import Jar, KitItem, Shelf, ShelfDye, StudioFacts
from studio.quantity.kinds import Quantity
from studio.quantity.showing import show

SHELF = Shelf(
    dyes=(
        ShelfDye(name="pantry red", dye="food red", form="liquid", strength_percent=2.0),
        ShelfDye(name="pantry yellow", dye="food yellow", form="liquid", strength_percent=2.0),
        ShelfDye(name="mill blue", dye_class="milling"),
        ShelfDye(name="last blue", dye_class="milling", on_hand=Quantity(0.5, "g", "0.5 g")),
        ShelfDye(name="level red", dye_class="levelling"),
        ShelfDye(name="violet blend", dye_class="levelling", mixture=True),
        ShelfDye(name="metal grey", dye_class="1:2 premetallised"),
    ),
    kit=(
        KitItem(name="dye pot", kept_for="dye only"),
        KitItem(name="soup pot", kept_for="kitchen"),
        KitItem(name="fine scale", kept_for="dye only", resolution_g=0.001),
    ),
    jars=(Jar(name="old red", dye="level red", strength_percent=1.0, volume_ml=5.0, made="2026-06-01"),),
    studio=StudioFacts(scale_resolution_g=0.001, alkalinity_mg_l=40.0),
)

PLAN = """format = "potside-plan/1"
title = "Slipway"
method = "paint and steam"
salt = "{salt}"
[fibre]
blend = {{ {blend} }}
dry_weight = "100 g"
squeezed_weight = "{squeezed}"
form = "skein"
[presoak]
{presoak}
[[colour]]
name = "rust"
{colour}
[layout]
order = [ {{ colour = "rust", share = "60 %" }}, {{ bare = "40 %" }} ]
[set]
shape = "{shape}"
thickness = "{thick}"
{steam}
[kit]
use = [{kit}]
"""
CALM = {
    "salt": "none",
    "blend": "wool = 100",
    "squeezed": "180 g",
    "presoak": 'acid = "white vinegar"\ntarget_ph = 3.2',
    "colour": 'dye = "level red"\ndepth = "1 %"\nstock = "2 %"',
    "shape": "roll",
    "thick": "4 cm",
    "steam": 'length = "20 cm"',
    "kit": '"dye pot", "fine scale"',
}


def worksheet(**changed: str) -> Worksheet:
    return work_out(read_plan(PLAN.format(**{**CALM, **changed}), name="s.plan.toml"), SHELF)


FOOD = 'dye = "pantry red"\ndepth = "0.4 %"'
CALLED: dict[str, tuple[dict[str, str], str, str]] = {
    "fibre.nothing-takes": ({"blend": "cotton = 60, acrylic = 40"}, "stop", ""),
    "fibre.undyed": ({"blend": "wool = 70, cotton = 30"}, "warn", "paint"),
    "fibre.white.cotton": ({"blend": "wool = 70, cotton = 30"}, "note", "paint"),
    "fibre.white.acrylic": ({"blend": "wool = 97, acrylic = 3"}, "note", "paint"),
    "fibre.white.polyester": ({"blend": "wool = 97, polyester = 3"}, "note", "paint"),
    "fibre.weak.food": ({"blend": "wool = 75, nylon = 25", "colour": FOOD}, "note", "paint"),
    "fibre.superwash": ({"blend": '"superwash wool" = 100'}, "note", "paint"),
    "salt.milling": ({"salt": "Glauber's", "colour": 'dye = "mill blue"\ndepth = "1 %"'}, "warn", "presoak"),
    "dye.mixture-breaks.rust": ({"colour": 'dye = "violet blend"\ndepth = "1 %"'}, "note", "paint"),
    "dye.mixture-classes.rust": (
        {
            "colour": 'mix = [{ dye = "mill blue", share = "50 %" }, { dye = "level red", share = "50 %" }]\n'
            'depth = "1 %"'
        },
        "warn",
        "stocks",
    ),
    "dye.ph.levelling": ({"presoak": 'acid = "white vinegar"\ntarget_ph = 5.5'}, "note", "presoak"),
    "dye.deep.rust": ({"colour": 'dye = "level red"\ndepth = "5 %"\nstock = "8 %"'}, "note", "rinse"),
    "acid.none": ({"presoak": ""}, "warn", "presoak"),
    "acid.strong": ({"presoak": 'acid = "acetic acid 56 %"\ntarget_ph = 3.5'}, "warn", "presoak"),
    "acid.dust": ({"presoak": 'acid = "citric acid"\ntarget_ph = 3.5'}, "note", "presoak"),
    "acid.beyond-published": (
        {"presoak": 'acid = "white vinegar"\nacid_amount = "700 mL"'},
        "note",
        "presoak",
    ),
    "kit.kitchen": ({"kit": '"soup pot"'}, "stop", "ready"),
    "kit.unlisted": ({"kit": '"biscuit tin"'}, "note", "ready"),
    "stock.rust.too-weak": (
        {"colour": 'dye = "level red"\ndepth = "2 %"\nstock = "0.5 %"'},
        "warn",
        "stocks",
    ),
    "stock.rust.strong": ({"colour": 'dye = "level red"\ndepth = "2 %"\nstock = "6 %"'}, "note", "stocks"),
    "paint.rust.stock.small": (
        {"colour": 'dye = "level red"\ndepth = "0.01 %"\nstock = "2 %"'},
        "note",
        "stocks",
    ),
    "stock.rust.few-drops": ({"colour": 'dye = "pantry red"\ndrops = 10\nin = "3 cups"'}, "note", "stocks"),
    "dye.pale.rust": ({"colour": 'dye = "pantry red"\ndrops = 10\nin = "3 cups"'}, "warn", "stocks"),
    "dye.short.last-blue": ({"colour": 'dye = "last blue"\ndepth = "1 %"\nstock = "2 %"'}, "warn", "stocks"),
    "set.places": ({"squeezed": '180 g"\npieces = 3\nyarn_length = "400 m'}, "note", "steam"),
    "paint.over-capacity": (
        {"colour": 'dye = "level red"\ndepth = "1 %"\nstock = "2 %"\nliquid = "200 mL"'},
        "warn",
        "paint",
    ),
    "paint.full": ({"squeezed": "260 g"}, "stop", "paint"),
    "set.pot-dry": ({"steam": 'pot_water = "500 mL"'}, "warn", "steam"),
    "set.hold-short": ({"steam": 'hold = "12 min"'}, "warn", "steam"),
    "set.packet-full": ({"steam": 'length = "10 cm"'}, "warn", "steam"),
    "set.packet-loose": ({"steam": 'length = "60 cm"'}, "note", "steam"),
    "set.thick-superwash": (
        {"blend": '"superwash wool" = 100', "thick": "7 cm", "steam": 'length = "8 cm"'},
        "note",
        "paint",
    ),
    "set.lid-off": ({"steam": "lid = false"}, "warn", "steam"),
    "jar.short.old-red": ({"colour": 'dye = "old red"\ndepth = "0.1 %"'}, "warn", "stocks"),
    "light.food": ({"colour": FOOD}, "note", "rinse"),
    "powder.dust": ({}, "note", "stocks"),
    "steam.burns": ({}, "note", "steam"),
    "cool.unwrap": ({}, "note", "cool"),
    "leftovers.label": ({}, "note", "record"),
    "hazard.suspected-carcinogen": ({"colour": 'dye = "C.I. Acid Violet 49"\ndepth = "1 %"'}, "stop", ""),
    "hazard.listed-amine": ({"colour": 'dye = "C.I. Acid Red 73"\ndepth = "1 %"'}, "stop", ""),
    "hazard.laboratory": ({"colour": 'dye = "C.I. Acid Red 112"\ndepth = "1 %"'}, "warn", ""),
    "hazard.indicator": ({"colour": 'dye = "methyl orange"\ndepth = "1 %"'}, "warn", "presoak"),
    "hazard.free-acid": ({"colour": 'dye = "eosin Y"\ndepth = "1 %"'}, "note", "presoak"),
    "hazard.acid-shift": ({"colour": 'dye = "C.I. Acid Blue 9"\ndepth = "1 %"'}, "note", "presoak"),
    "hazard.asthma": ({"colour": 'dye = "C.I. 19140"\ndepth = "1 %"'}, "note", "stocks"),
    "hazard.fugitive": ({"colour": 'dye = "phloxine B"\ndepth = "1 %"'}, "note", "rinse"),
    "hazard.chromium": ({"colour": 'dye = "C.I. Acid Blue 193"\ndepth = "1 %"'}, "note", "record"),
    "hazard.metal": ({"colour": 'dye = "metal grey"\ndepth = "1 %"'}, "note", "record"),
}
ALWAYS = {"powder.dust", "steam.burns", "cool.unwrap", "leftovers.label"}


@pytest.mark.parametrize(("changed", "level", "stage"), CALLED.values(), ids=CALLED)
@pytest.mark.one_in(3)
def test_called(request: pytest.FixtureRequest, changed: dict[str, str], level: str, stage: str) -> None:
    caution_id = request.node.callspec.id
    caution = worksheet(**changed).caution(caution_id)
    assert caution is not None
    assert (caution.level, caution.stage) == (level, stage)
    assert caution.source
    assert caution.text[0].isupper() or caution.text[0].isdigit() or caution.text[0].islower()
    assert caution.text.rstrip().endswith(".")


def test_drops_of_known_strength_have_a_depth_and_a_pale_one_is_told_with_what_to_do() -> None:
    """70 mL of room in 100 g, 42 mL of it for 60 g, 50.4 with the reserve: of 10 drops in 709.76 mL 0.71, and one
    colours 70.976 mL. Of 2 % it holds 0.05 x 0.02 = 0.001 g, of which 42 / 70.976 go on: 0.000592 g, 0.000986 % of
    60 g. A quarter of a per cent takes 0.15 g: 7.5 mL, 253 times the drops."""
    pale = worksheet(colour='dye = "pantry red"\ndrops = 10\nin = "3 cups"')
    depth, told = pale.figure("paint.rust.depth"), pale.caution("dye.pale.rust")
    assert depth is not None and depth.value == pytest.approx(0.000986, rel=0.001)
    assert (
        told is not None
        and "takes 0.25 %: 7.5 mL of pantry red on its 60 g, 253 times the drops" in told.text
    )
    clear = worksheet(colour='dye = "pantry red"\ndrops = 120\nin = "72 mL"')
    assert clear.caution("dye.pale.rust") is None


def test_depth_is_on_the_fibre_that_dyes_and_both_say_so() -> None:
    """Half cotton: of 60 g under the colour 30 g dye. 30 g x 1 % x 1.2 = 0.36 g, and that is 1 % on the wool."""
    half = worksheet(blend="wool = 50, cotton = 50")
    dye, depth, told = (
        half.figure("stock.rust.dye"),
        half.figure("paint.rust.depth"),
        half.caution("fibre.undyed"),
    )
    assert dye is not None and dye.value == pytest.approx(0.36)
    assert "30 g that takes the dye, of 60 g of fibre" in dye.because
    assert depth is not None and depth.value == pytest.approx(1.0)
    assert (
        told is not None
        and "depth is on the fibre that takes the dye" in told.text
        and "write 2 times" in told.text
    )


def test_a_bath_larger_than_its_pot() -> None:
    """200 g at 25: 5 L of bath and 200 x 0.76 = 152 mL of wool, a tenth more to turn it: 5.67 L."""
    text = (
        'format = "potside-plan/1"\ntitle = "Bath"\nmethod = "kettle"\n[fibre]\nblend = { wool = 100 }\n'
        'dry_weight = "200 g"\nform = "skein"\n[kettle]\nliquor_ratio = 25\n[[colour]]\nname = "rust"\n'
        'dye = "acid orange 7"\ndepth = "1 %"\n[kit]\nuse = ["pot"]\n'
    )
    told = []
    for litres in (5.6, 5.7):
        pot = KitItem(name="pot", kept_for="dye only", volume_ml=litres * 1000)
        told.append(work_out(read_plan(text, name="b"), Shelf(kit=(pot,))).caution("kit.pot-small"))
    assert told[0] is not None and told[0].level == "warn" and "5 670 mL" in told[0].text
    assert told[1] is None


def test_the_calm_plan_calls_nothing_but_what_is_always_said() -> None:
    assert {c.id for c in worksheet().cautions} == ALWAYS


def test_a_hazard_stands_at_the_step_it_matters_to_in_the_name_of_every_dye_that_has_it() -> None:
    """A powder's where it is weighed, and not at all of a ready liquid; of a shop's mixture, those of its parts."""
    mixed = (
        'mix = [{ dye = "eosin Y", share = "50 %" }, { dye = "phloxine B", share = "50 %" }]\ndepth = "1 %"'
    )
    pinks = worksheet(colour=mixed)
    told, step = pinks.caution("hazard.free-acid"), pinks.step_for("acid")
    assert told is not None and told.text.startswith("acid red 87 and acid red 92: ")
    assert step is not None and "hazard.free-acid" in step.cautions
    for name, expected in (("food green", True), ("pantry yellow", False)):
        sheet = worksheet(colour=f'dye = "{name}"\ndepth = "0.4 %"')
        weighing = sheet.step_for("weigh dye", "rust")
        assert (sheet.caution("hazard.asthma") is not None) == expected
        assert weighing is None or "hazard.asthma" in weighing.cautions


def test_a_small_weight_is_warned_of_where_that_very_powder_is_weighed() -> None:
    mix = 'mix = [{ dye = "mill blue", share = "50 %" }, { dye = "level red", share = "50 %" }]\ndepth = "0.05 %"'
    sheet = worksheet(colour=mix)
    weighed = {
        c: s.of for stage in sheet.procedure for s in stage.steps for c in s.cautions if "weighing" in c
    }
    assert weighed == {f"stock.{of}.weighing": of for of in ("rust.mill-blue", "rust.level-red")}


def test_acid_that_goes_into_the_paint_alone_is_warned_of_where_that_is_mixed() -> None:
    text = PLAN.format(**{**CALM, "presoak": 'acid = "citric acid"\ntarget_ph = 4\npaint_acid = "1 g"'})
    settled = settle(read_plan(text, name="s.plan.toml"), SHELF)
    for grams, role in ((4.0, "acid"), (0.0, "mix")):
        sheet = work_sheet(settled, {"presoak.acid": grams})
        told = [s.role for stage in sheet.procedure for s in stage.steps if "acid.dust" in s.cautions]
        assert told == [role]


def test_what_acid_does_to_a_dye_is_said_where_the_two_meet_and_once() -> None:
    """Of a dye whose free acid clouds: in the soak there is none of it, in the paint the acid is poured into it."""
    dyes = 'dye = "acid red 92"\ndepth = "0.4 %"'
    for presoak, role in (
        ('acid = "citric acid"\ntarget_ph = 4', "acid"),
        ('acid = "citric acid"\ntarget_ph = 4\npaint_acid = "1 g"', "mix"),
    ):
        sheet = worksheet(colour=dyes, presoak=presoak)
        told = [s.role for stage in sheet.procedure for s in stage.steps if "hazard.free-acid" in s.cautions]
        assert told == [role]


def test_order_is_by_level_then_stage() -> None:
    found = worksheet(
        kit='"soup pot"', presoak="", blend="wool = 70, cotton = 30", steam="lid = false"
    ).cautions
    levels = [("stop", "warn", "note").index(c.level) for c in found]
    assert levels == sorted(levels)
    assert all(_stages(found, level) == sorted(_stages(found, level)) for level in ("stop", "warn", "note"))


def _stages(found: tuple[Caution, ...], level: str) -> list[int]:
    order = ["ready", "presoak", "stocks", "paint", "steam", "cool", "rinse", "record"]
    return [order.index(c.stage) if c.stage else -1 for c in found if c.level == level]


def test_food_colour_alone_may_use_kitchen_kit() -> None:
    assert worksheet(colour=FOOD, kit='"soup pot"').stops == ()


def test_one_textile_dye_beside_food_colour_stops_kitchen_kit() -> None:
    mixed = worksheet(
        colour='mix = [{ dye = "food red", share = "50 %" }, { dye = "level red", share = "50 %" }]\ndepth = "1 %"',
        kit='"soup pot"',
    )
    assert [c.id for c in mixed.stops] == ["kit.kitchen"]
    assert "level red" in mixed.stops[0].text and "food red" not in mixed.stops[0].text


def test_salt_is_not_warned_of_where_the_class_allows_it() -> None:
    assert not [c for c in worksheet(salt="Glauber's").cautions if c.id.startswith("salt.")]


def test_too_weak_names_the_least_strength_that_works() -> None:
    """60 g at 2 % is 1.2 g of dye; 100 x (150 - 80) / 100 x 0.6 = 42 mL of liquid: 1.2 / 42 = 2.857 %."""
    weak = 'dye = "level red"\ndepth = "2 %"\nstock = "0.5 %"'
    caution = worksheet(colour=weak).caution("stock.rust.too-weak")
    assert caution is not None
    advised = float(caution.text.split("the stock ")[1].split(" %")[0])
    assert 2.857 <= advised <= 3.0
    mended = worksheet(colour=weak.replace("0.5 %", f"{advised} %"))
    assert mended.caution("stock.rust.too-weak") is None


def test_a_stock_too_weak_says_what_a_dyer_can_do() -> None:
    """60 g at 1 % of a 1 % stock: 60 mL, 72 with the reserve, where 42 and 50.4 mL have room. Room for 60 mL on 60 g
    is 100 %: squeezed to 50 %, which no hand does. 72 / 50.4 is two coats; 50.4 / 72 x 1 % is 0.7 %, less a hair.
    A bottle of 2 % makes no stock of 2.9 %. At 0.8 %, 48 mL on 60 g are 80 %: 150 less 80 is 70 %, 170 g."""
    told = worksheet(colour='dye = "level red"\ndepth = "1 %"\nstock = "1 %"').caution("stock.rust.too-weak")
    assert told is not None and told.text == (
        "Stock for rust is too weak: 72 mL of it do not fit into the 50.4 mL its fibre takes. Make the stock 1.5 % or "
        "stronger; or paint it in 2 coats and let it dry between them; or take a depth of 0.696 %."
    )
    squeezed = worksheet(colour='dye = "level red"\ndepth = "0.8 %"\nstock = "1 %"').caution(
        "stock.rust.too-weak"
    )
    assert squeezed is not None and "squeeze to 170 g" in squeezed.text
    bottle = worksheet(colour='dye = "pantry red"\ndepth = "2 %"').caution("stock.rust.too-weak")
    assert bottle is not None and "the stock" not in bottle.text and "2 coats" in bottle.text


def test_mixed_class_ids_have_no_blanks() -> None:
    found = worksheet(salt="Glauber's", colour='dye = "metal grey"\ndepth = "1 %"').cautions
    assert all(" " not in c.id and ":" not in c.id for c in found)


def test_no_caution_promises_safety() -> None:
    for changed, _, _ in CALLED.values():
        for caution in worksheet(**changed).cautions:
            assert not any(word in caution.text.lower() for word in ("is safe", "harmless", "guarantee"))


def test_more_colours_than_one_session_walks_is_a_stop_and_still_a_worksheet() -> None:
    names = [f"c{n}" for n in range(7)]
    head, _, tail = PLAN.format(**CALM).partition("[[colour]]")
    colours = "".join(
        f'[[colour]]\nname = "{n}"\ndye = "level red"\ndepth = "1 %"\nstock = "2 %"\n' for n in names
    )
    bands = ", ".join(f'{{ colour = "{n}", share = "10 %" }}' for n in names)
    text = f"{head}{colours}[layout]\norder = [ {bands} ]\n[set]{tail.split('[set]')[1]}"
    many = work_out(read_plan(text, name="s.plan.toml"), SHELF)
    assert [c.id for c in many.stops] == ["method.too-many-colours"]
    assert many.procedure


@pytest.mark.parametrize(("share", "said"), [(1.0, False), (1.02, True)])
def test_a_hundredth_too_much_for_the_fibre_is_said(share: float, said: bool) -> None:
    """60 of 100 g are painted and may take all the room; with a fifth for the reserve the jar holds 1.2 times."""
    room = next(f.value for f in worksheet().figures if f.id == "paint.capacity")
    liquid = f'dye = "level red"\ndepth = "1 %"\nstock = "6 %"\nliquid = "{room * share * 1.2:.4f} mL"'
    assert (worksheet(colour=liquid).caution("paint.over-capacity") is not None) is said


@pytest.mark.parametrize(("share", "said"), [(1.0, False), (0.998, True)])
def test_a_stock_hardly_too_weak_is_said(share: float, said: bool) -> None:
    """The least: 60 g x 2 % of dye in the liquid for these 60 g, the jar's content less a fifth of reserve."""
    strong = 'dye = "level red"\ndepth = "2 %"\nstock = "{stock} %"'
    jar = next(
        f.value for f in worksheet(colour=strong.format(stock=6)).figures if f.id == "paint.rust.liquid"
    )
    least = 100 * 60 * 0.02 / (jar / 1.2)
    told = worksheet(colour=strong.format(stock=f"{least * share:.5f}")).caution("stock.rust.too-weak")
    assert (told is not None) is said


def test_a_pot_full_of_water_is_still_looked_at_every_quarter_of_an_hour() -> None:
    sheet = worksheet(steam='length = "20 cm"\npot_water = "5 L"\nhold = "90 min"')
    assert next(t.minutes for t in sheet.timers if t.id == "pot-water") == 15


def test_where_the_lid_is_opened_it_is_said_that_steam_burns() -> None:
    steps = [step for stage in worksheet().procedure for step in stage.steps]
    assert [step.role for step in steps if "steam.burns" in step.cautions] == ["heat off"]


def test_a_caution_says_as_many_minutes_as_the_figure_it_warns_of() -> None:
    sheet = worksheet(steam='length = "20 cm"\npot_water = "800 mL"')
    told, lasts = sheet.caution("set.pot-dry"), sheet.figure("set.pot_lasts")
    assert told is not None and lasts is not None and lasts.value != round(lasts.value)
    assert f"may last {show(lasts.value, 'min')} " in told.text


def test_a_packet_weighs_what_was_squeezed_and_what_is_painted_onto_it() -> None:
    """180 g squeezed; 60 of 100 g take their part of the room up to the pick-up aimed at, and 40 g stay as they are."""
    sheet = worksheet(steam='length = "10 cm"')
    told, painted = sheet.caution("set.packet-full"), sheet.figure("paint.rust.apply")
    assert told is not None and painted is not None
    assert told.text.startswith(f"{180 + painted.value:.0f} g of wet fibre in a ")


def test_paint_of_drops_is_not_said_to_be_poured_of_a_stock() -> None:
    """They were counted into its jar at a step before."""
    sheet = worksheet(colour='dye = "pantry red"\ndrops = 60\nin = "1/4 cup"')
    steps = {step.role: step.text for stage in sheet.procedure for step in stage.steps}
    assert "stock" not in steps["mix"] and "its drops" in steps["mix"]
    assert "pantry red for rust" in steps["count drops"]
