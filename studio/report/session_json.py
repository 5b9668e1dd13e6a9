"""One session as one JSON document: what was planned, every event, and what follows from them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import msgspec

from studio.report.cost_rows import cost_data
from studio.report.json_text import printable_json
from studio.session import review
from studio.session.clock import utc_text
from studio.session.events import Event
from studio.session.state import State

FORMAT = "potside-show/1"


def session_json(state: State, name: str, events: Sequence[Event], remarks: Sequence[str]) -> str:
    """The document, keys sorted, indented by two."""
    document: dict[str, Any] = {
        "format": FORMAT,
        "file": name,
        "title": state.title,
        "outcome": state.outcome or "open",
        "why": state.outcome_why,
        "opened": utc_text(state.opened.wall_ns),
        "last": utc_text(state.last.wall_ns),
        "rehearsal_speed": state.rehearsal_speed,
        "remarks": list(remarks),
        "plan": state.plan_text,
        "worksheet": msgspec.to_builtins(state.worksheet),
        "ratings": review.ratings(state),
        "stages": [
            {
                "stage": t.stage,
                "first": utc_text(t.first_ns),
                "last": utc_text(t.last_ns),
                "minutes": t.minutes,
            }
            for t in review.stage_times(state)
        ],
        "values": [
            {
                "step": row.step.id,
                "planned": row.planned,
                "asked": row.asked,
                "actual": row.actual,
                "unit": row.step.unit,
                "typed": row.record.typed,
                "difference_percent": row.difference_percent,
                "marked": row.record.flagged,
                "earlier": [
                    {"was": o.what, "why": o.why, "at": utc_text(o.at_ns)} for o in row.record.earlier
                ],
            }
            for row in review.planned_and_actual(state)
        ],
        "follow_ups": follow_ups_document(state),
        "cost": cost_data(state),
        "events": [{"n": ev.n, "kind": ev.kind, "at": ev.at, "data": ev.data} for ev in events if ev.n > 1],
    }
    encoded = msgspec.json.encode(document, order="sorted")
    return printable_json(encoded)


def follow_ups_document(state: State) -> list[dict[str, Any]]:
    """Every fastness test with all its grades, oldest first."""
    return [
        {
            "number": f.number,
            "test": f.test,
            "standing": f.standing,
            "due": f.due,
            "moved_from": list(f.moved_from),
            "how": f.how,
            "note": f.note,
            "cancelled": f.cancelled,
            "grades": [
                {
                    "at": utc_text(g.at_ns),
                    "change": g.change,
                    "staining": g.staining,
                    "note": g.note,
                    "why": g.why,
                }
                for g in f.grades
            ],
        }
        for f in state.follow_ups
    ]
