"""`potside follow`: what waits, planning, grading, correcting and calling off, by the command."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from studio.cli import main
from studio.store.copies import verify

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def sample_studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The sample studio with its sessions, and an index of its own."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    folder = tmp_path / "studio"
    for part in ("shared", "sessions"):
        shutil.copytree(ROOT / part, folder / part)
    return folder


def run(studio: Path, *words: str):  # type: ignore[no-untyped-def]
    return CliRunner().invoke(main, ["--studio", str(studio), "follow", *words])


def session(studio: Path) -> Path:
    return next((studio / "sessions").glob("20260912*"))


def test_from_the_plan_to_a_corrected_grade(sample_studio: Path) -> None:
    assert "No fastness test is waiting" in run(sample_studio).stdout
    done = run(sample_studio, "20260912", "--plan", "wash", "--due", "2026-10-01")
    assert (done.exit_code, done.stdout) == (0, "")
    assert done.stderr == "potside: wash test planned, due 2026-10-01\n"
    assert run(sample_studio, "20260912", "--plan", "rub", "--due", "2026-09-30").exit_code == 0
    listed = json.loads(run(sample_studio, "--json").stdout)
    assert listed["format"] == "potside-follow/1"
    assert [(one["test"], one["due"], one["session"]) for one in listed["waiting"]] == [
        ("wet rub", "2026-09-30", session(sample_studio).name),
        ("wash", "2026-10-01", session(sample_studio).name),
    ]
    assert listed["waiting"][0]["days"] == listed["waiting"][1]["days"] - 1
    printed = run(sample_studio).stdout
    assert "wet rub" in printed and "Tidewrack stripes" in printed and session(sample_studio).name in printed
    assert (
        run(sample_studio, "20260912", "--grade", "wash", "--change", "4/5", "--staining", "4").exit_code == 0
    )
    assert (
        run(sample_studio, "20260912", "--grade", "wash", "--change", "3", "--why", "by lamp light").exit_code
        == 0
    )
    assert run(sample_studio, "20260912", "--cancel", "rub", "--why", "no cotton cloth").exit_code == 0
    one = run(sample_studio, "20260912").stdout
    assert "change 3, staining 4" in one and "was change 4-5, staining 4" in one and "no cotton cloth" in one
    told = json.loads(run(sample_studio, "20260912", "--json").stdout)["follow_ups"]
    assert [g["change"] for g in told[0]["grades"]] == ["4-5", "3"]
    assert json.loads(run(sample_studio, "--json").stdout)["waiting"] == []
    assert verify(session(sample_studio)).state == "clean"


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["--plan", "wash"], 2, "Say of which session"),
        (["20260912", "--plan", "wash", "--cancel", "wash"], 2, "one at a time"),
        (["20260912", "--due", "2 weeks"], 2, "--due goes with --plan"),
        (["20260912", "--plan", "wash", "--change", "4"], 2, "--change goes with --grade"),
        (["20260912", "--plan", "wash", "--due", "2026-02-30"], 1, "no day of the calendar"),
        (["20260912", "--plan", "wash", "--due", "2020-01-01"], 1, "before the session itself, 2026-09-12"),
        (["20260912", "--plan", "wash", "--due", "\x1b]0;owned\x07"], 1, "\\x1b]0;owned"),
        (["20260912", "--plan", "boil"], 1, "one of wet rub, wash, light"),
        (["20260912", "--grade", "wash", "--change", "4"], 1, "No wash test is planned"),
        (["20260912", "--cancel", "wash", "--why", "no time"], 1, "none to call off"),
    ],
)
def test_what_cannot_be_done_is_one_sentence_and_changes_nothing(
    sample_studio: Path, words, code, told
) -> None:
    before = session(sample_studio).read_bytes()
    done = run(sample_studio, *words)
    assert done.exit_code == code and told in done.stderr and done.stdout == ""
    assert "Traceback" not in done.stderr and "\x1b" not in done.stderr
    assert session(sample_studio).read_bytes() == before


def test_an_open_session_has_nothing_to_test_yet(sample_studio: Path) -> None:
    path = session(sample_studio)
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:20]))
    done = run(sample_studio, "20260912", "--plan", "wash")
    assert done.exit_code == 1 and "still open" in done.stderr


@pytest.mark.parametrize("kind", ["markdown", "html", "json", "labels"])
@pytest.mark.one_in(2)
def test_every_export_shows_the_grades(sample_studio: Path, kind: str) -> None:
    run(sample_studio, "20260912", "--plan", "wash", "--due", "2026-10-01")
    graded = ["--change", "4-5", "--staining", "2-3", "--note", "[red]<b>=1+1"]
    assert run(sample_studio, "20260912", "--grade", "wash", *graded).exit_code == 0
    done = CliRunner().invoke(main, ["--studio", str(sample_studio), "export", "20260912", "--as", kind])
    assert done.exit_code == 0
    assert "4-5" in done.stdout and "2-3" in done.stdout and "wash" in done.stdout
    if kind == "json":
        assert json.loads(done.stdout)["follow_ups"][0]["grades"][0]["note"] == "[red]<b>=1+1"
    else:
        assert "<b>=1+1" not in done.stdout
