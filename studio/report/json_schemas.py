"""JSON Schemas of the three formats, made from the very types the program writes with.

Draft 2020-12. The envelope of a session's line is closed, and so are the `data` of every kind that is known: the
program takes no other key, but from a file of a later format. A kind that is not known is no fault.

**Source:** JSON Schema draft 2020-12, core and validation vocabularies.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any, Literal

import msgspec

from studio.plan.shapes import Worksheet
from studio.session.events import FORMAT
from studio.session.fitting import KINDS

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_REF = "#/$defs/{name}"
_HEX = {"type": "string", "pattern": "^[0-9a-f]{8}$"}
_RANGE = Annotated[tuple[float, float, float], msgspec.Meta(description="5, 50 and 95 % of paintings")]


class ForecastBand(msgspec.Struct, frozen=True):
    """One painted band, or one left bare, in the order of the blank."""

    colour: Annotated[str, msgspec.Meta(description="Empty where the fibre stays bare.")]
    rows: float
    solid: _RANGE
    mixed: _RANGE
    odds_solid: Annotated[float, msgspec.Meta(description="Share of paintings with a solid round, 0 to 1.")]


class ForecastDocument(msgspec.Struct, frozen=True):
    """What `potside forecast --json` prints."""

    format: Literal["potside-forecast/1"]
    yarn_m: float
    rounds: float
    bands: tuple[ForecastBand, ...]


def session_schema(shapes: Mapping[str, type[msgspec.Struct]] = KINDS) -> dict[str, Any]:
    """The schema of each line of `sessions/*.jsonl`; `shapes` are the data of each kind of event."""
    types = dict.fromkeys(shapes.values())
    told, defs = msgspec.json.schema_components(types, ref_template=_REF)
    refs = dict(zip(types, told, strict=True))
    for shape in types:  # What an event is stands beside its data, or is plain from where it lies.
        defs[shape.__name__]["required"].remove("kind")
    return {
        "$schema": DRAFT,
        "$id": f"urn:{FORMAT.replace('/', ':')}",
        "title": "One line of a Potside session file",
        "description": "An event. Line 1 is `session.opened`; the order of the lines is the order of events.",
        "type": "object",
        "properties": {
            "n": {"type": "integer", "minimum": 1, "description": "Counts from 1 without a gap."},
            "at": {
                "type": "string",
                "pattern": r"^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$",
                "description": "UTC by the wall clock, when it was written.",
            },
            "boot_ns": {
                "type": "integer",
                "minimum": 0,
                "description": "ns since the machine was started, sleep included.",
            },
            "boot": {
                "type": "string",
                "minLength": 1,
                "maxLength": 100,
                "description": "Names that start of the machine; times of two starts cannot be subtracted.",
            },
            "kind": {"type": "string", "minLength": 1, "maxLength": 100, "examples": sorted(shapes)},
            "data": {"type": "object"},
            "prev": {**_HEX, "description": "`crc` of the line before; 00000000 in the first."},
            "crc": {**_HEX, "description": 'CRC-32 of every byte of the line before `,"crc"`.'},
        },
        "required": ["n", "at", "boot_ns", "boot", "kind", "data", "prev", "crc"],
        "additionalProperties": False,
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": kind}}},
                "then": {"properties": {"data": refs[shape]}},
            }
            for kind, shape in shapes.items()
        ],
        "$defs": defs,
    }


def worksheet_schema() -> dict[str, Any]:
    """The schema of what `potside worksheet --json` prints."""
    return _document(Worksheet, "potside-worksheet/1", "A Potside worksheet")


def forecast_schema() -> dict[str, Any]:
    """The schema of what `potside forecast --json` prints."""
    return _document(ForecastDocument, "potside-forecast/1", "A Potside forecast")


SCHEMAS: dict[str, Callable[[], dict[str, Any]]] = {
    "session": session_schema,
    "worksheet": worksheet_schema,
    "forecast": forecast_schema,
}
"""By the name that `potside schema` takes."""


def schema_json(name: str) -> str:
    """That schema as ASCII text, indented by two, with a line feed at the end; KeyError for an unknown name."""
    import json

    return json.dumps(SCHEMAS[name](), indent=2, ensure_ascii=True) + "\n"


def _document(shape: type[msgspec.Struct], form: str, title: str) -> dict[str, Any]:
    (ref,), defs = msgspec.json.schema_components([shape], ref_template=_REF)
    return {"$schema": DRAFT, "$id": f"urn:{form.replace('/', ':')}", "title": title, **ref, "$defs": defs}
