"""Numbers as people write them: `3/4`, `1 1/2`, `1½`, `1,5`, `12.5`, `1 500`."""

from __future__ import annotations

import re

from studio.quantity.measure import QuantityError, quoted, wrong

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
_WHOLE = re.compile(NUMBER)
_TOO_CLEVER = re.compile(r"[0-9][eE_][+-]?[0-9]")
_TWO_MARKS = re.compile(r"[0-9][.,][0-9]+[.,]")
_THOUSANDS_COMMA = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")


def plain(text: str) -> str:
    """The text with typographic blanks, signs, quotes and fractions written in plain characters.

    >>> plain("1½\\u202fcup")
    '1 1/2 cup'
    """
    return re.sub(" +", " ", text.translate(_PLAIN)).strip(" ")


def refuse_odd_numbers(text: str, example: str) -> None:
    """Refuse `1e400`, `1_0` and `1,234.5` in plain text, with the sentence that fits each."""
    if _TOO_CLEVER.search(text):
        raise wrong(f"{quoted(text)} is not a number as people write them", example)
    if _TWO_MARKS.search(text):
        raise wrong(f"{quoted(text)} has two decimal marks in one number", "1 234.5")


def value_of(number: str) -> float:
    """The value of one number that matched `NUMBER`; QuantityError where it has two meanings or none."""
    if _THOUSANDS_COMMA.fullmatch(number):
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
    if not _WHOLE.fullmatch(tidy):
        raise QuantityError(f'{quoted(text)} is not a number; write for example "12.5" or "1 1/2".')
    return value_of(tidy)
