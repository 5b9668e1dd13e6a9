"""First paint of the bench beside that of a blank Textual app, and `--help` beside an empty Python.

Every start is a process of its own in a real pseudo-terminal; the two kinds take turns, so that whatever
else the machine does falls on both. Budget (design, section 10): at most 1.6 times a blank app plus its
widgets, `--help` under 100 ms. Run: python tests/bench/first_paint.py
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PLAN = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
RUNS = 7

BLANK = """
from textual.app import App
from textual.widgets import Static
class Blank(App):
    def compose(self):
        yield Static("READYMARK")
Blank().run()
"""
WIDGETS = """
from textual.app import App
from textual.containers import Vertical
from textual.screen import Screen
from textual.widgets import Input, OptionList, Static
class Bench(Screen):
    def compose(self):
        for name in ("alarms", "header", "rail", "top", "clock", "mid", "panel", "also"):
            yield Static("READYMARK" if name == "panel" else name, id=name)
        with Vertical():
            yield Static("label")
            yield Input(compact=True)
            yield Static("trouble")
        yield Static("keys", id="keys")
class Home(Screen):
    def compose(self):
        yield Static("title")
        yield OptionList("a", "b", "c", "d", "e")
        yield Static("foot")
class Same(App):
    def on_mount(self):
        self.push_screen(Home())
        self.push_screen(Bench())
Same().run()
"""


def surroundings(studio: Path) -> dict[str, str]:
    env = {**os.environ, "POTSIDE_STUDIO": str(studio), "PYTHONPATH": str(ROOT), "TERM": "xterm-256color"}
    for name in ("PYTHONDONTWRITEBYTECODE", "NO_COLOR", "COLUMNS", "LINES"):
        env.pop(name, None)
    return env


def paint_s(argv: list[str], mark: bytes, env: dict[str, str]) -> float:
    """Seconds from the start of a process until `mark` stands in what it wrote."""
    import pexpect

    began = time.perf_counter()
    child = pexpect.spawn(sys.executable, argv, dimensions=(24, 80), env=env, timeout=30)
    child.expect_exact(mark)
    took = time.perf_counter() - began
    child.close(force=True)
    return took


def run_s(argv: list[str], env: dict[str, str]) -> float:
    began = time.perf_counter()
    subprocess.run([sys.executable, *argv], env=env, capture_output=True, check=True)
    return time.perf_counter() - began


def medians(kinds: dict[str, Callable[[], float]]) -> dict[str, float]:
    """Median of RUNS turns each, after one that warms up."""
    took: dict[str, list[float]] = {name: [] for name in kinds}
    for turn in range(RUNS + 1):
        for name, once in kinds.items():
            seconds = once()
            if turn:
                took[name].append(seconds)
    return {name: statistics.median(values) for name, values in took.items()}


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        studio = Path(folder)
        (studio / "sessions").mkdir()
        shutil.copytree(ROOT / "shared", studio / "shared")
        env = surroundings(studio)
        begin = ["-m", "studio", "begin", str(PLAN)]
        found = medians(
            {
                "blank": lambda: paint_s(["-c", BLANK], b"READYMARK", env),
                "widgets": lambda: paint_s(["-c", WIDGETS], b"READYMARK", env),
                "bench": lambda: paint_s(begin, b"Sound the bell", env),
                "resume": lambda: paint_s(["-m", "studio", "resume"], b"You were at", env),
                "home": lambda: paint_s(["-m", "studio"], b"Rehearse", env),
                "python": lambda: run_s(["-c", "pass"], env),
                "help": lambda: run_s(["-m", "studio", "--help"], env),
            }
        )
    for name, seconds in found.items():
        print(f"{name:<8} {seconds * 1000:7.0f} ms")
    print(f"bench / blank app                  {found['bench'] / found['blank']:.2f}")
    print(f"bench / blank app with its widgets {found['bench'] / found['widgets']:.2f}   budget 1.6")
    print(f"resume / blank app with its widgets {found['resume'] / found['widgets']:.2f}")
    print(f"home / blank app                   {found['home'] / found['blank']:.2f}")
    print(f"--help / python -c pass            {found['help'] / found['python']:.2f}   budget 100 ms")


if __name__ == "__main__":
    main()
