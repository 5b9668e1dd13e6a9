"""The logbook's index: finds what the sample sessions are known to hold, and is never the truth."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from studio.logbook import entry
from studio.logbook import index as index_file
from studio.logbook import index as index_module
from studio.logbook.entry import Wanted
from studio.logbook.index import Index
from studio.services.studio import Services
from studio.session import commands as c
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.folding import FIRST_PREV, Record
from studio.store.disk import CannotRead, StoreError
from studio.store.folder import StudioFolder
from studio.store.line import encode

ROOT = Path(__file__).resolve().parents[2]
TIDEWRACK, KELP, LANTERN, AGAIN = (
    "20260912-0704-tidewrack-stripes-63ea.jsonl",
    "20260926-0830-kelp-forest-3c95.jsonl",
    "20261010-0915-lantern-floats-bb31.jsonl",
    "20261031-1520-tidewrack-stripes-ffa5.jsonl",
)
"""What stands in them is told by tests/samples/make_sessions.py and the sample plans."""
EVIL = (
    '"',
    "'; DROP TABLE session; --",
    "title:rust",
    "NEAR(rust kelp)",
    "rust AND NOT kelp",
    "rust OR",
    "^rust* + (",
    "{words} : rust",
    "*",
    "\x00rust",
    "rust\x1b]0;owned\x07",
    "\ud800rust",
    "z" + "\u0301" * 40,
    "漢字",
    "\U0001e100 draught",
    "x" * 100_000,
    "rust " * 5_000,
)


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory, plain_logbook):
    folder = StudioFolder(ROOT)
    index = Index(folder, file=tmp_path_factory.mktemp("both") / "i.sqlite3")
    plain = plain_logbook(folder)
    plain.refresh()
    assert index.refresh().sessions >= 4
    return index, plain


def keys(found: tuple[list, int]) -> list[str]:
    return [row.key for row in found[0]]


def opening_line(n_kind: str, data: dict) -> bytes:
    return encode(
        Record(n=1, kind=n_kind, at="2026-11-25T06:36:38.123Z", boot_ns=5, boot="boot", data=data), FIRST_PREV
    )


def test_all_sessions_newest_first_with_what_lists_show(whole: Index) -> None:
    rows, total = whole.search(Wanted())
    assert ([row.key for row in rows], total) == ([AGAIN, LANTERN, KELP, TIDEWRACK], 4)
    first, last = rows[0], rows[-1]
    assert (first.standing, last.standing) == ("abandoned", "finished")
    assert last.title == "Tidewrack stripes" and not last.rehearsal
    assert last.about == "rinsed clear 4, colour went through 3, sharp edges 5, even 5"
    assert last.colours == ("rust", "deep water") and set(last.dyes) == {"studio rust", "deep water"}
    assert last.base == "harbour sock blank, superwash wool, nylon" and last.method == "paint and steam"
    assert last.ratings == {"rinsed clear": 4, "colour went through": 3, "sharp edges": 5, "even": 5}
    assert whole.search(Wanted(), limit=1)[1] == 4 and keys(whole.search(Wanted(), limit=1)) == [AGAIN]


FOUND_BY = [
    ("draught", [TIDEWRACK]),
    ("DRAÚGHT shu", [TIDEWRACK]),
    ("shut, draught!", [TIDEWRACK]),
    ("gas monday", [AGAIN]),
    ("gorse", [KELP]),
    ("hands lantern", [LANTERN]),
    ("tarred-rope", [KELP]),
    ("pantry yell", [LANTERN]),
    ("superwash", [AGAIN, TIDEWRACK]),
    ("tidew 2026091", [TIDEWRACK]),
    ("raught", []),
    ("draught monday", []),
    ("   ", [AGAIN, LANTERN, KELP, TIDEWRACK]),
    ("?!", []),
]


def test_words_find_by_their_beginnings(whole: Index) -> None:
    """Title, note, reason of an abandoned session, colour, dye, caution and file name; case and accents aside."""
    assert {text: keys(whole.search(Wanted(text=text))) for text, _ in FOUND_BY} == dict(FOUND_BY)


FILTERED: list[tuple[dict[str, Any], list[str]]] = [
    ({"dye": "pantry r"}, [LANTERN]),
    ({"dye": "Deep water"}, [AGAIN, KELP, TIDEWRACK]),
    ({"dye": "rust deep"}, []),
    ({"base": "nylon"}, [AGAIN, TIDEWRACK]),
    ({"base": "wool"}, [AGAIN, LANTERN, KELP, TIDEWRACK]),
    ({"base": "slip wool skein"}, [KELP]),
    ({"method": "paint"}, [AGAIN, LANTERN, KELP, TIDEWRACK]),
    ({"method": "kettle"}, []),
    ({"least_rating": 3}, [LANTERN, KELP, TIDEWRACK]),
    ({"least_rating": 4}, []),
    ({"since": date(2026, 9, 26), "until": date(2026, 10, 10)}, [LANTERN, KELP]),
    ({"since": date(2026, 11, 1)}, []),
    ({"unfinished": True}, []),
    ({"text": "steam", "dye": "deep water", "until": date(2026, 9, 30)}, [KELP, TIDEWRACK]),
    ({"dye": "%"}, []),
]


def test_filters(whole: Index) -> None:
    for asked, found in FILTERED:
        assert keys(whole.search(Wanted(**asked))) == found, asked


def test_tests_that_wait_are_found_the_longest_overdue_first(studio: StudioFolder, tmp_path) -> None:
    """Planned in two sessions, one of them graded since, one called off: two are left, and a rehearsal's never."""
    clock = SteppedClock(Reading(1_800_000_000 * NS, 5 * NS, 5 * NS, "boot-z"))
    services = Services(studio, clock)
    for key, command in (
        (TIDEWRACK, c.PlanFollowUp("light", "2 weeks")),
        (TIDEWRACK, c.PlanFollowUp("wash", "today")),
        (TIDEWRACK, c.GradeFollowUp("wash", "5", "5", "as bright as fulmars")),
        (KELP, c.PlanFollowUp("wash", "2026-12-02")),
        (KELP, c.PlanFollowUp("rub", "2026-12-01")),
        (KELP, c.CancelFollowUp("rub", "no cotton cloth")),
    ):
        services.add_later(key, lambda state, command=command: command)
    made = Index(studio, file=tmp_path / "c.sqlite3")
    made.refresh()
    rows, total = made.search(Wanted(waiting=True), None)
    assert ([row.key for row in rows], total) == ([KELP, TIDEWRACK], 2)
    told = [(one.key, one.title, one.test, one.due) for one in services.waiting()]
    assert told == [
        (KELP, "Kelp forest", "wash", "2026-12-02"),
        (TIDEWRACK, "Tidewrack stripes", "light", "2027-01-29"),  # 1 800 000 000 s: 2027-01-15, by `date -u`
    ]
    assert keys(made.search(Wanted(text="fulmar"))) == [TIDEWRACK]
    services.add_later(KELP, lambda state: c.CancelFollowUp("wash", "felted long ago"))
    services.add_later(TIDEWRACK, lambda state: c.GradeFollowUp("light", "3"))
    made.refresh()
    assert made.search(Wanted(waiting=True), None) == ([], 0)


