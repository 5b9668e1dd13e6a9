"""Standard output and error on machines whose text encoding has few signs: nothing ever stops for one.

A sign that cannot be written becomes the nearest plain one, `…` three dots and `×` an x.
"""

from __future__ import annotations

import codecs
import unicodedata
from typing import TextIO

PLAIN = {
    "…": "...",
    "×": "x",
    "·": "-",
    "–": "-",
    "—": "-",
    "−": "-",
    "→": "->",
    "≤": "<=",
    "≥": ">=",
    "°": "deg ",
    "µ": "u",
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
}
_HANDLER = "potside-nearest"


def plain(sign: str) -> str:
    """The nearest ASCII for one sign; a question mark where there is none.

    >>> [plain(sign) for sign in "é…×蘖"]
    ['e', '...', 'x', '?']
    """
    if sign in PLAIN:
        return PLAIN[sign]
    return unicodedata.normalize("NFKD", sign).encode("ascii", "ignore").decode("ascii") or "?"


def _nearest(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(plain(sign) for sign in error.object[error.start : error.end]), error.end


def never_stop(*streams: TextIO | None) -> None:
    """Let these streams write any text, with the nearest signs they have."""
    codecs.register_error(_HANDLER, _nearest)
    for stream in streams:
        change = getattr(stream, "reconfigure", None)
        if change is not None:
            change(errors=_HANDLER)
