"""One session, printed."""

from __future__ import annotations

from collections.abc import Sequence

from studio.report.printing import console, print_sections
from studio.report.session_page import session_page
from studio.session.state import State


def print_session(state: State, name: str, remarks: Sequence[str]) -> None:
    """The session's page on standard output."""
    out = console()
    print_sections(session_page(state, name, remarks, min(out.width, 100)), out)