def test_a_session_without_its_end_is_unfinished(studio: StudioFolder, index: Index) -> None:
    path = studio.sessions / KELP
    path.write_bytes(b"".join(path.read_bytes().splitlines(keepends=True)[:20]))
    index.refresh()
    assert keys(index.search(Wanted(unfinished=True))) == [KELP]


def test_only_what_differs_is_read(studio: StudioFolder, index: Index, monkeypatch) -> None:
    read: list[str] = []
    real = entry.entry_of
    monkeypatch.setattr(entry, "entry_of", lambda path: read.append(path.name) or real(path))
    assert index.refresh().read == 0 and read == []
    os.utime(studio.sessions / KELP, ns=(1, 1_790_000_000_000_000_001))
    (studio.sessions / LANTERN).unlink()
    shutil.copy(studio.sessions / TIDEWRACK, studio.sessions / "20261101-0800-new-one-0001.jsonl")
    (studio.sessions / "notes.jsonl").write_text("no session\n")
    counts = index.refresh()
    assert (counts.sessions, counts.read, counts.gone, counts.left) == (4, 2, 1, 0)
    assert read == ["20261101-0800-new-one-0001.jsonl", KELP]
    assert keys(index.search(Wanted())) == ["20261101-0800-new-one-0001.jsonl", AGAIN, KELP, TIDEWRACK]
    assert keys(index.search(Wanted(text="hands"))) == []


