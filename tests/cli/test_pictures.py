"""A picture of a session goes to the system's viewer, and nothing else does."""

from __future__ import annotations

import os
import shutil
import stat
import sys
from pathlib import Path

import pytest

from studio.services.exporting import open_picture, picture_file
from studio.trouble import Trouble

PNG = b"\x89PNG\r\n\x1a\n" + b"\0" * 32
"""The signature of a PNG: PNG Specification (W3C), 5.2."""
JPEG = b"\xff\xd8\xff\xe0" + b"\0" * 32
"""Start of image and the first marker: ITU-T T.81, annex B."""


@pytest.fixture
def root(tmp_path: Path) -> Path:
    folder = tmp_path / "studio"
    (folder / "photos").mkdir(parents=True)
    (folder / "photos" / "edge one.png").write_bytes(PNG)
    (folder / "photos" / "-rf.jpg").write_bytes(JPEG)
    (folder / "photos" / "script.jpg").write_bytes(b"#!/bin/sh\nrm -rf x\n")
    (folder / "photos" / "note.txt").write_bytes(b"text")
    (folder / "photos" / "folder.jpg").mkdir()
    (tmp_path / "outside.png").write_bytes(PNG)
    return folder


@pytest.fixture
def screen(tmp_path: Path) -> dict[str, str]:
    """Surroundings with a graphical screen and a viewer."""
    viewer = tmp_path / "bin" / "xdg-open"
    viewer.parent.mkdir()
    viewer.write_text("#!/bin/sh\n")
    viewer.chmod(viewer.stat().st_mode | stat.S_IXUSR)
    return {"DISPLAY": ":0", "PATH": str(viewer.parent)}


@pytest.mark.parametrize("told", ["photos/edge one.png", "photos\\edge one.png", "photos/-rf.jpg"])
def test_the_viewer_gets_one_whole_path(root: Path, screen: dict[str, str], told: str) -> None:
    seen: list[list[str]] = []
    said = open_picture(
        root, told, system="linux", environment=screen, start=lambda words: seen.append(list(words))
    )
    ((viewer, path),) = seen
    assert viewer.endswith("xdg-open") and Path(path).is_absolute() and Path(path).is_file()
    assert said.startswith("Opening photos")


@pytest.mark.parametrize(
    ("told", "why"),
    [
        ("https://example.org/a.jpg", "no path within the studio folder"),
        ("file:///etc/a.jpg", "no path within the studio folder"),
        ("javascript:a.jpg", "There is no file"),
        ("/etc/hostname.jpg", "no path within the studio folder"),
        ("C:\\a.jpg", "no path within the studio folder"),
        ("../outside.png", "no path within the studio folder"),
        ("photos/../../outside.png", "no path within the studio folder"),
        ("", "no path within the studio folder"),
        ("photos/a\x1b]0;owned\x07.jpg", "no path within the studio folder"),
        ("photos/a\x00.jpg", "no path within the studio folder"),
        ("photos/a\n.jpg", "no path within the studio folder"),
        ("photos/gone.jpg", "There is no file"),
        ("photos/note.txt", "no picture by its name"),
        ("photos/folder.jpg", "no regular file"),
        ("photos/script.jpg", "does not begin as a picture does"),
        ("photos/" + "x" * 5000 + ".jpg", "Cannot read"),
        ("photos", "no picture by its name"),
    ],
)
def test_odd_paths_are_refused_with_a_sentence(
    root: Path, screen: dict[str, str], told: str, why: str
) -> None:
    seen: list[object] = []
    with pytest.raises(Trouble, match=why) as refused:
        open_picture(root, told, system="linux", environment=screen, start=seen.append)
    assert seen == [] and "\x1b" not in str(refused.value) and str(refused.value).endswith(".")


@pytest.mark.skipif(sys.platform == "win32", reason="links and pipes of a POSIX file system")
def test_links_and_pipes_lead_nowhere(root: Path) -> None:
    (root / "photos" / "link.png").symlink_to(root.parent / "outside.png")
    (root / "photos" / "loop.png").symlink_to("loop.png")
    os.mkfifo(root / "photos" / "pipe.png")
    for name, why in (("link", "leads out"), ("loop", "Cannot read"), ("pipe", "no regular file")):
        with pytest.raises(Trouble, match=why):
            picture_file(root, f"photos/{name}.png")
    (root / "photos" / "near.png").symlink_to("edge one.png")
    assert picture_file(root, "photos/near.png").name == "edge one.png"


@pytest.mark.parametrize(
    ("system", "environment", "told"),
    [
        ("linux", {"PATH": ""}, "There is no graphical screen here"),
        ("linux", {"PATH": "", "SSH_CONNECTION": "a b"}, "Over ssh there is no screen"),
        ("linux", {"PATH": "", "WAYLAND_DISPLAY": "w"}, "No viewer was found"),
        ("darwin", {"SSH_TTY": "/dev/ttys1"}, "Over ssh the picture would open on the other machine"),
    ],
)
def test_where_it_cannot_be_shown_the_path_is_told(root: Path, system: str, environment, told: str) -> None:
    seen: list[object] = []
    with pytest.raises(Trouble, match=told) as trouble:
        open_picture(root, "photos/edge one.png", system=system, environment=environment, start=seen.append)
    assert seen == [] and str((root / "photos" / "edge one.png").resolve()) in str(trouble.value)


def test_a_viewer_that_will_not_start_is_said(root: Path, screen: dict[str, str]) -> None:
    def broken(words: object) -> None:
        raise PermissionError(13, "Permission denied")

    with pytest.raises(Trouble, match="viewer cannot be started: Permission denied"):
        open_picture(root, "photos/edge one.png", system="linux", environment=screen, start=broken)


@pytest.mark.skipif(shutil.which("sh") is None or sys.platform == "win32", reason="a viewer made of sh")
def test_a_real_viewer_is_started_without_a_shell(root: Path, screen: dict[str, str]) -> None:
    """The viewer writes down what it was given: one argument, blanks and all."""
    told = root.parent / "told"
    shell = shutil.which("sh")
    viewer = Path(screen["PATH"]) / "xdg-open"
    viewer.write_text(
        f'#!{shell}\nprintf "%s\\n" "$#" "$1" > "{told}.part" && /bin/mv "{told}.part" "{told}"\n'
    )
    open_picture(root, "photos/edge one.png", system="linux", environment=screen)
    import time

    for _ in range(500):
        if told.exists():
            break
        time.sleep(0.02)
    assert told.read_text().splitlines() == ["1", str((root / "photos" / "edge one.png").resolve())]
