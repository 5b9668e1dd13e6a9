"""The kinds of quantity, their base units, and the words people use for each unit.

A spelling maps to what pint calls the unit. Spoons, cups, fluid ounces, pints, quarts and gallons are the
United States customary ones, as in the recipes that use those words (**Source:** NIST Special Publication
811, appendix B.8); the metric cup of 250 mL and the imperial measures must be named.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from decimal import ROUND_HALF_EVEN, Decimal

import msgspec

from studio.trouble import USAGE, Trouble


class Kind(msgspec.Struct, frozen=True, kw_only=True):
    """One kind of quantity."""

    name: str
    base: str
    """Unit of the value that comes out."""
    example: str
    """What a refusal tells the dyer to write."""
    words: Mapping[str, str]
    """Spelling (as typed, or in lower case) -> name of the unit in pint, or the base itself."""
    signed: bool = False
    compound: bool = False
    """May be written in several parts, `1 lb 4 oz`."""
    bare: bool = False
    """May be written without a unit."""

    @property
    def said(self) -> str:
        """The name as a dyer says it: `pH`, `weight`."""
        return {"ph": "pH", "mass": "weight"}.get(self.name, self.name)

    @property
    def a_name(self) -> str:
        """The same with its article, for sentences: `an altitude`, `a pH`."""
        return f"an {self.said}" if self.said[0] in "aeiou" else f"a {self.said}"


DROP = "drop"
"""Not a unit of pint: its size is the dyer's own dropper."""


def _words(table: Mapping[str, str]) -> dict[str, str]:
    """`unit: "spelling|spelling"` turned round; two-word spellings also without the blank."""
    turned: dict[str, str] = {}
    for unit, spellings in table.items():
        for spelling in spellings.split("|"):
            turned[spelling] = unit
            turned.setdefault(spelling.replace(" ", ""), unit)
    return turned


_METRE = "m|metre|metres|meter|meters"
_LENGTHS = {
    "mm": "mm|millimetre|millimetres|millimeter|millimeters",
    "cm": "cm|centimetre|centimetres|centimeter|centimeters",
    "m": _METRE,
    "inch": "in|\"|''|inch|inches",
    "foot": "ft|'|foot|feet",
    "yard": "yd|yds|yard|yards",
}
_MASSES = {
    "mg": "mg|milligram|milligrams",
    "g": "g|gram|grams|gramme|grammes",
    "kg": "kg|kilo|kilos|kilogram|kilograms",
    "ounce": "oz|ounce|ounces",
    "pound": "lb|lbs|pound|pounds",
}
_VOLUMES = {
    "mL": "ml|mL|millilitre|millilitres|milliliter|milliliters|cc|cm³",
    "cL": "cl|centilitre|centilitres|centiliter|centiliters",
    "dL": "dl|decilitre|decilitres|deciliter|deciliters",
    "L": "l|L|litre|litres|liter|liters",
    "teaspoon": "t|tsp|tsps|teaspoon|teaspoons",
    "tablespoon": "T|tbsp|tbsps|tbs|tbl|tablespoon|tablespoons",
    "fluid_ounce": "fl oz|fl ozs|fluid ounce|fluid ounces|fluid oz",
    "cup": "c|C|cup|cups|us cup|us cups",
    "pint": "pt|pint|pints",
    "quart": "qt|quart|quarts",
    "gallon": "gal|gallon|gallons",
    "metric_cup": "metric cup|metric cups",
    "imperial_cup": "imperial cup|imperial cups",
    "imperial_fluid_ounce": "imperial fl oz|imperial fluid ounce|imperial fluid ounces",
    "imperial_pint": "imperial pint|imperial pints",
    "imperial_gallon": "imperial gallon|imperial gallons",
    "kitchen_dash": "dash|dashes",
    DROP: "drop|drops",
}
_TIMES = {
    "second": "s|sec|secs|second|seconds",
    "min": "min|mins|m|minute|minutes",
    "hour": "h|hr|hrs|hour|hours",
    "day": "d|day|days",
}
_TEMPERATURES = {
    "degC": "C|c|°C|°c|degC|degc|deg c|degree c|degrees c|celsius|degree celsius|degrees celsius|centigrade",
    "degF": "F|f|°F|°f|degF|degf|deg f|degree f|degrees f|fahrenheit|degree fahrenheit|degrees fahrenheit",
    "kelvin": "K|kelvin|kelvins",
}
_PERCENT = "%|percent|per cent"
_STRENGTHS = {
    "%": _PERCENT + "|% w/v|g/100 ml|g/dl",
    "permille_wv": "g/l|mg/ml|gram/litre|grams/litre",
}
_ALKALINITIES = {
    "mg/L": "mg/l|mg/l caco3|mg/l as caco3|mg caco3/l|ppm|ppm caco3|ppm as caco3",
    "meq_per_litre": "meq/l|mmol/l",
    "german_degree": "dh|°dh|dkh|°dkh|deg dh|kh|°kh|german degree|german degrees",
    "french_degree": "fh|°fh|deg fh|french degree|french degrees",
    "clark_degree": "clark|°clark|deg clark|clark degree|clark degrees|english degree|english degrees",
    "grain_per_gallon": "gpg|grain/gal|grains/gal|grain/gallon|grains/gallon|grain|grains",
}
_COUNTED = (
    "1|drop|drops|st|sts|stitch|stitches|row|rows|round|rounds|course|courses|skein|skeins|hank|hanks|ball|balls|"
    "piece|pieces|layer|layers|time|times"
)
_ALTITUDES = {"m": _METRE, "km": "km|kilometre|kilometres", "foot": "ft|'|foot|feet"}
_POWERS = {"W": "w|watt|watts", "kW": "kw|kilowatt|kilowatts", "Btu/hour": "btu/h|btu/hr|btu/hour"}
_RATES = {"mL/min": "ml/min|ml/minute|cc/min", "L/hour": "l/h|l/hr|l/hour"}

