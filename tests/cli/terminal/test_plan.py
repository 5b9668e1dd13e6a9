"""A first plan in a real terminal, keyboard only: from home to the bench, with a kill on the way."""

from __future__ import annotations

import signal
import time
import tomllib
from pathlib import Path

import pytest

BOUNCE_S = 0.3
"""A little more than the time in which the same key is taken for a bouncing one."""


def type_into(screen, text: str, seen: str) -> None:
    """Enter, the text in place of what is there, Enter."""
    time.sleep(BOUNCE_S)
    screen.type("\r")
    screen.until("Esc leave it as it was")
    screen.type("\x15")
    screen.look(0.2)
    screen.type(text)
    screen.until(seen)
    time.sleep(BOUNCE_S)
    screen.type("\r")
    screen.until_gone("Esc leave it as it was")


def new_plan(screen) -> None:
    screen.until("Tidewrack stripes")
    screen.type("n")
    screen.until("Ebb gradient")
    screen.type("\r")
    screen.until("What is it called?")
    time.sleep(BOUNCE_S)
    screen.type("\x15")
    screen.look(0.2)
    screen.type("Mussel rope\r")
    screen.until("Mussel rope     ")
    screen.until("ready to begin")


def goes_on_with_it(again, beside: Path) -> None:
    """The edits that a kill left beside the plan are taken up, finished and saved."""
    again.until("Mussel rope")
    for _ in range(9):  # up from the first row comes to the last one
        if "Mussel rope" in again.text and again.text.count("Plan  ") == 2:
            break
        again.look(0.2)
    for _ in range(2):
        again.type("\x1b[A")
        again.look(0.2)
    again.type("e")
    again.until("edits of")
    again.type("t")
    again.until("not complete")
    again.type("c")
    again.until("▌ depth")
    type_into(again, "1,1 %", "=  1.1 %")
    again.right_to("layout")
    type_into(again, "rust 6, bare 5, net blue 6, bare 5, repeat", "█r██·██n██")
    again.type("s")
    again.until("Saved as mussel-rope")
    assert not beside.exists()


@pytest.mark.deep
def test_a_first_plan_with_a_kill_on_the_way(terminal, studio):
    path: Path = studio / "shared" / "plans" / "mussel-rope.plan.toml"
    for other in path.parent.glob("*.plan.toml"):
        if not other.name.startswith("tidewrack"):
            other.unlink()
    screen = terminal()
    new_plan(screen)
    screen.right_to("fibre")
    screen.down_to("dry weight")
    type_into(screen, "1 lb 4 oz", "=  567 g")
    screen.right_to("colours")
    screen.down_to("depth")
    screen.type("\r")
    screen.until("Esc leave it as it was")
    screen.type("\x15")
    screen.look(0.2)
    screen.type("1,1 x")
    screen.until("write for example")
    limit = time.monotonic() + 10
    beside = path.with_name(f".{path.name}.unsaved")
    while '\\"1,1 x\\"' not in (beside.read_text() if beside.exists() else ""):
        assert screen.look() and time.monotonic() < limit, "what is half typed was never kept"
    screen.stop(signal.SIGKILL)
    assert screen.end() == -signal.SIGKILL
    assert tomllib.loads(path.read_text())["fibre"]["dry_weight"] == "100 g", "nothing was saved yet"

    again = terminal()
    goes_on_with_it(again, beside)
    again.type("b")
    again.until("rehearse or begin?")
    time.sleep(BOUNCE_S)
    again.type("b")
    again.until("Sound the bell")
    again.type("q")
    again.until("Leave the bench?")
    again.type("y")
    again.until("  plans")
    again.type("q")
    assert again.end() == 0
    plan = tomllib.loads(path.read_text())
    assert plan["fibre"]["dry_weight"] == "1 lb 4 oz" and plan["colour"][0]["depth"] == "1,1 %"
    assert [band.get("rows", band.get("bare")) for band in plan["layout"]["order"]] == [6, 5, 6, 5]
    assert len(list((studio / "sessions").glob("*.jsonl"))) == 1
