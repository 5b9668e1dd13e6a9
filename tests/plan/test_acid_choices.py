"""Acid in soak, bath and paint: what a strip is said to show, and when it is too little."""

from __future__ import annotations

import re

import msgspec
import pytest

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_sheet
from studio.plan.shelf import EMPTY_SHELF, Shelf, ShelfAcid, ShelfDye
from tests.plan.conftest import HEAD, RED, ROLL, WOOL, value, work


@pytest.mark.parametrize(("amount", "ph"), [("50 mL", 4.148), ("20 mL", 4.710), ("10 mL", 5.479)])
def test_a_strip_before_the_fibre_is_in(amount: str, ph: float) -> None:
    """4 L of water at 2.000 meq/L and pH 7.5: two ideal solvers, without activity and calcium, hence 0.03."""
    water = '[water]\nalkalinity = "100.087 mg/L"\nph = 7.5\n'
    soak = f'[presoak]\nacid = "white vinegar"\nliquor_ratio = 40\nacid_amount = "{amount}"\n'
    sheet = work(HEAD + WOOL + water + soak + RED + ROLL)
    assert value(sheet, "presoak.ph.first") == pytest.approx(ph, abs=0.03)
    assert value(sheet, "presoak.ph") > ph, "the fibre takes acid out of it"


METAL = '[[colour]]\nname = "rust"\ndye = "metal grey"\ndepth = "1 %"\nstock = "2 %"\n'
METAL_SHELF = Shelf(dyes=(ShelfDye(name="metal grey", dye_class="1:2 premetallised"),))


def kettle_at(acid: str) -> Worksheet:
    """200 g of wool, 6 L of water of 250 mg/L, a metal-complex dye that wants pH 6."""
    text = HEAD + 'method = "kettle"\n' + WOOL.replace("100 g", "200 g") + METAL
    water = '[water]\nalkalinity = "250 mg/L"\nph = 7.4\n'
    return work(f"{text}{water}[kettle]\n{acid}\n", METAL_SHELF)


def test_a_pot_that_simmers_loses_its_carbon_dioxide() -> None:
    """24.8 mL of vinegar bring this water to pH 6 while it is closed. Open, PHREEQC has 8.1 to 8.6 at 2.5 to 5 mL/L."""
    sheet = kettle_at('acid = "white vinegar"\nacid_amount = "24.8 mL"')
    assert 8.0 < value(sheet, "kettle.ph") < 8.6
    figure = sheet.figure("kettle.ph")
    assert figure is not None and "while its carbon dioxide is kept" in figure.because


def test_the_dose_aims_at_the_open_pot() -> None:
    sheet = kettle_at('acid = "white vinegar"\ntarget_ph = 6')
    assert value(sheet, "kettle.ph") == pytest.approx(6.0, abs=0.001)
    assert value(sheet, "kettle.acid") > 6 * 5.0 / 0.8326, "all of the alkalinity and more: 5 meq/L"


def test_acid_that_would_be_a_tenth_of_the_bath_is_refused() -> None:
    water = (
        '[water]\nalkalinity = "1000 mg/L"\nph = 8.3\n[presoak]\nacid = "white vinegar"\ntarget_ph = 3.5\n'
    )
    with pytest.raises(PlanError, match="more than a tenth of the soak; take a stronger acid"):
        work(HEAD + WOOL + water + RED + ROLL)


SOAK_45 = '[presoak]\nacid = "white vinegar"\ntarget_ph = 4.5\n'
STRONG = '"1 %"\nstock = "10 %"'


def told_dose(sheet: Worksheet) -> float:
    """mL into each 100 mL of paint, by acid.short."""
    short = sheet.caution("acid.short.red")
    dose = re.search(r"Put ([\d.]+) mL of white vinegar into each 100 mL", short.text if short else "")
    assert dose is not None, short
    return float(dose[1])


SOAK_35 = SOAK_45.replace("4.5", "3.5")


def test_dye_that_takes_more_acid_than_is_there_is_told_with_the_dose() -> None:
    """2 g of acid red 1 (2 charges, 509.41 g/mol) take 7.85 meq; a soak at pH 3.5 leaves 13.7 or so."""
    deep = RED.replace('"1 %"', '"2 %"\nstock = "10 %"')
    bare = work(HEAD + WOOL + SOAK_35 + deep + ROLL)
    soured = work(HEAD + WOOL + SOAK_35 + deep + f'acid = "{told_dose(bare)} mL"\n' + ROLL)
    assert soured.caution("acid.short.red") is None
    ph = soured.figure("paint.red.ph")
    assert ph is not None and ph.high is not None and 4.8 <= ph.high < 5.0, "what a tenth less acid comes to"
    parts = (value(soured, f"paint.red.{part}") for part in ("stock", "water", "acid"))
    assert sum(parts) == pytest.approx(value(soured, "paint.red.liquid"))
    half = work(HEAD + WOOL + SOAK_35 + deep + f'acid = "{told_dose(bare) / 2} mL"\n' + ROLL)
    assert told_dose(half) == pytest.approx(told_dose(bare), rel=0.01), "what is in it already counts"


