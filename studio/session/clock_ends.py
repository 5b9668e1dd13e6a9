"""Which clocks end with which step."""

from __future__ import annotations

from studio.plan.shapes import Step, Worksheet


def clocks_ended_by(sheet: Worksheet, step: Step) -> frozenset[str]:
    """Ids of the clocks that have nothing left to count once that step is closed, however it was closed.

    The clock the step waits for or stops, the one that leads to it or follows from it, and their companions.
    """
    ended = {step.stops, step.timer if step.kind == "wait" else ""} - {""}
    ended |= {t.id for t in sheet.timers if t.then in ended} | {
        t.then for t in sheet.timers if t.id in ended and t.then
    }
    return frozenset(ended | {t.id for t in sheet.timers if t.with_timer in ended})
