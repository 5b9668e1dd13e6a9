"""`potside logbook` with a search: what is printed where, and what is said of what cannot be asked."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import msgspec
import pytest

from studio.logbook.entry import LogbookRow
from studio.quantity import reading_in
from studio.report.logbook import remark_told, result_row

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def kept(studio: Path) -> Path:
    """The sample studio with its four painted sessions (tests/samples/make_sessions.py)."""
    for path in (
        path for month in ("202609", "202610") for path in (ROOT / "sessions").glob(f"{month}*.jsonl")
    ):
        shutil.copy2(path, studio / "sessions")
    return studio


def titles(done) -> list[str]:
    return [row["title"] for row in json.loads(done.stdout)["sessions"]]


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ((), ["Tidewrack stripes", "Lantern floats", "Kelp forest", "Tidewrack stripes"]),
        (("--find", "small hands"), ["Lantern floats"]),
        (("--dye", "pantry"), ["Lantern floats"]),
        (("--base", "nylon", "--since", "2026-10"), ["Tidewrack stripes"]),
        (
            ("--since", "2026-09-26", "--until", "2026-10"),
            ["Tidewrack stripes", "Lantern floats", "Kelp forest"],
        ),
        (("--until", "2026-09"), ["Kelp forest", "Tidewrack stripes"]),
        (("--until", "2025"), []),
        (("--rating", "3"), ["Lantern floats", "Kelp forest", "Tidewrack stripes"]),
        (("--rating", "4"), []),
        (("--unfinished",), []),
        (("--method", "kettle"), []),
        (("--find", '"; DROP TABLE session'), []),
    ],
)
def test_what_is_asked_for_is_listed(potside, kept, asked, found) -> None:
    done = potside("logbook", "--json", *asked)
    assert (done.exit_code, done.stderr) == (0, "")
    assert titles(done) == found


def test_the_list_for_people(potside, kept) -> None:
    done = potside("logbook", "--find", "Draught")
    assert (done.exit_code, done.stderr) == (0, "")
    (line,) = done.stdout.splitlines()
    assert line.startswith("12 Sep 2026  Tidewrack stripes ") and "101 g  ■■■■□ Ring went out" in line
    none = potside("logbook", "--find", "nowhere")
    assert (none.exit_code, none.stdout) == (0, "") and "No match." in none.stderr


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (("--since", "yesterday\x1b[2J"), "is no day; write for example 2026-09-12"),
        (("--until", "2026-02-30"), "is no day"),
        (("--until", "2026-13"), "is no day"),
        (("--since", "0000"), "is no day"),
        (("--since", "٢٠٢٦"), "is no day"),
        (("--rating", "6"), "6 is not in the range"),
        (("--rating", "nan"), "not a valid integer"),
    ],
)
def test_what_cannot_be_asked_is_said_in_a_sentence(potside, kept, asked, said) -> None:
    done = potside("logbook", *asked)
    assert done.exit_code == 2 and done.stdout == ""
    assert said in done.stderr and "\x1b" not in done.stderr and "Traceback" not in done.stderr


def test_the_index_is_in_the_cache_and_is_never_the_truth(potside, kept, home) -> None:
    first = potside("logbook", "--json")
    (database,) = (home / "cache" / "potside").iterdir()
    assert database.stat().st_size > 0
    database.write_bytes(b"\xff" * 5000)
    assert potside("logbook", "--json").stdout == first.stdout
    (kept / "sessions" / "20261010-0915-lantern-floats-bb31.jsonl").unlink()
    assert "Lantern floats" not in titles(potside("logbook", "--json"))
    shutil.rmtree(database.parent)
    database.parent.write_text("no folder can be made here")
    done = potside("logbook", "--json", "--find", "draught")
    assert titles(done) == ["Tidewrack stripes"] and done.stderr == ""


def test_no_more_than_500_are_printed_and_the_rest_is_counted(potside, kept) -> None:
    for n in range(520):
        (kept / "sessions" / f"20260101-{n:04d}-torn-{n:04x}.jsonl").write_bytes(b"no session\n")
    done = potside("logbook")
    assert done.exit_code == 0 and len(done.stdout.splitlines()) == 500
    assert "the newest 500 of 524" in done.stderr
    assert len(titles(potside("logbook", "--json"))) == 524


@pytest.mark.deep
def test_progress_is_told_on_a_terminal(terminal, kept) -> None:
    for n in range(320):
        (kept / "sessions" / f"20260101-{n:04d}-torn-{n:04x}.jsonl").write_bytes(b"no session\n")
    shown = terminal("logbook", "--find", "small hands")
    assert shown.end() == 0
    assert b"read 100 of 324 sessions; Ctrl+C stops" in shown.raw and "Lantern floats" in shown.text


def test_between_the_strip_of_a_session_and_its_weight_is_a_gap(monkeypatch) -> None:
    """200 g are 7.05 oz, as long as a weight of goods gets."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    card = LogbookRow(key="a", title="Kelp", opened_ns=0, standing="open", about="", dry_g=200.0)
    weight = result_row(card, 60)[0][0]
    assert weight.startswith(" ") and weight.strip() == "7.05 oz"


def test_an_open_rehearsal_is_not_listed_like_a_session_at_the_pot() -> None:
    card = LogbookRow(key="a", title="Kelp", opened_ns=0, standing="open", about="at cool 1 of 3")
    assert "rehearsal" not in remark_told(card)[0]
    told, _ = remark_told(msgspec.structs.replace(card, rehearsal=True))
    assert "open rehearsal" in told and told.endswith("at cool 1 of 3")
