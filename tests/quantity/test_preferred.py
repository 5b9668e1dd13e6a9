"""Metric values read in another system: against pint's definitions, and echoed in a field."""

from __future__ import annotations

import pint
import pytest

from studio.plan.draft.field_text import read_field
from studio.plan.fields import sections
from studio.quantity.kinds import DROP, KINDS, preferred
from studio.quantity.pint_units import factor
from studio.shelf.reading import load_shelf


@pytest.mark.parametrize(
    ("unit", "theirs", "said"),
    [("g", "ounce", "oz"), ("mL", "US_fluid_ounce", "US fl oz"), ("cm", "inch", "in"), ("m", "yard", "yd")],
)
def test_ounces_inches_and_yards_are_pints(unit: str, theirs: str, said: str) -> None:
    """Source: the unit definitions of the library pint."""
    registry = pint.UnitRegistry()
    for value in (0.5, 100.0, 420.0):
        number = registry.Quantity(value, unit).to(theirs).magnitude
        told, _, named = preferred(value, unit, "US").partition(" ")
        assert named == said
        assert float(told) == pytest.approx(number, rel=5e-3)


def test_fahrenheit_and_what_has_no_other_unit() -> None:
    assert preferred(100.0, "degC", "US") == "212 °F"
    assert preferred(30.0, "min", "US") == "30 min"
    assert preferred(85.0, "degC", "metric") == "85 °C"


@pytest.mark.parametrize(
    ("typed", "units", "echo"),
    [
        ("100 g", "US", "3.53 oz"),
        ("1 lb 4 oz", "metric", "567 g"),
        ("1 lb 4 oz", "US", "567 g = 20 oz"),
        ("100 g", "metric", ""),
    ],
)
def test_a_field_echoes_what_the_dyer_reads(typed: str, units: str, echo: str) -> None:
    field = next(f for s in sections() for f in s.fields if f.key == "dry_weight")
    assert read_field(field, typed, units=units).echo == echo  # type: ignore[arg-type]


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
