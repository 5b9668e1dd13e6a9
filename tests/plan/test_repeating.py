"""A plan from what was really done: by hand, at once and three times the weight, with its comments kept."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.repeat.repeating import Done, repeat
from studio.plan.settled import settle
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF
from studio.report.comparing import changes, repeat_sections, same_lot_section
from tests.conftest import examples
from tests.plan.conftest import value

PLAN = (Path(__file__).resolve().parents[1] / "plans" / "harbour-wall.plan.toml").read_text()
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


MOSS = ("acid-yellow-23", "acid-blue-9")


def sheet_of(text):
    return work_out(read_plan(text, name="plan"), EMPTY_SHELF)


MEASURED = (
    "fibre.weight",
    "paint.squeezed",
    "presoak.water",
    "presoak.acid",
    "presoak.time",
    "stock.rust.dye",
    "stock.rust.volume",
    "paint.rust.liquid",
    "set.hold",
    "set.pot_water",
)


def as_planned(text=PLAN, changed=None, **said):
    """What is measured at the bench, exactly as the worksheet of the plan has it but for what is `changed`."""
    sheet = sheet_of(text)
    found = {f.id: f.value for f in sheet.figures if f.id in MEASURED}
    return done_of({**found, **(changed or {})}, text, **said)


def done_of(amounts, text=PLAN, **said):
    return Done(choices=settle(read_plan(text, name="plan"), EMPTY_SHELF), amounts=amounts, **said)


def made(done=None, weight_g=None, text=PLAN):
    return repeat(
        text, done or as_planned(text), EMPTY_SHELF, weight_g=weight_g, name="plan", source="one.jsonl"
    )


def table(repeated):
    return tomllib.loads(repeated.text)


LINEAR = (
    "fibre.weight",
    "presoak.water",
    "presoak.acid",
    "presoak.bound",
    "stock.rust.dye",
    "stock.rust.volume",
    "stock.moss.acid-yellow-23.dye",
    "stock.moss.acid-yellow-23.volume",
    "paint.capacity",
    "paint.rust.fibre",
    "paint.rust.liquid",
    "paint.rust.stock",
    "paint.rust.water",
    "paint.moss.liquid",
)
ANEW = (
    "set.heat_through",
    "set.hold",
    "set.pot_water",
    "set.pot_lasts",
    "set.to_steam",
    "stock.rust.weighing",
    "cool.time",
)


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
    for label in ("middle at 85 °C", "steam set", "pot water for the set", "weighing error, dye for rust"):
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
        1.2 * value(planned, "set.boil_off") / 0.75 * 0.9 * hold, abs=10
    )
    assert any(note.startswith("Held 40 min before") for note in repeated.notes)


def test_a_flat_packet_grows_wider_and_stays_as_thick():
    repeated = made(text=DROPS, weight_g=200)
    assert table(repeated)["set"]["thickness"] == "3 cm" and table(repeated)["set"]["width"] == "28 cm"


def test_comments_order_and_untouched_lines_stay():
    repeated = made(as_planned(changed={"fibre.weight": 101.0, "paint.squeezed": 190.0}))
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
        "# Repeated from one.jsonl from what was done, on 101 g of dry fibre."
    )
    kept = [line for line in PLAN.splitlines() if line.startswith(("[", "order", "name", "dye ="))]
    assert [line for line in repeated.text.splitlines() if line in kept] == kept


def test_thickened_paint_stays_so_and_takes_three_times_the_gum():
    text = PLAN.replace('name = "rust"\n', 'name = "rust"\nthicken = { with = "guar", strength = "0.5 %" }\n')
    repeated = made(text=text, weight_g=3 * value(sheet_of(text), "fibre.weight"))
    assert table(repeated)["colour"][0]["thicken"] == {"with": "guar", "strength": "0.5 %"}
    grams = value(sheet_of(text), "paint.rust.thickener")
    assert value(repeated.worksheet, "paint.rust.thickener") == pytest.approx(3 * grams, rel=0.01)
    other = made(text=text, done=done_of({"paint.rust.thickener": 2 * grams}, text))
    assert value(other.worksheet, "paint.rust.thickener") == pytest.approx(grams), "poured as asked"


def test_a_jar_that_came_out_stronger_by_hand():
    """0.756 g in 18 mL is 4.2 % where 4 was meant; 60 g x 2 % / 4.2 % were poured, so that the depth stays."""
    repeated = made(done_of({"stock.rust.dye": 0.756, "stock.rust.volume": 18.0}))
    colour = table(repeated)["colour"][0]
    assert (colour["stock"], colour["depth"]) == ("4.2 %", "2 %")
    assert value(repeated.worksheet, "paint.rust.stock") == pytest.approx(30 * 0.02 * 1.2 / 0.042)


def test_more_paint_than_was_asked_for_is_as_pale_again_by_hand():
    """36 mL where 25.2 were asked, of the same 18 mL of stock: 25.2 / 36 x 2 % = 1.4 % on the fibre."""
    repeated = made(done_of({"paint.rust.stock": 18.0, "paint.rust.liquid": 36.0}))
    colour = table(repeated)["colour"][0]
    assert colour["depth"] == "1.4 %" and "liquid" not in colour
    assert value(repeated.worksheet, "paint.rust.apply") == pytest.approx(21.0)


def test_less_paint_than_was_asked_for_is_as_strong_again_by_hand():
    """21 mL with the dye of 25.2: 17.5 mL of it give 2 %, and 17.5 x 1.2 mL are mixed again."""
    repeated = made(done_of({"paint.rust.stock": 18.0, "paint.rust.liquid": 21.0}))
    colour = table(repeated)["colour"][0]
    assert (colour["depth"], colour["liquid"]) == ("2 %", "21 mL")
    assert value(repeated.worksheet, "paint.rust.apply") == pytest.approx(17.5)


def test_a_mixture_whose_yellow_came_out_stronger_by_hand():
    """Poured as planned, 75 x 2.2 / 2 = 82.5 of yellow to 25 of blue, 107.5 in all: 76.744 %.

    The paint has 1.075 times the dye, so that the depth comes of 1 / 1.075 of it: 25 g of fibre take 17.5 mL, and
    17.5 x 1.2 / 1.075 = 19.535 mL are mixed.
    """
    planned = sheet_of(PLAN)
    volume = value(planned, "stock.moss.acid-yellow-23.volume")
    poured = {f"paint.moss.stock.{dye}": value(planned, f"paint.moss.stock.{dye}") for dye in MOSS}
    strong = {
        "stock.moss.acid-yellow-23.volume": volume,
        "stock.moss.acid-yellow-23.dye": volume * 0.022,
    }
    colour = table(made(done_of({**strong, **poured})))["colour"][1]
    assert [part["share"] for part in colour["mix"]] == ["76.744 %", "23.256 %"]
    assert (colour["mix"][0]["stock"], colour["depth"], colour["liquid"]) == ("2.2 %", "1 %", "19.535 mL")
    assert "stock" not in colour["mix"][1]


def test_heavier_fibre_with_the_same_dye_was_paler_by_hand():
    """125 g weighed, the dye for 100 g in the jar: 0.72 g, all of it without a reserve, on 37.5 g are 1.92 %."""
    done = done_of({"fibre.weight": 125.0, "stock.rust.dye": 0.72, "paint.rust.stock": 18.0})
    repeated = made(done)
    assert table(repeated)["colour"][0]["depth"] == "1.92 %"
    assert value(repeated.worksheet, "paint.rust.depth") == pytest.approx(1.92)


def test_the_acid_that_was_poured_stands_instead_of_the_ph_aimed_at():
    """45 mL into 1.9 L on 100 g: liquor ratio 19; at 150 g 67.5 mL."""
    done = as_planned(changed={"presoak.acid": 45.0, "presoak.water": 1900.0})
    presoak = table(made(done))["presoak"]
    assert "target_ph" not in presoak
    assert (presoak["acid_amount"], presoak["liquor_ratio"]) == ("45 mL", 19.0)
    assert table(made(done, weight_g=150))["presoak"]["acid_amount"] == "67.5 mL"


def test_what_reads_alike_is_as_it_was_asked():
    """The bench shows 2 000 mL and three digits of the acid; what is typed after it is no other pH."""
    asked = value(sheet_of(PLAN), "presoak.acid")
    presoak = table(made(done_of({"presoak.acid": float(f"{asked:.3g}"), "presoak.water": 2003.0})))[
        "presoak"
    ]
    assert (presoak["target_ph"], presoak["liquor_ratio"]) == (4.0, 20)


def test_drops_are_counted_whole_in_a_repeat_too():
    """5 drops into 20 mL at the bench: the recipe is kept, and the liquid is what whole drops of it make."""
    done = done_of({"fibre.weight": 97.0, "stock.lamp.drops": 5.0, "paint.lamp.liquid": 20.0}, DROPS)
    repeated = made(done, text=DROPS)
    assert "liquid" not in table(repeated)["colour"][0]
    assert value(repeated.worksheet, "stock.lamp.drops").is_integer()


def test_what_was_poured_and_held_stands_instead_of_the_practices_named():
    text = PLAN.replace("target_ph = 4.0", 'practice = "vinegar-one-cup"').replace(
        'hold = "40 min"', 'practice = "steam-packet-45"'
    )
    done = done_of({"presoak.acid": 50.0, "set.hold": 44.0}, text)
    again = repeat(text, done, EMPTY_SHELF, name="again", source="s.jsonl")
    assert "practice" not in again.text
    assert again.plan.sour.acid_amount is not None and again.plan.sour.acid_amount.value == 50.0
    assert again.plan.own["hold"]["value"] == 44.0
    named = repeat(text, done_of({}, text), EMPTY_SHELF, weight_g=200.0, name="again", source="s.jsonl")
    assert named.plan.sour.practice == "vinegar-one-cup"
    dose = named.worksheet.figure("presoak.acid")
    assert dose is not None and dose.value == pytest.approx(2 * 52.16)


def test_hold_lost_steam_and_water_filled_up_are_noted():
    beside = {"set.hold": "steam was lost for 4 min", "set.pot_water": "and 300 mL filled up"}
    repeated = made(as_planned(changed={"set.hold": 52.3, "set.pot_water": 1450.0}, beside=beside))
    assert 'hold = "52 min"  # steam was lost for 4 min' in repeated.text
    assert 'pot_water = "1 450 mL"  # and 300 mL filled up' in repeated.text
    assert value(repeated.worksheet, "set.hold") == 52


def test_a_longer_hold_than_advised_is_kept_for_a_larger_packet():
    assert table(made(as_planned(changed={"set.hold": 300.0}), weight_g=150))["set"]["hold"] == "300 min"


def test_drops_as_they_were_in_what_was_mixed_by_hand():
    """24 drops in 80 mL are 30 in the plan's 100 mL."""
    done = done_of({"stock.lamp.drops": 24.0, "paint.lamp.liquid": 80.0}, DROPS)
    assert table(made(done, text=DROPS))["colour"][0]["drops"] == 30.0


