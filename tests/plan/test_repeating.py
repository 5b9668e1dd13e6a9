"""A plan from what was really done: by hand, at once and three times the weight, with its comments kept."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.repeat_facts import BandDone, ColourDone, Done
from studio.plan.repeating import repeat
from studio.plan.shelf import EMPTY_SHELF
from studio.plan.worksheet import work_out
from studio.report.repeat_rows import changes, repeat_sections, same_lot_section

PLAN = """# Our harbour stripes.
format = "potside-plan/1"
title = "Harbour wall"

[fibre]
blend = { wool = 100 }
dry_weight = "100 g"  # the blue scale
squeezed_weight = "180 g"
form = "blank"
rows = 100

[presoak]
acid = "white vinegar"
liquor_ratio = 20
target_ph = 4.0

# Two reds and a green.
[[colour]]
name = "rust"
dye = "C.I. Acid Orange 7"
depth = "2 %"
stock = "4 %"  # from the tall jar

[[colour]]
name = "moss"
mix = [ { dye = "C.I. Acid Yellow 23", share = "75 %" }, { dye = "acid blue 9", share = "25 %" } ]
depth = "1 %"
stock = "2 %"

[layout]
order = [ { colour = "rust", rows = 30 }, { bare = 20 }, { colour = "moss", rows = 25 }, { bare = 25 } ]

