"""The sentence for a quantity that cannot be read: what is wrong, and what to write instead."""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from itertools import pairwise

import msgspec

from studio.quantity.kinds import DROP, KINDS, Kind, Quantity, QuantityError, quoted, wrong
from studio.quantity.pint_units import factor, to_celsius

_HINTS = {
    ("volume", "oz"): 'is a weight; for a volume write "fl oz", for example "4 fl oz"',
    ("volume", "ounce"): 'is a weight; for a volume write "fl oz", for example "4 fl oz"',
    ("volume", "ounces"): 'is a weight; for a volume write "fl oz", for example "4 fl oz"',
    ("mass", "gr"): 'could be grams or grains; write "g", for example "100 g"',
    ("mass", "t"): 'could be tonnes or teaspoons; write grams, for example "100 g"',
    ("temperature", "°"): 'does not say which degrees; write "C" or "F", for example "85 C"',
    ("temperature", "deg"): 'does not say which degrees; write "C" or "F", for example "85 C"',
    ("temperature", "degrees"): 'does not say which degrees; write "C" or "F", for example "85 C"',
    **{
        ("alkalinity", spelling): "is total hardness (GH), and alkalinity is wanted: read the pad called "
        'KH, carbonate hardness or total alkalinity, for example "4 °dKH"'
        for spelling in ("gh", "°gh", "dgh", "°dgh", "deg gh")
    },
}
_VAGUE = ("pinch", "pinches", "smidgen", "splash", "handful", "glug", "capful", "spoon", "spoonful")


def no_number(typed: str, kind: Kind) -> QuantityError:
    """There is no number where one must stand."""
    return wrong(f"{quoted(typed)} is not {kind.a_name}", kind.example)


def unknown_unit(words: str, typed: str, kind: Kind) -> QuantityError:
    """The unit is missing, vague, of another kind, or no unit at all."""
    small = words.lower()
    if not words:
        return wrong(f"{quoted(typed)} has a number without a unit", kind.example)
    if hint := _HINTS.get((kind.name, small)):
        return QuantityError(f"{quoted(typed)} {hint}.")
    if small in _VAGUE:
        return QuantityError(
            f'A {small} has no fixed size; weigh or measure it and write for example "{kind.example}".'
        )
    if small == "nm":
        return QuantityError(
            f'{quoted(typed)} reads as a yarn number or a torque; write for example "{kind.example}".'
        )
    if other := _other_kind(words, kind):
        return wrong(f"{quoted(typed)} is {other.a_name}, not {kind.a_name}", kind.example)
    return wrong(f"{quoted(words)} is not a unit of {kind.said} here", kind.example)


def _other_kind(words: str, kind: Kind) -> Kind | None:
    for other in KINDS.values():
        if other.name != kind.name and (words in other.words or words.lower() in other.words):
            return other
    return None


# Numbers as people write them: `3/4`, `1 1/2`, `1½`, `1,5`, `12.5`, `1 500`.

LONGEST_BARE = 12
"""Characters of a number typed alone. House rule: longer is a slip of the hand or a pasted text."""
LARGEST = 1e12
"""House rule: no figure of a dye bench is larger, so a larger one is a slip."""

_SPACES: dict[int, str] = dict.fromkeys(
    [0x00A0, 0x2000, 0x2001, 0x2002, 0x2003, 0x2004, 0x2005, 0x2006, 0x2007, 0x2008, 0x2009, 0x200A, 0x202F],
    " ",
)
_SIGNS: dict[int, str] = {
    0x2212: "-",
    0x2044: "/",
    0x2215: "/",
    0x2032: "'",
    0x2019: "'",
    0x2033: '"',
    0x201D: '"',
}
_DEGREES: dict[int, str] = {0x00BA: "°", 0x02DA: "°", 0x2103: "°C", 0x2109: "°F"}
_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3", "⅔": "2/3",
    "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8",
    "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip
_PLAIN: dict[int, str] = {
    **_SPACES,
    **_SIGNS,
    **_DEGREES,
    **{ord(k): f" {v} " for k, v in _FRACTIONS.items()},
}

