"""What the fault tests run in a process of its own: `children.py append|hold|limit FOLDER_OR_FILE`."""

from __future__ import annotations

import json
import os
import resource
import sys
import time
from pathlib import Path

OPENING = json.loads(Path(__file__).with_name("opening.json").read_text())


def append(folder: Path) -> None:
    """Opens or resumes the session there and appends for ever; prints a number once it is on the disk."""
    from studio.store.files import is_session_name
    from studio.store.journal import Journal
    from studio.store.repair import prepare_to_resume
    from studio.store.system_clock import SystemClock

    clock = SystemClock()
    there = [path for path in folder.iterdir() if is_session_name(path.name)]
    if there:
        journal = prepare_to_resume(there[0], clock.now())
    else:
        data = {**OPENING, "title": "killed", "pid": os.getpid()}
        journal = Journal.create(folder, "killed", data, clock.now())
    while True:
        record = journal.append("noted", {"text": "x" * 300, "step": ""}, clock.now())
        print(record.n, record.crc, flush=True)


def hold(path: Path) -> None:
    """Goes on with a session and holds it until killed."""
    from studio.store.repair import prepare_to_resume
    from studio.store.system_clock import SystemClock

    journal = prepare_to_resume(path, SystemClock().now())
    journal.append(
        "session.resumed",
        {"pid": os.getpid(), "program": "0", "step": "", "last_closed": ""},
        SystemClock().now(),
    )
    print("held", flush=True)
    time.sleep(60)


def limit(folder: Path) -> None:
    """Meets a real limit on file size in the middle of a line, then is given room again."""
    from studio.store.disk import SaveFailed
    from studio.store.journal import Journal
    from studio.store.system_clock import SystemClock

    clock = SystemClock()
    data = {**OPENING, "title": "full"}
    journal = Journal.create(folder, "full", data, clock.now())
    most = journal.path.stat().st_size + 100
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    try:
        journal.append("noted", {"text": "first " * 30, "step": ""}, clock.now())
    except SaveFailed as error:
        print("refused", error.unsaved, error.trusted, journal.path.stat().st_size == most, flush=True)
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    print("saved", [record.n for record in journal.retry(clock.now())], flush=True)
    print(journal.append("noted", {"text": "second", "step": ""}, clock.now()).n, journal.path, flush=True)


if __name__ == "__main__":
    {"append": append, "hold": hold, "limit": limit}[sys.argv[1]](Path(sys.argv[2]))