def test_drops_done_as_planned_stay_as_they_were_typed():
    assert table(made(text=DROPS))["colour"][0]["drops"] == 25


def test_nothing_measured_gives_the_plan_again_with_a_word_about_it():
    repeated = made(done_of({}))
    assert {k: v for k, v in table(repeated).items() if k != "set"} == {
        k: v for k, v in tomllib.loads(PLAN).items() if k != "set"
    }
    assert any("was not measured" in note for note in repeated.notes)


def test_what_was_planned_and_not_measured_is_scaled_all_the_same():
    """Twice the weight: 180 g wet become 360 g, 40 mL of acid 80 mL; a pH that was aimed at stays."""
    with_amount = PLAN.replace("target_ph = 4.0", 'acid_amount = "40 mL"')
    told = table(made(done_of({}, with_amount), 200.0, with_amount))
    assert (told["fibre"]["squeezed_weight"], told["presoak"]["acid_amount"]) == ("360 g", "80 mL")
    assert table(made(done_of({}), 200.0))["presoak"]["target_ph"] == 4.0


def test_what_a_plan_cannot_hold_is_said():
    assert "The fibre was set 2 times." in made(as_planned(notes=("The fibre was set 2 times.",))).notes


@pytest.mark.parametrize(
    ("amounts", "weight_g", "told"),
    [
        ({}, 10_001.0, "more than 100 times off the 100 g"),
        ({}, 0.5, "more than 100 times off"),
        ({"presoak.water": 90_000.0}, None, "presoak.liquor_ratio"),
    ],
)
def test_what_cannot_be_is_one_sentence(amounts, weight_g, told):
    with pytest.raises(PlanError, match=told) as refused:
        made(done_of(amounts), weight_g)
    assert "\n" not in str(refused.value)