NUMBER = (
    r"[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?(?![0-9/])(?! [0-9])"  # 1 500, thousands set off by a space
    r"|[0-9]+ [0-9]+/[0-9]+(?![0-9/])"  # 1 1/2
    r"|[0-9]+/[0-9]+(?![0-9/])"  # 3/4
    r"|[0-9]+(?:[.,][0-9]+)?(?![0-9/])|[.,][0-9]+(?![0-9/])"  # 12.5, 1,5, .5
)
_TOO_CLEVER = r"[0-9][eE_][+-]?[0-9]"
_TWO_MARKS = r"[0-9][.,][0-9]+[.,]"
_THOUSANDS_COMMA = r"[1-9][0-9]{0,2},[0-9]{3}"


def plain(text: str) -> str:
    """The text with typographic blanks, signs, quotes and fractions written in plain characters.

    >>> plain("1½\\u202fcup")
    '1 1/2 cup'
    """
    return re.sub(" +", " ", text.translate(_PLAIN)).strip(" ")


def refuse_odd_numbers(text: str, example: str) -> None:
    """Refuse `1e400`, `1_0` and `1,234.5` in plain text, with the sentence that fits each."""
    if re.search(_TOO_CLEVER, text):
        raise wrong(f"{quoted(text)} is not a number as people write them", example)
    if re.search(_TWO_MARKS, text):
        raise wrong(f"{quoted(text)} has two decimal marks in one number", "1 234.5")


def value_of(number: str) -> float:
    """The value of one number that matched `NUMBER`; QuantityError where it has two meanings or none."""
    if re.fullmatch(_THOUSANDS_COMMA, number):
        raise QuantityError(
            f'{quoted(number)} can be read two ways; write "{number.replace(",", ".")}" if the comma is'
            f' the decimal mark, "{number.replace(",", " ")}" if it sets thousands off.'
        )
    value = _fraction(number) if "/" in number else float(number.replace(" ", "").replace(",", "."))
    if value > LARGEST:
        raise wrong(f"{quoted(number)} is larger than anything on a dye bench", "1 500")
    return value


def _fraction(number: str) -> float:
    whole, _, rest = number.rpartition(" ")
    top, bottom = (float(part) for part in rest.split("/"))
    if bottom == 0 or (whole and top >= bottom):
        raise wrong(f"{quoted(number)} is not a fraction that can be used", "1 1/2")
    return (float(whole) if whole else 0.0) + top / bottom


def parse_number(text: str) -> float:
    """The number typed alone, without a unit; never negative, at most `LARGEST`.

    QuantityError for an empty text, words, a sign, `nan`, `inf`, exponents, two decimal marks, digits
    other than 0 to 9, and more than 12 characters.

    >>> parse_number("1 1/2"), parse_number("¾"), parse_number("1,5"), parse_number("1 500")
    (1.5, 0.75, 1.5, 1500.0)

    **Source:** house rule (what people write in kitchens on both sides of the decimal comma).
    """
    if not isinstance(text, str) or not text.strip():
        raise QuantityError('There is no number here; write for example "12.5" or "1 1/2".')
    if len(text.strip()) > LONGEST_BARE:
        raise QuantityError(f'{quoted(text)} is too long for a number; write for example "12.5" or "1 1/2".')
    tidy = plain(text)
    refuse_odd_numbers(tidy, "12.5")
    if tidy.startswith("-"):
        raise wrong(f"{quoted(text)} is less than nothing", "12.5")
    if not re.fullmatch(NUMBER, tidy):
        raise QuantityError(f'{quoted(text)} is not a number; write for example "12.5" or "1 1/2".')
    return value_of(tidy)


# Quantities that carry a second number: knitting gauge and yarn count.

_STITCHES = ("st", "sts", "stitch", "stitches")
_RATIO = rf"({NUMBER}) ?([a-zA-Z]+) ?(?:/|per |to |in |over ) ?(?:({NUMBER}) ?)?([a-zA-Z\"']+)"


