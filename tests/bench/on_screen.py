"""Programs in pseudo-terminals, in turns with a blank Textual app: what a start and a key cost until they are seen.

A start is measured in CPU time of the process, which other work on the machine hardly moves; a key in the time until
its words come, in which Textual may gather changes for 1/60 s. Linux only.
"""

from __future__ import annotations

import os
import shutil
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pexpect

from studio.services.studio import Services
from studio.session import commands as c
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import gate_digit
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]
PLAN = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
BLANK_MARK = b"READYMARK"
BLANK = """
from textual.app import App
from textual.widgets import Input, Static
class Blank(App):
    BINDINGS = [("n", "show", ""), ("escape", "hide", "")]
    def compose(self):
        yield Static("READYMARK")
        yield Static("", id="line")
    def action_show(self):
        self.query_one("#line", Static).update("SHOWNMARK")
    def action_hide(self):
        self.query_one("#line", Static).update("")
Blank().run()
"""
BLANK_INPUT = """
from textual.app import App
from textual.widgets import Input, Static
class Blank(App):
    def compose(self):
        yield Static("READYMARK", id="line")
        yield Input(compact=True)
    def on_input_changed(self, event):
        self.query_one("#line", Static).update("SHOWNMARK" if event.value else "")
Blank().run()
"""
BLANK_PAGE = """
from textual.app import App
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import Input, Static
class Blank(App):
    CSS = "Static, #row { height: auto; } #page { height: 1fr; }"
    def compose(self):
        with Vertical():
            yield Static("header", id="header")
            yield Static(id="page")
            with Vertical(id="row"):
                yield Static("label")
                yield Input(compact=True)
            yield Static("keys", id="keys")
    def on_mount(self):
        self.turn("READYMARK", True)
    def turn(self, mark, asking):
        row = [("  sign ", "bold $text"), (f"a line {asking:<20}", "$accent"), ("and what it is for", "$secondary")]
        lines = [Content(mark), *[Content.assemble(*row)] * 15]
        self.query_one("#page", Static).update(Content("\\n").join(lines), layout=False)
        self.query_one("#header", Static).update(f"header {asking}", layout=False)
        self.query_one("#keys", Static).update(f"keys {asking}", layout=False)
        box = self.query_one(Input)
        box.value = ""
        self.query_one("#row").display = asking
        self.screen.set_focus(box if asking else None)
    def on_input_submitted(self, event):
        self.turn("TAKENMARK", False)
    def on_key(self, event):
        if event.key == "u":
            self.turn("READYMARK", True)
Blank().run()
"""
"""What a weight at the bench does to a screen, by plain Textual: its field closes and the page is another one."""
SETTLE_S = 1.5


@contextmanager
def studio_of_its_own() -> Iterator[dict[str, str]]:
    """A studio folder with the shared shelf and one plan, as the environment of a program that works in it."""
    with TemporaryDirectory() as folder:
        place = Path(folder)
        (place / "sessions").mkdir()
        shutil.copytree(ROOT / "shared", place / "shared")
        for path in (place / "shared" / "plans").glob("*.plan.toml"):
            if path.name != PLAN.name:
                path.unlink()
        env = {**os.environ, "POTSIDE_STUDIO": folder, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color"}
        env["XDG_CACHE_HOME"] = f"{folder}/cache"
        for name in ("PYTHONDONTWRITEBYTECODE", "NO_COLOR", "COLUMNS", "LINES"):
            env.pop(name, None)
        yield env


def with_finished_sessions(env: dict[str, str]) -> None:
    """Those of the sample: a plan is worked out with the habits that they show."""
    for path in (ROOT / "sessions").glob("*.jsonl"):
        shutil.copy(path, Path(env["POTSIDE_STUDIO"], "sessions"))


def opened(argv: list[str], mark: bytes, env: dict[str, str]) -> Any:
    """The program, once `mark` is on its screen of 80 x 24."""
    child = pexpect.spawn(sys.executable, argv, dimensions=(24, 80), env=env, timeout=60)
    child.delaybeforesend = None  # Its own 50 ms would be a part of every key, and hide what it costs.
    child.expect_exact(mark)
    return child


def first_paint_s(argv: list[str], mark: bytes, env: dict[str, str]) -> float:
    """CPU seconds from the start of the process until `mark` is on its screen.

    The session that it began and was killed in is taken away: no dyer begins each one beside a broken one.
    """
    child = opened(argv, mark, env)
    took = time.clock_gettime((~child.pid << 3) | 2)  # the CPU clock of another process
    child.close(force=True)
    for path in Path(env["POTSIDE_STUDIO"], "sessions").glob("*.jsonl"):
        if not (ROOT / "sessions" / path.name).exists():
            path.unlink()
    return took


def resident_kb(argv: list[str], mark: bytes, env: dict[str, str]) -> float:
    """Memory of the program in KiB (VmRSS) once it stands still."""
    child = opened(argv, mark, env)
    settle(child, SETTLE_S)
    status = Path(f"/proc/{child.pid}/status").read_text()
    child.close(force=True)
    return float(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))


def settle(child: Any, seconds: float = 0.3) -> None:
    """Read on for a while, whatever comes."""
    end = time.perf_counter() + seconds
    while time.perf_counter() < end:
        try:
            child.read_nonblocking(65536, 0.05)
        except pexpect.TIMEOUT:
            pass


def key_s(child: Any, key: str, mark: bytes, back: str, first: str = "") -> float:
    """Seconds from a key, `first` typed before it, to the words it leads to; `back` takes back what it did."""
    if first:
        child.send(first)
        settle(child)
    began = time.perf_counter()
    child.send(key)
    child.expect_exact(mark)
    took = time.perf_counter() - began
    settle(child)
    child.send(back)
    settle(child)
    return took


def at_the_weighing(env: dict[str, str]) -> None:
    """Leaves an open session at its first question, the dry weight."""
    services = Services(StudioFolder(Path(env["POTSIDE_STUDIO"])), SystemClock())
    running = services.begin(services.work_out(PLAN))
    while (step := current_step(running.state, running.clock.now())) is not None and step.kind != "measure":
        running.do(_answer(running))
    running.do(c.Leave())
    services.let_go()


def _answer(running: Running) -> c.Command:
    step = current_step(running.state, running.clock.now())
    assert step is not None
    if step.kind == "gate":
        return c.PassGate(step.id, gate_digit(running.state, step.id))
    return c.Close(step.id)


def at_the_liquor_ratio(env: dict[str, str]) -> Any:
    """The plan screen with the liquor ratio open and emptied: the first start, its plan, presoak."""
    child = opened(["-m", "studio"], b"A studio of your own", env)
    for key in ("f", "e", "\x1b[C", "\x1b[C", "\x1b[C", "\x1b[B", "\r", "\x15"):
        settle(child, 0.7)
        child.send(key)
    settle(child, 1.0)
    return child
