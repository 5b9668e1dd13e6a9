"""The plan screen: a whole worksheet anew for one key, and from the key to its paint beside a blank Textual app.

Budget: worksheet from a changed text under 5 ms; the paint within two frames (33 ms) of the blank app's, which has one
input line and one line of text. Both apps take turns, key by key. Run: python tests/bench/plan_screen_speed.py
"""

from __future__ import annotations

import os
import shutil
import statistics
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

from key_to_paint import opened, settle

from studio.plan.draft import PlanDraft
from studio.plan.draft_places import Place
from studio.plan.reading import read_plan
from studio.plan.shelf_reading import load_shelf
from studio.plan.worksheet import work_out

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(Path(__file__).resolve().parent))


TURNS = 60
KEYS = 30
WARM_UP = 5
FRAME_MS = 1000 / 60
WEIGHT = Place("fibre", None, "squeezed_weight")

BLANK = """
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


def median_ms(once: Callable[[int], object]) -> float:
    for turn in range(5):
        once(turn)
    took = []
    for turn in range(TURNS):
        began = time.process_time()
        once(turn)
        took.append(time.process_time() - began)
    return statistics.median(took) * 1000


def one_key() -> None:
    shelf = load_shelf(ROOT / "shared")
    for path in sorted((ROOT / "shared" / "plans").glob("*.plan.toml")):
        text = path.read_text(encoding="utf-8")
        draft = PlanDraft(text, shelf, name=path.name)
        toml_ms = median_ms(lambda turn, text=text: tomllib.loads(text))  # type: ignore[misc]
        sheet_ms = median_ms(lambda turn, text=text: work_out(read_plan(text, name="x"), shelf))  # type: ignore[misc]
        key_ms = median_ms(lambda turn, draft=draft: draft.type(WEIGHT, f"{150 + turn} g"))  # type: ignore[misc]
        assert draft.trouble is None
        print(
            f"{path.name:<30} TOML {toml_ms:5.2f} ms   text to worksheet {sheet_ms:5.2f} ms ({sheet_ms / 5:.2f} of the"
            f" budget)   one key, written into the text and worked out {key_ms:5.2f} ms"
        )


def key_s(child: object, mark: bytes) -> float:
    """Seconds from a digit to the words it leads to; the line is emptied again afterwards."""
    began = time.perf_counter()
    child.send("3")  # type: ignore[attr-defined]
    child.expect_exact(mark)  # type: ignore[attr-defined]
    took = time.perf_counter() - began
    settle(child)
    child.send("\x15")  # type: ignore[attr-defined]
    settle(child)
    return took


def to_the_liquor_ratio(child: object) -> None:
    """From home: the last plan, presoak, liquor ratio, emptied."""
    keys = ("\x1b[A", "e", "\x1b[C", "\x1b[C", "\x1b[C", "\x1b[B", "\r", "\x15")
    for key in keys:
        settle(child, 0.5)
        child.send(key)  # type: ignore[attr-defined]
    settle(child, 1.0)


def main() -> None:
    one_key()
    env = {**os.environ, "PYTHONPATH": str(ROOT), "TERM": "xterm-256color"}
    for name in ("PYTHONDONTWRITEBYTECODE", "NO_COLOR", "COLUMNS", "LINES"):
        env.pop(name, None)
    with tempfile.TemporaryDirectory() as folder:
        studio = Path(folder)
        (studio / "sessions").mkdir()
        shutil.copytree(ROOT / "shared", studio / "shared")
        for path in (studio / "shared" / "plans").glob("*.plan.toml"):
            if not path.name.startswith("tidewrack"):
                path.unlink()
        env["POTSIDE_STUDIO"] = folder
        plan = opened(["-m", "studio"], b"Tidewrack", env)
        to_the_liquor_ratio(plan)
        pair = {
            "blank": (opened(["-c", BLANK], b"READYMARK", env), b"SHOWNMARK"),
            "plan": (plan, b"300 mL"),
        }
        took: dict[str, list[float]] = {name: [] for name in pair}
        for turn in range(KEYS + WARM_UP):
            for name, (child, mark) in pair.items():
                seconds = key_s(child, mark)
                if turn >= WARM_UP:
                    took[name].append(seconds)
        for child, _ in pair.values():
            child.close(force=True)
    middle = {name: statistics.median(times) * 1000 for name, times in took.items()}
    for name, times in took.items():
        slow = sorted(times)[int(0.9 * len(times))] * 1000
        print(f"{name:<5}  median {middle[name]:6.1f} ms   nine of ten under {slow:6.1f} ms")
    frames = (middle["plan"] - middle["blank"]) / FRAME_MS
    print(
        f"key to paint, plan screen / blank app   {middle['plan'] / middle['blank']:.2f}, {frames:+.1f} frames"
    )


if __name__ == "__main__":
    main()
