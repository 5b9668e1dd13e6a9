"""One session as one JSON document that can be read back: every event, and what follows from them."""

from __future__ import annotations

import json
from typing import Any

import msgspec

from studio.report.export_source import Source
from studio.report.session_json import session_json

FORMAT = "potside-export/1"


class ExportedEvent(msgspec.Struct, frozen=True):
    """An event as the document holds it; of the shape of `session.events.Event`."""

    n: int
    kind: str
    at: str
    boot_ns: int
    boot: str
    data: dict[str, Any]


class Provenance(msgspec.Struct, frozen=True):
    """The file an export was made from."""

    file: str
    sha256: str
    program: str


class Exported(msgspec.Struct, frozen=True):
    """What such a document holds; the rest of it follows from the events."""

    format: str
    source: Provenance
    events: tuple[ExportedEvent, ...]
    remarks: tuple[str, ...] = ()


def export_json(source: Source) -> str:
    """The document of `potside show --json` with all events, the first too, and `source`; ASCII, keys sorted."""
    shown = session_json(source.state, source.name, source.events, source.remarks)
    document: dict[str, Any] = msgspec.json.decode(shown)
    document["format"] = FORMAT
    document["source"] = {"file": source.name, "sha256": source.sha256, "program": source.program}
    document["events"] = [
        {"n": e.n, "kind": e.kind, "at": e.at, "boot_ns": e.boot_ns, "boot": e.boot, "data": e.data}
        for e in source.events
    ]
    return json.dumps(document, indent=2, sort_keys=True, ensure_ascii=True, allow_nan=False) + "\n"


def read_export(text: str) -> Exported:
    """The events of such a document, to be replayed; ValueError, one sentence, where it is none."""
    try:
        found = msgspec.json.decode(text, type=Exported)
    except (msgspec.MsgspecError, RecursionError, UnicodeError) as problem:
        raise ValueError(f"This is no exported session; write one with --as json ({problem}).") from problem
    if found.format != FORMAT:
        raise ValueError(f"This is no {FORMAT}; write one with potside export SESSION --as json.")
    return found
