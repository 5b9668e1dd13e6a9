"""From a key to the paint it leads to: the bench with four clocks running beside a blank Textual app.

Both run at the same time in pseudo-terminals of their own and take turns, key by key, so that whatever else the machine
does falls on both. The key opens the note line on the bench and a line of text in the blank app; the time is from
writing the key to reading the words it shows. Run: python tests/bench/key_to_paint.py
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

from studio.services.studio import Services
from studio.session import commands as c
from studio.session.gate_digit import gate_digit
from studio.session.path import current_step
from studio.session.run import Running
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]

PLAN = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
KEYS = 40
WARM_UP = 5

BLANK = """
from textual.app import App
from textual.widgets import Static
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


def four_clocks(studio: Path) -> None:
    """Leaves an open session at the hold: the set, the pot water and two more packets."""
    services = Services(StudioFolder(studio), SystemClock())
    running = services.begin(services.work_out_file(PLAN))
    while "steam" not in running.state.timers:
        running.do(_answer(running))
    for label in ("lantern floats", "net ends"):
        running.do(c.PacketIn(label))
    assert sum(t.running for t in running.state.timers.values()) == 4
    running.do(c.Leave())
    services.let_go()


def _answer(running: Running) -> c.Command:
    step = current_step(running.state, running.clock.now())
    assert step is not None
    if step.kind == "measure":
        return c.Measure(step.id, f"{step.expected:g}", True)
    if step.kind == "gate":
        return c.PassGate(step.id, gate_digit(running.state, step.id))
    return c.Override(step.id, "a measurement does not wait") if step.kind == "wait" else c.Close(step.id)


def opened(argv: list[str], mark: bytes, env: dict[str, str]) -> Any:
    import pexpect

    child = pexpect.spawn(sys.executable, argv, dimensions=(24, 80), env=env, timeout=30)
    child.expect_exact(mark)
    settle(child)
    return child


def settle(child: Any, quiet_s: float = 0.3) -> None:
    """Read until nothing but the tick of the clock has come for a while."""
    import pexpect

    end = time.perf_counter() + quiet_s
    while time.perf_counter() < end:
        try:
            child.read_nonblocking(65536, 0.05)
        except pexpect.TIMEOUT:
            pass


def key_s(child: Any, mark: bytes) -> float:
    """Seconds from the key to the words it shows; the line is closed again afterwards."""
    began = time.perf_counter()
    child.send("n")
    child.expect_exact(mark)
    took = time.perf_counter() - began
    settle(child)
    child.send("\x1b")
    settle(child)
    return took


def main() -> None:
    env = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color"}
    for name in ("PYTHONDONTWRITEBYTECODE", "NO_COLOR", "COLUMNS", "LINES"):
        env.pop(name, None)
    with tempfile.TemporaryDirectory() as folder:
        studio = Path(folder)
        (studio / "sessions").mkdir()
        shutil.copytree(ROOT / "shared", studio / "shared")
        four_clocks(studio)
        env["POTSIDE_STUDIO"] = folder
        pair = {
            "blank": (opened(["-c", BLANK], b"READYMARK", env), b"SHOWNMARK"),
            "bench": (opened(["-m", "studio", "resume"], b"You were at", env), b"Note"),
        }
        took: dict[str, list[float]] = {name: [] for name in pair}
        for turn in range(KEYS + WARM_UP):
            for name, (child, mark) in pair.items():
                seconds = key_s(child, mark)
                if turn >= WARM_UP:
                    took[name].append(seconds)
        for child, _ in pair.values():
            child.close(force=True)
    middle = {name: statistics.median(times) for name, times in took.items()}
    for name, times in took.items():
        slow = sorted(times)[int(0.9 * len(times))]
        print(f"{name}  median {middle[name] * 1000:6.1f} ms   nine of ten under {slow * 1000:6.1f} ms")
    print(f"key to paint, bench with four clocks / blank app   {middle['bench'] / middle['blank']:.2f}")


if __name__ == "__main__":
    main()