@pytest.mark.parametrize("ml", [36, 38, 40])
def test_a_piece_whose_acid_is_about_used_up_shows_no_number(ml: int) -> None:
    """6.26 to 6.73 meq of acid for 5.85 of dye: 8.05, 7.61 or 7.25, each a good unit off with a tenth less acid."""
    soak = f'[presoak]\nacid = "white vinegar"\nacid_amount = "{ml} mL"\n'
    orange = RED.replace('"1 %"', '"2.05 %"\nstock = "10 %"').replace("acid red 1", "acid orange 7")
    sheet = work(HEAD + WOOL + soak + orange + ROLL)
    short = sheet.caution("acid.short.red")
    assert sheet.figure("paint.red.ph") is None
    assert short is not None and "uses up nearly all of its acid" in short.text
    assert "meq" not in short.source and "its dye takes the acid of 7.03 mL" in short.source, "5.85 / 0.8326"


def test_a_soak_far_below_the_published_ones_says_why() -> None:
    """Published soaks name no pH; the least, 62.5 mL to 1 L, ends sourer than the pH that is aimed at."""
    sheet = work(HEAD + WOOL + '[presoak]\nacid = "white vinegar"\ntarget_ph = 4\n' + RED + ROLL)
    figure = sheet.figure("presoak.acid.spread")
    assert figure is not None and figure.label == "published soaks, more acid" and figure.low > figure.chosen
    assert "name no pH" in figure.because and figure.because.endswith("this plan's at pH 4.0")
    ends = float(figure.because.split("the least of them ends at pH ")[1].split(",")[0])
    assert 3.0 < ends < 3.6, "0.05 mol/L in hard water with its fibre"


@pytest.mark.parametrize(
    ("acid", "amount", "strip"), [("citric acid", "2.08 g", 2.6), ("white vinegar", "40 mL", 3.4)]
)
def test_a_strip_makes_no_acid_that_was_not_poured(acid: str, amount: str, strip: float) -> None:
    """2 L for 100 g: half a unit below what is worked out a strip reads by itself, and vinegar has 8 % at most."""
    soak = f'[presoak]\nacid = "{acid}"\nacid_amount = "{amount}"\n'
    orange = RED.replace('"1 %"', '"2.05 %"\nstock = "10 %"').replace("acid red 1", "acid orange 7")
    choices = settle(read_plan(HEAD + WOOL + soak + orange + ROLL, name="t"), EMPTY_SHELF)
    plain = work_sheet(choices)
    near = work_sheet(choices, {"presoak.ph.first": strip})
    expected = value(plain, "presoak.ph.first")
    assert abs(expected - strip) == pytest.approx(0.5, abs=0.02)
    assert near.caution("acid.short.red") is not None
    far = work_sheet(choices, {"presoak.ph.first": expected - 0.8})
    most = work_sheet(choices, {"presoak.acid": float(amount.split()[0]) * 1.6})
    assert value(plain, "presoak.ph") >= value(far, "presoak.ph") >= value(most, "presoak.ph") - 0.01
    told = far.figure("presoak.ph")
    assert told is not None and told.low is not None and told.low < value(far, "presoak.ph") - 0.5
    assert far.caution("acid.short.red") is not None, "as poured it is too little"


def test_a_levelling_dye_is_called_short_above_ph_5() -> None:
    """1 g of acid red 1 takes 3.93 meq: in a range of pH 2 to 4, the piece ends near 5.5."""
    strong = RED.replace('"1 %"', STRONG)
    soak = SOAK_45.replace("4.5", "3.8")
    sheet = work(HEAD + WOOL + soak + strong + ROLL)
    assert 5.0 < value(sheet, "paint.red.ph") < 6.0
    short = sheet.caution("acid.short.red")
    assert short is not None and "from memory" in short.source
    nearly = 0.95 * told_dose(sheet)
    some = work(HEAD + WOOL + soak + strong + f'acid = "{nearly:.4g} mL"\n' + ROLL)
    assert some.caution("acid.short.red") is None, "near enough"


