"""Every command: exit codes, what goes to which stream, poor surroundings."""

from __future__ import annotations

import json
import os
import shutil
import signal
import subprocess
import sys
import time
from typing import Any

import pytest

POOR = {
    "ascii": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "latin-1": {"PYTHONIOENCODING": "latin-1"},
    "no colour": {"NO_COLOR": "1"},
    "dumb": {"TERM": "dumb"},
    "no terminal name": {"TERM": "(unset)"},
    "narrow": {"COLUMNS": "20"},
}


@pytest.fixture
def one_session(studio, finished):
    """A studio with one finished session in it; its path."""
    return shutil.copy(finished, studio / "sessions" / finished.name)


def plain_outcome(done: Any) -> None:
    """No traceback, no fault of the program, nothing that steers a terminal."""
    both = done.stdout + done.stderr
    assert "Traceback" not in both and "fault of the program" not in both, both
    assert "\x1b" not in both


def test_help_and_version(potside):
    told = potside("--help")
    assert (told.exit_code, told.stderr) == (0, "")
    assert told.stdout.isascii()
    for command in ("begin", "resume", "rehearse", "show", "logbook", "verify", "doctor", "worksheet"):
        assert f"  {command} " in told.stdout
    for code in ("0 ok", "1 a problem", "2 usage", "3 a file", "4 could not save", "130", "143"):
        assert code in " ".join(told.stdout.split())
    version = potside("--version")
    assert (version.exit_code, version.stderr) == (0, "")
    assert version.stdout.startswith("potside, version ")


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("workshet", "worksheet"), ("rezume", "resume"), ("verfy", "verify"), ("log", "logbook")],
)
def test_a_typo_is_answered_with_the_nearest_command(potside, typed, meant):
    done = potside(typed)
    assert (done.exit_code, done.stdout) == (2, "")
    assert f'Did you mean "potside {meant}"?' in done.stderr


def test_a_typo_like_nothing_and_one_that_steers(potside):
    done = potside("\x1b]0;owned\x07")
    assert done.exit_code == 2
    assert "See potside --help." in done.stderr
    plain_outcome(done)


def test_data_and_messages_go_apart(potside, plan, one_session):
    for command in (
        ("worksheet", plan),
        ("worksheet", plan, "--json"),
        ("show", one_session, "--json"),
        ("logbook",),
        ("logbook", "--json"),
        ("verify", one_session),
        ("doctor",),
    ):
        done = potside(*command)
        assert (done.exit_code, done.stderr) == (0, ""), command
        assert done.stdout.endswith("\n") and done.stdout.strip()
        plain_outcome(done)
        if "--json" in command:
            assert json.loads(done.stdout)["format"].startswith("potside-")
    for command, code in (
        (("worksheet", "missing.toml"), 2),
        (("show", "missing"), 3),
        (("resume",), 1),
        (("--studio", "/nowhere", "logbook"), 4),
        (("logbook", "--colour"), 2),
        (("rehearse", "--speed", "nan"), 2),
        (("rehearse", "--speed", "0"), 2),
    ):
        done = potside(*command)
        assert (done.exit_code, done.stdout) == (code, ""), (command, done)
        assert done.stderr.strip()
        plain_outcome(done)


@pytest.mark.parametrize("command", [(), ("begin", "PLAN"), ("resume", "SESSION")])
def test_without_a_terminal_one_sentence_and_no_session(potside, plan, studio, finished, command):
    """Standard input is /dev/null here, so a full screen would hang."""
    torn = studio / "sessions" / finished.name
    torn.write_bytes(b"".join(finished.read_bytes().splitlines(keepends=True)[:-1]))
    names = {"PLAN": plan, "SESSION": torn.name}
    done = potside(*(names.get(word, word) for word in command))
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("potside: ") and done.stderr.count("\n") == 1
    assert "terminal" in done.stderr
    assert list((studio / "sessions").iterdir()) == [torn]


@pytest.mark.deep
@pytest.mark.parametrize("surroundings", POOR)
def test_poor_surroundings(process, plan, one_session, surroundings):
    for command in (("worksheet", plan, "--why"), ("show", one_session)):
        done = process(*command, **POOR[surroundings])
        assert (done.returncode, done.stderr) == (0, "")
        plain_outcome(done)
        assert "idewrack" in done.stdout
        if surroundings == "ascii":
            assert done.stdout.isascii()
    refused = process("show", "n\u00f6 such", **POOR[surroundings])
    assert refused.returncode == 3
    plain_outcome(refused)


SOME_READERS_LEAVE = ("show", "show --json", "worksheet", "logbook", "doctor", "completion", "--help")
QUICK = ("show", "doctor", "--help")


@pytest.mark.parametrize(
    "command",
    [name if name in QUICK else pytest.param(name, marks=pytest.mark.deep) for name in SOME_READERS_LEAVE],
)
def test_a_reader_that_goes_away(environ, home, plan, one_session, command):
    """`potside show | head`: the pipe is closed before anything is written, the hardest case."""
    arguments = {
        "show": ["show", one_session],
        "show --json": ["show", one_session, "--json"],
        "worksheet": ["worksheet", str(plan)],
        "completion": ["completion", "bash"],
    }.get(command, [command])
    reader, writer = os.pipe()
    os.close(reader)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "studio", *arguments],
            stdin=subprocess.DEVNULL,
            stdout=writer,
            stderr=subprocess.PIPE,
            env=environ(),
            cwd=home,
            check=False,
        )
    finally:
        os.close(writer)
    assert (done.stderr, done.returncode) == (b"", 0)


@pytest.mark.parametrize(
    ("number", "codes"), [(signal.SIGINT, (130,)), (signal.SIGTERM, (143, -15))], ids=str
)
def test_stopped_in_the_middle_of_a_rehearsal(environ, home, studio, potside, number, codes):
    """A shell shows a process that SIGTERM ended as 143, Python as -15."""
    process = subprocess.Popen(
        [sys.executable, "-m", "studio", "rehearse", "--unattended", "--speed", "60"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=environ(),
        cwd=home,
        # A suite run in the background inherits an ignored SIGINT; here the program is started as by hand.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    assert process.stdout is not None and process.stdout.readline().startswith("Rehearsal of")
    told = process.stdout.readline()
    time.sleep(0.1)
    process.send_signal(number)
    rest, errors = process.communicate(timeout=20)
    assert process.returncode in codes
    assert "Traceback" not in errors
    shown = [line for line in (told + rest).splitlines() if line]
    (path,) = (studio / "sessions").iterdir()
    done = potside("verify", path)
    assert done.exit_code == 0, done.stdout
    assert len(path.read_bytes().splitlines()) >= 1 + len(shown)
