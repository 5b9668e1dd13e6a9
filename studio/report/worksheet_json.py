"""A worksheet as JSON: `potside-worksheet/1`."""

from __future__ import annotations

from typing import Any

import msgspec

from studio.plan.shapes import Worksheet


def worksheet_json(worksheet: Worksheet, *, indent: int = 2) -> str:
    """The worksheet as one JSON document: ASCII, stable order, a line feed at the end.

    `{"format", "title", "figures": [{"id", "value", "unit", "label", "because", "origin", "source"}],
    "cautions": [{"id", "level", "text", "source"}], "procedure": [{"stage", "steps": [{"id", "kind", "text"}]}],
    "timers"}`; members a row does not need are left out. Text stands as it was written, escaped by JSON.
    """
    import json

    data: dict[str, Any] = msgspec.to_builtins(worksheet)
    return json.dumps(data, indent=indent, ensure_ascii=True, allow_nan=False) + "\n"