KINDS: Mapping[str, Kind] = {
    kind.name: kind
    for kind in (
        Kind(name="mass", base="g", example="100 g", words=_words(_MASSES), compound=True),
        Kind(name="volume", base="mL", example="250 mL", words=_words(_VOLUMES), compound=True),
        Kind(name="length", base="cm", example="12 cm", words=_words(_LENGTHS), compound=True),
        Kind(name="yarn length", base="m", example="420 m", words=_words(_LENGTHS), compound=True),
        Kind(name="altitude", base="m", example="350 m", words=_words(_ALTITUDES), signed=True),
        Kind(name="duration", base="min", example="1 h 30 min", words=_words(_TIMES), compound=True),
        Kind(name="temperature", base="degC", example="85 C", words=_words(_TEMPERATURES), signed=True),
        Kind(name="share", base="%", example="25 %", words=_words({"%": _PERCENT})),
        Kind(name="strength", base="%", example="1 %", words=_words(_STRENGTHS)),
        Kind(name="power", base="W", example="1000 W", words=_words(_POWERS)),
        Kind(name="alkalinity", base="mg/L", example="80 mg/L", words=_words(_ALKALINITIES)),
        Kind(name="gauge", base="st/10 cm", example="28 st / 10 cm", words={}),
        Kind(name="yarn count", base="m/g", example="400 m / 100 g", words={}),
        Kind(name="rate", base="mL/min", example="26.6 mL/min", words=_words(_RATES)),
        Kind(name="count", base="1", example="12", words=_words({"1": _COUNTED}), bare=True),
        Kind(name="ph", base="1", example="pH 4.5", words=_words({"1": "ph"}), bare=True),
    )
}


# What reading a quantity gives, and how a refusal is worded.


class QuantityError(Trouble, ValueError):
    """A quantity that cannot be read; `str(error)` is one plain sentence with an example of what to write."""

    exit_code = USAGE


class Quantity(msgspec.Struct, frozen=True):
    """A quantity as the program uses it, beside the words it was typed in."""

    value: float
    """In `unit`, finite."""
    unit: str
    """The base unit of the kind: `g`, `mL`, `cm`, `m`, `min`, `degC`, `%`, `W`, `mg/L`, `1` ..."""
    typed: str
    """The text as typed, without the blanks around it."""


MOST_QUOTED = 30


def quoted(text: str) -> str:
    """The text as a sentence may carry it: short, on one line, nothing in it a terminal would obey.

    >>> quoted("3 g\\n")
    '"3 g\\\\n"'
    """
    cut = text if len(text) <= MOST_QUOTED else text[:MOST_QUOTED] + "..."
    return '"' + "".join(c if c.isprintable() else ascii(c)[1:-1] for c in cut) + '"'


def wrong(what: str, example: str) -> QuantityError:
    """The refusal: what is wrong, and what to write.

    >>> str(wrong("There is no mass here", "100 g"))
    'There is no mass here; write for example "100 g".'
    """
    return QuantityError(f'{what}; write for example "{example}".')


# Money as it is shown: rounded once, at the end, to the smallest coin of its currency.

USUAL_DIGITS = 2
MINOR_DIGITS = {
    **dict.fromkeys(
        ("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI", "VND", "VUV"), 0
    ),
    **dict.fromkeys(("XAF", "XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
}
"""Digits of the smallest coin where they are not two: ISO 4217:2015, list of currencies (from memory)."""


def money_text(value: float, currency: str = "", *, named: bool = True) -> str:
    """The amount with its currency, thousands set off by a space.

    value: finite, in units of the currency; currency: an ISO 4217 code or any short word, may be empty;
    named: whether the text says it.
    Half a cent goes to the even cent, so that rounding favours neither buyer nor seller; sums are made of
    what was not rounded. ValueError for a value that is not finite.

    >>> money_text(0.125, "EUR"), money_text(0.135, "EUR"), money_text(1234.5, "EUR"), money_text(1234.5, "JPY")
    ('0.12 EUR', '0.14 EUR', '1 234.50 EUR', '1 234 JPY')

    **Source:** ISO 4217 (digits); half to even: IEEE 754-2019, 4.3.1, roundTiesToEven.
    """
    if not math.isfinite(value):
        raise ValueError("Only a finite amount of money can be shown.")
    digits = MINOR_DIGITS.get(currency.upper(), USUAL_DIGITS)
    # From the shortest text of the float, so that 0.135 is half a cent as the eye expects.
    exact = Decimal(repr(value)).quantize(Decimal(1).scaleb(-digits), rounding=ROUND_HALF_EVEN)
    shown = f"{exact:,f}".replace(",", " ")
    return f"{shown} {currency}" if currency and named else shown
