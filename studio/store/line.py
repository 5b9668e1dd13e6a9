"""One event as one line of bytes, and back, without a doubt.

    {"at":...,"boot":...,"boot_ns":...,"data":{...},"kind":...,"n":12,"prev":"<crc of line 11>","crc":"..."}

ASCII with sorted keys and no spare space, so that there is exactly one way to write an event. The CRC-32
stands last and covers every byte before `,"crc"`; `prev` repeats that of the line before, which makes a
lost, swapped or doubled line visible.
"""

from __future__ import annotations

import json
import re
import zlib
from typing import Any, NoReturn

import msgspec

from studio.session.clock import utc_text, wall_ns_of
from studio.store.errors import LineError, Unstorable

FIRST_PREV = "00000000"
MOST_BYTES = 1024 * 1024
"""Longest line with its line feed; the first line holds the plan and the worksheet."""
MOST_DEPTH = 64
"""Deepest nesting of lists and objects."""

_CRC_MEMBER = re.compile(rb',"crc":"([0-9a-f]{8})"\}\Z')
_CRC_MEMBER_BYTES = len(b',"crc":"00000000"}')
_EIGHT_HEX = re.compile(r"[0-9a-f]{8}\Z")
_STRING = re.compile(rb'"(?:[^"\\]|\\.)*"')
_BRACKET = re.compile(rb"[\[\]{}]")
_MEMBERS = frozenset({"at", "boot", "boot_ns", "data", "kind", "n", "prev"})


class Record(msgspec.Struct, frozen=True):
    """One event as it stands, or will stand, in a session file."""

    n: int
    """Counts from 1 without a gap."""
    kind: str
    at: str
    """UTC, like 2026-11-25T06:36:38.123Z."""
    boot_ns: int
    boot: str
    data: dict[str, Any]
    prev: str = FIRST_PREV
    crc: str = ""


def encode(record: Record, prev_crc: str) -> bytes:
    """The line, with its line feed; `prev_crc` is the CRC of the line before (`FIRST_PREV` for the first).

    Unstorable where the event holds what JSON cannot keep exactly (nan, infinity, lone surrogates,
    keys that are not text, numbers of thousands of digits) or the line would pass 1 MiB. The line is
    decoded and compared before it is given out.
    """
    try:
        data = _with_lists(msgspec.to_builtins(record.data))
        body = _ENCODER.encode(_members(record, data, prev_crc)).encode("ascii")
    except (TypeError, ValueError, RecursionError, OverflowError) as error:
        raise Unstorable(_first_words(error)) from None
    head = body[:-1]
    line = head + b',"crc":"%08x"}\n' % zlib.crc32(head)
    try:
        back = decode(line[:-1])
    except LineError as error:
        raise Unstorable(error.reason) from None
    wanted = msgspec.structs.replace(record, data=data, prev=prev_crc, crc=back.crc)
    if back != wanted:
        raise Unstorable("it would not be read back as it was written")
    return line


def decode(line: bytes) -> Record:
    """The record of one line without its line feed; LineError with the reason for anything else.

    Exactly the bytes that `encode` writes are taken: a line that says the same in other bytes is
    refused. Nothing but LineError is raised, whatever the bytes.
    """
    if len(line) >= MOST_BYTES:
        raise LineError(f"it is longer than {MOST_BYTES} bytes")
    found = _CRC_MEMBER.search(line, max(0, len(line) - _CRC_MEMBER_BYTES))
    if found is None:
        raise LineError("it does not end in a check sum")
    head = line[: found.start()]
    crc = found[1].decode("ascii")
    if f"{zlib.crc32(head):08x}" != crc:
        raise LineError("its check sum does not match")
    members = _parsed(head + b"}")
    record = _record(members, crc)
    if b"\\ud" in head:
        _refuse_lone_surrogates(members)
    return record


def _parsed(body: bytes) -> dict[str, Any]:
    _refuse_depth(body)
    try:
        members = _DECODER.decode(body.decode("ascii"))
        again = _ENCODER.encode(members).encode("ascii")
    except UnicodeError:
        raise LineError("it holds bytes that are not ASCII") from None
    except (ValueError, RecursionError) as error:
        raise LineError(_first_words(error)) from None
    if not isinstance(members, dict):
        raise LineError("it is not an object")
    if again != body:
        raise LineError(_why_not_canonical(body))
    return members


def _members(record: Record, data: Any, prev_crc: str) -> dict[str, Any]:
    return {
        "at": record.at,
        "boot": record.boot,
        "boot_ns": record.boot_ns,
        "data": data,
        "kind": record.kind,
        "n": record.n,
        "prev": prev_crc,
    }


def _with_lists(value: Any) -> Any:
    """JSON knows one kind of sequence, so tuples become lists."""
    if isinstance(value, dict):
        return {key: _with_lists(inner) for key, inner in value.items()}
    return [_with_lists(inner) for inner in value] if isinstance(value, list | tuple) else value


def _record(members: dict[str, Any], crc: str) -> Record:
    if members.keys() != _MEMBERS:
        odd = sorted(members.keys() ^ _MEMBERS)
        raise LineError(f"members are missing or unknown: {', '.join(odd)}")
    for name in ("at", "boot", "kind", "prev"):
        if not isinstance(members[name], str) or not 1 <= len(members[name]) <= 100:
            raise LineError(f"{name} is not a short text")
    for name, least in (("n", 1), ("boot_ns", 0)):
        if type(members[name]) is not int or not least <= members[name] < 2**63:
            raise LineError(f"{name} is not a whole number from {least} up")
    if not isinstance(members["data"], dict):
        raise LineError("data is not an object")
    if not _EIGHT_HEX.match(members["prev"]):
        raise LineError("prev is not eight hexadecimal digits")
    try:
        known_time = utc_text(wall_ns_of(members["at"])) == members["at"]
    except (ValueError, OverflowError, OSError):
        known_time = False
    if not known_time:
        raise LineError("at is not a UTC time")
    return Record(**members, crc=crc)


def _refuse_depth(body: bytes) -> None:
    if body.count(b"[") + body.count(b"{") <= MOST_DEPTH:
        return
    depth = 0
    for bracket in _BRACKET.findall(_STRING.sub(b"", body)):
        depth += 1 if bracket in b"[{" else -1
        if depth > MOST_DEPTH:
            raise LineError(f"it is nested more than {MOST_DEPTH} deep")


def _refuse_lone_surrogates(members: dict[str, Any]) -> None:
    try:
        json.dumps(members, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError:
        raise LineError("it holds half of a character (a lone surrogate)") from None


def _why_not_canonical(body: bytes) -> str:
    """Names the doubled key, if that is what is wrong."""
    doubled: list[str] = []

    def look(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        seen: dict[str, Any] = {}
        for key, value in pairs:
            if key in seen:
                doubled.append(key)
            seen[key] = value
        return seen

    json.loads(body, object_pairs_hook=look)
    return f"the key {doubled[0]} stands twice" if doubled else "it is not written the one agreed way"


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number that can be kept")


def _first_words(error: Exception) -> str:
    if isinstance(error, RecursionError):
        return "it is nested too deep"
    return str(error).split("\n", 1)[0].split(":", 1)[0][:120].rstrip(".") or type(error).__name__


_ENCODER = json.JSONEncoder(ensure_ascii=True, sort_keys=True, allow_nan=False, separators=(",", ":"))
_DECODER = json.JSONDecoder(parse_constant=_refuse_constant)
