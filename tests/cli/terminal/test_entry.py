"""Entry at a real pseudo-terminal: what digits and letters do, where notices stand, what each entry is kept as."""

from __future__ import annotations

import time
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest

from studio.store.copies import verify
from studio.store.reading import read_session

BOUNCE_S = 0.3
"""A little more than the time in which the same key is taken for a bouncing one."""
WRONG_S = 0.8
"""A little more than the time in which digits after a wrong one were on their way already."""


def session_file(studio: Path) -> Path:
    (path,) = (p for p in (studio / "sessions").iterdir() if p.suffix == ".jsonl")
    return path


def data(studio: Path, kind: str) -> list[dict[str, Any]]:
    return [record.data for record in read_session(session_file(studio)).records if record.kind == kind]


def kept(screen, studio: Path, kind: str) -> None:
    """Wait until an entry of that kind is in the file and its field is closed."""
    end = time.monotonic() + 15
    while not data(studio, kind) or "Esc goes back" in foot(screen):
        assert screen.look() and time.monotonic() < end, f"no {kind}:\n{screen.text}"


def foot(screen) -> str:
    return screen.text.splitlines()[-1]


def gate(screen, next_step: str) -> str:
    digit = screen.gate_digit()
    screen.type(digit)
    screen.until(next_step)
    return digit


def counts_and_keeps(screen) -> None:
    """What the key for other things to keep asks, and where its answer stands."""
    for key, asked, text, then in (
        ("d", "Drops of your dropper", "40 in 2 mL", "dropper: 40 drops in 2 mL"),
        ("s", "rounds counted", "rust 9 solid", "swatch of rust: 9 rounds solid"),
        ("p", "its path", "photos/tap.jpg", "What is on it?"),
    ):
        screen.type("i")
        screen.until("What is to be kept?")
        screen.type(key)
        screen.until(asked)
        screen.type(text)
        screen.until(text)
        screen.type("\r")
        screen.until(then)
    screen.type("brown water\r")
    screen.until("picture photos/tap.jpg")
    lines = screen.text.splitlines()
    assert "picture photos/tap.jpg" in lines[-2] and "keys" in lines[-1], "the notice stands above the keys"


def each_is_kept_as_itself(studio: Path, now: str) -> None:
    """One event each, with what was typed."""
    assert [d["typed"] for d in data(studio, "step.measured")] == ["101,5", "2 L"]
    assert [(d["happened_at"], d["text"]) for d in data(studio, "noted.late")] == [(now, "the tap ran brown")]
    assert [d["text"] for d in data(studio, "noted")] == ["swatch rust 3 solid 2 mixed"]
    assert [(d["drops"], d["ml"]) for d in data(studio, "drops.counted")] == [(40, 2.0)]
    assert [d["solid"] for d in data(studio, "swatch.counted")] == [9.0]
    assert [(d["path"], d["text"]) for d in data(studio, "photo.added")] == [
        ("photos/tap.jpg", "brown water")
    ]
    assert verify(session_file(studio)).state == "clean"


@pytest.mark.deep
def test_a_gate_takes_its_digit_a_value_its_first_digit_and_each_entry_is_kept_as_itself(
    terminal, plan, studio, potside
) -> None:
    screen = terminal("begin", plan)
    screen.until("Sound the bell")
    screen.type("\r")
    screen.until("► Kit is right")
    first = screen.gate_digit()
    time.sleep(BOUNCE_S)
    screen.type("\r")  # habit
    screen.until(f"{first} opens this gate, or a reason (O).")
    screen.type(str(int(first) % 9 + 1))  # a slip
    screen.until("That was not the digit")
    second = screen.gate_digit()
    assert second != first and not data(studio, "gate.passed")
    time.sleep(WRONG_S)
    screen.type(second)
    screen.until("► Respirator and gloves")
    assert gate(screen, "► Room is ready") != second
    for then in ("► Jars and brushes", "► Dry fibre weighed"):
        time.sleep(BOUNCE_S)
        screen.type("\r")
        screen.until(then)
    screen.type("1")
    screen.until("Grams;")
    assert "Enter takes it" in foot(screen) and "Esc goes back" in foot(screen)
    screen.type("nuq")  # letters are letters in a field
    screen.until("1nuq")
    screen.type("\x7f\x7f\x7f01,5\r")
    screen.until("►presoak")
    now = f"{datetime.now():%H:%M}"
    screen.type(f"h{now} the tap ran brown\r")  # all in one write, as a slow line delivers it
    kept(screen, studio, "noted.late")
    screen.type("h")
    screen.until("what happened")
    screen.type("25:99 lid lifted\r")
    screen.until("from 0:00 to 23:59")
    assert "25:99 lid lifted" in screen.text
    screen.type("\x1b")
    screen.until_gone("25:99")
    screen.type("n")
    screen.until("Words;")
    screen.type("swatch rust 3 solid 2 mixed\r")
    kept(screen, studio, "noted")
    counts_and_keeps(screen)
    screen.type("2")
    screen.until("Millilitres;")
    assert "picture photos/tap.jpg" in screen.text and "in mL" in screen.text
    screen.type(" L\r")
    screen.until("► Acid in the water")
    screen.type("q")
    screen.until("Leave the bench?")
    screen.type("y")
    screen.until("  plans")
    screen.type("q")
    assert screen.end() == 0
    assert next(d["digit"] for d in data(studio, "gate.passed")) == int(second)
    each_is_kept_as_itself(studio, now)
    told = potside("show", session_file(studio).name).stdout
    assert f"late entry, for {now}" in told and "photos/tap.jpg" in told and "40 drops in 2 mL" in told
