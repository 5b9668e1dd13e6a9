"""The disk fills up in the middle of a session: nothing is shown as saved that is not, and nothing is thrown away."""

from __future__ import annotations

import json
import re
import signal
import subprocess
import sys

import pytest

from studio.store.copies import verify
from studio.store.reading import read_session

# A limit on the size of files stands in for a full disk: it lets the opening in, then a few lines more.
LIMITED = """
import os, resource, sys
from studio.services import studio as services
hold = services.Services._hold
def limited(self, journal, clock):
    room = journal.path.stat().st_size + int(os.environ["ROOM"])
    resource.setrlimit(resource.RLIMIT_FSIZE, (room, resource.RLIM_INFINITY))
    return hold(self, journal, clock)
services.Services._hold = limited
from studio.cli import main
main()
"""


@pytest.fixture
def session_file(studio):
    def find():
        return min((studio / "sessions").iterdir(), key=lambda path: path.stat().st_mtime_ns)

    return find


def test_an_unattended_rehearsal_says_it_and_hands_the_line_over(environ, home, session_file):
    argv = [sys.executable, "-c", LIMITED, "rehearse", "--unattended"]
    env = environ(ROOM="1500", HOME=str(home))
    done = subprocess.run(argv, env=env, cwd=home, capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 4, done.stderr
    assert "Traceback" not in done.stderr and "Done." not in done.stdout
    told, *lines = done.stderr.splitlines()
    assert told.startswith("potside: NOT SAVED: the last event of ")
    path = session_file()
    assert path.name in told
    verdict = verify(path)
    assert verdict.state in ("clean", "open tail")
    events = len(read_session(path).records)
    assert json.loads(lines[0])["n"] == events + 1
    shown = done.stdout.splitlines()[1:]
    assert len(shown) <= events - 1


def test_the_bench_says_not_saved_and_the_line_is_not_lost(terminal, plan, session_file):
    screen = terminal("begin", plan, code=LIMITED, ROOM="100")
    screen.until("Sound the bell")
    screen.type("\r")
    screen.until("NOT SAVED")
    text = screen.until("● Sound heard")
    assert re.search(r"● Sound heard +waiting to be saved", text)
    assert "■" not in text, "the step must not be ticked"
    screen.stop(signal.SIGTERM)
    assert screen.end() == 143
    after = screen.raw[screen.raw.rfind(b"\x1b[?1049l") :].decode()
    assert "NOT SAVED" in after and "nothing was lost" not in after
    assert '"kind":"step.done"' in after
    assert verify(session_file()).state in ("clean", "open tail")


def test_line_mode_ended_by_a_signal_hands_the_lines_over_and_never_says_that_nothing_was_lost(
    environ, home, plan, session_file
):
    argv = [sys.executable, "-c", LIMITED, "begin", str(plan), "--plain"]
    process = subprocess.Popen(
        argv,
        env=environ(ROOM="100", HOME=str(home)),
        cwd=home,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    try:
        process.stdin.write("done\nnote typed while nothing could be saved\n")
        process.stdin.flush()
        heard = ""
        while "Waiting to be saved: note: typed" not in heard:
            line = process.stdout.readline()
            assert line, heard
            heard += line
        assert "Saved: note" not in heard.replace("Waiting to be saved: note", "")
        process.send_signal(signal.SIGTERM)
        _, said = process.communicate(timeout=30)
    finally:
        process.kill()
        process.wait()
    assert process.returncode == 143
    assert "nothing was lost" not in said and "NOT SAVED: the last 2 events of " in said
    lines = [json.loads(line) for line in said.splitlines() if line.startswith("{")]
    first = len(read_session(session_file()).records) + 1
    assert [line["n"] for line in lines] == [first, first + 1]
    assert lines[-1]["data"]["text"] == "typed while nothing could be saved"
