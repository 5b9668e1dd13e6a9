"""The program as a person starts it: a process of its own, a studio of its own, a terminal where asked for."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from studio.cli import main
from studio.logbook import entry as entries
from studio.logbook.entry import LogbookEntry, entry_of
from studio.screens.draw.digits import big

ROOT = Path(__file__).resolve().parents[2]
PLAN = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
HARD_LIMIT_S = 60
ASKS_WHETHER_WHOLE, PAINT_BEGINS, PAINT_ENDS = b"\x1b[?2026$p", b"\x1b[?2026h", b"\x1b[?2026l"
"""A terminal can take in a paint as a whole; the program asks it whether it does, and tells it where one is."""


def environment(home: Path, studio: Path | None, **changes: str) -> dict[str, str]:
    """Nothing of the machine the tests run on, but the path."""
    base = {
        "PATH": os.environ["PATH"],
        "HOME": str(home),
        "XDG_DATA_HOME": str(home / "data"),
        "XDG_STATE_HOME": str(home / "state"),
        "XDG_CACHE_HOME": str(home / "cache"),
        "XDG_CONFIG_HOME": str(home / "config"),
        "PYTHONPATH": str(ROOT),
        "TERM": "xterm-256color",
        "COLORTERM": "truecolor",
        "LC_ALL": "C.UTF-8",
        **({"POTSIDE_STUDIO": str(studio)} if studio else {}),
        **changes,
    }
    return {name: value for name, value in base.items() if value != "(unset)"}


ENTRIES: dict[tuple[str, bytes], LogbookEntry] = {}


def _kept_entry(path: Path) -> LogbookEntry:
    entry = ENTRIES.get(key := (path.name, path.read_bytes())) or entry_of(path)
    if entry.row.standing != "damaged":
        ENTRIES[key] = entry
    return entry


@pytest.fixture(autouse=True)
def entries_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    """Each studio's index is made anew; what the same session comes to in it is worked out once a run."""
    monkeypatch.setattr(entries, "entry_of", _kept_entry)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    return folder


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """The sample shelf with no session yet."""
    folder = tmp_path / "skerry lane"
    (folder / "sessions").mkdir(parents=True)
    shutil.copytree(ROOT / "shared", folder / "shared")
    return folder


@pytest.fixture
def plan() -> Path:
    return PLAN


@pytest.fixture
def environ(home: Path, studio: Path) -> Callable[..., dict[str, str]]:
    """The environment of the program, with changes; a value of `(unset)` takes one away."""
    return lambda **changes: environment(home, studio, **changes)


@pytest.fixture
def potside(home: Path, environ, monkeypatch) -> Callable[..., Result]:
    """Runs `potside ARGUMENTS` in this process, in an environment of its own and without a terminal."""

    def run(*arguments: object, **changes: str) -> Result:
        told = environ(**changes)
        with monkeypatch.context() as patch:
            for name in os.environ.keys() - told.keys() - {"PYTEST_CURRENT_TEST"}:
                patch.delenv(name)
            for name, value in told.items():
                patch.setenv(name, value)
            patch.chdir(home)
            done = CliRunner().invoke(main, [*map(str, arguments)], prog_name="potside")
        if done.exception is not None and not isinstance(done.exception, SystemExit):
            raise done.exception
        return done

    return run


@pytest.fixture
def process(home: Path, environ) -> Callable[..., subprocess.CompletedProcess[str]]:
    """Runs `potside ARGUMENTS` as a process of its own, without a terminal; every byte kept."""

    def run(*arguments: object, **changes: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "studio", *map(str, arguments)],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            errors="surrogateescape",
            env=environ(**changes),
            cwd=home,
            timeout=HARD_LIMIT_S,
            check=False,
        )

    return run


