"""What each kind reads and refuses. Values are worked out by hand from the units' definitions."""

from __future__ import annotations

import pytest

from studio.quantity.kinds import KINDS, QuantityError
from studio.quantity.reading import parse, parse_number

READ = [
    ("3/4 cup", "volume", 177.441177375),  # 0.75 x 236.5882365
    ("2 tsp", "volume", 9.8578431875),
    ("1.5 L", "volume", 1500.0),
    ("1 500 mL", "volume", 1500.0),
    ("1\u202f500\u00a0mL", "volume", 1500.0),
    ("12 500 g", "mass", 12500.0),
    (".5 cup", "volume", 118.29411825),
    ("1 cup 2 tbsp", "volume", 266.1617660625),  # 236.5882365 + 2 x 14.78676478125
    ("1lb 4oz", "mass", 566.9904625),
    ("1 lb, 4 oz", "mass", 566.9904625),
    ("1 lb and 4 1/2 oz", "mass", 581.1652240625),  # 453.59237 + 4.5 x 28.349523125
    ("1 kg 200 g", "mass", 1200.0),
    ("250 mg", "mass", 0.25),
    ("1 h 30 min", "duration", 90.0),
    ("1h30m", "duration", 90.0),
    ("45 min", "duration", 45.0),
    ("90 s", "duration", 1.5),
    ("2 days", "duration", 2880.0),
    ("180 F", "temperature", 82.2222222222),  # (180 - 32) x 5/9
    ("-5 C", "temperature", -5.0),
    ("\u22125 °C", "temperature", -5.0),
    ("85\u2103", "temperature", 85.0),
    ("373.15 K", "temperature", 100.0),
    ("2 %", "share", 2.0),
    ("1 %", "strength", 1.0),
    ("10 g/L", "strength", 1.0),
    ("1 g / 100 mL", "strength", 1.0),
    ("1 g per 100 mL", "strength", 1.0),
    ("10 mg/mL", "strength", 1.0),
    ("5 cm", "length", 5.0),
    ("2 in.", "length", 5.08),
    ("5 ft 3 in", "length", 160.02),
    ("437 yd", "yarn length", 399.5928),  # 437 x 0.9144
    ("420 m", "yarn length", 420.0),
    ("-3 m", "altitude", -3.0),
    ("1000 ft", "altitude", 304.8),
    ("1.2 km", "altitude", 1200.0),
    ("1 kW", "power", 1000.0),
    ("80 mg/L", "alkalinity", 80.0),
    ("80 mg/L as CaCO3", "alkalinity", 80.0),
    ("80 ppm", "alkalinity", 80.0),
    ("28 st / 10 cm", "gauge", 28.0),
    ("32 st / 4 in", "gauge", 31.4960629921),  # 32 x 10 / 10.16
    ('32 st/4"', "gauge", 31.4960629921),
    ("8 st/in", "gauge", 31.4960629921),  # 8 x 10 / 2.54
    ("8 sts per inch", "gauge", 31.4960629921),
    ("400 m / 100 g", "yarn count", 4.0),
    ("26.6 mL/min", "rate", 26.6),
    ("6 L/h", "rate", 100.0),
    ("12", "count", 12.0),
    ("10 drops", "count", 10.0),
    ("4.5", "ph", 4.5),
    ("pH 4,5", "ph", 4.5),
    ("4.5 pH", "ph", 4.5),
]


@pytest.mark.parametrize(("text", "kind", "wanted"), READ)
def test_reads(text: str, kind: str, wanted: float) -> None:
    got = parse(text, kind)
    assert got.value == pytest.approx(wanted, rel=1e-9)
    assert got.unit == KINDS[kind].base
    assert got.typed == text


def test_a_drop_is_the_dyers_own() -> None:
    assert parse("35 drops", "volume", drops_per_ml=17.5).value == pytest.approx(2.0)  # 35 drops to 2 mL
    for bad in (0.0, -1.0, float("nan"), float("inf")):
        with pytest.raises(QuantityError):
            parse("10 drops", "volume", drops_per_ml=bad)


