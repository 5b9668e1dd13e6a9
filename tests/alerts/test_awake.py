"""Keeping the screen on: told truly, let go of, and never a reason to fail."""

from __future__ import annotations

import re
import subprocess
import sys
import threading
import time
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from types import SimpleNamespace

import pytest

from studio.alerts.awake import MAY_SLEEP, KeptAwake


@contextmanager
def started(awake: KeptAwake) -> Iterator[KeptAwake]:
    awake.start()
    try:
        yield awake
    finally:
        awake.stop()


@pytest.fixture
def holds():
    """A hold that notes which thread took it and let go of it."""
    noted: list[tuple[str, int]] = []

    @contextmanager
    def keep():
        noted.append(("taken", threading.get_ident()))
        yield SimpleNamespace(active=True)
        noted.append(("let go", threading.get_ident()))

    return noted, keep


def test_held_while_wanted_and_let_go_by_the_thread_that_took_it(holds, until) -> None:
    noted, keep = holds
    awake = KeptAwake({}, keep)
    assert awake.told == ""
    for wanted in (True, True, True):
        awake.follow(wanted)
    awake.wait(10)
    assert awake.kept and awake.told == ""
    awake.follow(False)
    assert not awake.kept and awake.told == ""
    until(lambda: len(noted) == 2, "the letting go")
    assert [what for what, _ in noted] == ["taken", "let go"]
    assert noted[0][1] == noted[1][1] != threading.get_ident()
    with started(awake):
        awake.wait(10)
        assert awake.kept and awake.told == ""
    until(lambda: len(noted) == 4)


@pytest.mark.parametrize("problem", [ModuleNotFoundError("wakepy"), OSError("bus"), ValueError("x")])
def test_a_failure_is_told_and_never_raised(problem) -> None:
    def keep():
        raise problem

    with started(KeptAwake({}, keep)) as awake:
        awake.wait(10)
        assert awake.told == MAY_SLEEP


def test_a_bus_that_hangs_holds_nobody_up(monkeypatch) -> None:
    monkeypatch.setattr("studio.alerts.awake.ANSWER_S", 0.2)
    never = threading.Event()

    @contextmanager
    def keep():
        never.wait(10)
        yield SimpleNamespace(active=True)

    awake = KeptAwake({}, keep)
    began = time.monotonic()
    awake.start()
    assert not awake.kept and awake.told == "", "not said before it is known"
    awake.wait(10)
    assert awake.told == MAY_SLEEP, "no answer is no"
    awake.stop()
    assert time.monotonic() - began < 9
    never.set()


def test_over_ssh_nothing_is_claimed_for_the_screen_at_hand(holds) -> None:
    noted, keep = holds
    with started(KeptAwake({"SSH_CONNECTION": "a b c d"}, keep)) as awake:
        awake.wait(10)
        assert awake.told == MAY_SLEEP
    assert noted == []


def test_it_comes_with_the_program_and_is_loaded_when_a_clock_runs() -> None:
    """A plain dependency, desktop notices an extra; nothing of it at the start of the program."""
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text("utf-8"))["project"]
    names = [re.split(r"[<>=]", line)[0] for line in project["dependencies"]]
    assert "wakepy" in names and "desktop-notifier" not in names
    assert [re.split(r"[<>=]", line)[0] for line in project["optional-dependencies"]["desktop"]] == [
        "desktop-notifier"
    ]
    code = (
        "import sys, studio, studio.cli, studio.screens.bench.bench, studio.lines.session, studio.cli.opening_screens\n"
        "print('wakepy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


def _told(monkeypatch) -> str:
    with started(KeptAwake({})) as awake:
        awake.wait(10)
        return awake.told


def test_the_library_takes_and_refuses(monkeypatch, capfd, recwarn) -> None:
    """The library's own switches for tests: a made-up success, and a failure by every method."""
    pytest.importorskip("wakepy")
    monkeypatch.setenv("WAKEPY_FAKE_SUCCESS", "yes")
    assert _told(monkeypatch) == ""
    monkeypatch.delenv("WAKEPY_FAKE_SUCCESS")
    monkeypatch.setenv("WAKEPY_FORCE_FAILURE", "yes")
    assert _told(monkeypatch) == MAY_SLEEP
    assert capfd.readouterr() == ("", "") and not list(recwarn)


def test_a_hold_still_held_at_the_end_of_the_program_is_let_go() -> None:
    code = (
        "from contextlib import contextmanager\n"
        "from studio.alerts.awake import KeptAwake\n"
        "@contextmanager\n"
        "def keep():\n"
        "    yield None\n"
        "    print('let go', flush=True)\n"
        "awake = KeptAwake({}, keep); awake.start(); awake.wait(10)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("let go\n", "")
