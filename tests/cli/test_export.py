"""`potside export`: every kind, where it may be written, what is never written over."""

from __future__ import annotations

import csv
import errno
import json
import os
import re
import shutil
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest
from click.testing import CliRunner

from studio.cli import main
from studio.session.folding import Record, replay
from studio.store.disk import Disk
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
KINDS = ["markdown", "html", "csv", "json", "labels"]
SESSION = "20260912"


@pytest.fixture
def sample_studio(tmp_path: Path) -> Path:
    """The sample studio with its sessions."""
    folder = tmp_path / "studio"
    for part in ("shared", "sessions"):
        shutil.copytree(ROOT / part, folder / part)
    return folder


@pytest.fixture
def out(tmp_path: Path) -> Path:
    folder = tmp_path / "out"
    folder.mkdir()
    return folder


def run(studio: Path, *words: object):  # type: ignore[no-untyped-def]
    return CliRunner().invoke(main, ["--studio", str(studio), "export", *map(str, words)])


def held(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def test_json_is_the_session_and_names_its_file_and_checksum(sample_studio: Path, out: Path) -> None:
    done = run(sample_studio, SESSION, "--as", "json", "-o", out / "s.json")
    assert done.exit_code == 0 and done.stdout == ""
    assert done.stderr == f"potside: wrote {out / 's.json'}\n"
    back = json.loads((out / "s.json").read_text())
    (path,) = (sample_studio / "sessions").glob(f"{SESSION}*")
    assert replay([Record(**event) for event in back["events"]]) == replay(read_session(path).records)
    assert (
        back["source"]["file"] == path.name
        and back["source"]["sha256"] == sha256(path.read_bytes()).hexdigest()
    )


def test_csv_writes_two_tables_and_prints_both_names(sample_studio: Path, out: Path) -> None:
    done = run(sample_studio, SESSION, "--as", "csv", "-o", out / "rust.csv")
    assert done.exit_code == 0 and set(held(out)) == {"rust-events.csv", "rust-figures.csv"}
    assert "rust-events.csv" in done.stderr and "rust-figures.csv" in done.stderr
    with (out / "rust-figures.csv").open(newline="", encoding="utf-8") as file:
        hold = next(row for row in csv.DictReader(file) if row["id"] == "set.hold")
    document = json.loads(
        (sample_studio / "sessions").glob(f"{SESSION}*").__next__().read_text().split("\n")[0]
    )
    (figure,) = [f for f in document["data"]["worksheet"]["figures"] if f["id"] == "set.hold"]
    assert float(hold["value"]) == figure["value"] and hold["unit"] == "min"


def test_labels_name_the_fibre_of_the_base_on_the_shelf(sample_studio: Path, out: Path) -> None:
    assert run(sample_studio, SESSION, "--as", "labels", "-o", out / "l.html").exit_code == 0
    text = (out / "l.html").read_text()
    assert "75 % superwash wool, 25 % nylon" in text and "420 m on 100 g, undyed" in text


def test_labels_of_a_plan_with_its_own_blend_borrow_no_fibre(sample_studio: Path, out: Path) -> None:
    assert (
        run(sample_studio, "20261010", "--as", "labels", "--paper", "Letter", "-o", out / "l.html").exit_code
        == 0
    )
    text = (out / "l.html").read_text()
    assert "<b>100 % wool</b>" in text and "as the shelf has them" not in text and "size: Letter;" in text


@pytest.mark.parametrize("kind", ["markdown", "html", "json", "labels"])
@pytest.mark.one_in(2)
def test_without_a_file_it_is_printed_the_same(sample_studio: Path, out: Path, kind: str) -> None:
    printed = run(sample_studio, SESSION, "--as", kind)
    assert printed.exit_code == 0 and printed.stderr == ""
    run(sample_studio, SESSION, "--as", kind, "-o", out / "x")
    assert (out / "x").read_text(encoding="utf-8") == printed.stdout


def test_csv_without_a_file_is_refused_in_a_sentence(sample_studio: Path) -> None:
    done = run(sample_studio, SESSION, "--as", "csv")
    assert done.exit_code == 2 and "-o session.csv" in done.stderr


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.one_in(5)
def test_row_27_what_is_there_stays_until_forced(sample_studio: Path, out: Path, kind: str) -> None:
    target = out / "x.csv"
    assert run(sample_studio, SESSION, "--as", kind, "-o", target).exit_code == 0
    first = held(out)
    name = max(first)  # of two tables the second: neither may be written where one has no place
    (out / name).write_bytes(b"mine")
    before = held(out) if kind != "csv" else {name: b"mine"}
    if kind == "csv":
        (out / min(first)).unlink()
    done = run(sample_studio, SESSION, "--as", kind, "-o", target)
    assert done.exit_code == 4 and "--force" in done.stderr and done.stderr.count("\n") == 1
    assert held(out) == before
    assert run(sample_studio, SESSION, "--as", kind, "-o", target, "--force").exit_code == 0
    assert held(out) == first


@pytest.mark.parametrize("force", [[], ["--force"]])
@pytest.mark.parametrize("kind", ["markdown", "html", "json", "labels"])
@pytest.mark.parametrize("renamed", [False, True])
@pytest.mark.one_in(5)
def test_row_27_a_session_is_never_written_over(
    sample_studio: Path, out: Path, kind: str, force: list[str], renamed: bool
) -> None:
    (target,) = (sample_studio / "sessions").glob(f"{SESSION}*")
    if renamed:
        target = Path(shutil.copy(target, out / "notes.html"))
    before = target.read_bytes()
    done = run(sample_studio, SESSION, "--as", kind, "-o", target, *force)
    assert done.exit_code == 4 and "session file" in done.stderr and "--force" not in done.stderr
    assert target.read_bytes() == before


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("force", [[], ["--force"]])
@pytest.mark.one_in(5)
def test_row_27_a_folder_or_a_missing_folder_is_refused(
    sample_studio: Path, out: Path, kind: str, force: list[str]
) -> None:
    for target in (out, out / "no" / "such" / "x.html", Path("/")):
        done = run(sample_studio, SESSION, "--as", kind, "-o", target, *force)
        assert done.exit_code == 4 and done.stderr.startswith("potside: Cannot write"), done.stderr
        assert done.stderr.count("\n") == 1
    assert held(out) == {}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("before", [None, b"mine"])
@pytest.mark.one_in(5)
def test_row_27_a_full_disk_leaves_what_was_there(
    sample_studio: Path, out: Path, kind: str, before: bytes | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    if before is not None:
        for name in ("x.csv", "x-events.csv", "x-figures.csv"):
            (out / name).write_bytes(before)
    there = held(out)

    def full(self: Disk, descriptor: int, data: bytes) -> int:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(Disk, "write", full)
    done = run(sample_studio, SESSION, "--as", kind, "-o", out / "x.csv", "--force")
    assert done.exit_code == 4 and "the disk is full" in done.stderr and done.stderr.count("\n") == 1
    assert held(out) == there


@pytest.mark.parametrize("kind", ["markdown", "html", "json", "labels"])
@pytest.mark.one_in(5)
def test_row_27_a_reader_that_left_is_no_trouble(sample_studio: Path, environ, home: Path, kind: str) -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "wb") as gone:
        done = subprocess.run(
            [sys.executable, "-m", "studio", "--studio", str(sample_studio), "export", SESSION, "--as", kind],
            stdout=gone,
            stderr=subprocess.PIPE,
            env=environ(),
            cwd=home,
            timeout=60,
            check=False,
        )
    assert done.returncode == 0 and done.stderr == b""


@pytest.mark.parametrize("name", ["-x.html", "a b;reboot.html", "\u202erust.html", "x" * 300])
@pytest.mark.one_in(2)
def test_row_22_strange_names_are_only_names(sample_studio: Path, out: Path, name: str) -> None:
    done = run(sample_studio, SESSION, "--as", "html", "-o", out / name)
    if len(name) > 255:
        assert done.exit_code == 4 and "too long" in done.stderr
        return
    assert done.exit_code == 0 and list(held(out)) == [name]
    assert done.stderr.replace("\n", "").isprintable() and "\u202e" not in done.stderr


def test_a_damaged_session_is_handed_over_with_what_is_wrong(sample_studio: Path, out: Path) -> None:
    (path,) = (sample_studio / "sessions").glob(f"{SESSION}*")
    lines = path.read_bytes().split(b"\n")
    lines[40] = lines[40].replace(b'"n":41', b'"n":42')
    path.write_bytes(b"\n".join(lines))
    done = run(sample_studio, SESSION, "--as", "html", "-o", out / "x.html")
    assert done.exit_code == 3 and "Line 41" in (out / "x.html").read_text()


def test_an_unknown_session_or_kind_is_one_sentence(sample_studio: Path, out: Path) -> None:
    done = run(sample_studio, "nothing-like-it", "--as", "html", "-o", out / "x")
    assert done.exit_code == 3 and "There is no session" in done.stderr and done.stderr.count("\n") == 1
    assert run(sample_studio, SESSION, "--as", "pdf", "-o", out / "x").exit_code == 2
    assert held(out) == {}


def test_the_page_has_the_forecast_of_its_plan_and_none_where_there_is_none(
    sample_studio: Path, out: Path
) -> None:
    """The striped blank has one, with the odds that `potside forecast` gives of the same plan; a skein has none."""
    for beginning, name in ((SESSION, "blank"), ("20260926", "skein")):
        assert run(sample_studio, beginning, "--as", "html", "-o", out / f"{name}.html").exit_code == 0
    page, skein = ((out / f"{name}.html").read_text() for name in ("blank", "skein"))
    assert "chance of a solid" not in skein and "<h2>forecast" not in skein
    plan = sample_studio / "shared" / "plans" / "tidewrack-stripes.plan.toml"
    told = CliRunner().invoke(main, ["--studio", str(sample_studio), "forecast", str(plan)]).stdout
    counts = re.findall(r"[0-9]+ \([0-9]+ to [0-9]+\)", told)
    assert len(counts) >= 4 and all(f">{count}</td>" in page for count in counts)


@pytest.mark.deep
def test_numpy_is_loaded_only_for_a_page_with_a_forecast(sample_studio: Path, out: Path) -> None:
    words = ["--studio", str(sample_studio), "export", SESSION, "-o", str(out / "s"), "--force", "--as"]
    code = (
        "import sys\nfrom studio.cli import main\n"
        "for kind in ('markdown', 'labels', 'html'):\n"
        f"    try:\n        main([*{words!r}, kind])\n"
        "    except SystemExit:\n        print('numpy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.split() == ["False", "False", "True"]