REFUSED = [
    ("", "mass", "Expected a weight"),
    ("   ", "mass", "Expected a weight"),
    ("100", "mass", "without a unit"),
    ("100", "volume", "without a unit"),
    ("g", "mass", "is not a weight"),
    ("100 mL", "mass", "is a volume"),
    ("100 g", "volume", "is a weight"),
    ("100 g", "duration", "is a weight"),
    ("100 blips", "mass", "not a unit of weight"),
    ("-5 g", "mass", "negative"),
    ("-1 min", "duration", "negative"),
    ("-0 g", "mass", "negative"),
    ("1e400 g", "mass", "not a number"),
    ("1e3 g", "mass", "not a number"),
    ("1_0 g", "mass", "not a number"),
    ("1,234.5 g", "mass", "two decimal marks"),
    ("1.234,5 g", "mass", "two decimal marks"),
    ("1,234 g", "mass", "two ways"),
    ("1/0 g", "mass", "fraction"),
    ("1 3/2 g", "mass", "fraction"),
    ("1.5½ g", "mass", "100 g"),
    ("½5 g", "mass", "100 g"),
    ("4 oz 1 lb", "mass", "larger unit"),
    ("1 lb 1 lb", "mass", "larger unit"),
    ("1 h 30", "duration", "without a unit"),
    ("1:30", "duration", "1 h 30 min"),
    ("٣ g", "mass", "is not a weight"),
    ("３ g", "mass", "is not a weight"),
    ("20 °", "temperature", "which degrees"),
    ("-300 C", "temperature", "absolute zero"),
    ("15", "ph", "pH 14"),
    ("36 rows / 4 in", "gauge", "28 st"),
    ("28 st / 0 cm", "gauge", "divides by nothing"),
    ("28 st / 4 g", "gauge", "28 st"),
    ("3 gr", "mass", "grains"),
    ("999999999999999999999 g", "mass", "larger"),
    ("2000000000 kg", "mass", "larger"),
    ("3\ng", "mass", "\\ng"),
    ("3 \x1b[31mg", "mass", "\\x1b"),
    ("3 \u202eg", "mass", "\\u202e"),
    ("3 \ud800", "mass", "\\ud800"),
]


@pytest.mark.parametrize(("text", "kind", "says"), REFUSED)
def test_refuses_with_one_sentence(text: str, kind: str, says: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse(text, kind)
    sentence = str(caught.value)
    assert says in sentence
    assert "write" in sentence
    assert sentence.isprintable()


def test_unknown_kind_and_no_text_are_quantity_errors() -> None:
    with pytest.raises(QuantityError, match="no kind"):
        parse("1 g", "wei\x00ght")
    with pytest.raises(QuantityError):
        parse(None, "mass")  # type: ignore[arg-type]


NUMBERS = [
    ("3/4", 0.75), ("1 1/2", 1.5), ("1½", 1.5), ("1 ½", 1.5), ("⅓", 1 / 3), ("1,5", 1.5), ("12.5", 12.5),
    ("0,125", 0.125), ("1 500", 1500.0), (" 7 ", 7.0), ("1⁄8", 0.125),
]  # fmt: skip


@pytest.mark.parametrize(("text", "wanted"), NUMBERS)
def test_numbers(text: str, wanted: float) -> None:
    assert parse_number(text) == wanted


@pytest.mark.parametrize(
    "text",
    ["", " ", "nan", "inf", "-inf", "1e400", "1e3", "1_0", "1,234.5", "1,234", "٣", "3 g", "-5", "+5", "1/0",
     "1234567890123", "½½", "1 2", "0x10", "²", "1\n2", "--", "1.2.3", "1/2/3", "1 1/2/3"],
)  # fmt: skip
def test_not_numbers(text: str) -> None:
    with pytest.raises(QuantityError) as caught:
        parse_number(text)
    assert str(caught.value).isprintable()
    assert "write" in str(caught.value)
