"""Exactly which bytes go to which terminal."""

from __future__ import annotations

import re
import shutil
import subprocess
import time

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from rich.cells import cell_len

from studio.alerts.escapes import ask_tmux, escape_for, held_back, notice_kind

OSC_9 = b"\x1b]9;DUE: heat off\x07"
OSC_777 = b"\x1b]777;notify;DUE;heat off\x07"
OSC_99 = b"\x1b]99;i=potside:u=1:d=0;DUE\x1b\\\x1b]99;i=potside:u=1:d=1:p=body;heat off\x1b\\"

TERMINALS = [
    ({"TERM": "xterm-256color", "TERM_PROGRAM": "iTerm.app"}, OSC_9),
    ({"TERM": "xterm-256color", "TERM_PROGRAM": "WarpTerminal"}, OSC_9),
    ({"TERM": "xterm-256color", "LC_TERMINAL": "iTerm2", "SSH_CONNECTION": "a b c d"}, OSC_9),
    ({"TERM": "xterm-256color", "TERM_PROGRAM": "WezTerm"}, OSC_777),
    ({"TERM": "xterm-ghostty", "TERM_PROGRAM": "ghostty"}, OSC_777),
    ({"TERM": "xterm-256color", "KONSOLE_VERSION": "240801"}, OSC_777),
    ({"TERM": "foot"}, OSC_777),
    ({"TERM": "foot-extra"}, OSC_777),
    ({"TERM": "rxvt-unicode-256color"}, OSC_777),
    ({"TERM": "xterm-kitty"}, OSC_99),
    ({"TERM": "xterm-kitty", "TERM_PROGRAM": "WezTerm"}, OSC_99),
    ({"TERM": "xterm-256color", "KITTY_WINDOW_ID": "1"}, OSC_99),
]
NONE = [
    {},
    {"TERM": "xterm-256color"},
    {"TERM": "dumb", "LC_TERMINAL": "iTerm2"},
    {"TERM": "linux"},
    {"TERM": "alacritty"},
    {"TERM": "footloose"},
    {"TERM": "xterm-256color", "TERM_PROGRAM": "Apple_Terminal"},
    {"TERM": "xterm-256color", "TERM_PROGRAM": "vscode", "KITTY_WINDOW_ID": "1"},
    {"TERM": "xterm-256color", "WT_SESSION": "x"},
    {"TERM": "screen-256color", "STY": "1.pts", "LC_TERMINAL": "iTerm2"},
    {"TERM": "tmux-256color", "LC_TERMINAL": "iTerm2", "SSH_CONNECTION": "a b c d"},
    {"TERM": "xterm-kitty", "ZELLIJ": "0"},
]


@pytest.mark.parametrize(("environment", "raw"), TERMINALS)
def test_a_known_terminal_gets_its_own_kind(environment, raw: bytes) -> None:
    for passthrough in (True, False):
        assert escape_for("heat off", "DUE", environment, passthrough).encode() == raw


@pytest.mark.parametrize("environment", NONE)
def test_any_other_terminal_gets_nothing(environment) -> None:
    for passthrough in (True, False):
        assert escape_for("heat off", "DUE", environment, passthrough) == ""


@pytest.mark.parametrize(("environment", "raw"), TERMINALS)
def test_inside_tmux_it_is_wrapped_or_left_out(environment, raw: bytes) -> None:
    inside = {**environment, "TMUX": "/tmp/tmux-1/default,1,0"}
    assert escape_for("heat off", "DUE", inside, False) == ""
    assert held_back(inside, False) == "tmux without allow-passthrough"
    wrapped = escape_for("heat off", "DUE", inside, True).encode()
    assert wrapped == b"\x1bPtmux;" + raw.replace(b"\x1b", b"\x1b\x1b") + b"\x1b\\"


def test_urgency_is_said_where_it_can_be() -> None:
    urgent = escape_for("heat off", "DUE", {"TERM": "xterm-kitty"}, False, urgent=True)
    assert urgent.count("u=2") == 2 and "u=1" not in urgent