def test_a_dye_that_works_less_sour_is_aimed_higher() -> None:
    """A 1:2 metal complex works up to pH 7: the piece may end there with a tenth less acid."""
    metal = METAL.replace('"2 %"', '"10 %"')
    soak = SOAK_45.replace("4.5", "6.5")
    short = work(HEAD + WOOL + soak + metal + ROLL, METAL_SHELF).caution("acid.short.rust")
    assert short is not None
    dose = re.search(r"Put ([\d.]+) mL", short.text)
    assert dose is not None
    soured = work(HEAD + WOOL + soak + metal + f'acid = "{dose[1]} mL"\n' + ROLL, METAL_SHELF)
    ph = soured.figure("paint.rust.ph")
    assert ph is not None and ph.high == pytest.approx(7.0, abs=0.1)
    assert soured.caution("acid.short.rust") is None


def test_paint_without_room_for_more_acid_is_sent_to_the_soak() -> None:
    """2 % of dye of a 3 % stock fill the fibre's liquid."""
    full = work(HEAD + WOOL + SOAK_45 + RED.replace('"1 %"', '"2 %"\nstock = "3.4 %"') + ROLL)
    short = full.caution("acid.short.red")
    assert (
        short is not None
        and "no room for more: make its stock stronger, put more acid into the soak" in short.text
    )


def test_acid_for_all_paint_gives_way_to_that_of_a_colour() -> None:
    soak = '[presoak]\nacid = "citric acid"\ntarget_ph = 4\npaint_acid = "1 g"\n'
    assert value(work(HEAD + WOOL + soak + RED + ROLL), "paint.red.acid") == pytest.approx(
        value(work(HEAD + WOOL + soak + RED + 'acid = "2 g"\n' + ROLL), "paint.red.acid") / 2
    )
    with pytest.raises(PlanError, match="measured by volume"):
        work(HEAD + WOOL + soak.replace("citric acid", "white vinegar") + RED + ROLL)
    with pytest.raises(PlanError, match="is for painting"):
        kettle_at('acid = "white vinegar"\n[presoak]\npaint_acid = "5 mL"')


def test_an_essence_whose_per_cent_is_by_weight_holds_more() -> None:
    """25 % by weight is 25.78 g in 100 mL (density 1.0311)."""
    soak = '[presoak]\nacid = "essence"\ntarget_ph = 4\n'
    by_volume = ShelfAcid(name="essence", acid="white vinegar", strength_percent=25.0)
    doses = [
        value(work(HEAD + WOOL + soak + RED + ROLL, Shelf(acids=(one,))), "presoak.acid")
        for one in (by_volume, msgspec.structs.replace(by_volume, strength_by="weight"))
    ]
    assert doses[0] / doses[1] == pytest.approx(25.78 / 25.0, rel=0.002)


@pytest.mark.parametrize(("percent", "told"), [(1.2, False), (1.5, True), (2.0, True)])
def test_more_dye_than_the_fibre_has_sites_for_is_told(percent: float, told: bool) -> None:
    """200 g of nylon have 8 mmol of sites, of which 0.9 are 7.2; acid orange 7 is 2.855 mmol/g: 6.85, 8.56 and 11.4."""
    nylon = WOOL.replace("wool", "nylon").replace("100 g", "200 g")
    orange = RED.replace("acid red 1", "acid orange 7").replace('"1 %"', f'"{percent} %"')
    for how in ("kettle", "paint and steam"):
        soak = '[presoak]\nacid = "white vinegar"\ntarget_ph = 4\n'
        rest = soak + ROLL if how != "kettle" else soak.replace("presoak", "kettle")
        stock = 'stock = "10 %"\n' if how != "kettle" else ""
        sheet = work(f'{HEAD}method = "{how}"\n{nylon}{orange}{stock}{rest}')
        caution = sheet.caution("dye.sites.red")
        assert (caution is not None) == told and "meq" not in (caution.text if caution else "")
        bound = sheet.figure("kettle.bound")
        assert bound is None or bound.value >= 0.005, "less is not shown"


def test_the_strip_at_the_end_names_what_has_taken_acid_up() -> None:
    """No dye has been near a painted piece's soak."""
    soak = work(HEAD + WOOL + SOAK_45 + RED + ROLL).step_for("end pH")
    bath = kettle_at('acid = "white vinegar"\ntarget_ph = 6').step_for("end pH")
    assert soak is not None and "the fibre has taken" in soak.text and "dye" not in soak.text
    assert bath is not None and "fibre and dye have taken" in bath.text
