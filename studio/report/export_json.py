"""One session as one JSON document that can be read back: every event, and what follows from them."""

from __future__ import annotations

import json
from typing import Any

import msgspec

from studio.report.export_source import Source
from studio.report.session_json import session_json

FORMAT = "potside-export/1"


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