[set]
shape = "roll"
thickness = "5 cm"  # across
hold = "40 min"
pot_water = "1.5 L"
"""

DROPS = """format = "potside-plan/1"
title = "Lanterns"
[fibre]
blend = { wool = 100 }
dry_weight = "100 g"
form = "skein"
[[colour]]
name = "lamp"
dye = "food yellow"
drops = 25
in = "100 mL"
[set]
shape = "flat packet"
thickness = "3 cm"
width = "14 cm"
"""


def sheet_of(text):
    return work_out(read_plan(text, name="plan"), EMPTY_SHELF)


def as_planned(text=PLAN, **changed):
    """Every value measured exactly as the worksheet of the plan has it."""
    sheet = sheet_of(text)
    facts = sheet.facts
    colours = tuple(
        ColourDone(
            slug=c.slug,
            planned_percent=tuple(s.strength_percent for s in c.stocks),
            real_percent=tuple(s.strength_percent if s.form == "powder" else None for s in c.stocks),
            mixed_ml=c.liquid_ml,
            stock_ml=c.stock_ml,
            drops=c.stocks[0].drops,
        )
        for c in facts.colours
    )
    done = {
        "dry_g": facts.dry_weight_g,
        "planned_dry_g": facts.dry_weight_g,
        "squeezed_g": facts.squeezed_g,
        "soak_ml": facts.presoak_water_ml,
        "soak_min": facts.presoak_min,
        "acid_amount": facts.acid_amount or None,
        "acid_unit": "mL",
        "hold_min": facts.hold_min,
        "pot_ml": facts.pot_water_ml,
        "colours": colours,
    }
    return Done(**{**done, **changed})


def made(done=None, weight_g=None, text=PLAN):
    return repeat(
        text, done or as_planned(text), EMPTY_SHELF, weight_g=weight_g, name="plan", source="one.jsonl"
    )


def table(repeated):
    return tomllib.loads(repeated.text)


def value(sheet, figure_id):
    found = sheet.figure(figure_id)
    assert found is not None, f"no {figure_id}"
    return found.value


LINEAR = (
    "fibre.weight",
    "presoak.water",
    "presoak.acid",
    "presoak.bound",
    "stock.rust.dye",
    "stock.rust.volume",
    "stock.moss.acid-yellow-23.dye",
    "stock.moss.dye",
    "stock.moss.volume",
    "paint.capacity",
    "paint.rust.fibre",
    "paint.rust.liquid",
    "paint.rust.stock",
    "paint.rust.water",
    "paint.moss.liquid",
)
ANEW = ("set.heat_through", "set.hold", "set.pot_water", "set.pot_lasts", "stock.rust.weighing", "cool.time")


def test_done_as_planned_it_gives_the_same_figures_to_rounding():
    repeated, planned = made(), sheet_of(PLAN)
    assert {f.id for f in repeated.worksheet.figures} == {f.id for f in planned.figures}
    for figure in planned.figures:
        assert value(repeated.worksheet, figure.id) == pytest.approx(figure.value, rel=2e-4), figure.id
    assert repeated.factor == 1.0


def test_at_three_times_the_weight_the_linear_ones_triple_and_the_others_are_named():
    planned, repeated = sheet_of(PLAN), made(weight_g=300)
    for figure_id in LINEAR:
        assert value(repeated.worksheet, figure_id) == pytest.approx(
            3 * value(planned, figure_id), rel=2e-4
        ), figure_id
    how = {c.figure.id: c.how for c in changes(planned, repeated)}
    assert {how[f] for f in LINEAR} == {"in proportion"}
    named = {f for f, way in how.items() if way == "worked out anew"}
    assert set(ANEW) <= named
    assert {f for f in named if not f.endswith(".weighing")} == set(ANEW) - {"stock.rust.weighing"}
    anew = repeat_sections(planned, repeated, 90)[0]
    assert anew.name.startswith("worked out anew")
    lines = ["".join(text for text, _ in row) for row in anew.rows]
    for label in ("centre at 85 degC", "steam set", "pot water for the set", "weighing error, for rust"):
        assert any(label in line and "->" in line for line in lines), label


def test_what_is_worked_out_anew_by_hand():
    """Three times the wool in one roll of the old length: the cross-section triples, so 5 cm x root 3 = 8.660 cm.
    A long roll heats by Fourier number, minutes as diameter squared: three times as long. One weighing of three
    times the dye errs a third as much."""
    planned, repeated = sheet_of(PLAN), made(weight_g=300)
    assert table(repeated)["set"]["thickness"] == "8.66 cm"
    assert value(repeated.worksheet, "set.heat_through") == pytest.approx(
        3 * value(planned, "set.heat_through"), rel=1e-3
    )
    assert value(repeated.worksheet, "stock.rust.weighing") == pytest.approx(
        value(planned, "stock.rust.weighing") / 3, rel=1e-3
    )
    hold = value(repeated.worksheet, "set.hold")
    through = repeated.worksheet.figure("set.heat_through")
    assert through is not None and through.high is not None
    assert hold == round(through.high + 10)
    assert value(repeated.worksheet, "set.pot_water") == pytest.approx(
        1.2 * value(planned, "set.boil_off") * hold, abs=10
    )
    assert any(note.startswith("Held 40 min before") for note in repeated.notes)


def test_a_flat_packet_grows_wider_and_stays_as_thick():
    repeated = made(text=DROPS, weight_g=200)
    assert table(repeated)["set"]["thickness"] == "3 cm" and table(repeated)["set"]["width"] == "28 cm"


def test_comments_order_and_untouched_lines_stay():
    repeated = made(as_planned(dry_g=101.0, squeezed_g=190.0))
    for comment in (
        "# Our harbour stripes.",
        "# the blue scale",
        "# Two reds and a green.",
        "# from the tall jar",
    ):
        assert comment in repeated.text
    assert '# Two reds and a green.\n[[colour]]\nname = "rust"' in repeated.text
    assert 'dry_weight = "101 g"  # the blue scale' in repeated.text
    assert repeated.text.splitlines()[0] == (
        "# Repeated from one.jsonl as it was really done, on 101 g of dry fibre."
    )
    kept = [line for line in PLAN.splitlines() if line.startswith(("[", "order", "name", "dye ="))]
    assert [line for line in repeated.text.splitlines() if line in kept] == kept


def test_a_jar_that_came_out_stronger_by_hand():
    """4.2 g per 100 mL where 4 was meant: 2 % x 4.2 / 4 = 2.1 % on the fibre, and the same mL are poured."""
    done = as_planned()
    rust = ColourDone(slug="rust", planned_percent=(4.0,), real_percent=(4.2,), mixed_ml=30.0, stock_ml=18.0)
    repeated = made(as_planned(colours=(rust, done.colours[1])))
    colour = table(repeated)["colour"][0]
    assert (colour["stock"], colour["depth"]) == ("4.2 %", "2.1 %")
    assert value(repeated.worksheet, "stock.rust.volume") == pytest.approx(18.0)


def test_a_mixture_whose_yellow_came_out_stronger_by_hand():
    """75 x 2.2 / 2 = 82.5 of yellow to 25 of blue, 107.5 in all: 76.744 % and 23.256 %, depth 1.075 %."""
    done = as_planned()
    moss = ColourDone(
        slug="moss", planned_percent=(2.0, 2.0), real_percent=(2.2, None), mixed_ml=20.0, stock_ml=15.0
    )
    repeated = made(as_planned(colours=(done.colours[0], moss)))
    colour = table(repeated)["colour"][1]
    assert [part["share"] for part in colour["mix"]] == ["76.744 %", "23.256 %"]
    assert (colour["mix"][0]["stock"], colour["depth"]) == ("2.2 %", "1.075 %")
    assert "stock" not in colour["mix"][1]


def test_heavier_fibre_with_the_same_dye_was_paler_by_hand():
    """125 g weighed where 100 g was planned, the stock poured as planned: 2 % x 100 / 125 = 1.6 %, 18 mL still."""
    repeated = made(as_planned(dry_g=125.0, squeezed_g=225.0))
    assert table(repeated)["colour"][0]["depth"] == "1.6 %"
    assert value(repeated.worksheet, "paint.rust.stock") == pytest.approx(18.0)


def test_the_acid_that_was_poured_stands_instead_of_the_ph_aimed_at():
    """45 mL into 1.9 L on 100 g: liquor ratio 19; at 150 g 67.5 mL."""
    done = as_planned(acid_amount=45.0, soak_ml=1900.0)
    presoak = table(made(done))["presoak"]
    assert "target_ph" not in presoak
    assert (presoak["acid_amount"], presoak["liquor_ratio"]) == ("45 mL", 19.0)
    assert table(made(done, weight_g=150))["presoak"]["acid_amount"] == "67.5 mL"


def test_what_was_poured_and_held_stands_instead_of_the_practices_named():
    text = PLAN.replace("target_ph = 4.0", 'practice = "vinegar-one-cup"').replace(
        'hold = "40 min"', 'practice = "steam-packet-45"'
    )
    done = Done(dry_g=100.0, planned_dry_g=100.0, acid_amount=50.0, hold_min=44.0)
    again = repeat(text, done, EMPTY_SHELF, name="again", source="s.jsonl")
    assert "practice" not in again.text
    assert again.plan.presoak.acid_amount is not None and again.plan.presoak.acid_amount.value == 50.0
    assert again.plan.set.hold is not None and again.plan.set.hold.value == 44.0
    unmeasured = Done(dry_g=100.0, planned_dry_g=100.0)
    named = repeat(text, unmeasured, EMPTY_SHELF, weight_g=200.0, name="again", source="s.jsonl")
    assert named.plan.presoak.practice == "vinegar-one-cup"
    dose = named.worksheet.figure("presoak.acid")
    assert dose is not None and dose.value == pytest.approx(2 * 52.16)


def test_hold_lost_steam_and_water_filled_up_are_noted():
    repeated = made(as_planned(hold_min=52.3, lost_min=4.0, pot_ml=1450.0, filled_up_ml=300.0))
    assert 'hold = "52 min"  # steam was lost for 4 min' in repeated.text
    assert 'pot_water = "1 450 mL"  # and 300 mL filled up' in repeated.text
    assert value(repeated.worksheet, "set.hold") == 52


def test_a_longer_hold_than_advised_is_kept_for_a_larger_packet():
    assert table(made(as_planned(hold_min=300.0), weight_g=150))["set"]["hold"] == "300 min"


def test_drops_as_they_were_in_what_was_mixed_by_hand():
    """24 drops in 80 mL are 30 in the plan's 100 mL."""
    done = as_planned(DROPS)
    lamp = ColourDone(
        slug="lamp", planned_percent=(None,), real_percent=(None,), mixed_ml=80.0, stock_ml=1.0, drops=24.0
    )
    assert table(made(as_planned(DROPS, colours=(lamp,)), text=DROPS))["colour"][0]["drops"] == 30.0
    assert done.colours[0].drops is not None


