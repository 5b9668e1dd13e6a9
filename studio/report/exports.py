"""One session handed over as data: a JSON document that can be read back, and two tables for a spreadsheet; and
the schemas of what the program writes.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

import msgspec

from studio import __version__
from studio.craft.fastness import NOT_THE_STANDARD, step_of
from studio.plaintext import clean
from studio.plan.shapes import Worksheet
from studio.quantity.reading_in import in_metric
from studio.report.forecast import ForecastDocument
from studio.report.logbook import follow_ups_document, given, laboratory
from studio.report.printing import ALL_OF_IT, document, picked
from studio.report.session_page import cost_data
from studio.report.telling import tell
from studio.session.after import review
from studio.session.after.real_cost import real_cost, spent
from studio.session.after.review import ReadSession
from studio.session.clock import utc_text
from studio.session.events import FORMAT
from studio.session.folding import Record, kinds
from studio.session.kinds.fastness import FollowUp
from studio.session.sheet import figures_moved
from studio.session.state import State
from studio.shaping import shaped_json

# One JSON document: what was planned, every event, and what follows from them.


def session_json(read: ReadSession) -> str:
    """The document of `potside show --json`; the opening is told by what follows from it."""
    events = [picked(event, "n", "kind", "at", "data") for event in read.events if event.n > 1]
    return document("potside-show/1", {**_followed(read), "events": events})


def export_json(read: ReadSession) -> str:
    """The same with all of every event, the first too, and with where it was read from."""
    source = {"file": read.name, "sha256": read.sha256, "program": __version__}
    events = [picked(event, "n", "kind", "at", "boot_ns", "boot", "data") for event in read.events]
    return document("potside-export/1", {**_followed(read), "source": source, "events": events}) + "\n"


def _followed(read: ReadSession) -> dict[str, Any]:
    """All but the events."""
    state = read.state
    return {
        "file": read.name,
        "title": state.title,
        "outcome": state.outcome or "open",
        "why": state.outcome_why,
        "opened": utc_text(state.opened.wall_ns),
        "last": utc_text(state.last.wall_ns),
        "rehearsal_speed": state.rehearsal_speed,
        "remarks": read.remarks,
        "plan": state.plan_text,
        "worksheet": state.worksheet,
        "ratings": review.ratings(state),
        "stages": [
            {
                **picked(t, "stage", "minutes"),
                "first": utc_text(int(t.first_ns)),
                "last": utc_text(int(t.last_ns)),
            }
            for t in review.stage_times(state)
        ],
        "came_to": figures_moved(state, spent(state)),
        "values": [_value(found) for found in review.planned_and_actual(state)],
        "follow_ups": follow_ups_document(state),
        "cost": cost_data(state),
    }


def _value(found: review.Compared) -> dict[str, Any]:
    step, record = found.step, found.record
    return {
        **picked(found, "planned", "asked", "actual", "difference_percent"),
        "step": step.id,
        "unit": step.unit,
        "typed": record.typed,
        "marked": record.flagged,
        "earlier": [{"was": o.what, "why": o.why, "at": utc_text(o.at_ns)} for o in record.earlier],
    }


# Two tables for a spreadsheet: the events, and the figures with what was measured. Numbers stand as numbers.
# Text that a spreadsheet would run as a formula gets an apostrophe in front, unless it is asked for raw.

EVENT_HEADS = ("n", "at", "kind", "step", "told", "value", "unit", "typed", "why")
MEASURES = ("value", "unit", "low", "high", "planned", "asked", "difference_percent")
FIGURE_HEADS = ("kind", "id", "label", *MEASURES, "origin", "because", "source")
_FORMULA = frozenset("=+-@\t\r\n\0|")

Line = Mapping[str, Any]
"""The cells of a row by their heads; what is left out or None is empty."""


def inert(text: str) -> str:
    """Text that no spreadsheet runs: an apostrophe before a formula sign, also behind blanks or wide forms.

    **Source:** OWASP Application Security Verification Standard 5.0, 1.2.10; `|`: house rule.

    >>> inert("=1+1"), inert("  @x"), inert("rust")
    ("'=1+1", "'  @x", 'rust')
    """
    begins = unicodedata.normalize("NFKC", text.lstrip()[:1])[:1]
    return f"'{text}" if (begins in _FORMULA and begins) or (text[:1] in _FORMULA and text) else text


def events_csv(read: ReadSession, *, raw: bool = False) -> str:
    """`EVENT_HEADS`, one event a row, in order; value is a number where the event measured one."""
    return _table(EVENT_HEADS, (_event(event, read.state) for event in read.events), raw)


def _event(event: Record, state: State) -> Line:
    value = event.data.get("value")
    number = value if isinstance(value, int | float) and not isinstance(value, bool) else None
    texts = {key: str(event.data.get(key, "")) for key in ("step", "unit", "typed", "why")}
    with in_metric():
        told = tell(event, state)
    return {**picked(event, "n", "at", "kind"), **texts, "told": told, "value": number}


def figures_csv(read: ReadSession, *, raw: bool = False) -> str:
    """`FIGURE_HEADS`: kinds `figure`, of the worksheet; `came to`, of it what is not as it was begun; `measured`;
    `graded`, on the grey scales; `cost`.
    """
    named = ("id", "label", "value", "unit", "low", "high", "origin", "because", "source")
    figures = ({"kind": "figure", **picked(f, *named)} for f in read.state.worksheet.figures)
    came = ({"kind": "came to", **picked(f, *named)} for f in figures_moved(read.state, spent(read.state)))
    measured = map(_measured, review.planned_and_actual(read.state))
    graded = (line for follow_up in read.state.follow_ups for line in _graded(follow_up))
    return _table(FIGURE_HEADS, (*figures, *came, *measured, *graded, *_cost(read.state)), raw)


def _measured(found: review.Compared) -> Line:
    step, record = found.step, found.record
    return {
        **picked(step, "id", "unit", "low", "high"),
        **picked(found, "planned", "asked", "difference_percent"),
        "kind": "measured",
        "label": step.done,
        "value": found.actual,
        "origin": "measured",
        "because": record.why or (f"typed {record.typed}" if record.typed else record.state),
    }


def _cost(state: State) -> Iterator[Line]:
    """Real costs beside the planned ones, unrounded."""
    cost = real_cost(state)
    if cost is None:
        return
    for part in cost.rows:
        yield {
            "kind": "cost",
            "id": f"cost.{part.id}",
            "label": f"real cost, {part.label}, in {cost.currency}",
            "value": part.real,
            "unit": "1",
            "planned": part.planned,
            "difference_percent": 100 * (part.real / part.planned - 1) if part.planned else None,
            "origin": "measured" if part.measured else "plan",
            "because": part.because,
            "source": "prices on the shelf",
        }


def _graded(follow_up: FollowUp) -> Iterator[Line]:
    """One row for each grade that counts: 4.5 for `4-5`, of 1 to 5, with the note as its reason."""
    grade = follow_up.grade
    if grade is None or follow_up.standing != "graded":
        return
    for scale, one in given(grade).items():
        yield {
            "kind": "graded",
            "id": f"follow_up.{follow_up.number}.{scale}",
            "label": f"{follow_up.test} test, {scale} {one}",
            "value": step_of(one, scale).number,
            "unit": "grade",
            "low": 1,
            "high": 5,
            "origin": "measured",
            "because": grade.note or grade.why,
            "source": f"{NOT_THE_STANDARD} {laboratory(follow_up.test)}",
        }


def _table(heads: Sequence[str], rows: Iterable[Line], raw: bool) -> str:
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, heads, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    writer.writeheader()
    for row in rows:
        writer.writerow({head: _cell(row.get(head), raw) for head in heads})
    return out.getvalue()


def _cell(cell: Any, raw: bool) -> Any:
    if cell is None:
        return ""
    return inert(clean(cell, limit=ALL_OF_IT)) if isinstance(cell, str) and not raw else cell


# JSON Schemas of the three formats, made from the very types the program writes with. Draft 2020-12. The
# envelope of a session's line is closed, and so are the `data` of every kind that is known: the program takes no
# other key, but from a file of a later format. A kind that is not known is no fault.
# **Source:** JSON Schema draft 2020-12, core and validation vocabularies.

DRAFT = "https://json-schema.org/draft/2020-12/schema"
_REF = "#/$defs/{name}"


def session_schema() -> dict[str, Any]:
    """The schema of each line of `sessions/*.jsonl`."""
    shapes = kinds()
    types = dict.fromkeys(shapes.values())
    told, defs = msgspec.json.schema_components(types, ref_template=_REF)
    refs = dict(zip(types, told, strict=True))
    for shape in types:  # What an event is stands beside its data, or is plain from where it lies.
        defs[shape.__name__]["required"].remove("kind")
    envelope = shaped_json(Path(__file__).with_name("session_line.json").read_bytes(), dict[str, Any])
    envelope["properties"]["kind"]["examples"] = sorted(shapes)
    return {
        "$schema": DRAFT,
        "$id": f"urn:{FORMAT.replace('/', ':')}",
        **envelope,
        "allOf": [
            {
                "if": {"properties": {"kind": {"const": kind}}},
                "then": {"properties": {"data": refs[shape]}},
            }
            for kind, shape in shapes.items()
        ],
        "$defs": defs,
    }


SCHEMAS: dict[str, Callable[[], dict[str, Any]]] = {
    "session": session_schema,
    "worksheet": lambda: _document(Worksheet, "potside-worksheet/1", "A Potside worksheet"),
    "forecast": lambda: _document(ForecastDocument, "potside-forecast/1", "A Potside forecast"),
}
"""By the name that `potside schema` takes."""


def schema_json(name: str) -> str:
    """That schema as ASCII text, indented by two, with a line feed at the end; KeyError for an unknown name."""
    import json

    return json.dumps(SCHEMAS[name](), indent=2, ensure_ascii=True) + "\n"


def _document(shape: type[msgspec.Struct], form: str, title: str) -> dict[str, Any]:
    (ref,), defs = msgspec.json.schema_components([shape], ref_template=_REF)
    return {"$schema": DRAFT, "$id": f"urn:{form.replace('/', ':')}", "title": title, **ref, "$defs": defs}
