"""The line mode as a process: piped lines, a dumb terminal, signals, a reader that goes away."""

from __future__ import annotations

import json
import os
import queue
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.session.asked import UNIT_NAMES
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[2]
PLAN = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
LIMIT_S = 60


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    """The sample shelf with no session yet."""
    (tmp_path / "studio" / "sessions").mkdir(parents=True)
    shutil.copytree(ROOT / "shared", tmp_path / "studio" / "shared")
    return tmp_path / "studio"


@pytest.fixture
def environ(studio: Path, tmp_path: Path) -> dict[str, str]:
    return {
        "PATH": os.environ["PATH"],
        "HOME": str(tmp_path),
        "PYTHONPATH": str(ROOT),
        "POTSIDE_STUDIO": str(studio),
        "LC_ALL": "C.UTF-8",
        "TERM": "dumb",
    }


Run = Callable[..., "subprocess.CompletedProcess[bytes]"]


@pytest.fixture
def run(environ: dict[str, str]) -> Run:
    def _run(*words: str, lines: str = "", **changes: str) -> subprocess.CompletedProcess[bytes]:
        return subprocess.run(
            [sys.executable, "-m", "studio", *words],
            input=lines.encode(),
            capture_output=True,
            env={**environ, **changes},
            timeout=LIMIT_S,
            check=False,
        )

    return _run