def _halves(rest: str, typed: str, kind: Kind) -> tuple[float, str, float, str]:
    """The numbers and units above and below the stroke; the lower number is 1 where none is written."""
    found = re.fullmatch(_RATIO, rest)
    if found is None:
        raise no_number(typed, kind)
    top, top_unit, bottom, bottom_unit = found.groups()
    over = value_of(bottom) if bottom else 1.0
    if over == 0:
        raise wrong(f"{quoted(typed)} divides by nothing", kind.example)
    return value_of(top), top_unit, over, bottom_unit


def read_gauge(rest: str, typed: str) -> float:
    """Stitches in 10 cm from `32 st / 4 in`, `28 st / 10 cm`, `8 st/in`; 4 in are 10.16 cm, not 10.

    >>> read_gauge("32 st / 4 in", "")
    31.496062992125985

    **Source:** the international yard and pound, 1 in = 2.54 cm (NIST Special Publication 811, B.8).
    """
    kind = KINDS["gauge"]
    stitches, word, span, unit = _halves(rest, typed, kind)
    if word.lower() not in _STITCHES:
        raise unknown_unit(word, typed, kind)
    return stitches * 10.0 / (span * _size(unit, "length", typed, kind))


def read_yarn_count(rest: str, typed: str) -> float:
    """Metres of yarn in one gram from `400 m / 100 g` or `437 yd / 100 g`.

    >>> read_yarn_count("50 m/100 g", "")
    0.5
    """
    kind = KINDS["yarn count"]
    length, long_unit, weight, heavy_unit = _halves(rest, typed, kind)
    metres = length * _size(long_unit, "yarn length", typed, kind)
    return metres / (weight * _size(heavy_unit, "mass", typed, kind))


def _size(word: str, of_kind: str, typed: str, kind: Kind) -> float:
    """Base units of `of_kind` in one of the unit that word names."""
    part = KINDS[of_kind]
    unit = part.words.get(word) or part.words.get(word.lower())
    if unit is None:
        raise unknown_unit(word, typed, kind)
    return factor(unit, part.base)


RATIOS: dict[str, Callable[[str, str], float]] = {"gauge": read_gauge, "yarn count": read_yarn_count}

LONGEST = 80
"""Characters of a quantity. House rule: nothing a person means is longer."""
DROPS_PER_ML = 20.0
"""**Source:** USP <1101> Medicine Dropper: 20 drops of water weigh 1 g within 10 %."""
ABSOLUTE_ZERO_C = -273.15
PH_HIGHEST = 14.0

_FIRST = rf"({NUMBER}) ?(.*)"
_PART = re.compile(rf"({NUMBER}) ?([^0-9.,]*?) ?(?=[.,]?[0-9]|$)")
_ABBREVIATION_DOT = r"(?<=[A-Za-z])\.(?![0-9])"
_JOINED = r"(?<=[A-Za-z\"'])(?:,| and| \+| &) (?=[.,]?[0-9])"
_AROUND_SLASH = r" ?(?:/| per ) ?"


def parse(text: str, kind: str, *, drops_per_ml: float = DROPS_PER_ML, example: str = "") -> Quantity:
    """The quantity a person wrote, as a number in the base unit of its kind.

    text: at most 80 characters, one line; fractions, decimal comma, compound (`1 lb 4 oz`), drops.
    kind: a key of `KINDS`: mass g, volume mL, length cm, yarn length m, altitude m, duration min,
    temperature degC, share %, strength % (g per 100 mL), power W, alkalinity mg/L as CaCO3, gauge st/10 cm,
    yarn count m/g, rate mL/min, count 1, ph 1.
    drops_per_ml: the dyer's own dropper, more than 0.
    example: what a refusal tells to write, where that of the kind would not do.

    Refused, always with QuantityError: no unit, a unit of another kind, `nan`, `inf`, `1e400`, `1,234.5`,
    empty, and less than nothing except for a temperature or an altitude.

    >>> parse("1 lb 4 oz", "mass").value
    566.9904625
    >>> parse("10 drops", "volume")
    Quantity(value=0.5, unit='mL', typed='10 drops')

    **Source:** units NIST Special Publication 811, appendix B.8; drops USP <1101>; reading rules house rule.
    """
    known = KINDS.get(kind) if isinstance(kind, str) else None
    if known is None:
        raise QuantityError(
            f'There is no kind of quantity called {quoted(ascii(kind))}; use for example "mass".'
        )
    if example:
        known = msgspec.structs.replace(known, example=example)
    if not isinstance(text, str) or not text.strip():
        raise wrong(f"Expected {known.a_name}", known.example)
    if len(text) > LONGEST:
        raise wrong(f"{quoted(text)} is too long for {known.a_name}", known.example)
    if not math.isfinite(drops_per_ml) or drops_per_ml <= 0:
        raise wrong("The drops in one mL must be more than 0", "20")
    typed = text.strip()
    value = _value(typed, known, drops_per_ml)
    _refuse_impossible(typed, known, value)
    return Quantity(value=value + 0.0, unit=known.base, typed=typed)  # + 0.0 turns -0.0 into 0.0


