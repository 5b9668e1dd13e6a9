"""Hands one picture of the studio to the system's own viewer; nothing else, and never through a shell."""

from __future__ import annotations

import os
import shutil
import stat
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path, PurePosixPath, PureWindowsPath

from studio.plaintext import clean
from studio.trouble import Trouble

BEGINS: dict[str, tuple[bytes, ...]] = {
    ".jpg": (b"\xff\xd8\xff",),
    ".jpeg": (b"\xff\xd8\xff",),
    ".png": (b"\x89PNG\r\n\x1a\n",),
    ".gif": (b"GIF87a", b"GIF89a"),
    ".webp": (b"RIFF",),
    ".bmp": (b"BM",),
    ".tif": (b"II*\x00", b"MM\x00*"),
    ".tiff": (b"II*\x00", b"MM\x00*"),
    ".heic": (b"\x00\x00\x00",),
}
"""How a file of each kind begins. **Source:** the formats' own specifications, from memory."""
Start = Callable[[Sequence[str]], object]


def picture_file(root: Path, told: str) -> Path:
    """The picture a session names, as a path on this machine; Trouble, one sentence, where it is none.

    A path from the studio folder, to a regular file that is a picture by its name and by how it begins. A web
    address, a path that leads elsewhere and a file of another kind are refused.
    """
    shown = clean(told, limit=120)
    pure = PurePosixPath(told.replace("\\", "/"))
    foreign = "://" in told or pure.is_absolute() or PureWindowsPath(told).drive or ".." in pure.parts
    if foreign or not told.strip() or not told.isprintable():
        raise Trouble(f'"{shown}" is no path within the studio folder, so it is not opened.')
    path = root / pure
    begins = BEGINS.get(path.suffix.casefold())
    if begins is None:
        raise Trouble(f"{shown} is no picture by its name ({', '.join(BEGINS)}), so it is not opened.")
    try:
        real = path.resolve(strict=True)
        if not stat.S_ISREG(real.stat().st_mode):
            raise Trouble(f"{shown} is no regular file, so it is not opened.")
        with real.open("rb") as file:
            head = file.read(16)
    except FileNotFoundError:
        raise Trouble(f"There is no file {shown} in {root}; put the picture back there to see it.") from None
    except (OSError, ValueError, RuntimeError) as problem:
        why = getattr(problem, "strerror", None) or str(problem)
        raise Trouble(f"Cannot read {shown}: {clean(why, limit=120)}.") from None
    if not real.is_relative_to(root.resolve()):
        raise Trouble(f"{shown} leads out of the studio folder, so it is not opened.")
    if not head.startswith(begins):
        raise Trouble(f"{shown} does not begin as a picture does, so it is not opened.")
    return real


def open_picture(
    root: Path,
    told: str,
    *,
    system: str = sys.platform,
    environment: Mapping[str, str] = os.environ,
    start: Start | None = None,
) -> str:
    """Hand a picture to the viewer and say so; Trouble where it cannot be shown here."""
    path = picture_file(root, told)
    where = f"It is {clean(str(path), limit=300)}."
    if system == "win32":
        words: Sequence[str] = ("startfile", str(path))
    else:
        words = (_opener(system, environment, where), str(path))
    try:
        (start or _start)(words)
    except OSError as problem:
        raise Trouble(f"The viewer cannot be started: {problem.strerror or problem}. {where}") from problem
    return f"Opening {clean(told, limit=120)}."


def _opener(system: str, environment: Mapping[str, str], where: str) -> str:
    far = bool(environment.get("SSH_CONNECTION") or environment.get("SSH_TTY"))
    if system == "darwin":
        if far:
            raise Trouble(f"Over ssh the picture would open on the other machine's screen. {where}")
        return "/usr/bin/open"
    if not (environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY")):
        told = "Over ssh there is no screen" if far else "There is no graphical screen here"
        raise Trouble(f"{told} to show a picture on. {where}")
    found = shutil.which("xdg-open", path=environment.get("PATH"))
    if found is None:
        raise Trouble(f"No viewer was found (xdg-open). {where}")
    return found


def _start(words: Sequence[str]) -> None:
    """Without a shell, with nothing of ours open, and not waited for."""
    if sys.platform == "win32":
        os.startfile(words[1])
        return
    nothing = subprocess.DEVNULL
    subprocess.Popen(list(words), stdin=nothing, stdout=nothing, stderr=nothing, start_new_session=True)
