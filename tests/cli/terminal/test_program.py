"""In a real pseudo-terminal of 80 by 24: what is on screen, what is left of it, every byte that was written."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from studio.services.studio import Services
from studio.session import commands as c
from studio.store.copies import verify
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock

BOUNCE_S = 0.3
"""A little more than the time in which the same key is taken for a bouncing one."""

MODES = {b"?1049": "the other screen", b"?1000": "mouse", b"?1003": "mouse moves", b"?1006": "mouse marks"}
RESUME_HINT = "potside resume"


def restored(raw: bytes) -> None:
    """The last word on every mode that was switched on is `off`; the cursor is shown."""
    for mode, name in MODES.items():
        on, off = raw.rfind(b"\x1b[" + mode + b"h"), raw.rfind(b"\x1b[" + mode + b"l")
        assert on >= 0 or mode != b"?1049", "the screen never opened"
        assert off > on, f"{name} was left on"
    assert raw.rfind(b"\x1b[?25h") > raw.rfind(b"\x1b[?25l")
    assert raw.rfind(b"\x1b[?2004l") > raw.rfind(b"\x1b[?2004h")


def after_screen(raw: bytes) -> str:
    """What stands on the terminal once the program is gone."""
    tail = raw[raw.rfind(b"\x1b[?1049l") :]
    return re.sub(r"\x1b\[[0-9;?<>]*[a-z]", "", tail.decode())


def session_file(studio: Path) -> Path:
    (path,) = (p for p in (studio / "sessions").iterdir() if p.suffix == ".jsonl")
    return path


def kinds(path: Path) -> list[str]:
    return [record.kind for record in read_session(path).records]


def at_pot(terminal, plan, *words: str, **changes):
    """A session begun, once its first step is on screen."""
    screen = terminal(*words, "begin", plan, **changes)
    screen.until("Sound the bell")
    return screen


def through_ready(screen) -> None:
    """From the first step to the first value: Enter, the digits of two gates, two Enters."""
    screen.type("\r")
    screen.until("► Kit is right")
    for then in ("► Respirator and gloves", "► Room is ready"):
        screen.type(screen.gate_digit())
        screen.until(then)
        time.sleep(BOUNCE_S)
    for then in ("► Jars and brushes", "► Dry fibre weighed"):
        time.sleep(BOUNCE_S)
        screen.type("\r")
        screen.until(then)


@pytest.mark.deep
def test_begin_a_few_steps_kill_and_resume(terminal, plan, studio, potside):
    screen = at_pot(terminal, plan)
    through_ready(screen)
    time.sleep(BOUNCE_S)
    screen.type("\r")
    screen.until("in g")
    screen.type("101,5\r")
    screen.until("101.5 g")
    screen.stop(signal.SIGKILL)
    assert screen.end() == -signal.SIGKILL
    path = session_file(studio)
    records = read_session(path).records
    assert [r.kind for r in records].count("gate.passed") == 2
    assert [r.data["value"] for r in records if r.kind == "step.measured"] == [101.5]
    assert verify(path).state == "clean"

    again = terminal("resume")
    assert re.search(r"■ Dry fibre weighed +101\.5 g  \d\d:\d\d", again.until("■ Dry fibre weighed"))
    text = " ".join(again.until("You were at").split())
    assert "You were at 1 of 5 in presoak. Last done: Dry fibre weighed" in text
    again.type("q")
    again.until("Leave the bench?")
    again.type("y")
    again.until("  plans")
    again.type("q")
    assert again.end() == 0
    assert kinds(path)[-2:] == ["session.resumed", "session.left"]
    assert potside("verify", path).exit_code == 0


@pytest.mark.parametrize(
    ("number", "code"),
    [
        (signal.SIGTERM, 143),
        pytest.param(signal.SIGHUP, 129, marks=pytest.mark.deep),
        pytest.param(signal.SIGINT, 130, marks=pytest.mark.deep),
    ],
    ids=str,
)
def test_row_17_a_signal_restores_the_terminal(terminal, plan, studio, number, code):
    screen = at_pot(terminal, plan)
    screen.type("\r")
    screen.until("► Kit is right")
    screen.stop(number)
    assert screen.end() == code
    restored(screen.raw)
    assert RESUME_HINT in after_screen(screen.raw)
    assert "Traceback" not in after_screen(screen.raw)
    assert verify(session_file(studio)).state == "clean"
    assert "step.done" in kinds(session_file(studio))


@pytest.mark.deep
@pytest.mark.parametrize(
    ("key", "question", "typed", "kept"),
    [("n", "Note", "Squeezed by han", "Note: Squeezed by han"), ("n", "Note", "  ", "")],
    ids=["half a note", "nothing"],
)
def test_what_was_half_typed_at_a_signal_is_kept_as_a_note(
    terminal, plan, studio, key, question, typed, kept
):
    screen = at_pot(terminal, plan)
    screen.type(key)
    screen.until(question)
    screen.type(typed)
    if typed.strip():
        screen.until(typed)
    screen.stop(signal.SIGTERM)
    assert screen.end() == 143
    notes = [r.data["text"] for r in read_session(session_file(studio)).records if r.kind == "noted"]
    assert notes == ([f"Typed and not entered. {kept}"] if kept else [])
    assert verify(session_file(studio)).state == "clean"


FAULTY = """
import studio.screens.bench.bench as bench
def broken(self):
    raise RuntimeError("knot in the yarn \\x1b]0;owned\\x07")
