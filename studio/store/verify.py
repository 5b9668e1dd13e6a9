"""Says whether a session file can be trusted, and why not."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Literal

import msgspec

from studio.session.events import AFTER_THE_END
from studio.store.errors import StoreError
from studio.store.line import Record, encode
from studio.store.reading import SessionReading, read_session
from studio.store.scan import BOM

VerdictState = Literal["clean", "repaired", "open tail", "written after closing", "damaged", "unreadable"]
_EXIT_CODES: dict[VerdictState, int] = {
    "clean": 0,
    "repaired": 1,
    "open tail": 1,
    "written after closing": 1,
    "damaged": 3,
    "unreadable": 3,
}


class Verdict(msgspec.Struct, frozen=True):
    """What was found out about one session file."""

    path: Path
    state: VerdictState
    exit_code: int
    """0 clean, 1 a torn end or an accounted-for repair, 3 damaged or unreadable."""
    sentences: tuple[str, ...]
    """The verdict first, then everything that was found."""
    events: int
    finished: bool
    hash_ok: bool | None
    """Whether the closing SHA-256 matches; None where there is none to compare."""
    begins: str = ""
    """Check sum of the first event: the same in every copy of a session. Empty where that event is lost."""


def verify(path: Path) -> Verdict:
    """The verdict on one file; never raises StoreError: what cannot be read is a verdict too."""
    try:
        reading = read_session(path)
    except StoreError as error:
        return Verdict(path, "unreadable", 3, (str(error),), 0, False, None)
    return judge(reading)


def judge(reading: SessionReading) -> Verdict:
    """The verdict on a file that was read."""
    closing = reading.finished
    hash_ok = _hash_ok(reading, closing) if closing else None
    state: VerdictState = reading.state
    told = [problem.text for problem in reading.problems]
    told.extend(reading.notes)
    late = _late(reading, closing)
    if hash_ok is False:
        state = "damaged"
        told.append("The closing SHA-256 does not match what stands before it.")
    elif late is not None and state in ("clean", "repaired"):
        state = "written after closing"
        told.append(f"Event {late.n} ({late.kind}) was written after the session was closed.")
    events = len(reading.records)
    return Verdict(
        reading.path,
        state,
        _EXIT_CODES[state],
        (_sentence(reading, state, hash_ok), *told),
        events,
        closing is not None,
        hash_ok,
        reading.first.crc if reading.first else "",
    )


def _sentence(reading: SessionReading, state: VerdictState, hash_ok: bool | None) -> str:
    count = len(reading.records)
    end = "finished" if reading.finished else "not finished"
    proof = ", SHA-256 matches" if hash_ok else ""
    return f"{reading.path.name}: {state}, {count} events, {end}{proof}."


def _late(reading: SessionReading, closing: Record | None) -> Record | None:
    after = (r for r in reading.records if closing is not None and r.n >= closing.n and r is not closing)
    return next((r for r in after if r.kind not in AFTER_THE_END), None)


def _hash_ok(reading: SessionReading, closing: Record) -> bool:
    """Compares with the bytes as they are, and with those before another program changed the line ends."""
    told = closing.data.get("sha256")
    line = encode(closing, closing.prev)[:-1]
    for raw in (reading.raw, reading.raw.removeprefix(BOM).replace(b"\r\n", b"\n")):
        at = raw.find(line)
        if at >= 0 and hashlib.sha256(raw[:at]).hexdigest() == told:
            return True
    return False
