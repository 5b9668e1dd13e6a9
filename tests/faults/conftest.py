"""A thirty-line session to damage, a clock that ticks once a second, and disks that fail on purpose."""

from __future__ import annotations

import errno
import json
import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator, Sequence
from hashlib import sha256
from pathlib import Path
from typing import Any

import msgspec
import pytest

from studio.session.clock import Reading
from studio.session.folding import FIRST_PREV, Record
from studio.store.disk import Disk
from studio.store.journal import Journal
from studio.store.line import encode
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
OPENING = json.loads(Path(__file__).with_name("opening.json").read_text())
TEXTS = (
    '{"at":"}{',
    "pH 4,2 \u2028 caf\u00e9",
    "\x1b]0;t\x07",
    "\U0001f9f6 }{ [/x]",
    "",
    "-5",
    "a\x85b\x0cc",
)


def reading_at(second: int) -> Reading:
    ns = second * 1_000_000_000
    return Reading(1_790_000_000_000_000_000 + ns, 7_000_000_000 + ns, 6_000_000_000 + ns, "9f3a12cd")


class FailingDisk(Disk):
    """The real disk, on which the N-th write or sync fails, once or from then on."""

    def __init__(
        self, call: str, number: int, *, code: int = errno.EIO, for_ever: bool = False, short: int = 0
    ):
        self.call, self.number, self.code, self.for_ever, self.short = call, number, code, for_ever, short
        self.count = 0
        self.failures = 0
        self.refuse_next = False
        self.failed_syncs: set[int] = set()
        self.written_after_failed_sync: list[int] = []

    def _due(self, call: str) -> bool:
        if call != self.call:
            return False
        self.count += 1
        due = self.count == self.number or (self.for_ever and self.count > self.number)
        self.failures += due
        return due

    def write(self, descriptor: int, data: bytes) -> int:
        if descriptor in self.failed_syncs:
            self.written_after_failed_sync.append(descriptor)
        if self._due("short write"):
            return super().write(descriptor, data[: max(1, len(data) // 2)])
        if self.refuse_next:
            self.refuse_next = False
            raise OSError(self.code, os.strerror(self.code))
        if self._due("write"):
            if not self.short:
                raise OSError(self.code, os.strerror(self.code))
            # What a full disk does: it takes a part of the line, and says no to the rest.
            self.refuse_next = True
            return super().write(descriptor, data[: self.short])
        return super().write(descriptor, data)

    def fsync(self, descriptor: int) -> None:
        if self._due("fsync"):
            self.failed_syncs.add(descriptor)
            raise OSError(self.code, os.strerror(self.code))
        super().fsync(descriptor)

    def close(self, descriptor: int) -> None:
        self.failed_syncs.discard(descriptor)
        super().close(descriptor)


@pytest.fixture(scope="session")
def at():
    return reading_at


@pytest.fixture(scope="session")
def opening():
    return OPENING


@pytest.fixture(scope="session")
def failing_disk():
    return FailingDisk


def session_of(notes: int, folder: Path) -> tuple[bytes, list[Record]]:
    """The bytes of a finished session of so many notes and two lines more, and its records."""
    with Journal.create([folder], "Tidewrack stripes", OPENING, reading_at(0)) as journal:
        for i in range(notes):
            journal.append("noted", {"text": TEXTS[i % len(TEXTS)], "step": f"{i / 7}"}, reading_at(i + 1))
        counts = {"noted": notes}
        journal.append("session.finished", {"outcome": "finished", "counts": counts}, reading_at(notes + 12))
        return journal.path.read_bytes(), list(journal.events)


@pytest.fixture(scope="session")
def thirty(tmp_path_factory) -> tuple[bytes, list[Record]]:
    """A finished session of thirty lines."""
    return session_of(28, tmp_path_factory.mktemp("thirty"))


@pytest.fixture(scope="session")
def nine(tmp_path_factory) -> tuple[bytes, list[Record]]:
    """A finished session of nine lines: each text once, the opening and the end."""
    return session_of(len(TEXTS), tmp_path_factory.mktemp("nine"))


@pytest.fixture(scope="session")
def samples() -> dict[Path, list[Record]]:
    """The events of every sample session."""
    return {path: list(read_session(path).records) for path in sorted((ROOT / "sessions").glob("*.jsonl"))}


@pytest.fixture
def sample(samples: dict[Path, list[Record]]) -> list[Record]:
    """The events of the first."""
    return list(next(iter(samples.values())))


def seal(records: Sequence[Record], before: Sequence[bytes] = ()) -> bytes:
    """The lines with check sums, chain and closing sum as they should be, after lines that are so already."""
    lines = list(before)
    for n, record in enumerate(records, start=len(lines) + 1):
        data = record.data
        if record.kind == "session.finished" and "sha256" in data:
            data = {**data, "sha256": sha256(b"".join(lines)).hexdigest()}
        prev = lines[-1][-11:-3].decode() if lines else FIRST_PREV
        lines.append(encode(msgspec.structs.replace(record, n=n, data=data), prev))
    return b"".join(lines)


@pytest.fixture(scope="session")
def sealed() -> Callable[..., bytes]:
    """`seal`, for tests that forge a file."""
    return seal


@pytest.fixture
def changed(sample: list[Record]) -> Callable[..., bytes]:
    """The first sample, without its end, with keys of its first event of a kind changed; None takes one out."""

    def made(kind: str, *, whole: bool = False, **keys: Any) -> bytes:
        records = sample[: None if whole else 40]
        place = next(i for i, record in enumerate(records) if record.kind == kind)
        data = {key: value for key, value in {**records[place].data, **keys}.items() if value is not None}
        records[place] = msgspec.structs.replace(records[place], data=data)
        return seal(records)

    return made


@pytest.fixture(scope="module")
def forged_studio(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A studio with its shelf and one session that nobody forged."""
    root = tmp_path_factory.mktemp("forged")
    (root / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", root / "shared")
    shutil.copy(ROOT / "sessions" / "20261031-1520-tidewrack-stripes-ffa5.jsonl", root / "sessions")
    return root


class Forked:
    """A process that was forked off: what it prints, and what it had to complain of once it has ended."""

    def __init__(self, server: subprocess.Popen[str], pipe: Path, errors: Path) -> None:
        self._server, self._errors = server, errors
        self._pid = int(server.stdout.readline())
        self.stdout = pipe.open()

    def end(self, *, killed: bool = True) -> str:
        """Kill it, or wait for its own end; what it printed and was not read yet. Its files are closed then."""
        if killed:
            os.kill(self._pid, signal.SIGKILL)
        with self.stdout:
            text = self.stdout.read()
        print(file=self._server.stdin, flush=True)
        assert self._server.stdout.readline() == "ended\n"
        errors = self._errors.read_text()
        assert not errors, errors
        return text


@pytest.fixture
def forked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Callable[..., Forked]]:
    """Runs a function of a script of this folder in a process of its own, one at a time, each of them there at once."""
    servers: dict[str, tuple[subprocess.Popen[str], Path, Path]] = {}

    def serve(script: str, function: str) -> tuple[subprocess.Popen[str], Path, Path]:
        here, folder = Path(__file__).parent, tmp_path_factory.mktemp("forked")
        pipe, errors = folder / "pipe", folder / "errors"
        os.mkfifo(pipe)
        errors.touch()
        words = (here / "children.py", "fork", here / script, function, pipe, errors)
        server = subprocess.Popen(
            [sys.executable, *map(str, words)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            start_new_session=True,
        )
        return server, pipe, errors

    def start(script: str, function: str, *arguments: object) -> Forked:
        if script not in servers:
            servers[script] = serve(script, function)
        server, pipe, errors = servers[script]
        print(*arguments, sep="\t", file=server.stdin, flush=True)
        return Forked(server, pipe, errors)

    yield start
    for server, _, _ in servers.values():
        os.killpg(server.pid, signal.SIGKILL)
        server.wait()
        server.stdin.close()
        server.stdout.close()


@pytest.fixture
def child():
    """Runs tests/faults/children.py in a process of its own; ended after the test."""
    started: list[subprocess.Popen] = []

    def run(*arguments: object) -> subprocess.Popen:
        process = subprocess.Popen(
            [sys.executable, str(Path(__file__).with_name("children.py")), *map(str, arguments)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
        )
        started.append(process)
        return process

    yield run
    for process in started:
        if process.poll() is None:
            process.kill()
        process.wait()
        process.stdout.close()
        process.stderr.close()
