"""The page about the session file says what is so: kinds and keys, the example, the check by hand."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import msgspec
import pytest

from studio.session.folding import kinds
from studio.store.copies import verify
from studio.store.folder import StudioFolder
from studio.store.line import decode
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "sessions" / "FORMAT.md"
SAMPLES = sorted((ROOT / "sessions").glob("*.jsonl"))


def keys(shape: type[msgspec.Struct]) -> list[str]:
    fields = msgspec.structs.fields(shape)
    return [f.encode_name + ("" if f.required else "?") for f in fields]


def test_the_page_lists_every_kind_with_every_key() -> None:
    rows = re.findall(r"^\| (`[^|]+`) \|([^|]*)\|[^|]+\|$", PAGE.read_text().partition("## Kinds")[2], re.M)
    told = {
        kind: re.findall(r"`([^`]+)`", data) for named, data in rows for kind in re.findall(r"`(.+?)`", named)
    }
    assert told == {kind: keys(shape) for kind, shape in kinds().items()}


def test_the_example_is_a_whole_line() -> None:
    """Its check sum holds, and its data are what the page says of its kind."""
    (example,) = re.findall(r"^    (\{.*\})$", PAGE.read_text(), re.M)
    record = decode(example.encode())
    told = keys(kinds()[record.kind])
    assert (
        {key for key in told if not key.endswith("?")}
        <= record.data.keys()
        <= {key.rstrip("?") for key in told}
    )


def by_hand(path: Path) -> subprocess.CompletedProcess[str]:
    """The very lines of the page, run on a file."""
    (snippet,) = re.findall(r"```python\n(.*?)```", PAGE.read_text(), re.S)
    assert len(snippet.strip().splitlines()) <= 13
    return subprocess.run(
        [sys.executable, "-c", snippet, str(path)], capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("path", SAMPLES, ids=lambda p: p.name)
def test_the_check_by_hand_finds_a_sample_whole(path: Path) -> None:
    done = by_hand(path)
    assert done.returncode == 0, done.stderr
    assert done.stdout == f"{len(read_session(path).records)} events, all as they were written\n"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        (lambda lines: [*lines[:6], lines[6].replace(b"98.5", b"89.5"), *lines[7:]], "line 7 was changed"),
        (lambda lines: [*lines[:6], *lines[7:]], "a line is missing before line 7"),
    ],
    ids=["changed", "missing"],
)
def test_the_check_by_hand_finds_what_is_wrong(tmp_path: Path, change, told: str) -> None:
    path = tmp_path / SAMPLES[0].name
    path.write_bytes(b"\n".join(change(SAMPLES[0].read_bytes().split(b"\n"))))
    done = by_hand(path)
    assert done.returncode != 0 and told in done.stderr
    assert verify(path).exit_code == 3


def test_the_page_is_no_session_and_nothing_odd() -> None:
    folder = StudioFolder(ROOT)
    assert PAGE not in (*folder.session_paths(), *folder.odd_files())