def test_drops_done_as_planned_stay_as_they_were_typed():
    assert table(made(text=DROPS))["colour"][0]["drops"] == 25


def test_nothing_measured_gives_the_plan_again_with_a_word_about_it():
    repeated = made(Done(planned_dry_g=100.0))
    assert {k: v for k, v in table(repeated).items() if k != "set"} == {
        k: v for k, v in tomllib.loads(PLAN).items() if k != "set"
    }
    assert any("was not measured" in note for note in repeated.notes)


def test_what_was_planned_and_not_measured_is_scaled_all_the_same():
    """Twice the weight: 180 g wet become 360 g, 40 mL of acid 80 mL; a pH that was aimed at stays."""
    unmeasured = Done(planned_dry_g=100.0)
    with_amount = PLAN.replace("target_ph = 4.0", 'acid_amount = "40 mL"')
    told = table(made(unmeasured, 200.0, with_amount))
    assert (told["fibre"]["squeezed_weight"], told["presoak"]["acid_amount"]) == ("360 g", "80 mL")
    assert table(made(unmeasured, 200.0))["presoak"]["target_ph"] == 4.0


def test_a_band_painted_otherwise_than_laid_out_is_said():
    bands = (BandDone(number=3, planned="rust", painted=("kelp", "rust")),)
    told = "Band 3 was painted kelp and then rust; the plan paints it rust once."
    assert any(note.startswith(told) for note in made(as_planned(bands=bands)).notes)


def test_a_second_set_is_said():
    assert any(note.startswith("The goods were set 2 times") for note in made(as_planned(sets=2)).notes)


