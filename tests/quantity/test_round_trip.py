"""Properties: what is shown reads back, nothing but a refusal ever comes out, and it is quick."""

from __future__ import annotations

import math
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.quantity.kinds import KINDS, QuantityError
from studio.quantity.reading import parse, parse_number
from studio.quantity.showing import show

UNITS = [(kind.name, kind.base) for kind in KINDS.values()] + [("ph", "pH"), ("volume", "L"), ("mass", "kg")]
SIZES = st.floats(min_value=1e-9, max_value=9e8)


@given(SIZES, st.sampled_from(UNITS), st.integers(1, 17))
def test_shown_reads_back_within_the_digits_shown(value: float, unit: tuple[str, str], digits: int) -> None:
    kind, base = unit
    if kind == "ph":
        value = math.fmod(value, 14.0)
    back = parse(show(value, base, digits), kind).value
    scale = {"L": 1000.0, "kg": 1000.0}.get(base, 1.0)
    # half a step of the last digit shown, relative to the leading digit: 5 x 10^-digits
    assert back == pytest.approx(value * scale, rel=5.0001 * 10.0**-digits + 1e-15, abs=1e-12 * scale)


@given(st.floats(min_value=-1e10, max_value=1e10).filter(lambda x: x == 0 or abs(x) > 1e-9))
def test_seventeen_digits_give_the_float_back(value: float) -> None:
    assert parse(show(value, "m", 17), "altitude").value == value


@given(st.text(max_size=200), st.one_of(st.sampled_from([*KINDS]), st.text(max_size=10)))
def test_any_text_gives_a_measure_or_a_refusal(text: str, kind: str) -> None:
    _measure_or_refusal(text, kind)


SALAD = '1|500|1/2|½|,|.| |\u202f|-|cup|fl|oz|lb|g|mL|/|10|cm|st|min|h|°|C|F|%|e|_|nan|pH|T|"|and|\n|0|\u0663'
KITCHEN = st.lists(st.sampled_from(SALAD.split("|")), max_size=14).map("".join)


@given(KITCHEN, st.sampled_from([*KINDS]))
def test_any_kitchen_salad_gives_a_measure_or_a_refusal(text: str, kind: str) -> None:
    _measure_or_refusal(text, kind)


def _measure_or_refusal(text: str, kind: str) -> None:
    try:
        got = parse(text, kind)
    except QuantityError as refusal:
        sentence = str(refusal)
        assert sentence.isprintable() and sentence.endswith(".") and len(sentence) < 300
    else:
        assert math.isfinite(got.value)
        assert got.value >= 0 or KINDS[kind].signed


@given(st.text(max_size=40))
def test_any_text_is_a_number_or_a_refusal(text: str) -> None:
    try:
        value = parse_number(text)
    except QuantityError as refusal:
        assert str(refusal).isprintable()
    else:
        assert 0 <= value <= 1e12


EVIL = [
    "9" * 10_000,
    "9" * 10_000 + " g",
    "1 " * 40,
    "1/" * 40,
    "1 111" * 13,
    " " * 10_000 + "3 g",
    "g\n" * 5_000,
    "\u202e" * 79,
    "½" * 80,
    "a" * 1_000_000,
    "0" * 79 + "g",
    "1." * 40,
    "((((((" * 12,
]


@pytest.mark.parametrize("kind", [*KINDS])
def test_evil_strings_are_answered(kind: str, no_hang) -> None:
    with no_hang():
        for text in EVIL:
            _measure_or_refusal(text, kind)


SHOWN = [
    (1500.0, "mL", 3, "1 500 mL"),
    (1543.0, "mL", 3, "1 540 mL"),
    (1234567.0, "g", 9, "1 234 567 g"),
    (26.594, "mL/min", 3, "26.6 mL/min"),
    (98.312, "degC", 3, "98.3 °C"),
    (999.96, "g", 3, "1 000 g"),
    (0.00123456, "g", 3, "0.00123 g"),
    (-12.5, "degC", 3, "-12.5 °C"),
    (-0.5, "degC", 3, "-0.5 °C"),
    (-1500.0, "m", 3, "-1 500 m"),
    (0.0, "g", 3, "0 g"),
    (-0.0, "m", 3, "0 m"),
    (12.0, "1", 3, "12"),
    (4.0, "pH", 3, "pH 4"),
    (2.675, "g", 3, "2.68 g"),
    (1e-13, "g", 3, "0 g"),
]


@pytest.mark.parametrize(("value", "unit", "digits", "text"), SHOWN)
def test_shown_as_written(value: float, unit: str, digits: int, text: str) -> None:
    assert show(value, unit, digits) == text


@pytest.mark.parametrize(("value", "digits"), [(float("nan"), 3), (float("inf"), 3), (1.0, 0), (1.0, 18)])
def test_not_shown(value: float, digits: int) -> None:
    with pytest.raises(ValueError):
        show(value, "g", digits)


def _in_a_fresh_python(code: str) -> str:
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return run.stdout.strip()


def test_importing_and_base_units_load_no_pint() -> None:
    code = (
        "import sys; from studio.quantity.reading import parse; parse('100 g', 'mass'); parse('5 min', 'duration');"
        "print([m for m in ('pint', 'textual', 'rich', 'numpy') if m in sys.modules])"
    )
    assert _in_a_fresh_python(code) == "[]"


def test_units_work_where_the_cache_cannot_be_written(
    tmp_path: object, monkeypatch: pytest.MonkeyPatch
) -> None:
    code = "from studio.quantity.reading import parse; print(parse('1 pint', 'volume').value)"
    monkeypatch.setenv("XDG_CACHE_HOME", "/dev/null")
    assert _in_a_fresh_python(code) == "473.176473"


@pytest.mark.deep
def test_units_work_where_the_cache_is_damaged(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    code = "from studio.quantity.reading import parse; print(parse('1 pint', 'volume').value)"
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert _in_a_fresh_python(code) == "473.176473"
    kept = [path for path in tmp_path.rglob("*") if path.is_file()]
    for path in kept:
        path.write_bytes(path.read_bytes()[: path.stat().st_size // 2])
    assert _in_a_fresh_python(code) == "473.176473"
    if sys.platform == "linux":  # elsewhere the cache stands in another place
        assert kept
