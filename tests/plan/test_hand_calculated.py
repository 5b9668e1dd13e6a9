"""One worksheet, every figure worked out by hand in the comments; nothing here was copied from output."""

from __future__ import annotations

import pytest

from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF

PLAN = """
format = "potside-plan/1"
title = "Harbour wall"
method = "paint and steam"

[fibre]
blend = { "superwash wool" = 75, nylon = 25 }
dry_weight = "120 g"
squeezed_weight = "204 g"
target_pickup = "150 %"
form = "blank"
rows = 100

[water]
alkalinity = "100.087 mg/L"
ph = 7.5
altitude = "1000 m"

[presoak]
acid = "white vinegar"
liquor_ratio = 25
acid_amount = "14.93 mL"
time = "45 min"

[[colour]]
name = "rust"
dye = "C.I. Acid Orange 7"
depth = "2 %"
stock = "4 %"

[[colour]]
name = "moss"
mix = [ { dye = "C.I. Acid Yellow 23", share = "75 %" }, { dye = "acid blue 9", share = "25 %" } ]
depth = "1 %"
stock = "2 %"

[layout]
order = [ { colour = "rust", rows = 30 }, { bare = 20 }, { colour = "moss", rows = 25 }, { bare = 25 } ]

[set]
shape = "roll"
thickness = "6 cm"
length = "30 cm"
hob = "1200 W"
hob_efficiency = 0.8
pot_water = "1.2 L"
"""