def test_another_index_of_the_same_file_reads_nothing(studio: StudioFolder, index: Index) -> None:
    again = Index(studio, file=index.database.path)
    assert again.refresh().read == 0 and keys(again.search(Wanted(text="draught"))) == [TIDEWRACK]


def test_without_a_cache_folder_it_lives_in_memory(studio: StudioFolder, tmp_path: Path) -> None:
    (tmp_path / "plain").write_text("a file where the folder should be")
    index = Index(studio, file=tmp_path / "plain" / "logbook.sqlite3")
    assert index.refresh().read == 4
    assert index.database.path is None
    assert keys(index.search(Wanted(text="draught"))) == [TIDEWRACK]
    assert index.refresh().read == 0
    index.database.close()


def test_an_index_that_another_window_holds_is_left_alone(
    studio: StudioFolder, index: Index, monkeypatch
) -> None:
    monkeypatch.setattr(index_file, "PATIENCE_S", 0.05)
    path = index.database.path
    assert path is not None
    before = path.read_bytes()
    with sqlite3.connect(path, isolation_level=None) as holder:
        holder.execute("BEGIN EXCLUSIVE")
        mine = Index(studio, file=path)
        assert keys(mine.search(Wanted(text="draught"))) == [TIDEWRACK]
        assert mine.database.path is None
        holder.execute("ROLLBACK")
    assert path.read_bytes() == before
    mine.database.close()


def test_it_can_be_interrupted_and_goes_on_from_there(
    studio: StudioFolder, tmp_path: Path, monkeypatch
) -> None:
    monkeypatch.setattr(index_module, "AT_ONCE", 1)
    index = Index(studio, file=tmp_path / "i.sqlite3")
    told: list[tuple[int, int]] = []
    counts = index.refresh(lambda done, total: told.append((done, total)), lambda: len(told) >= 2)
    assert (counts.read, counts.left) == (2, 2) and told[:2] == [(0, 4), (1, 4)]
    assert keys(index.search(Wanted())) == [AGAIN, LANTERN]
    assert index.refresh().read == 2
    assert index.search(Wanted())[1] == 4


def test_ctrl_c_in_the_middle_keeps_what_was_written(
    studio: StudioFolder, tmp_path: Path, monkeypatch
) -> None:
    monkeypatch.setattr(index_module, "AT_ONCE", 1)
    index = Index(studio, file=tmp_path / "i.sqlite3")

    def give_up(done: int, total: int) -> None:
        if done == 3:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        index.refresh(give_up)
    assert index.refresh().read == 1


def test_session_files_that_are_none_are_listed_as_damaged(studio: StudioFolder, index: Index) -> None:
    names = [f"20261120-080{n}-odd-000{n}.jsonl" for n in range(4)]
    (studio.sessions / names[0]).write_bytes(b"\x00" * 100)
    (studio.sessions / names[1]).symlink_to(studio.sessions / TIDEWRACK)
    (studio.sessions / names[2]).write_bytes(opening_line("noted", {"text": "no opening", "step": ""}))
    cut = (studio.sessions / TIDEWRACK).read_bytes().splitlines(keepends=True)
    odd = Record(
        n=2,
        kind="step.measured",
        at="2026-11-25T06:36:38.123Z",
        boot_ns=5,
        boot="boot",
        data={"step": ["no"]},
    )
    crc = cut[0][-11:-3].decode()
    line = encode(odd, crc)
    after = Record(n=3, kind="noted", at=odd.at, boot_ns=6, boot="boot", data={"text": "on", "step": ""})
    (studio.sessions / names[3]).write_bytes(cut[0] + line + encode(after, line[-11:-3].decode()))
    assert index.refresh().read == 4
    rows = {row.key: row for row in index.search(Wanted())[0]}
    assert [rows[name].standing for name in names] == ["damaged"] * 4
    assert "link" in rows[names[1]].about
    # What could not be opened may be opened another day, though the file stays the same.
    assert index.refresh().read == 1
    assert keys(index.search(Wanted(text="draught"))) == [TIDEWRACK]


