"""Files that are no session files: one sentence, exit code 3, at once."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from studio.store.copies import verify
from studio.store.disk import CannotRead, StoreError
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume


@pytest.fixture(
    params=["link", "dangling link", "pipe", "folder", "device", "sparse", "missing", "nul", "long"]
)
def strange(request, tmp_path) -> tuple[Path, str]:
    path = tmp_path / "20261125-1004-strange-9f3a.jsonl"
    kind = request.param
    if kind == "link":
        path.symlink_to("/etc/passwd")
    elif kind == "dangling link":
        path.symlink_to(tmp_path / "nowhere")
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "folder":
        path.mkdir()
    elif kind == "device":
        path = Path("/dev/zero")
    elif kind == "sparse":
        with path.open("wb") as file:
            file.truncate(1024**3)
    elif kind == "nul":
        path = tmp_path / "a\0b"
    elif kind == "long":
        path = tmp_path / ("x" * 300)
    told = {
        "link": "links are not followed",
        "dangling link": "links are not followed",
        "pipe": "a pipe or a device",
        "folder": "it is a folder",
        "device": "a pipe or a device",
        "sparse": "1048576 KiB; at most 65536 are read",
        "missing": "it is not there",
        "nul": "no file can have that name",
        "long": "the name is too long",
    }[kind]
    return path, told


def test_strange_files_are_refused_in_one_sentence(strange, at, no_hang):
    path, told = strange
    with no_hang(), pytest.raises(CannotRead, match=told) as caught:
        read_session(path)
    assert caught.value.exit_code == 3
    assert "\0" not in str(caught.value)
    with no_hang(), pytest.raises(StoreError):
        prepare_to_resume(path, at(0))
    verdict = verify(path)
    assert (verdict.state, verdict.exit_code) == ("unreadable", 3)


def test_a_file_without_permission(tmp_path):
    """Root may read everything, so the look is taken as another user."""
    if os.name != "posix":
        pytest.skip("file permissions of this kind are not known here")
    path = tmp_path / "20261125-1004-secret-9f3a.jsonl"
    path.write_bytes(b"{}")
    path.chmod(0)
    for folder in (tmp_path, *list(tmp_path.parents)[:2]):
        folder.chmod(0o755)
    code = (
        "import os, sys; from pathlib import Path; from studio.store.copies import verify\n"
        "import studio.store.reading\n"
        "if os.getuid() == 0: os.setuid(65534)\n"
        "verdict = verify(Path(sys.argv[1])); print(verdict.exit_code, verdict.sentences[0])"
    )
    root = Path(__file__).resolve().parents[2]
    done = subprocess.run(
        [sys.executable, "-c", code, str(path)],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": str(root), "PYTHONDONTWRITEBYTECODE": "1"},
        check=False,
    )
    path.chmod(0o600)
    assert done.stdout == f"3 Cannot read {path}: access is not allowed.\n", done.stderr


def test_a_name_that_would_steer_the_terminal(tmp_path):
    path = tmp_path / "a\x1b]0;owned\x07\u202e.jsonl"
    with pytest.raises(CannotRead) as caught:
        read_session(path)
    assert "\\x1b]0;owned\\x07\\u202e" in str(caught.value)
    assert str(caught.value).isprintable()


def test_more_lines_than_any_session_has(tmp_path):
    path = tmp_path / "many.jsonl"
    path.write_bytes(b"\n" * 200_001)
    assert verify(path).exit_code == 3
