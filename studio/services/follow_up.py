"""What is added to a session that is not at the bench: opened, added to, and let go."""

from __future__ import annotations

from collections.abc import Callable

from studio.exit_codes import CANNOT_SAVE
from studio.session.clock import Clock
from studio.session.commands import Command
from studio.session.folding import replay
from studio.session.follow_up_waiting import WaitingTest
from studio.session.run import Running
from studio.session.state import State
from studio.store.errors import StoreError
from studio.store.folder import StudioFolder
from studio.store.keeper import JournalKeeper
from studio.store.logbook import Logbook
from studio.store.repair import prepare_to_resume
from studio.store.waiting_tests import waiting_tests
from studio.store.wanted import Wanted
from studio.trouble import Trouble


def add_later(folder: StudioFolder, clock: Clock, key: str, command: Callable[[State], Command]) -> None:
    """Carry out a command on a session that is not at the bench; Trouble where it cannot be done."""
    try:
        path = folder.newest_of(folder.session_path(key))
        with prepare_to_resume(path, clock.now()) as journal:
            keeper = JournalKeeper(journal, folder.session_folders)
            running = Running(replay(journal.records), clock, keeper)
            running.do(command(running.state))
            if running.waiting:
                told = f"{path.name} could not be written, so nothing was added: {running.trouble}."
                raise Trouble(told, CANNOT_SAVE)
    except StoreError as problem:
        raise Trouble(str(problem), problem.exit_code) from problem
    except ValueError as problem:
        raise Trouble(str(problem)) from problem


def waiting_in_studio(logbook: Logbook) -> list[WaitingTest]:
    """Fastness tests that wait, by what the logbook knows of the files; the longest overdue first."""
    try:
        return waiting_tests(logbook.search(Wanted(waiting=True), None)[0])
    except StoreError as problem:
        raise Trouble(str(problem), problem.exit_code) from problem