@pytest.mark.parametrize(
    ("done", "weight_g", "told"),
    [
        (Done(), None, "does not say what weight was dyed"),
        (Done(dry_g=100.0), 10_001.0, "more than 100 times off the 100 g"),
        (Done(dry_g=100.0), 0.5, "more than 100 times off"),
        (Done(dry_g=100.0, soak_ml=90_000.0), None, "presoak.liquor_ratio"),
    ],
)
def test_what_cannot_be_is_one_sentence(done, weight_g, told):
    with pytest.raises(PlanError, match=told) as refused:
        made(done, weight_g)
    assert "\n" not in str(refused.value)


def test_a_session_whose_text_is_no_plan():
    with pytest.raises(PlanError, match="format"):
        repeat("title = 1", Done(dry_g=100.0), EMPTY_SHELF, name="plan", source="one.jsonl")


@pytest.mark.parametrize(
    "fibre",
    [
        'fibre = { blend = { wool = 100 }, dry_weight = "100 g", form = "loose" }\n',
        'fibre.blend.wool = 100\nfibre.dry_weight = "100 g"\nfibre.form = "loose"\n',
        '[fibre]\ndry_weight = "100 g"\nform = "loose"\n[fibre.blend]\nwool = 100\n',
        '[fibre.blend]\nwool = 100\n[fibre]\ndry_weight = "100 g"\nform = "loose"\n',
    ],
)
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_every_way_of_writing_a_table(fibre, end):
    text = (
        'format = "potside-plan/1"\ntitle = "T"\n'
        + fibre
        + '[[colour]]\nname = "rust"\ndye = "C.I. Acid Orange 7"\n'
        'depth = "1 %"\n\n# the pot\n[set]\nthickness = "5 cm"\n'
    ).replace("\n", end)
    repeated = made(Done(dry_g=100.0, squeezed_g=175.0, hold_min=33.0), 200.0, text)
    told = table(repeated)
    assert (told["fibre"]["dry_weight"], told["fibre"]["squeezed_weight"]) == ("200 g", "350 g")
    assert told["fibre"]["blend"] == {"wool": 100} and "# the pot" in repeated.text
    assert repeated.plan.set.hold is not None


@settings(max_examples=15)
@given(factor=st.floats(0.05, 20))
def test_whatever_the_weight_proportion_holds_and_a_repeat_can_be_repeated(factor):
    planned, repeated = sheet_of(PLAN), made(weight_g=100 * factor)
    for figure_id in LINEAR:
        assert value(repeated.worksheet, figure_id) == pytest.approx(
            factor * value(planned, figure_id), rel=1e-3
        )
    back = made(as_planned(repeated.text), weight_g=100.0, text=repeated.text)
    for figure_id in LINEAR:
        assert value(back.worksheet, figure_id) == pytest.approx(value(planned, figure_id), rel=2e-3)


@settings(max_examples=25)
@given(weight=st.floats(50, 200), wet=st.floats(1.1, 2.4), strong=st.floats(0.5, 2), acid=st.floats(1, 60))
def test_whatever_was_done_the_stock_poured_is_poured_again(weight, wet, strong, acid):
    done = as_planned()
    rust = ColourDone(
        slug="rust", planned_percent=(4.0,), real_percent=(4.0 * strong,), mixed_ml=30.0, stock_ml=18.0
    )
    repeated = made(
        as_planned(dry_g=weight, squeezed_g=weight * wet, acid_amount=acid, colours=(rust, done.colours[1]))
    )
    assert value(repeated.worksheet, "stock.rust.volume") == pytest.approx(18.0, rel=1e-3)
    assert value(repeated.worksheet, "stock.rust.dye") == pytest.approx(0.72 * strong, rel=1e-3)
    assert value(repeated.worksheet, "presoak.acid") == pytest.approx(acid, rel=1e-3)


def test_a_matching_second_lot_names_jars_acid_hold_and_pick_up():
    done = as_planned(soak_ph=4.2)
    section = same_lot_section(done, made(done))
    told = {row[0][0].strip(): row[1][0] for row in section.rows}
    (jar,) = (
        what for label, what in told.items() if label.startswith("jar of") and label.endswith("for rust")
    )
    assert jar == "4 %"
    assert told["pH of the soak, as it was read"] == "pH 4.2"
    assert told["steam set, from rolling steam"] == "40 min"
    assert told["water held after squeezing"] == "80 %" and told["wet pick-up when painted"] == "150 %"
    # 2 000 mL of soak on 100 g; the depth that was planned.
    assert told["water of the soak on 1 g of dry fibre"] == "20 mL"
    assert told["depth of rust on the fibre it covers"] == "2 %"
    # 18 mL of stock in 27 mL of paint: 100 g x 30 % x (150 - 80) % x 1.2 = 25.2 mL of paint.
    assert told["stock in 100 mL of paint for rust"] == "71.4 mL"