def test_a_missing_folder_is_said(studio: StudioFolder, index: Index) -> None:
    shutil.rmtree(studio.sessions)
    with pytest.raises(CannotRead, match="it is not there"):
        index.refresh()


@pytest.mark.deep
def test_two_windows_index_at_once(studio: StudioFolder, tmp_path: Path) -> None:
    first = (studio.sessions / TIDEWRACK).read_bytes()
    for n in range(20):
        (studio.sessions / f"20260101-{n:04d}-many-{n:04x}.jsonl").write_bytes(first)
    windows = [Index(studio, file=tmp_path / "i.sqlite3") for _ in range(3)]
    with ThreadPoolExecutor(3) as pool:
        counts = list(pool.map(lambda window: window.refresh(), windows))
    assert [c.left for c in counts] == [0, 0, 0]
    assert [window.search(Wanted(text="draught"))[1] for window in windows] == [21, 21, 21]
    assert windows[0].refresh().read == 0


def test_nothing_is_written_beside_the_sessions(studio: StudioFolder, index: Index) -> None:
    for path in studio.sessions.iterdir():
        assert path.read_bytes() == (ROOT / "sessions" / path.name).read_bytes()
    there = {path.name for path in studio.sessions.iterdir()}
    assert there == {TIDEWRACK, KELP, LANTERN, AGAIN} and list(studio.root.glob("*.sqlite3")) == []


def test_what_is_typed_is_never_a_query(both) -> None:
    index, plain = both
    for evil in EVIL:
        for wanted in (Wanted(text=evil), Wanted(dye=evil), Wanted(base=evil), Wanted(method=evil)):
            assert index.search(wanted) == plain.search(wanted), evil[:40]
    assert index.search(Wanted())[1] == plain.search(Wanted())[1] >= 4


WORDS = st.sampled_from(
    ["rust", "kelp", "tide", "deep", "w", "st", "wool", "NEAR", "OR", '"', "*", "Gas", "2026"]
)


@given(
    text=st.one_of(st.lists(WORDS, max_size=4).map(" ".join), st.text(max_size=12)),
    dye=st.one_of(st.just(""), WORDS),
    least=st.one_of(st.none(), st.integers(1, 5)),
    since=st.one_of(st.none(), st.dates(date(2026, 9, 1), date(2026, 11, 5))),
)
@example(text="kelp", dye="deep", least=3, since=date(2026, 9, 26))
def test_the_index_says_what_plain_reading_says(both, text, dye, least, since) -> None:
    index, plain = both
    wanted = Wanted(text=text, dye=dye, least_rating=least, since=since)
    assert index.search(wanted) == plain.search(wanted)


def test_a_python_without_the_database_is_told_in_one_sentence(index: Index, monkeypatch) -> None:
    monkeypatch.setitem(sys.modules, "sqlite3", None)
    with pytest.raises(StoreError, match=r"built without it: use another Python.*potside resume NAME"):
        index.search(Wanted(text="draught"))


def kept_in(logbook: Index) -> Path:
    """The file of its index."""
    return logbook.database.path


def test_each_studio_has_its_own_file_in_the_cache(studio: StudioFolder, tmp_path: Path, monkeypatch) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "cache"))
    logbook = Index(studio)
    logbook.refresh()
    kept = kept_in(logbook)
    assert kept.parent == tmp_path / "cache" / "potside"
    assert kept.stat().st_size > 0
    assert kept_in(Index(StudioFolder(tmp_path))) != kept
    assert kept_in(Index(StudioFolder(studio.root / "sessions" / ".."))) == kept


def test_the_database_is_loaded_when_it_is_used() -> None:
    code = "import sys, studio.logbook.index, studio.services.studio; print('sqlite3' in sys.modules)"
    env = {**os.environ, "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, env=env, check=True)
    assert done.stdout == "False\n"
