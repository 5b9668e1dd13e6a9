"""Names with their shares on one line, `superwash wool 75, nylon 25`: how a blend or a mix is typed."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from studio.plan.errors import PlanError, quoted

Shares = tuple[tuple[str, float], ...]

_ITEM = (
    r"\s*(?:\"(?P<quoted>(?:[^\"]|\"\")*)\"|(?P<name>[^,;\"][^,;]*?))"
    r"\s+(?P<share>[0-9]+(?:[.,][0-9]+)?)\s*(?:%|per cent)?\s*(?:[,;]|$)"
)
_FIRST = r"\s*(?P<share>[0-9]+(?:[.,][0-9]+)?)\s*(?:%|per cent)?\s+(?P<name>[^,;\"]*[^,;\"\s])\s*(?:[,;]|$)"

_TWO = r"\s[0-9]+(?:[.,][0-9]+)?\s*(?:%|per cent)?\s"
"""A name with a share inside it: two of them, where the shares told are not the whole."""
LEAST_WHOLE = 99.5
"""Per cent. House rule: shares that were rounded are the whole."""
_HAS_SHARE = r"^[0-9]+(?:[.,][0-9]+)?\s*(?:%|per cent)?\s+|\s+[0-9]+(?:[.,][0-9]+)?\s*(?:%|per cent)?$"


def shares_text(shares: Iterable[tuple[str, float]]) -> str:
    """The line for names and per cent.

    >>> shares_text([("superwash wool", 75), ("nylon", 25)])
    'superwash wool 75 %, nylon 25 %'
    """
    return ", ".join(f"{quoted_name(name)} {number_text(share)} %" for name, share in shares)


def read_shares(text: str, example: str, known: Callable[[str], object] = lambda name: None) -> Shares:
    """Names and per cent of such a line, in order; PlanError, one sentence, where it cannot be read.

    The share may stand before the name, too: `75 % wool, 25 % nylon`. known: whether there is something of
    that name; a name it knows may have a comma in it: `wool, superwash 75, nylon 25`.

    >>> read_shares("wool 75, nylon 25 %", "wool 100"), read_shares("75 % wool, 25 % nylon", "wool 100")
    ((('wool', 75.0), ('nylon', 25.0)), (('wool', 75.0), ('nylon', 25.0)))
    """
    text = _joined(text, known)
    found: list[tuple[str, float]] = []
    at = 0
    while at < len(text.rstrip(" ,;")):
        item = re.compile(_ITEM).match(text, at) or re.compile(_FIRST).match(text, at)
        if item is None:
            rest = text[at:].split(",")[0].strip()
            raise PlanError(f"{quoted(rest)} has no share beside it; write for example {example}.")
        groups = item.groupdict()
        name = unquoted(groups["name"] or "", groups.get("quoted"))
        if not name:
            raise PlanError(f"A share stands without a name; write for example {example}.")
        found.append((name, float(groups["share"].replace(",", "."))))
        at = item.end()
    if not found:
        raise PlanError(f"Nothing is written here; write for example {example}.")
    joined = next((name for name, _ in found if re.search(_TWO, name)), "")
    if joined and sum(share for _, share in found) < LEAST_WHOLE:
        raise PlanError(f"A comma is missing in {quoted(joined)}; write for example {example}.")
    if len({name for name, _ in found}) < len(found):
        raise PlanError(f"One name stands twice; add its shares together, for example {example}.")
    return tuple(found)


def _joined(text: str, known: Callable[[str], object]) -> str:
    """The line with a known name of two parts, `wool, superwash`, in one: `wool superwash`."""
    parts = text.split(",")
    if '"' in text:
        return text
    at = 0
    while at < len(parts) - 1:
        first, second = parts[at].strip(), parts[at + 1].strip()
        both = f"{first} {second}"
        apart = re.search(_HAS_SHARE, first) and re.search(_HAS_SHARE, second)
        if first and second and not apart and known(re.sub(_HAS_SHARE, "", both).strip()):
            parts[at : at + 2] = [both]
        else:
            at += 1
    return ",".join(parts)


def quoted_name(name: str, *, words: Iterable[str] = ()) -> str:
    """The name as it may stand in such a line: in quotes where it would be read as something else."""
    odd = re.search(r"[,;\"]", name) or re.match(r"[0-9]", name) or name.casefold() in words
    return '"' + name.replace('"', '""') + '"' if odd or name != name.strip() else name


def unquoted(name: str, in_quotes: str | None) -> str:
    """The name that was meant."""
    return name.strip() if in_quotes is None else in_quotes.replace('""', '"')


def number_text(value: float) -> str:
    """The shortest text that is the same number, without an exponent.

    >>> number_text(75.0), number_text(12.5), number_text(0.00001)
    ('75', '12.5', '0.00001')
    """
    from decimal import Decimal

    text = f"{Decimal(repr(float(value))):f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
