"""Metric values read in another system: against pint's definitions, and back again as they are typed."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

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
from studio.quantity.reading_in import in_metric, in_units, told, told_number, told_span, unit_for
from studio.quantity.showing import show, unit_text
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
        (16.6, "mL", "3 1/4 tsp"), (1.5, "mL", "1.5 mL"), (1.2, "mL", "1/4 tsp"), (1.84, "mL", "1.84 mL"),
        (5.0, "g", "5 g"),
        (5.0, "cm", "2 in"), (420.0, "m", "459 yd"), (100.0, "degC", "212 °F"), (-12.5, "degC", "10 °F"),
        (26.6, "mL/min", "0.9 fl oz/min"), (1.5, "degC/min", "2.7 °F/min"), (30.0, "min", "30 min"),
    ],
)  # fmt: skip
def test_told_as_a_kitchens_tools_show_it(value: float, unit: str, said: str) -> None:
    assert told(value, unit, kitchen=True) == said


@pytest.mark.usefixtures("in_us")
def test_a_screen_reads_on_in_its_units_while_another_thread_writes_a_file() -> None:
    with ThreadPoolExecutor(1) as screen, in_metric():
        assert told(5.0, "cm") == "5 cm"
        assert screen.submit(told, 5.0, "cm").result() == "2 in"


@pytest.mark.usefixtures("in_us")
@pytest.mark.parametrize(("value", "unit"), [(0.42, "g"), (1.5, "mL"), (48.0, "mL")])
def test_dye_stock_and_paint_stay_as_scale_and_syringe_show_them(value: float, unit: str) -> None:
    assert told(value, unit) == show(value, unit)


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
@given(st.sampled_from(sorted(ROUNDING)), st.floats(0.1, 50_000.0))
def test_what_is_told_is_read_back_within_its_rounding(unit: str, value: float) -> None:
    """Against pint's sizes, never more than a twentieth off; a number typed alone is in the unit the text shows.

    From 0.1 g up: below, the hundredths that a scale shows are coarser than that.
    """
    kind, step, share = ROUNDING[unit]
    text = told(value, unit, kitchen=True)
    off = min(1.02 * step * SIZES[unit] + 1.1 * share * value, 0.0551 * value)
    assert parse(text, kind).value == pytest.approx(value, abs=off)
    read_in = unit_text(unit_for(value, unit, kitchen=True))
    alone = text.removesuffix(read_in).strip()
    assert kind == "length" or value_of(alone, kind, read_in) == parse(text, kind).value


@pytest.mark.usefixtures("in_us")
@given(st.sampled_from(["mass", "volume", "temperature"]), st.floats(20.0, 2000.0), st.floats(0.1, 0.4))
def test_the_ends_of_a_range_lie_within_it(kind: str, middle: float, off: float) -> None:
    """Who types an end as it is told is not asked whether it is meant."""
    unit = KINDS[kind].base
    low, high = middle * (1 - off), middle * (1 + off)
    sign = unit_text(unit_for(middle, unit, kitchen=True))
    ends = told_span(low, high, unit, middle, kitchen=True).removesuffix(f" {sign}").split(" to ")
    least, most = (parse(f"{end} {sign}", kind).value for end in ends)
    assert low * (1 - 1e-6) <= least <= most <= high * (1 + 1e-6)


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
        ("Pour lukewarm water, about 38 °C, into the basin.", "Pour lukewarm water, about 100 °F, into the basin."),
        ("Heat on: about 1.5 °C a minute, lid on.", "Heat on: about 2.7 °F a minute, lid on."),
        ("2.5 °C a minute is faster than the 1.5 °C a minute usual",
         "4.5 °F a minute is faster than the 2.7 °F a minute usual"),
        ("wool felts at a step of more than 10 °C.", "wool felts at a step of more than 18 °F."),
        ("The bursts bring the packet to 80 °C at most, and dye on wool needs 85 °C",
         "The bursts bring the packet to 176 °F at most, and dye on wool needs 185 °F"),
        ("98 °C takes lustre from silk; 90 °C is usual.", "208 °F takes lustre from silk; 194 °F is usual."),
        ("The fibre goes from 40 °C into a bath of 60 °C", "The fibre goes from 104 °F into a bath of 140 °F"),
        ("95 °C is hotter than the 85 to 88 °C usual", "203 °F is hotter than the 185 to 190 °F usual"),
        ("Fill up the pot with boiling water: about 1 500 mL left.",
         "Fill up the pot with boiling water: about 51 fl oz left."),
    ],
)  # fmt: skip
def test_sentences_are_told_in_units(metric: str, said: str) -> None:
    assert in_units(metric) == said


@pytest.mark.usefixtures("in_us")
@pytest.mark.parametrize(
    "words",
    [
        "bath dropped 4 °C", "at 10:30 100 mL", "85-93 °C", "5 x 12 cm", "±2 °C", "5 °C above the bath",
        "warm by 10 °C", "jar rust 2 100 mL", "sock 100 g skein 420 m", "Really 40 °C?",
    ],
)  # fmt: skip
def test_the_dyers_own_words_are_left_as_they_are(words: str) -> None:
    assert in_units(words) == words


def test_metric_texts_are_left_as_they_are() -> None:
    assert in_units("The bath should be at 40 °C.") == "The bath should be at 40 °C."
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