bench.BenchScreen.action_sound = broken
from studio.cli import main
main()
"""


@pytest.mark.deep
def test_row_17_a_fault_of_the_program_restores_the_terminal(terminal, plan, studio, home):
    screen = terminal("begin", plan, code=FAULTY)
    screen.until("Sound the bell")
    screen.type("\r")
    screen.until("► Kit is right")
    screen.type("s")
    assert screen.end() == 1
    restored(screen.raw)
    told = after_screen(screen.raw)
    assert RESUME_HINT in told and "a fault of the program" in told and "Traceback" not in told
    assert b"]0;owned" not in screen.raw
    (details,) = (home / "state" / "potside").iterdir()
    assert "knot in the yarn" in details.read_text()
    assert verify(session_file(studio)).state == "clean"


@pytest.mark.deep
def test_home_opens_and_leaves(terminal, studio):
    screen = terminal()
    text = screen.until("Tidewrack stripes")  # plans are read after the first paint
    assert "Skerry Lane studio" in text and "  plans" in text
    screen.type("q")
    assert screen.end() == 0
    restored(screen.raw)
    assert not list((studio / "sessions").iterdir())


@pytest.mark.deep
def test_rehearse_runs_on_screen(terminal, studio):
    screen = terminal("rehearse", "--speed", "600")
    text = screen.until("A rehearsal")
    assert "x600" in text and "Sound the bell" in text
    first = re.search(r"\b\d\d:\d\d\b", text.splitlines()[0])
    assert first
    limit = time.monotonic() + 5
    while re.search(r"\b\d\d:\d\d\b", screen.text.splitlines()[0])[0] == first[0]:
        assert screen.look() and time.monotonic() < limit, "the clock stands still"
    screen.type("q")
    screen.until("Leave the bench?")
    screen.type("y")
    screen.until("  plans")
    screen.type("q")
    assert screen.end() == 0


def test_row_28_fifty_enters_in_one_write_tick_one_step(terminal, plan, studio):
    screen = at_pot(terminal, plan)
    screen.type("\r" * 50)
    screen.until("► Kit is right")
    screen.look(0.7)
    assert kinds(session_file(studio)).count("step.done") == 1


@pytest.mark.deep
def test_leave_needs_a_second_key_and_ctrl_c_loses_nothing(terminal, plan, studio):
    screen = at_pot(terminal, plan)
    screen.type("n")
    screen.until("Note")
    screen.type("half a remark")
    screen.until("half a remark")
    screen.type("\x03")
    screen.look(0.4)
    assert screen.look(), "Ctrl+C ended the program"
    # An Esc with a key right behind it would be another key, so each is waited for.
    for key in ("\x1b", "\x1b", "q", "n", "q"):
        screen.type(key)
        screen.look(0.6)
    screen.until("Leave the bench?")
    screen.type("y")
    screen.until("  plans")
    screen.type("q")
    assert screen.end() == 0
    restored(screen.raw)
    assert kinds(session_file(studio)) == ["session.opened", "session.left"]


EVIL = "\\u001b]0;owned\\u0007\\u001b[2J\\u009b31m\\u202egnip\\u0000[@click=app.quit]q[/]"
FORBIDDEN = ("\x1b]0;owned", "\x1b[2J\x9b", "\x9b", "\u202e", "\0", "\x1b]52")


@pytest.mark.deep
def test_an_evil_title_and_note_steer_nothing(terminal, plan, studio):
    evil_plan = studio / "shared" / "plans" / "evil.plan.toml"
    evil_plan.write_text(plan.read_text().replace('"Tidewrack stripes"', f'"{EVIL}"'))
    services = Services(StudioFolder(studio), SystemClock())
    running = services.begin(services.work_out(evil_plan))
    running.do(c.AddNote("note \x1b]52;c;AAAA\x07 \u202e \x9b1m [red]x[/]"))
    running.do(c.Close("ready.sound"))
    services.let_go()
    screen = terminal("resume")
    text = screen.until("You were at")
    assert "\\x1b]0;owned" in text and "[@click=app." in text.replace("\n", "")
    for key in ("b", "\x1b", "q"):
        screen.type(key)
        screen.look(0.5)
    screen.until("Leave the bench?")
    screen.type("y")
    screen.until("  plans")
    screen.type("l")
    screen.look(0.5)
    screen.type("\r")
    screen.until("clocks")
    screen.type("\x1b[6~")
    screen.until("note \\x1b]52")
    screen.stop(signal.SIGTERM)
    assert screen.end() == 143
    shown = screen.raw.decode("utf-8")
    for sequence in FORBIDDEN:
        assert sequence not in shown, repr(sequence)
    titles = re.findall(r"\x1b\]0;([^\x07\x1b]*)(\x07|\x1b\\)", shown)
    assert titles and all(title.isprintable() for title, _ in titles)
    assert running.state.title.startswith("\x1b]0;owned"), "the file keeps it as it was"


@pytest.mark.deep
@pytest.mark.parametrize("surroundings", ["ascii", "no colour", "tiny"])
def test_row_29_poor_terminals_still_show_the_step(terminal, plan, surroundings):
    changes = {
        "ascii": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
        "no colour": {"NO_COLOR": "1"},
        "tiny": {"rows": 12, "columns": 40},
    }[surroundings]
    screen = at_pot(terminal, plan, **changes)
    if surroundings == "ascii":
        assert screen.raw.isascii()
    screen.stop(signal.SIGTERM)
    assert screen.end() == 143
    restored(screen.raw)


def test_row_29_a_dumb_terminal_is_refused(terminal, plan, studio):
    screen = terminal("begin", plan, TERM="dumb")
    assert screen.end() == 2
    assert b"\x1b" not in screen.raw and b"terminal" in screen.raw
    assert not list((studio / "sessions").iterdir())


@pytest.mark.deep
def test_two_windows(terminal, plan, studio):
    first = at_pot(terminal, plan)
    path = session_file(studio)
    second = terminal("resume", path.name)
    assert second.end() == 1
    assert b"Open in another window since " in second.raw.replace(b"\r\n", b" ")
    first.stop(signal.SIGKILL)
    first.end()
    third = terminal("resume", path.name)
    third.until("You were at")
    third.stop(signal.SIGTERM)
    assert third.end() == 143


def test_how_often_it_paints_is_known_to_textual_and_to_no_program_it_starts() -> None:
    code = (
        "import os, studio.cli.opening_screens as opening\nopening._paint_soon()\n"
        "import textual.constants\nprint(textual.constants.MAX_FPS, os.environ.get('TEXTUAL_FPS'))"
    )
    own = {name: value for name, value in os.environ.items() if name != "TEXTUAL_FPS"}
    for asked, told in (({}, "250 None\n"), ({"TEXTUAL_FPS": "30"}, "30 30\n")):
        done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=own | asked)
        assert done.stdout == told, done.stderr