BY_HAND = [
    # As the plan has it.
    ("fibre.weight", 120.0, "g", 1e-9),
    # Wool and nylon both take acid dye: 75 + 25.
    ("fibre.dyeable", 100.0, "%", 1e-9),
    # 120 g x 25.
    ("presoak.water", 3000.0, "mL", 1e-9),
    # As written; 14.93 mL x 5 g / 100 mL / 60.052 g/mol = 12.43 mmol, in 3 L = 4.143 mmol/L.
    ("presoak.acid", 14.93, "mL", 1e-9),
    # 4.143 mmol/L acetic in 2.000 meq/L (100.087 mg/L) with 2.139 mmol/L of carbonate, closed: PHREEQC, run by
    # others with activity corrections and sodium, gives 4.693; the vinegar's own 0.5 % of volume adds 0.003 at most.
    ("presoak.ph.first", 4.693, "pH", 0.01),
    # Worked with scipy apart from the program, ideal: 4.143 mmol/L against 2.000 meq/L with 30 g/L of wool and 10 of
    # nylon, 0.625 mmol/g on average.
    ("presoak.ph", 4.84, "pH", 0.03),
    # A quarter US cup to a US quart, 59.15 / 0.9464 = 62.5 mL to 1 L of the 3 L.
    ("presoak.acid.spread", 187.5, "mL", 1e-9),
    # The same sum: 0.581 mmol/L of the 3.015 L; vinegar holds 50 g/L / 60.052 = 0.83261 mmol/mL: 2.105 mL,
    # and 2.193 with the activity of the ions, worked apart from the program too.
    ("presoak.bound", 2.193, "mL", 0.03),
    ("presoak.time", 45.0, "min", 1e-9),
    ("presoak.temperature", 40.0, "degC", 1e-9),
    # (204 - 120) / 120 = 70 %; 120 x (150 - 70) / 100 = 96 mL.
    ("paint.squeezed", 204.0, "g", 1e-9),
    ("paint.held", 70.0, "%", 1e-9),
    ("paint.capacity", 96.0, "mL", 1e-9),
    # 30 of 100 rows: 36 g. 96 x 0.30 x 1.2 = 34.56 mL. 36 x 2 / 4 = 18 mL of stock, x 1.2 = 21.6 mL.
    ("paint.rust.fibre", 36.0, "g", 1e-9),
    ("paint.rust.liquid", 34.56, "mL", 1e-9),
    ("paint.rust.stock", 21.6, "mL", 1e-9),
    ("paint.rust.water", 12.96, "mL", 1e-9),
    # Without the reserve 96 x 0.30 = 28.8 mL go on: 0.864 g in 34.56 mL x 28.8 mL / 36 g = 2 %.
    ("paint.rust.apply", 28.8, "mL", 1e-9),
    ("paint.rust.depth", 2.0, "%", 1e-9),
    # 21.6 mL x 4 g / 100 mL = 0.864 g; a triangle of base 0.2 g keeps 95 % within
    # (1 - root 0.05) x 0.1 = 0.0776393 g, / 0.864 g = 8.986 %.
    ("stock.rust.volume", 21.6, "mL", 1e-9),
    ("stock.rust.dye", 0.864, "g", 1e-9),
    ("stock.rust.strength", 4.0, "%", 1e-9),
    ("stock.rust.weighing", 8.986, "%", 0.001),
    # 25 rows: 30 g. 96 x 0.25 x 1.2 = 28.8 mL. Dye 30 x 1 % = 0.3 g: 0.225 g yellow and 0.075 g blue;
    # in 2 % stock 11.25 and 3.75 mL, x 1.2 = 13.5 and 4.5 mL; dye 0.27 and 0.09 g.
    ("paint.moss.fibre", 30.0, "g", 1e-9),
    ("paint.moss.liquid", 28.8, "mL", 1e-9),
    ("paint.moss.stock", 18.0, "mL", 1e-9),
    ("paint.moss.stock.acid-yellow-23", 13.5, "mL", 1e-9),
    ("paint.moss.stock.acid-blue-9", 4.5, "mL", 1e-9),
    ("paint.moss.water", 10.8, "mL", 1e-9),
    ("paint.moss.apply", 24.0, "mL", 1e-9),
    ("paint.moss.depth", 1.0, "%", 1e-9),
    ("stock.moss.acid-yellow-23.volume", 13.5, "mL", 1e-9),
    ("stock.moss.acid-yellow-23.dye", 0.27, "g", 1e-9),
    ("stock.moss.acid-yellow-23.strength", 2.0, "%", 1e-9),
    # 0.0776393 / 0.27 and / 0.09.
    ("stock.moss.acid-yellow-23.weighing", 28.755, "%", 0.001),
    ("stock.moss.acid-blue-9.volume", 4.5, "mL", 1e-9),
    ("stock.moss.acid-blue-9.dye", 0.09, "g", 1e-9),
    ("stock.moss.acid-blue-9.strength", 2.0, "%", 1e-9),
    ("stock.moss.acid-blue-9.weighing", 86.266, "%", 0.001),
    # 50 steps of 0.1 g are 5 g: 250 mL of 2 % or 4 %, the least round volume that holds them; 100 mL of 4 % hold 4 g.
    ("stock.rust.round", 10.0, "g", 1e-9),
    ("stock.moss.acid-yellow-23.round", 5.0, "g", 1e-9),
    ("stock.moss.acid-blue-9.round", 5.0, "g", 1e-9),
    # ISO 2533 and IAPWS-IF97: 898.746 hPa, 96.649 °C.
    ("set.boiling_point", 96.649, "degC", 0.001),
    # theta = (85 - 96.649) / (20 - 96.649) = 0.151979. A long cylinder beyond Fo 0.2 is its first term:
    # 1.601975 exp(-2.404826^2 Fo), so Fo = ln(1.601975 / 0.151979) / 5.783188 = 0.40726; the ends (half length
    # 15 cm, Fo 0.016) do not count. t = 0.40726 x 0.03^2 / 1.6e-7 / 60 = 38.18 min, at 1.0e-7 61.09 min.
    ("set.heat_through", 61.09, "min", 0.01),
    # Larger of 30 (levelling dye) and 61.09 + 10 = 71.09, in whole minutes.
    ("set.hold", 71.0, "min", 1e-9),
    # The shortest published for wool, half an hour for a wrapped packet.
    ("set.hold.spread", 30.0, "min", 1e-9),
    # 1200 mL x 4.19 J/gK x (96.649 - 15) K / (1200 W x 60 s x 0.8).
    ("set.to_steam", 7.127, "min", 0.001),
    # 1200 W x 0.8 x 60 s / 2265.29 J/g (latent heat at 1000 m).
    ("set.boil_off", 25.427, "mL/min", 0.002),
    # 25.427 x 71 x 1.2.
    ("set.pot_needed", 2166.4, "mL", 0.5),
    # As written, and less than that.
    ("set.pot_water", 1200.0, "mL", 1e-9),
    # 1200 / 25.427.
    ("set.pot_lasts", 47.19, "min", 0.01),
    # 84 g of water and 0.55 x 96 mL of paint in 120 g are 1.14 g a g, and 256.8 g in pi 0.06^2 / 4 x 0.30 = 848 mL
    # 0.303 g/mL, too light to be so: reckoned without air, 2.14 g in 1 / 1.31 + 1.14 / 0.998 mL, 1.1230 g/mL and
    # (1.36 + 1.14 x 4.19) / 2.14 = 2.8676 J/gK: 3.2202 MJ/m3K.
    # Bi 8 x 0.03 / 0.5 = 0.48: z 0.92405, C 1.10987 on the axis; along it 8 x 0.15 / 0.5 = 2.4: z 1.12986, C 1.19577.
    # Rate 0.5 / 3.2202e6 x (0.92405^2 / 0.03^2 + 1.12986^2 / 0.15^2) = 1.5612e-4 a second;
    # ln(1.10987 x 1.19577 / (20 / 76.649)) = 1.62651 / 1.5612e-4 / 60 = 173.6 min, less what the next terms take.
    ("cool.time", 163.53, "min", 0.01),
    ("rinse.temperature", 40.0, "degC", 1e-9),
]