def test_a_session_whose_text_is_no_plan():
    with pytest.raises(PlanError, match="format"):
        repeat("title = 1", done_of({}), EMPTY_SHELF, name="plan", source="one.jsonl")


def test_a_text_that_is_not_the_one_the_session_was_worked_out_of():
    """As a file changed by hand may hold it: fewer colours, or one of another name."""
    for text in (PLAN.replace('"rust"', '"rusty"'), DROPS):
        with pytest.raises(PlanError, match="do not go together"):
            repeat(text, done_of({}), EMPTY_SHELF, name="plan", source="one.jsonl")


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
    repeated = made(done_of({"paint.squeezed": 175.0, "set.hold": 33.0}, text), 200.0, text)
    told = table(repeated)
    assert (told["fibre"]["dry_weight"], told["fibre"]["squeezed_weight"]) == ("200 g", "350 g")
    assert told["fibre"]["blend"] == {"wool": 100} and "# the pot" in repeated.text
    assert repeated.plan.own["hold"] is not None


@examples(15)
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


def test_a_matching_second_lot_names_jars_acid_hold_and_pick_up():
    done = as_planned(changed={"presoak.ph.first": 4.2})
    section = same_lot_section(made(done))
    told = {row[0][0].strip(): row[1][0] for row in section.rows}
    assert told["strength of stock for rust"] == "4 %"
    assert told["pH of the soak, before the fibre, as it was read"] == "pH 4.2"
    assert told["steam set, from rolling steam"] == "40 min"
    assert told["water held after squeezing"] == "80 %" and told["thickness of the packet"] == "5 cm"
    # 2 000 mL of soak on 100 g; the depth that was planned.
    assert told["water for the presoak, for 100 g of dry fibre, a blank"] == "2 000 mL"
    assert told["depth of rust"] == "2 %"
    # Room for 70 mL on 100 g of fibre.
    assert told["rust to put on, for 100 g of fibre painted rust"] == "70 mL"
