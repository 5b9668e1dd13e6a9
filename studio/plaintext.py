"""Text made safe to show: nothing that came from a file, a name or an error may steer the terminal.

The original stays in the file; only what is shown passes through here. Serves every layer.
"""

from __future__ import annotations

import codecs
import os
import re
import unicodedata
from typing import TextIO

ELLIPSIS = "…"
MOST_MARKS = 4
"""Combining marks in a row that are kept; written languages need at most three (house rule)."""

_STEERING = (
    "[\x00-\x1f\x7f-\x9f"  # C0, DEL, C1
    "\u061c\u200b\u200e\u200f\u202a-\u202e\u2060-\u206f"  # direction marks and invisible operators
    "\u2028\u2029\ufeff\ufff9-\ufffb"  # separators some programs break lines at, BOM, annotations
    "\ud800-\udfff"  # lone surrogates
    "\U000e0000-\U000e007f]"  # invisible tag letters
)
_LONG_ENOUGH_TO_CUT = 16
"""Characters looked at per shown cell: bounds the work on text made of zero-width characters."""
_WINDOWS_DEVICES = frozenset(
    {"con", "prn", "aux", "nul", *(f"com{i}" for i in range(10)), *(f"lpt{i}" for i in range(10))}
)


def clean(text: str, *, limit: int = 200, multiline: bool = False) -> str:
    r"""The text as it may be shown, in at most `limit` cells of the terminal (all lines together).

    Control, direction and other invisible characters become visible escapes, long runs of combining
    marks are shortened, and text that is too wide ends in an ellipsis. With `multiline`, line feeds
    stay and tabs become four spaces. Never raises, whatever the text.

    >>> clean("rust\x1b]0;owned\x07")
    'rust\\x1b]0;owned\\x07'
    >>> clean("a\u202eb")
    'a\\u202eb'
    >>> clean("x" * 12, limit=10)
    'xxxxxxxxx…'

    **Source:** the character classes follow CWE-150 and CVE-2021-42574 (bidirectional text); the limits
    are a house rule.
    """
    reach = max(limit, 0) * _LONG_ENOUGH_TO_CUT
    shown = text[:reach]
    if multiline:
        lines = shown.replace("\r\n", "\n").replace("\t", "    ").split("\n")
        shown = "\n".join(map(_unsteered, lines))
    else:
        shown = _unsteered(shown)
    if not shown.isascii():
        shown = _few_marks(shown)
    return _cut(shown, limit, cut_before=len(text) > reach)


def slug(title: str) -> str:
    """A file-name part `[a-z0-9-]{1,40}` from a title; safe on every system, never empty.

    >>> slug("Tidewrack stripes, No. 3")
    'tidewrack-stripes-no-3'
    >>> slug("../../etc/x"), slug("con"), slug("")
    ('etc-x', 'con-session', 'session')
    """
    plain = unicodedata.normalize("NFKD", title[:400]).encode("ascii", "ignore").decode("ascii").lower()
    name = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:40].strip("-") or "session"
    return f"{name}-session" if name in _WINDOWS_DEVICES else name


def without_home(text: str) -> str:
    """The text with the person's own folder, wherever it stands, as `~`: shorter, and it can be passed on."""
    home = os.path.expanduser("~")
    return text.replace(f"{home}{os.sep}", f"~{os.sep}") if len(home) > 1 else text


def osc_text(text: str) -> str:
    r"""Text for a window title or a notification: one line, no `;`, at most 120 cells.

    >>> osc_text("4;1;50 \x1b\\ DUE")
    '4,1,50 \\x1b\\ DUE'
    """
    return clean(text.replace(";", ","), limit=120)


def _unsteered(line: str) -> str:
    """What steers is none of it printable, and most lines hold nothing of the kind."""
    return line if line.isprintable() else re.sub(_STEERING, _escape, line)


def _escape(match: re.Match[str]) -> str:
    code = ord(match[0])
    if code < 0x100:
        return f"\\x{code:02x}"
    return f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"


def _few_marks(text: str) -> str:
    kept: list[str] = []
    run = 0
    for character in text:
        run = run + 1 if unicodedata.category(character) in ("Mn", "Me") else 0
        if run <= MOST_MARKS:
            kept.append(character)
    return "".join(kept)


def _cut(text: str, limit: int, *, cut_before: bool) -> str:
    """At most `limit` cells; the widest part that leaves room for the ellipsis."""
    if limit <= 0:
        return ""
    width = _cells(text)
    if width <= limit and not cut_before:
        return text
    low, high = 0, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        low, high = (middle, high) if _cells(text[:middle]) <= limit - 1 else (low, middle - 1)
    return text[:low] + ELLIPSIS


def _cells(text: str) -> int:
    if text.isascii():
        return len(text)
    from rich.cells import cell_len  # loaded only for text that is not plain ASCII

    return cell_len(text)


# Standard output and error on machines whose text encoding has few signs: nothing ever stops for one. A
# sign that cannot be written becomes the nearest plain one, `…` three dots and `×` an x.

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
    "°": "deg",
    "µ": "u",
    "½": "1/2",
    "¼": "1/4",
    "¾": "3/4",
    "■": "x",
    "□": ".",
    "▄": "=",
    "█": "#",
    "●": "*",
    "▲": "!",
    "▁": "_",
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


def in_plain_signs(text: str, encoding: str = "ascii") -> str:
    """The text with the nearest signs for those that the encoding has not; ASCII where nobody knows it.

    >>> in_plain_signs("85 °C …")
    '85 degC ...'
    """
    codecs.register_error(_HANDLER, _nearest)
    try:
        return text.encode(encoding, _HANDLER).decode(encoding)
    except LookupError:
        return in_plain_signs(text)


def never_stop(*streams: TextIO | None, ascii_only: bool = False) -> None:
    """Let these streams write any text, with the nearest signs they have, or with those of ASCII alone."""
    codecs.register_error(_HANDLER, _nearest)
    for stream in streams:
        change = getattr(stream, "reconfigure", None)
        if change is not None:
            change(errors=_HANDLER, **({"encoding": "ascii"} if ascii_only else {}))


_FULL_STOP = re.compile(r"(?<=[a-z0-9)])[.] ")


def counted(number: float, one: str) -> str:
    """How many of something.

    >>> counted(1, "row"), counted(12.0, "row"), counted(0.5, "round")
    ('1 row', '12 rows', '0.5 rounds')
    """
    return f"{number:g} {one}{'' if number == 1 else 's'}"


def first_sentence(text: str) -> str:
    """The text up to its first full stop, where there is no room for the rest; the one of `C.I. Acid` is none.

    >>> first_sentence("Wet it. Then stir."), first_sentence("Stir 0.5 g"), first_sentence("C.I. Acid Red 1. Stir.")
    ('Wet it.', 'Stir 0.5 g', 'C.I. Acid Red 1.')
    """
    ended = _FULL_STOP.search(text)
    return text[: ended.start() + 1] if ended else text
