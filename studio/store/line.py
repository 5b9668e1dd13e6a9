"""One event as one line of bytes, and back, without a doubt.

    {"at":...,"boot":...,"boot_ns":...,"data":{...},"kind":...,"n":12,"prev":"<crc of line 11>","crc":"..."}

ASCII with sorted keys and no spare space, so that there is exactly one way to write an event. The CRC-32
stands last and covers every byte before `,"crc"`; `prev` repeats that of the line before, which makes a
lost, swapped or doubled line visible.
"""

from __future__ import annotations

import codecs
import re
import zlib
from typing import Any, NoReturn

import msgspec

from studio.session.clock import Moment, wall_ns_of
from studio.session.folding import FIRST_PREV, Record, told_of
from studio.shaping import shaped
from studio.store.disk import LineError, Unstorable

MOST_BYTES = 1024 * 1024
"""Longest line with its line feed; the first line holds the plan and the worksheet."""
MOST_DEPTH = 64
"""Deepest nesting of lists and objects, in a line that has room for more."""
_SHALLOW_BYTES = 400
"""What a shorter line can nest beyond that (it holds other members too) is no burden to anything that reads it."""

_CRC = b',"crc":"%08x"}'
_CRC_BYTES = len(_CRC % 0)
_SQUARE = bytes.maketrans(b"{}", b"[]")
_NO_BRACKETS = bytes(set(range(256)) - set(b"[]{}"))

_TIME_AND_CRC = re.compile(
    r"[1-9][0-9]{3}-[0-9]{2}-[0-9]{2}T(?:[01][0-9]|2[0-3]):[0-9]{2}:[0-9]{2}\.[0-9]{3}Z[0-9a-f]{8}\Z"
)

_EIGHT_HEX = re.compile(r"[0-9a-f]{8}\Z")


def encode(record: Record, prev_crc: str) -> bytes:
    """The line, with its line feed, as `sealed` makes it."""
    return sealed(record, prev_crc)[0]


def sealed(record: Record, prev_crc: str) -> tuple[bytes, Record]:
    """The line with its line feed, and the record as it will be read back from it.

    `prev_crc`: CRC of the line before (`FIRST_PREV` for the first).
    Unstorable where the event holds what JSON cannot keep exactly (nan, infinity, lone surrogates,
    keys that are not text, numbers of thousands of digits) or the line would pass 1 MiB. The line is
    decoded and compared before it is given out.
    """
    try:
        data = _with_lists(msgspec.to_builtins(record.data))
        wanted = msgspec.structs.replace(record, data=data, prev=prev_crc, crc=FIRST_PREV)
        body = _in_ascii(_ENCODER.encode(wanted))
    except (TypeError, ValueError, RecursionError, msgspec.MsgspecError) as error:
        raise Unstorable(_in_words(error)) from None
    head = body[:-_CRC_BYTES]
    line = head + _CRC % zlib.crc32(head)
    try:
        back = decode(line)
    except LineError as error:
        raise Unstorable(error.reason) from None
    if msgspec.structs.replace(back, crc=FIRST_PREV) != wanted:
        raise Unstorable("it would not be read back as it was written")
    return line + b"\n", back


def decode(line: bytes) -> Record:
    """The record of one line without its line feed; LineError with the reason for anything else.

    Exactly the bytes that `encode` writes are taken: a line that says the same in other bytes is
    refused. Nothing but LineError is raised, whatever the bytes.
    """
    if len(line) >= MOST_BYTES:
        raise LineError(f"it is longer than {MOST_BYTES} bytes")
    head = line[:-_CRC_BYTES]
    if not line.endswith(_CRC % zlib.crc32(head)):
        end = line[-_CRC_BYTES:]
        whole = end.startswith(_CRC[:8]) and end.endswith(_CRC[-2:])
        raise LineError("its check sum does not match" if whole else "it does not end in a check sum")
    if len(line) > _SHALLOW_BYTES and line.count(b"[") + line.count(b"{") > MOST_DEPTH:
        _refuse_depth(line)
    try:
        record = _DECODER.decode(line)
        again = _ENCODER.encode(record)
        agreed = line.isascii() and (again == line or _in_ascii(again) == line)
    except (msgspec.MsgspecError, ValueError, RecursionError) as error:
        raise LineError(_why_not(line) or _in_words(error)) from None
    if not agreed:
        raise LineError(_why_not(line) or "it is not written the one agreed way")
    try:
        if _TIME_AND_CRC.match(record.at + record.prev):
            vars(record)["moment"] = Moment(wall_ns_of(record.at), record.boot_ns, record.boot)
            return record
    except ValueError:
        pass
    told = _EIGHT_HEX.match(record.prev)
    raise LineError("at is not a UTC time" if told else "prev is not eight hexadecimal digits")


def sha256_of(raw: bytes | bytearray) -> str:
    """As it stands in a closing line. Loads OpenSSL, 4 MB, when a session ends and not when it is opened."""
    import hashlib

    return hashlib.sha256(raw).hexdigest()


def _in_ascii(raw: bytes) -> bytes:
    """Keys sorted, no spaces, what is not ASCII as `\\uXXXX`: the one way to write a line."""
    return raw if raw.isascii() else raw.decode().encode("ascii", _ESCAPED)


def _escaped(found: UnicodeError) -> tuple[str, int]:
    assert isinstance(found, UnicodeEncodeError)
    units = found.object[found.start : found.end].encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{units[at : at + 4]}" for at in range(0, len(units), 4)), found.end


_ESCAPED = "potside.escaped"
codecs.register_error(_ESCAPED, _escaped)


def _with_lists(value: Any) -> Any:
    """JSON knows one kind of sequence, so tuples become lists."""
    if isinstance(value, dict):
        return {key: _with_lists(inner) for key, inner in value.items()}
    return [_with_lists(inner) for inner in value] if isinstance(value, list | tuple) else value


def _refuse_depth(body: bytes) -> None:
    outside_strings = body.replace(rb"\\", b"").replace(rb"\"", b"").split(b'"')[::2]
    nested = b"".join(outside_strings).translate(_SQUARE, _NO_BRACKETS)
    for _ in range(MOST_DEPTH):
        nested = nested.replace(b"[]", b"")
    if b"[]" in nested:
        raise LineError(f"it is nested more than {MOST_DEPTH} deep")


def _why_not(line: bytes) -> str:
    """What is wrong with a line that was not taken, as far as it is more than its way of writing."""
    if not line.isascii():
        return "it holds bytes that are not ASCII"
    import json  # Here alone, where it says what is wrong.

    doubled: list[str] = []

    def look(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        keys = [key for key, _ in pairs]
        doubled.extend(key for key in keys if keys.count(key) > 1)
        return dict(pairs)

    try:
        members = json.loads(line, object_pairs_hook=look, parse_constant=_refuse_constant)
        shaped(members, Record)
        json.dumps(members, ensure_ascii=False).encode("utf-8")
    except msgspec.ValidationError as error:
        return told_of(error)
    except (ValueError, RecursionError) as error:
        return _in_words(error)
    return f"the key {doubled[0]} stands twice" if doubled else ""


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number that can be kept")


def _in_words(error: Exception) -> str:
    if isinstance(error, RecursionError):
        return "it is nested too deep"
    if isinstance(error, UnicodeEncodeError):
        return "it holds half of a character (a lone surrogate)"
    told = str(getattr(error, "msg", error))  # Of json without the place.
    return told[:120].rstrip(".") or type(error).__name__


_ENCODER = msgspec.json.Encoder(order="deterministic")
_DECODER = msgspec.json.Decoder(Record)
