"""A sound system made of small scripts, and the means to listen to it."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from studio.alerts.players import Sound


@dataclass
class MemoryPlayer:
    """Notes what it is asked to play."""

    told: str = "sound player: a list"
    played: list[Sound] = field(default_factory=list)
    hushed: int = 0

    def play(self, sound: Sound) -> None:
        self.played.append(sound)

    def hush(self) -> None:
        self.hushed += 1


@dataclass
class MemoryDesktop:
    """Notes what it is asked to show."""

    told: str = "desktop notice: a list"
    sent: list[tuple[str, str, bool]] = field(default_factory=list)
    cleared: int = 0
    closed: bool = False

    def send(self, title: str, text: str, urgent: bool) -> None:
        self.sent.append((title, text, urgent))

    def clear(self) -> None:
        self.cleared += 1

    def close(self) -> None:
        self.closed = True


@pytest.fixture
def player() -> MemoryPlayer:
    return MemoryPlayer()


@pytest.fixture
def desktop() -> MemoryDesktop:
    return MemoryDesktop()


@pytest.fixture
def command(tmp_path: Path) -> Callable[..., Path]:
    """Put a player into a folder of its own for commands; it writes `start FILE` and `end` into a log."""
    if sys.platform == "win32":
        pytest.skip("the scripts are for a POSIX shell")
    folder = tmp_path / "commands"
    folder.mkdir()

    def make(name: str, *, plays_s: float = 0.0, code: int = 0) -> Path:
        path = folder / name
        path.write_text(
            "#!/bin/sh\n"
            "echo stray; echo stray >&2\n"
            f'echo "start {name} $*" >> "{tmp_path}/log"\n'
            f"sleep {plays_s} & wait $!\n"
            f'echo "end {name}" >> "{tmp_path}/log"\nexit {code}\n'
        )
        path.chmod(0o755)
        return folder

    return make


@pytest.fixture
def log(tmp_path: Path) -> Callable[[], list[str]]:
    """Lines the scripts have written."""

    def read() -> list[str]:
        path = tmp_path / "log"
        return path.read_text().splitlines() if path.exists() else []

    return read


@pytest.fixture
def until() -> Callable[..., None]:
    """Wait for something other threads bring about."""

    def wait(predicate: Callable[[], Any], what: str = "") -> None:
        deadline = time.monotonic() + 10
        while not predicate():
            assert time.monotonic() < deadline, f"never came: {what}"
            time.sleep(0.01)

    return wait