@pytest.fixture(scope="session")
def finished(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The file of one session that the program walked from plan to closing."""
    folder = tmp_path_factory.mktemp("finished")
    (folder / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", folder / "shared")
    done = subprocess.run(
        [sys.executable, "-m", "studio", "rehearse", "--unattended"],
        capture_output=True,
        text=True,
        env=environment(folder, folder),
        cwd=folder,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    (path,) = (folder / "sessions").iterdir()
    return path


def drawn(s: str, text: str, unit: str = "") -> bool:
    """Whether those digits stand there in one piece, with no digit close behind them: a bar of half height may be."""
    lines = s.splitlines()
    for rows in (big(text, high, unit) for high in (10, 7, 5, 3)):
        wide = max(map(len, rows))
        for top in range(len(lines) - len(rows) + 1):
            for found in re.finditer(f"(?={re.escape(rows[0])})", lines[top]):
                parts = [line[found.start() :] for line in lines[top : top + len(rows)]]
                behind = "".join(part[wide : wide + 3] for part in parts)
                if [part[:wide].rstrip() for part in parts] == rows and "█" not in behind:
                    return True
    return False


def digit_drawn(s: str) -> str:
    """The one that stands large behind the bar of a gate; empty where none does."""
    lines = [line[2:] for line in s.splitlines() if line.startswith("▌")]
    for high in (10, 7, 5, 3):
        for digit in "123456789":
            rows = big(digit, high)
            wide = max(map(len, rows)) + 3
            for top in range(len(lines) - high + 1):
                if [line[:wide].rstrip() for line in lines[top : top + high]] == rows:
                    return digit
    return ""


class Terminal:
    """A real pseudo-terminal with the program in it: every byte it wrote, and the screen they make."""

    def __init__(self, argv: list[str], env: dict[str, str], cwd: Path, rows: int, columns: int) -> None:
        import pexpect
        import pyte

        self.raw = b""
        self.screens: list[str] = []
        """Each screen that came to rest, in order."""
        self._drawn = b""
        self._screen = pyte.Screen(columns, rows)
        self._stream = pyte.ByteStream(self._screen)
        self._child = pexpect.spawn(
            argv[0], argv[1:], dimensions=(rows, columns), env=env, cwd=str(cwd), timeout=None, echo=False
        )
        self.pid = self._child.pid

    def look(self, seconds: float = 0.05) -> bool:
        """Take in what was written for a while; False once the program has ended."""
        import pexpect

        end = time.monotonic() + seconds
        while True:
            try:
                data = self._child.read_nonblocking(65536, 0.02)
            except pexpect.TIMEOUT:
                data = b""
                self._rest()
            except pexpect.EOF:
                return False
            self.raw += data
            if ASKS_WHETHER_WHOLE in data:
                self._child.send("\x1b[?2026;2$y")
            self._shows(data)
            if time.monotonic() > end:
                return True

    def _shows(self, data: bytes) -> None:
        """Whole paints only: what is drawn so far of one is no screen that anybody sees."""
        self._drawn += data
        begun = self._drawn.rfind(PAINT_BEGINS)
        cut = next(n for n in range(len(PAINT_BEGINS) - 1, -1, -1) if self._drawn.endswith(PAINT_BEGINS[:n]))
        whole = begun if begun > self._drawn.rfind(PAINT_ENDS) else len(self._drawn) - cut
        self._stream.feed(self._drawn[:whole])
        self._drawn = self._drawn[whole:]

    def _rest(self) -> None:
        if self._screen.dirty:
            self._screen.dirty.clear()
            self.screens.append(self.text)

    @property
    def text(self) -> str:
        """The screen, line by line."""
        return "\n".join(line.rstrip() for line in self._screen.display)

    def until(self, wanted: str, seconds: float = 15) -> str:
        """Wait for a text on screen; its whole text. Fails with what was there instead."""
        end = time.monotonic() + seconds
        while wanted not in self.text:
            alive = self.look()
            assert wanted in self.text or (alive and time.monotonic() < end), f"no {wanted!r} in\n{self.text}"
        return self.text

    def until_gone(self, unwanted: str, seconds: float = 15) -> None:
        """Wait until a text is no longer on screen."""
        end = time.monotonic() + seconds
        while unwanted in self.text:
            assert self.look() and time.monotonic() < end, f"still {unwanted!r} in\n{self.text}"

    def type(self, keys: str) -> None:
        """Write to the program in one go."""
        self._child.send(keys)

    def down_to(self, field: str) -> None:
        """Down until the field of the plan is chosen."""
        marked = lambda: "\n".join(x[:24] for x in self._lines if x.lstrip()[:1] == "▌")  # noqa: E731
        self._press_until("\x1b[B", f"▌ {field}", marked)

    def right_to(self, section: str) -> None:
        """Right until the section of the plan is shown, below its strip where it has one."""
        self._press_until("\x1b[C", f"►{section}", lambda: next((x for x in self._lines if "►" in x), ""))

    @property
    def _lines(self) -> list[str]:
        return self.text.splitlines()

    def _press_until(self, key: str, wanted: str, shown: Callable[[], str]) -> None:
        """Each time once the press before has been answered."""
        for _ in range(40):
            before = shown()
            if wanted in before:
                return
            self.type(key)
            end = time.monotonic() + 15
            while shown() == before:
                assert self.look() and time.monotonic() < end, f"{key!r} does nothing in\n{self.text}"
        raise AssertionError(f"no {wanted} in\n{self.text}")

    def gate_digit(self) -> str:
        """The digit that the gate on screen shows."""
        found = digit_drawn(self.until("when it is so"))
        assert found, self.text
        return found

    def stop(self, number: int) -> None:
        """Send a signal."""
        os.kill(self.pid, number)

    def end(self, seconds: float = 15) -> int:
        """Wait for the program to end: its exit code, or minus the signal that killed it."""
        limit = time.monotonic() + seconds
        while self.look():
            assert time.monotonic() < limit, f"still running:\n{self.text}"
        self._child.wait()
        return -self._child.signalstatus if self._child.signalstatus else self._child.exitstatus

    def close(self) -> None:
        self._child.close(force=True)


@pytest.fixture
def terminal(home: Path, environ) -> Iterator[Callable[..., Terminal]]:
    """Opens `potside ARGUMENTS` in a terminal of 80 by 24; `code` runs other Python instead."""
    pytest.importorskip("pexpect")
    opened: list[Terminal] = []

    def start(
        *arguments: object, code: str = "", rows: int = 24, columns: int = 80, **changes: str
    ) -> Terminal:
        first = ["-c", code] if code else ["-m", "studio"]
        argv = [sys.executable, *first, *map(str, arguments)]
        opened.append(Terminal(argv, environ(**changes), home, rows, columns))
        return opened[-1]

    yield start
    for one in opened:
        one.close()