SHAPES = {
    "OSC 9": re.compile(r"\x1b\]9;([^\x00-\x1f\x7f-\x9f;]*)\x07"),
    "OSC 777": re.compile(r"\x1b\]777;notify;([^\x00-\x1f\x7f-\x9f;]*);([^\x00-\x1f\x7f-\x9f;]*)\x07"),
    "OSC 99": re.compile(
        r"\x1b\]99;i=potside:u=1:d=0;([^\x00-\x1f\x7f-\x9f;]*)\x1b\\"
        r"\x1b\]99;i=potside:u=1:d=1:p=body;([^\x00-\x1f\x7f-\x9f;]*)\x1b\\"
    ),
}


@given(st.text(), st.text(), st.sampled_from(TERMINALS))
@example("4;1;50", "", TERMINALS[0])
@example("5", "", TERMINALS[0])
@example("\x1b\\\x1b]0;owned\x07", "\x9c\x9d52;c;eA==\x07", TERMINALS[3])
@example("a\nb\r\x00\x85\u2028\u202e", "x;y", TERMINALS[9])
@example("\x1bPtmux;\x1b\x1b]52;c;eA==\x07\x1b\\", "", TERMINALS[9])
def test_evil_text_stays_text(text: str, title: str, terminal) -> None:
    environment, _ = terminal
    raw = escape_for(text, title, environment, False)
    match = SHAPES[notice_kind(environment)].fullmatch(raw)
    assert match, repr(raw)
    assert all(cell_len(part) <= 122 for part in match.groups())
    if notice_kind(environment) == "OSC 9":
        assert not match[1][:1].isdigit(), "a number first is a command to some terminals"


@pytest.fixture
def tmux(tmp_path):
    """A real tmux server of our own."""
    if shutil.which("tmux") is None:
        pytest.skip("tmux is not installed")
    socket = str(tmp_path / "s")
    base = ["tmux", "-S", socket, "-f", "/dev/null"]
    subprocess.run([*base, "new-session", "-d", "-x", "80", "-y", "24", "sleep 60"], check=True)
    try:
        yield (
            lambda *words: subprocess.run([*base, *words], check=True, capture_output=True, text=True).stdout
        )
    finally:
        subprocess.run([*base, "kill-server"], check=False, capture_output=True)


def test_tmux_is_asked_what_it_lets_through(tmux, tmp_path) -> None:
    environment = {"PATH": "/usr/bin:/bin", "TMUX": f"{tmp_path}/s,1,0", "TERM": "tmux-256color"}
    tmux("set", "-g", "allow-passthrough", "off")
    assert not ask_tmux(environment)
    tmux("set", "-g", "allow-passthrough", "on")
    assert ask_tmux(environment)


def test_tmux_that_is_gone_missing_or_slow_counts_as_no(tmp_path, monkeypatch, command) -> None:
    assert not ask_tmux({})
    assert not ask_tmux({"PATH": "/usr/bin:/bin", "TMUX": f"{tmp_path}/none,1,0"})
    assert not ask_tmux({"PATH": str(tmp_path), "TMUX": "x,1,0"})
    monkeypatch.setattr("studio.alerts.escapes.ASK_LIMIT_S", 0.2)
    began = time.monotonic()
    assert not ask_tmux({"PATH": f"{command('tmux', plays_s=20)}:/usr/bin:/bin", "TMUX": "x,1,0"})
    assert time.monotonic() - began < 5


@pytest.mark.parametrize("wrapped", [False, True])
def test_real_tmux_shows_no_stray_text(tmux, tmp_path, wrapped: bool) -> None:
    """With passthrough off tmux drops a wrapped sequence too; the pane shows only what was printed."""
    tmux("set", "-g", "allow-passthrough", "on" if wrapped else "off")
    environment = {"TERM": "tmux-256color", "TMUX": "x", "LC_TERMINAL": "iTerm2"}
    raw = escape_for("heat off", "DUE", environment, wrapped)
    file = tmp_path / "raw"
    file.write_bytes(b"before\a" + raw.encode() + b"after\r\n")
    tmux("respawn-pane", "-k", f"cat '{file}'; sleep 60")
    for _ in range(200):
        shown = tmux("capture-pane", "-p").strip()
        if shown:
            break
        time.sleep(0.02)
    assert shown == "beforeafter"