def _value(typed: str, kind: Kind, drops_per_ml: float) -> float:
    tidy = re.sub(_JOINED, " ", re.sub(_ABBREVIATION_DOT, "", plain(typed)))
    refuse_odd_numbers(tidy, kind.example)
    negative = tidy.startswith("-")
    if negative and not kind.signed:
        raise wrong(f"{quoted(typed)}: {kind.a_name} cannot be negative", kind.example)
    rest = tidy[1:].lstrip(" ") if negative else tidy
    if kind.name in RATIOS:
        return RATIOS[kind.name](rest, typed)
    if kind.name == "ph" and rest[:2].lower() == "ph":
        rest = rest[2:].lstrip(" ")
    if kind.compound:
        return _parts(rest, typed, kind, drops_per_ml)
    return _single(rest, typed, kind, -1.0 if negative else 1.0)


def _single(rest: str, typed: str, kind: Kind, sign: float) -> float:
    """One number and all that follows as its unit."""
    found = re.fullmatch(_FIRST, rest)
    if found is None:
        raise no_number(typed, kind)
    number, words = found.groups()
    unit = _unit(re.sub(_AROUND_SLASH, "/", words), typed, kind)
    value = sign * value_of(number)
    if kind.name == "temperature":
        return to_celsius(value, unit)
    return value * factor(unit, kind.base)


def _parts(rest: str, typed: str, kind: Kind, drops_per_ml: float) -> float:
    """Numbers each with its unit, the larger unit first: `1 lb 4 oz`."""
    values: list[float] = []
    sizes: list[float] = []
    at = 0
    while at < len(rest):
        found = _PART.match(rest, at)
        if found is None:
            raise no_number(typed, kind)
        number, words = found.groups()
        unit = _unit(words, typed, kind)
        sizes.append(1.0 / drops_per_ml if unit == DROP else factor(unit, kind.base))
        values.append(value_of(number) * sizes[-1])
        at = found.end()
    if not values:
        raise no_number(typed, kind)
    if any(small >= large for large, small in pairwise(sizes)):
        raise wrong(f"{quoted(typed)} does not go from the larger unit to the smaller", kind.example)
    return math.fsum(values)


def _unit(words: str, typed: str, kind: Kind) -> str:
    """What pint calls the unit; the spelling as typed goes before the one in lower case (T is not t)."""
    tidy = words.strip(" ")
    if not tidy and kind.bare:
        return "1"
    unit = kind.words.get(tidy) or kind.words.get(tidy.lower())
    if unit is None:
        raise unknown_unit(tidy, typed, kind)
    return unit


def _refuse_impossible(typed: str, kind: Kind, value: float) -> None:
    if not abs(value) <= LARGEST:
        raise wrong(f"{quoted(typed)} is larger than can be meant here", kind.example)
    if kind.name == "temperature" and value < ABSOLUTE_ZERO_C:
        raise wrong(f"{quoted(typed)} is below absolute zero", kind.example)
    if kind.name == "ph" and value > PH_HIGHEST:
        raise wrong(f"{quoted(typed)} is not between pH 0 and pH 14", kind.example)
