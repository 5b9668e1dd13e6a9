"""Fastness tests that are planned and not yet graded, of one session and of many."""

from __future__ import annotations

from datetime import date

import msgspec

from studio.session.state import State


class WaitingTest(msgspec.Struct, frozen=True, kw_only=True):
    """One test of one session that waits."""

    key: str
    """Name of the session file."""
    title: str
    test: str
    """`light`, `wash`, `wet rub`."""
    due: str
    """The day, 2026-10-10."""


def waiting_in(state: State) -> tuple[tuple[str, str], ...]:
    """Name and due day of each test that waits; a rehearsal dyed nothing, so none of its tests is waited for."""
    if state.rehearsal_speed is not None:
        return ()
    waiting = [f for f in reversed(state.follow_ups) if f.standing == "waiting" and is_a_day(f.due)]
    # One of each: the rules keep it so, and a file of another hand is read so.
    return tuple({f.test: f.due for f in waiting}.items())


def is_a_day(text: str) -> bool:
    """Whether it is a day as the program writes it.

    >>> is_a_day("2026-10-10"), is_a_day("soon"), is_a_day("20261010")
    (True, False, False)
    """
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
