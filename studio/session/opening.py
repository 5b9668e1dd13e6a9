"""The first event of a session: the plan and the worksheet as they were, and who opened it."""

from __future__ import annotations

from typing import Any

import msgspec

from studio.plan.settled import Settled, self_contained
from studio.plan.shapes import Worksheet
from studio.session import events as e
from studio.session.clock import Reading
from studio.session.refusals import Refused


class MayNotBegin(Refused):
    """A `stop` stands in the worksheet."""


def opening(
    worksheet: Worksheet,
    plan_text: str,
    *,
    program: str,
    pid: int,
    host: str,
    utc_offset_min: int,
    choices: Settled | None = None,
    speed: float | None = None,
    origin: Reading | None = None,
) -> e.Draft:
    """The opening event; MayNotBegin where the worksheet holds a stop.

    `choices`: what the worksheet was worked out of, so that it can be worked out anew from what is measured; a
    session without them keeps its worksheet as it began.
    `speed` and `origin` are those of the rehearsal's clock; `host` is a short hash, never a name.
    """
    if worksheet.stops:
        first = worksheet.stops[0]
        raise MayNotBegin(f"This session cannot begin: {first.text}")
    data: dict[str, Any] = {
        "format": e.FORMAT,
        "title": worksheet.title,
        "plan": plan_text,
        "worksheet": msgspec.json.decode(msgspec.json.encode(worksheet)),
        "program": program,
        "pid": pid,
        "host": host,
        "utc_offset_min": utc_offset_min,
    }
    if choices is not None:
        data["choices"] = msgspec.json.decode(msgspec.json.encode(self_contained(choices)))
    if speed is not None and origin is not None:
        data["clock"] = {
            "speed": speed,
            "wall_ns": origin.wall_ns,
            "boot_ns": origin.boot_ns,
            "mono_ns": origin.mono_ns,
            "boot": origin.boot,
        }
    return e.Draft(e.OPENED, data)


def rehearsal_origin(data: dict[str, Any]) -> tuple[float, Reading] | None:
    """Speed and origin of the clock a rehearsal was opened with; None for a real session."""
    clock = data.get("clock")
    if not clock:
        return None
    origin = Reading(clock["wall_ns"], clock["boot_ns"], clock["mono_ns"], clock["boot"])
    return float(clock["speed"]), origin
