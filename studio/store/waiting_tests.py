"""The fastness tests that wait over a whole studio, as the logbook keeps them."""

from __future__ import annotations

from collections.abc import Iterable

from studio.session.follow_up_waiting import WaitingTest
from studio.store.logbook_entry import LogbookRow


def waiting_tests(rows: Iterable[LogbookRow]) -> list[WaitingTest]:
    """Those of all sessions, the longest overdue first."""
    found = [
        WaitingTest(key=row.key, title=row.title, test=test, due=due)
        for row in rows
        for test, due in row.waiting
    ]
    return sorted(found, key=lambda one: (one.due, one.key, one.test))