@pytest.fixture(scope="module")
def worksheet() -> Worksheet:
    return work_out(read_plan(PLAN, name="harbour.plan.toml"), EMPTY_SHELF)


@pytest.mark.parametrize(("figure_id", "value", "unit", "within"), BY_HAND, ids=[row[0] for row in BY_HAND])
def test_figure(worksheet: Worksheet, figure_id: str, value: float, unit: str, within: float) -> None:
    figure = worksheet.figure(figure_id)
    assert figure is not None
    assert figure.value == pytest.approx(value, abs=within)
    assert figure.unit == unit


def test_no_figure_was_left_out_of_the_hand_calculation(worksheet: Worksheet) -> None:
    assert {f.id for f in worksheet.figures} == {row[0] for row in BY_HAND}


@pytest.mark.parametrize(
    ("figure_id", "low", "high"),
    [
        # One cup of vinegar to three of water, the strongest: 333.3 mL to 1 L.
        ("presoak.acid.spread", 187.5, 999.9),
        ("set.heat_through", 38.18, 61.09),
        # 38.18 and 61.09 with ten minutes each, in whole minutes.
        ("set.hold", 48.0, 71.0),
    ],
)
def test_interval(worksheet: Worksheet, figure_id: str, low: float, high: float) -> None:
    figure = worksheet.figure(figure_id)
    assert figure is not None
    # The table of doses rounds to a tenth of a mL on 100 g.
    assert (figure.low, figure.high) == (pytest.approx(low, abs=0.06), pytest.approx(high, abs=0.06))


def test_cautions_by_hand(worksheet: Worksheet) -> None:
    """47.19 min of water for 71 min; less than a step of the scale, and few steps; vinegar below any published dose."""
    found = {c.id: c.level for c in worksheet.cautions}
    assert found["set.pot-dry"] == "warn"
    assert found["stock.moss.acid-yellow-23.weighing"] == "note"
    assert found["stock.moss.acid-blue-9.weighing"] == "warn"
    assert found["stock.rust.weighing"] == "note"
    assert found["dye.mixture-breaks.moss"] == "note"
    assert found["dye.ph.levelling"] == "note"  # 4.69 lies beyond 4 and its half a unit of slack
    assert worksheet.stops == ()


def test_weighing_advice_is_enough(worksheet: Worksheet) -> None:
    """50 steps of 0.1 g are 5 g, 250 mL of 2 % stock less the 4.5 mL that are used; or 0.09 g / 50 = 0.0018 g a step.
    Of 4 % stock 125 mL hold 5 g, and the next round volume is 250 mL with 10 g; 0.864 g / 50 = 0.017 g."""
    for jar, told in {
        "moss.acid-blue-9": "A scale that shows 0.1 g cannot weigh 0.09 g of acid blue 9: make 250 mL of "
        "stock from 5 g and keep the 246 mL left over, or use a scale that shows 0.001 g.",
        "rust": "0.86 g of acid orange 7 on a scale that shows 0.1 g may be 8.99 % off: make 250 mL "
        "of stock from 10 g and keep the 228 mL left over, or use a scale that shows 0.01 g.",
    }.items():
        caution = worksheet.caution(f"stock.{jar}.weighing")
        assert caution is not None
        assert caution.text == told


def test_equations_carry_their_numbers(worksheet: Worksheet) -> None:
    for figure_id, parts in {
        "paint.capacity": ("120 g", "150 %", "70 %", "96 mL"),
        "paint.rust.stock": ("36 g", "2 %", "4 %", "1.2", "21.6 mL"),
        "set.hold": ("30 min (levelling acid dye)", "61.09", "71.09 min", "38.18", "48.18 min"),
        "set.boil_off": ("1200 W", "0.8", "2265"),
        "presoak.bound": ("at pH 4.82", "2.45 %", "the dose counts it"),
    }.items():
        figure = worksheet.figure(figure_id)
        assert figure is not None
        assert all(part in figure.because for part in parts), figure.because


def test_every_figure_and_caution_names_its_source(worksheet: Worksheet) -> None:
    assert all(f.source and f.because and f.label for f in worksheet.figures)
    assert all(c.source and c.text.endswith(".") for c in worksheet.cautions)
    assert all("http" not in f.source for f in worksheet.figures)


def test_the_equations_shown_are_those_of_the_values(worksheet: Worksheet) -> None:
    """30 of 100 rows of 120 g are 36 g; 120 g x (150 - 70) % are 96 mL of room; a fifth more is the reserve."""
    shown = {f.id: f.because for f in worksheet.figures}
    assert shown["paint.rust.stock"] == "36 g x 2 % / 4 % x 1.2 for the reserve = 21.6 mL"
    assert shown["paint.rust.liquid"] == ("96 mL x 36 g / 120 g = 28.8 mL, x 1.2 for 20 % reserve = 34.56 mL")
