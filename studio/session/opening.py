"""The first event of a session: the plan and the worksheet as they were, and who opened it."""

from __future__ import annotations

from studio.plan.settled import Settled, self_contained
from studio.plan.shapes import Worksheet
from studio.session.clock import Reading
from studio.session.events import FORMAT, Event
from studio.session.kinds.course import Opened, RehearsalClock
from studio.session.refusals import Refused


class MayNotBegin(Refused):
    """A `stop` stands in the worksheet."""


def opening(
    worksheet: Worksheet,
    choices: Settled,
    plan_text: str,
    *,
    program: str,
    pid: int,
    host: str,
    utc_offset_min: int,
    speed: float | None = None,
    origin: Reading | None = None,
) -> Opened:
    """The opening event; MayNotBegin where the worksheet holds a stop.

    `choices`: what the worksheet was worked out of, so that it can be worked out anew from what is measured.
    `speed` and `origin` are those of the rehearsal's clock; `host` is a short hash, never a name.
    """
    if worksheet.stops:
        first = worksheet.stops[0]
        raise MayNotBegin(f"This session cannot begin: {first.text}")
    clock = None
    if speed is not None and origin is not None:
        clock = RehearsalClock(speed, origin.wall_ns, origin.boot_ns, origin.mono_ns, origin.boot)
    return Opened(
        format=FORMAT,
        title=worksheet.title,
        plan=plan_text,
        worksheet=worksheet,
        program=program,
        pid=pid,
        host=host,
        utc_offset_min=utc_offset_min,
        choices=self_contained(choices),
        clock=clock,
    )


def rehearsal_origin(opened: Event) -> tuple[float, Reading] | None:
    """Speed and origin of the clock a rehearsal was opened with; None for a real session."""
    clock = opened.clock if isinstance(opened, Opened) else None
    if clock is None:
        return None
    return clock.speed, Reading(clock.wall_ns, clock.boot_ns, clock.mono_ns, clock.boot)
