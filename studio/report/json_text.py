"""JSON that is printed: laid out to be read, and in ASCII, so that no text in it can steer a terminal."""

from __future__ import annotations

import re

import msgspec

_NOT_PLAIN = re.compile(r"[^\x00-\x7e]")


def printable_json(encoded: bytes) -> str:
    r"""The same document, indented by two; what is not ASCII is escaped, and reads back the same.

    JSON itself escapes only what stands below a blank: the control signs from U+0080 on and the marks that turn
    the direction of writing it leaves as they are. They can stand in strings alone, so the text may be taken as it is.

    >>> printable_json('["a\u202eb \U0001f9f6"]'.encode())
    '[\n  "a\\u202eb \\ud83e\\uddf6"\n]'
    """
    return _NOT_PLAIN.sub(_escaped, msgspec.json.format(encoded, indent=2).decode())


def _escaped(found: re.Match[str]) -> str:
    units = found[0].encode("utf-16-be")
    return "".join(f"\\u{units[i]:02x}{units[i + 1]:02x}" for i in range(0, len(units), 2))
