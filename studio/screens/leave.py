"""Leaving the bench takes a second, different key."""

from __future__ import annotations

from textual.content import Content

from studio.plaintext import clean
from studio.report.telling import not_saved
from studio.screens.card import Card
from studio.session.clock import time_of_day
from studio.session.run import Running
from studio.session.timers import TimerView, running


class LeaveScreen(Card, where="leave"):
    """Gives `leave`, `abandon` or an empty text for staying."""

    def __init__(self, session: Running) -> None:
        super().__init__("Leave the bench?", Content(""), *_told(session))


def _told(session: Running) -> list[Content]:
    """What goes on, what cannot, and what is not saved."""
    clocks = running(session.state, session.clock.now())
    lines = [Content.styled("No clock is running.", "$quiet")]
    if clocks:
        told = ", ".join(
            f"{clean(v.label, limit=40)} {_until(v, session.state.utc_offset_min)}" for v in clocks
        )
        lines = [
            Content.styled(f"Clocks that go on: {told}.", "bold $due"),
            Content.styled("No alarm can sound while the program is closed.", "$due"),
        ]
    if session.waiting:
        lost = f"{not_saved(session)} Leaving writes them elsewhere if it can."
        lines.append(Content.styled(lost, "bold $danger"))
    return [*lines, Content.styled("The session stays open and can be resumed at this step.", "$text")]


def _until(clock: TimerView, offset: int) -> str:
    """When it ends: the page stands still while the clock goes on, so what is left would soon be untrue."""
    if not clock.sure:
        return "(T says how long it ran)"
    if clock.paused:
        return "(stands still)"
    return "(over)" if clock.due else f"until {time_of_day(clock.ends_wall_ns, offset)}"