@pytest.fixture
def start(environ: dict[str, str]) -> Iterator[Callable[..., subprocess.Popen[bytes]]]:
    begun: list[subprocess.Popen[bytes]] = []

    def _start(*words: str) -> subprocess.Popen[bytes]:
        process = subprocess.Popen(
            [sys.executable, "-m", "studio", *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            env=environ,
        )
        begun.append(process)
        return process

    yield _start
    for process in begun:
        process.kill()
        process.wait()
        for stream in (process.stdin, process.stdout, process.stderr):
            stream.close()


def session_file(studio: Path) -> Path:
    (path,) = (studio / "sessions").glob("*.jsonl")
    return path


def read_until_prompt(process: subprocess.Popen[bytes]) -> list[str]:
    assert process.stdout is not None
    told = []
    while not (told and told[-1].endswith("> ")):
        raw = process.stdout.readline()
        assert raw, told
        told.append(raw.decode().rstrip("\n"))
    return told


class Dyer:
    """Answers what the line mode asks, as a script that listens would."""

    QUIET_S = 0.03

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self.told: list[str] = []
        self._lines: queue.Queue[str | None] = queue.Queue()
        threading.Thread(target=self._listen, daemon=True).start()

    def _listen(self) -> None:
        assert self.process.stdout is not None
        for raw in self.process.stdout:
            self._lines.put(raw.decode().rstrip("\n"))
        self._lines.put(None)

    def work(self) -> None:
        """Until the program has nothing more to say."""
        prompt, alarm = "", False
        while True:
            try:
                line = self._lines.get(timeout=self.QUIET_S if prompt or alarm else LIMIT_S)
            except queue.Empty:
                answer = self._answer(prompt, alarm)
                if answer:
                    self._write(answer)
                prompt, alarm = ("", False) if answer else ("", alarm)
                continue
            if line is None:
                return
            self.told.append(line)
            alarm = alarm or line.startswith("ALARM")
            prompt = line if line.endswith("> ") else prompt

    def _write(self, line: str) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(f"{line}\n".encode())
        self.process.stdin.flush()

    def _answer(self, prompt: str, alarm: bool) -> str:
        if "Enter to go on" in prompt or "Enter when" in prompt:
            return "done"
        if alarm:
            return "heard"
        if prompt.startswith("Write ") and " when it is so" in prompt:
            return prompt.split()[1]
        if "planned " in prompt:
            return prompt.split("planned ")[1].split("?")[0].removesuffix(" rounds").removesuffix(" pH")
        if prompt.removesuffix("? > ") in UNIT_NAMES.values():
            dosed = next(line for line in reversed(self.told) if re.search(r": [\d .]+ \w+\.$", line))
            return dosed.rpartition(": ")[2].removesuffix(".")
        if prompt.startswith("1 to 5?"):
            return "4"
        if prompt.startswith("How does the rinse water look?"):
            return "5"
        if "left over:" in prompt:
            return "0"
        if prompt.startswith("Why do you go on"):
            return "Read; this is a rehearsal."
        assert "an alarm will ring" in prompt or not prompt, prompt
        return ""


def test_a_rehearsal_is_walked_by_piped_lines_on_a_fast_clock(start, run, studio: Path) -> None:
    process = start("rehearse", "--plain", "--speed", "100000")
    dyer = Dyer(process)
    dyer.work()
    assert process.wait(LIMIT_S) == 0, (dyer.told[-8:], process.stderr.read())
    assert dyer.told[-1] == f"The record is closed. Read it with: potside show {session_file(studio).name}"
    assert any(line.startswith("ALARM") for line in dyer.told)
    verdict = run("verify", str(session_file(studio)))
    assert verdict.returncode == 0, verdict.stdout
    shown = json.loads(run("show", session_file(studio).name, "--json").stdout)
    assert "finished" in json.dumps(shown["events"][-1])


def lines_without_waiting(sheet: Worksheet) -> list[str]:
    """Every step in the order it comes up when no time passes; each wait and gate is passed with a reason."""
    warnings = sum(caution.level == "warn" for caution in sheet.cautions)
    lines: list[str] = []
    soak: list[str] = []
    for stage in sheet.procedure:
        if stage.stage == "paint":
            lines += soak
        for step in stage.steps:
            if step.id == "ready.cautions":
                lines += ["read and known, a rehearsal"] * warnings
            elif step.id == "record.leftovers":
                lines += ["12 mL", "12 mL out", "override a rehearsal"]  # two colours
            elif step.id == "rinse.rounds":
                lines += ["2", "5"]
            elif step.id == "presoak.wait":
                soak = ["override this is a rehearsal"]
            elif step.id in ("steam.rolling", "steam.hold"):
                # Steam at once and a set of no time are doubted.
                lines += ["" if step.kind == "do" else "override a rehearsal", "yes"]
            else:
                measured = "5" if step.quantity == "rating" else f"{step.expected or 0:g}"
                by_kind = {
                    "gate": "override a rehearsal",
                    "measure": measured,
                    "wait": "override this is a rehearsal",
                }
                lines.append(by_kind.get(step.kind, ""))
    return lines


@pytest.mark.deep
def test_a_session_begun_from_a_plan_is_walked_by_a_file_of_lines(run, studio: Path) -> None:
    sheet = work_out(read_plan(PLAN.read_text(), name=PLAN.name), load_shelf(ROOT / "shared"))
    lines = lines_without_waiting(sheet)
    assert len(lines) >= 40
    done = run("begin", "--plain", str(PLAN), lines="\n".join(lines) + "\n")
    told = done.stdout.decode()
    assert done.returncode == 0 and done.stderr == b"", done.stderr
    assert told.splitlines()[-1].startswith("The record is closed."), told[-600:]
    assert "\x1b" not in told and "Really" not in told and "not known here" not in told
    assert run("verify", str(session_file(studio))).returncode == 0


def test_the_end_of_the_lines_leaves_the_session_to_be_resumed(run, studio: Path) -> None:
    first = run("rehearse", "--plain", "--speed", "1", lines="done\noverride a rehearsal\nmas")
    assert first.returncode == 0
    assert "so it was left out: mas" in first.stdout.decode()
    name = session_file(studio).name
    assert (
        first.stdout.decode().splitlines()[-1] == f"The session stays open. Go on with: potside resume {name}"
    )
    again = run("resume", "--plain", lines="override a rehearsal\nleave\n")
    assert again.returncode == 0
    told = again.stdout.decode().splitlines()
    assert told[2].startswith("You were at 3 of ") and "Last done: Kit is right for these dyes" in told[2]
    assert "Saved: Respirator and gloves on for powder: passed with a reason - a rehearsal" in told
    assert run("verify", str(session_file(studio))).returncode == 0


@pytest.mark.parametrize("words", [("begin", str(PLAN)), ("resume",)])
@pytest.mark.one_in(2)
def test_without_a_terminal_the_line_mode_is_offered(run, words: tuple[str, ...], studio: Path) -> None:
    run("rehearse", "--plain")
    before = len(list((studio / "sessions").glob("*.jsonl")))
    done = run(*words)
    assert done.returncode == 2
    assert f"potside {words[0]} --plain" in done.stderr.decode()
    assert done.stderr.count(b"\n") == 1 and done.stdout == b""
    assert len(list((studio / "sessions").glob("*.jsonl"))) == before, "nothing was begun"


def test_two_ways_to_rehearse_at_once_are_refused(run) -> None:
    done = run("rehearse", "--plain", "--unattended")
    assert done.returncode == 2 and b"choose one of them" in done.stderr


@pytest.mark.parametrize(
    ("number", "code"), [(signal.SIGTERM, 143), (signal.SIGINT, 130), (signal.SIGHUP, 129)]
)
@pytest.mark.one_in(3)
def test_a_signal_ends_it_between_two_lines(start, run, studio: Path, number: int, code: int) -> None:
    process = start("rehearse", "--plain", "--speed", "1")
    read_until_prompt(process)
    process.stdin.write(b"done\n")
    process.stdin.flush()
    assert "Saved: Sound heard" in read_until_prompt(process)
    process.send_signal(number)
    _, stderr = process.communicate(timeout=LIMIT_S)
    assert process.returncode == code
    assert stderr.decode().strip() == (
        "potside: stopped by a signal; nothing was lost. Go on with: potside resume"
    )
    assert run("verify", str(session_file(studio))).returncode == 0


def test_a_reader_that_goes_away_is_no_fault(start, run, studio: Path) -> None:
    process = start("rehearse", "--plain", "--speed", "1")
    process.stdout.readline()
    process.stdout.close()
    process.stdin.write(b"time\nlist\nhelp\n" * 50)
    process.stdin.close()
    assert process.wait(LIMIT_S) == 0
    assert process.stderr.read() == b""
    assert run("verify", str(session_file(studio))).returncode == 0


def test_a_terminal_of_ascii_alone_is_enough(run) -> None:
    done = run(
        "rehearse",
        "--plain",
        lines="note étuve\nleave\n",
        LC_ALL="C",
        PYTHONUTF8="0",
        PYTHONIOENCODING="ascii",
    )
    assert done.returncode == 0 and done.stderr == b""
    assert b"Saved: note: etuve" in done.stdout


def test_the_bell_ends_the_line_of_its_alarm(start) -> None:
    process = start("rehearse", "--plain", "--speed", "1")
    out, _ = process.communicate(b"bell\nleave\n", timeout=LIMIT_S)
    assert b"The bell was rung. Did you hear it where you heat?\a\n" in out
    assert out.count(b"\a") == 1 and b"\x1b" not in out and b"\r" not in out


def test_nothing_of_the_screen_is_loaded(environ: dict[str, str]) -> None:
    code = (
        "import sys; sys.argv = ['potside', 'rehearse', '--plain']\n"
        "from studio.cli import main\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code, end.code\n"
        "print(sorted({'textual', 'rich'} & set(sys.modules)), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], stdin=subprocess.DEVNULL, capture_output=True, env=environ, check=True
    )
    assert done.stderr.decode().strip() == "[]"


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo-terminal there")
def test_a_dumb_terminal_is_enough_for_a_hand(environ: dict[str, str]) -> None:
    import pexpect

    arguments = ["-m", "studio", "rehearse", "--plain", "--speed", "1"]
    child = pexpect.spawn(sys.executable, arguments, env=environ, timeout=LIMIT_S, encoding="utf-8")
    child.expect_exact("Write bell to ring it. Enter when you hear it")
    time.sleep(0.6)  # a hand needs longer to read the step; sooner would be a bouncing key
    child.send("\n" * 50)
    child.expect("Write [1-9] when it is so")
    child.sendline("leave")
    told = child.before
    child.expect(pexpect.EOF)
    told += child.before
    child.close()
    assert child.exitstatus == 0
    assert "\x1b" not in told
    assert "This is a gate" not in told, "of fifty Enters one was meant"
