"""Log lines of libraries kept off the screen, and still noticed."""

from __future__ import annotations

import logging
import subprocess
from collections.abc import Mapping
from typing import Literal

from studio.plaintext import osc_text


class Overheard(logging.Handler):
    """Counts warnings instead of printing them."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.warnings = 0

    def emit(self, record: logging.LogRecord) -> None:
        """Count it; its text may hold a traceback and is dropped."""
        self.warnings += 1


def silence(*names: str) -> Overheard:
    """Keep the loggers of these names, and all below them, from printing; what they warn of is counted."""
    ear = Overheard()
    for name in names:
        logger = logging.getLogger(name)
        logger.propagate = False
        logger.handlers = [ear]
    return ear


# Whether the dyer sits at this machine or reaches it from another one.


def over_ssh(environment: Mapping[str, str]) -> bool:
    """Whether the session came in over ssh; a sound made here would then be heard by nobody.

    >>> over_ssh({"SSH_CONNECTION": "192.0.2.7 50000 192.0.2.1 22"}), over_ssh({"TERM": "xterm"})
    (True, False)
    """
    return any(environment.get(name) for name in ("SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY"))


ESC, BEL, ST = "\x1b", "\a", "\x1b\\"
NOTICE_ID = "potside"
ASK_LIMIT_S = 1.0
"""How long tmux may take to answer. House rule."""

Kind = Literal["OSC 9", "OSC 777", "OSC 99", ""]

_BY_PROGRAM: dict[str, Kind] = {
    "iTerm.app": "OSC 9",
    "WarpTerminal": "OSC 9",
    "WezTerm": "OSC 777",
    "ghostty": "OSC 777",
}
_BY_VARIABLE: tuple[tuple[str, Kind], ...] = (
    ("KITTY_WINDOW_ID", "OSC 99"),
    ("WEZTERM_PANE", "OSC 777"),
    ("GHOSTTY_RESOURCES_DIR", "OSC 777"),
    ("KONSOLE_VERSION", "OSC 777"),
)
_BY_TERM: tuple[tuple[str, Kind], ...] = (
    ("xterm-kitty", "OSC 99"),
    ("xterm-ghostty", "OSC 777"),
    ("wezterm", "OSC 777"),
    ("foot", "OSC 777"),
    ("rxvt-unicode", "OSC 777"),
)


def notice_kind(environment: Mapping[str, str]) -> Kind:
    """Which notice the terminal takes; empty when none is known.

    >>> notice_kind({"TERM": "xterm-kitty"}), notice_kind({"TERM": "xterm-256color"})
    ('OSC 99', '')
    """
    term = environment.get("TERM", "")
    if term in ("", "dumb", "linux"):
        return ""
    for start, kind in _BY_TERM:
        if term == start or term.startswith(f"{start}-"):
            return kind
    program = environment.get("TERM_PROGRAM", "")
    if program in _BY_PROGRAM:
        return _BY_PROGRAM[program]
    if program not in ("", "tmux"):
        return ""  # Variables of another terminal may have been inherited from where this one was started.
    if environment.get("LC_TERMINAL") == "iTerm2":
        return "OSC 9"
    return next((kind for name, kind in _BY_VARIABLE if environment.get(name)), "")


def escape_for(
    text: str, title: str, environment: Mapping[str, str], passthrough: bool, *, urgent: bool = False
) -> str:
    r"""The bytes that make this terminal show a notice; empty where it takes none.

    `passthrough` tells whether tmux lets sequences through; it counts only inside tmux. Title and text are
    cleaned here: nothing in them can end the sequence or begin another.

    >>> escape_for("4;1;50", "DUE", {"TERM": "foot"}, False)
    '\x1b]777;notify;DUE;4,1,50\x07'
    >>> escape_for("heat off", "DUE", {"TERM": "tmux-256color", "TMUX": "x", "LC_TERMINAL": "iTerm2"}, True)
    '\x1bPtmux;\x1b\x1b]9;DUE: heat off\x07\x1b\\'
    """
    if held_back(environment, passthrough):
        return ""
    bare = _bare(notice_kind(environment), osc_text(title), osc_text(text), urgent)
    return through_tmux(bare) if bare and environment.get("TMUX") else bare


def through_tmux(sequence: str) -> str:
    """A sequence wrapped so that tmux hands it on to the terminal. Source: tmux(1), allow-passthrough."""
    return f"{ESC}Ptmux;{sequence.replace(ESC, ESC + ESC)}{ST}"


def held_back(environment: Mapping[str, str], passthrough: bool) -> str:
    """What stands between the program and the terminal and lets no notice through; empty if nothing does."""
    if environment.get("STY"):
        return "screen"
    if environment.get("TMUX"):
        return "" if passthrough else "tmux without allow-passthrough"
    if environment.get("ZELLIJ"):
        return "zellij"
    if environment.get("TERM", "").startswith(("tmux", "screen")):
        return "tmux or screen on another machine"
    return ""


def ask_tmux(environment: Mapping[str, str]) -> bool:
    """Whether tmux hands sequences on (`on` or `all`); asks it, so at most `ASK_LIMIT_S` seconds. Never raises."""
    if not environment.get("TMUX"):
        return False
    try:
        answer = subprocess.run(
            ["tmux", "show", "-gv", "allow-passthrough"],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            timeout=ASK_LIMIT_S,
            env=dict(environment),
            check=False,
        )
    except (OSError, ValueError, subprocess.SubprocessError):
        return False
    return answer.returncode == 0 and answer.stdout.strip() in (b"on", b"all")


def _bare(kind: Kind, title: str, text: str, urgent: bool) -> str:
    if kind == "OSC 9":
        line = osc_text(f"{title}: {text}" if title else text)
        return f"{ESC}]9;{'- ' if line[:1].isdigit() else ''}{line}{BEL}"
    if kind == "OSC 777":
        return f"{ESC}]777;notify;{title};{text}{BEL}"
    if kind == "OSC 99":
        head = f"i={NOTICE_ID}:u={2 if urgent else 1}"
        return f"{ESC}]99;{head}:d=0;{title}{ST}{ESC}]99;{head}:d=1:p=body;{text}{ST}"
    return ""
