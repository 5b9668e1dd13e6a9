"""Metric values read in another system: against pint's definitions, and back again as they are typed."""

from __future__ import annotations

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.draft.field_text import read_field
from studio.plan.fields import sections
from studio.quantity import reading_in
from studio.quantity.kinds import DROP, KINDS
from studio.quantity.pint_units import factor
from studio.quantity.reading import parse
from studio.quantity.reading_in import in_units, told, told_number, unit_for
from studio.quantity.showing import unit_text
from studio.session.asked import value_of
from studio.shelf.reading import load_shelf


@pytest.fixture
def in_us(monkeypatch: pytest.MonkeyPatch) -> None:
    """The studio reads US units."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])


@pytest.mark.usefixtures("in_us")
@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [
        (100.0, "g", "3.55 oz"), (640.0, "g", "22.6 oz"), (300.0, "mL", "10.1 fl oz"), (2000.0, "mL", "68 fl oz"),
        (16.6, "mL", "3 1/4 tsp"), (1.2, "mL", "0.24 tsp"), (1.5, "L", "51 fl oz"), (5.0, "cm", "2 in"),
        (420.0, "m", "459 yd"), (100.0, "degC", "212 °F"), (-12.5, "degC", "10 °F"), (26.6, "mL/min", "0.9 fl oz/min"),
        (30.0, "min", "30 min"), (0.0, "mL", "0 tsp"),
    ],
)  # fmt: skip
def test_told_as_a_kitchens_tools_show_it(value: float, unit: str, said: str) -> None:
    assert told(value, unit) == said
    assert told(0.42, "g", goods=False) == "0.42 g", "dye is weighed in grams"


ROUNDING = {
    "g": ("mass", 0.1 / 2, 0.01),
    "mL": ("volume", 0.25 / 6 / 2, 0.5 / 32 + 0.005),
    "cm": ("length", 0.05, 0.05),
}
"""Kind, half a step of the coarsest tool for the least amounts (oz, fl oz, in), and the share of large ones."""
PINT = pint.UnitRegistry()
SIZES = {
    unit: PINT.Quantity(1, name).to(unit).magnitude
    for unit, name in (("g", "ounce"), ("mL", "US_fluid_ounce"), ("cm", "inch"))
}


@pytest.mark.usefixtures("in_us")
@given(st.sampled_from(sorted(ROUNDING)), st.floats(0.01, 50_000.0))
def test_what_is_told_is_read_back_within_its_rounding(unit: str, value: float) -> None:
    """Against pint's sizes; and a number typed alone is in the unit that the text shows."""
    kind, step, share = ROUNDING[unit]
    text = told(value, unit)
    assert parse(text, kind).value == pytest.approx(value, abs=1.02 * step * SIZES[unit], rel=1.1 * share)
    assert in_units(text) == text
    alone = text.removesuffix(unit_text(unit_for(value, unit))).strip()
    assert (
        kind == "length" or value_of(alone, kind, unit_text(unit_for(value, unit))) == parse(text, kind).value
    )


@pytest.mark.usefixtures("in_us")
@given(st.floats(-20.0, 130.0))
def test_degrees_are_whole_and_read_back(value: float) -> None:
    assert parse(told(value, "degC"), "temperature").value == pytest.approx(
        value, abs=0.56 / 2 + (0.06 if value < 100 else 0.5)
    )


@pytest.mark.usefixtures("in_us")
@pytest.mark.parametrize(
    ("metric", "said"),
    [
        ("Pour 2 000 mL of water.", "Pour 68 fl oz of water."),
        ("The bath is 9 °C ahead: turn it down.", "The bath is 16 °F ahead: turn it down."),
        ("about 1.5 °C a minute", "about 2.7 °F a minute"),
        ("bring it between 28 and 48 °C first", "bring it between 82 and 118 °F first"),
        ("wool felts at a step of more than 10 °C", "wool felts at a step of more than 18 °F"),
        ("a roll 5 cm by 12 cm", "a roll 2 in by 4.7 in"),
        (
            "Weigh 0.39 g of rust; 250 mg/L and 3 mmol/L stay",
            "Weigh 0.39 g of rust; 250 mg/L and 3 mmol/L stay",
        ),
        ("squeeze to 180 g", "squeeze to 6.35 oz"),
        ("Fibre squeezed and weighed  181.44 g", "Fibre squeezed and weighed  6.4 oz"),
        ("boils at 95 °C at an altitude of 1 500 m", "boils at 203 °F at an altitude of 4 921 ft"),
        ("20.1 mL     of 700 mL", "4 tsp       of 23.7 fl oz"),
    ],
)
def test_sentences_are_told_in_units(metric: str, said: str) -> None:
    assert in_units(metric) == said


def test_metric_texts_are_left_as_they_are() -> None:
    assert in_units("Pour 300 mL at 40 °C.") == "Pour 300 mL at 40 °C."
    assert told_number(300.0, "mL", 300.0) == "300"


@pytest.mark.parametrize(
    ("typed", "units", "echo"),
    [
        ("100 g", "US", "3.55 oz"),
        ("1 lb 4 oz", "metric", "567 g"),
        ("1 lb 4 oz", "US", "567 g = 20 oz"),
        ("100 g", "metric", ""),
    ],
)
def test_a_field_echoes_what_the_dyer_reads(
    typed: str, units: str, echo: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(reading_in, "_asked", [lambda: units])
    field = next(f for s in sections() for f in s.fields if f.key == "dry_weight")
    assert read_field(field, typed).echo == echo


def test_the_studio_says_which(tmp_path) -> None:
    (tmp_path / "studio.toml").write_text('[studio]\nunits = "US"\n')
    assert load_shelf(tmp_path).studio.units == "US"
    (tmp_path / "studio.toml").write_text('[studio]\nunits = "stones"\n')
    shelf = load_shelf(tmp_path)
    assert shelf.studio.units == "metric"
    assert any("units" in sentence and "metric" in sentence for sentence in shelf.remarks)


OURS = {
    "metric_cup",
    "kitchen_dash",
    "permille_wv",
    "meq_per_litre",
    "german_degree",
    "grain_per_gallon",
    "french_degree",
    "clark_degree",
}


def test_factors_are_those_of_a_registry_without_our_units() -> None:
    """Nothing that we define beside pint's units changes one of them."""
    plain = pint.UnitRegistry()
    for kind in KINDS.values():
        for unit in set(kind.words.values()) - OURS - {DROP, "1", "%"}:
            if kind.name != "temperature":
                theirs = plain.Quantity(1, unit).to(kind.base).magnitude
                assert factor(unit, kind.base) == pytest.approx(theirs, rel=1e-13), unit
