"""What the fault tests run in a process of its own: `children.py append|hold|limit FOLDER_OR_FILE`.

`children.py fork SCRIPT FUNCTION PIPE ERRORS` runs a function of a script for each line of arguments it is told.
"""

from __future__ import annotations

import json
import os
import resource
import runpy
import sys
import time
import traceback
from pathlib import Path

from studio.store.files import is_session_name
from studio.store.journal import Journal
from studio.store.repair import prepare_to_resume
from studio.store.system_clock import SystemClock

OPENING = json.loads(Path(__file__).with_name("opening.json").read_text())


def append(folder: str) -> None:
    """Opens or resumes the session there and appends for ever; prints a number once it is on the disk."""
    clock = SystemClock()
    there = [path for path in Path(folder).iterdir() if is_session_name(path.name)]
    if there:
        journal = prepare_to_resume(there[0], clock.now())
    else:
        data = {**OPENING, "title": "killed", "pid": os.getpid()}
        journal = Journal.create([Path(folder)], "killed", data, clock.now())
    while True:
        record = journal.append("noted", {"text": "x" * 300, "step": ""}, clock.now())
        print(record.n, record.crc, flush=True)


def hold(path: str) -> None:
    """Goes on with a session and holds it until killed."""
    journal = prepare_to_resume(Path(path), SystemClock().now())
    journal.append(
        "session.resumed",
        {"pid": os.getpid(), "program": "0", "step": "", "last_closed": ""},
        SystemClock().now(),
    )
    print("held", flush=True)
    time.sleep(60)


def limit(folder: str) -> None:
    """Meets a real limit on file size in the middle of a line, then is given room again."""
    clock = SystemClock()
    data = {**OPENING, "title": "full"}
    journal = Journal.create([Path(folder)], "full", data, clock.now())
    most = journal.path.stat().st_size + 100
    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (most, hard))
    journal.append("noted", {"text": "first " * 30, "step": ""}, clock.now())
    print("refused", len(journal.waiting), journal.path.stat().st_size == most, flush=True)
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    there, path = len(journal.events), journal.path
    journal.retry(clock.now(), elsewhere=False)
    print("saved", [record.n for record in journal.events[there:]], journal.path == path, flush=True)
    print(journal.append("noted", {"text": "second", "step": ""}, clock.now()).n, journal.path, flush=True)


def fork(script: str, function: str, pipe: str, errors: str) -> None:
    """One process after the other, each forked with all it needs already loaded; tells its number, and its end."""
    main = runpy.run_path(script)[function]
    for line in sys.stdin:
        child = os.fork()
        if not child:
            os.dup2(os.open(pipe, os.O_WRONLY), 1)
            os.dup2(os.open(errors, os.O_WRONLY | os.O_CREAT | os.O_TRUNC), 2)
            try:
                main(*line.rstrip("\n").split("\t"))
            except BaseException:
                traceback.print_exc()
            sys.stdout.flush()
            sys.stderr.flush()
            os._exit(0)
        print(child, flush=True)
        sys.stdin.readline()  # until then its number is given to no other process
        os.waitpid(child, 0)
        print("ended", flush=True)


if __name__ == "__main__":
    {"append": append, "hold": hold, "limit": limit, "fork": fork}[sys.argv[1]](*sys.argv[2:])
