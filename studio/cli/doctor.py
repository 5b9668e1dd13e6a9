"""What a studio needs from this machine, looked at one by one. No personal path is printed."""

from __future__ import annotations

import os
import platform
import shutil
import sys
from dataclasses import dataclass

from studio import __version__
from studio.plaintext import clean, without_home
from studio.services.studio import open_services
from studio.trouble import Options, Trouble

LEAST_COLUMNS, LEAST_ROWS = 60, 20
LEAST_FREE_MB = 50
"""A session takes a few hundred kB; less free space than this is worth a word. House rule."""


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing looked at."""

    ok: bool
    text: str


def examine(options: Options) -> list[Finding]:
    """All findings, the good ones too."""
    return [
        Finding(True, f"potside {__version__}, Python {platform.python_version()}, {platform.system()}"),
        _terminal(),
        _signs(),
        _colours(),
        *_folder(options),
        _clock(options),
        Finding(
            True, "bell: the first step of every session rings it; nobody but you can tell if it is heard"
        ),
    ]


def _terminal() -> Finding:
    from studio.cli.opening_screens import may_draw

    if not may_draw():
        return Finding(
            True, "terminal: none here; worksheet, show and rehearse --unattended print without one"
        )
    size = shutil.get_terminal_size()
    ok = size.columns >= LEAST_COLUMNS and size.lines >= LEAST_ROWS
    said = f"terminal: {size.columns} by {size.lines}"
    return Finding(ok, said if ok else f"{said}; make it at least {LEAST_COLUMNS} by {LEAST_ROWS}")


def _signs() -> Finding:
    encoding = (sys.stdout.encoding or "unknown").lower()
    if "utf" in encoding:
        return Finding(True, f"signs: {encoding}")
    return Finding(True, f"signs: {encoding}, so plain ASCII ones are used")


def _colours() -> Finding:
    if os.environ.get("NO_COLOR"):
        return Finding(True, "colours: NO_COLOR is set, greys are used")
    return Finding(True, f"colours: {os.environ.get('COLORTERM') or os.environ.get('TERM') or 'unknown'}")


def _folder(options: Options) -> list[Finding]:
    try:
        services = open_services(options)
        root = services.folder.root
        free_mb = shutil.disk_usage(root).free // 1_000_000
        writable = os.access(services.folder.sessions, os.W_OK)
        cards = services.sessions()
    except Trouble as trouble:
        return [Finding(False, f"studio folder: {without_home(str(trouble))}")]
    told = without_home(clean(str(root)))
    findings = [
        Finding(writable, f"studio folder: {told}" + ("" if writable else "; it cannot be written to")),
        Finding(free_mb >= LEAST_FREE_MB, f"free space: {free_mb} MB"),
        Finding(True, f"sessions: {len(cards)}"),
    ]
    findings.extend(
        Finding(False, f"shelf: {without_home(sentence)}") for sentence in services.shelf_troubles
    )
    findings.extend(
        Finding(False, f"keys: {clean(sentence, limit=300)}") for sentence in services.take_keys()
    )
    findings.extend(Finding(False, f"sessions: {sentence}") for sentence in services.odd_files().values())
    findings.extend(Finding(False, f"sessions: {sentence}") for sentence in services.kept_elsewhere())
    return findings


def _clock(options: Options) -> Finding:
    kind = "counts while the computer sleeps" if sys.platform != "win32" else "performance counter"
    return Finding(True, f"clock: {kind}")
