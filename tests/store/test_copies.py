"""Two machines and one folder: what a file sync does under an open session is noticed, told, and never merged."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest

from studio.store.copies import odd_sentence, parting, told_of_copies, verify
from studio.store.disk import ReadOnlySession
from studio.store.folder import StudioFolder
from studio.store.journal import Journal
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume


@pytest.fixture
def begun(tmp_path: Path, at, opening) -> Journal:
    """A session of four events, open on machine A."""
    folder = tmp_path / "a"
    folder.mkdir()
    journal = Journal.create([folder], "stripes", opening, at(0))
    for i in range(3):
        journal.append("noted", {"text": f"shared {i}", "step": ""}, at(i))
    return journal


@pytest.fixture
def on_b(begun: Journal, tmp_path: Path, at) -> Path:
    """The same file on machine B, which has gone on with it by two events."""
    folder = tmp_path / "b"
    folder.mkdir()
    path = Path(shutil.copy(begun.path, folder))
    with prepare_to_resume(path, at(10)) as other:
        for i in range(2):
            other.append("noted", {"text": f"on B {i}", "step": ""}, at(11 + i))
    return path


def replaced(mine: Path, theirs: Path) -> None:
    """A sync writes a file of its own and renames it over the name."""
    fresh = mine.with_suffix(".tmp")
    shutil.copy(theirs, fresh)
    os.replace(fresh, mine)


def set_apart(mine: Path, theirs: Path) -> None:
    """A sync gives the local file another name and puts the other machine's in its place."""
    mine.rename(mine.with_name(f"{mine.stem} (conflicted copy).jsonl"))
    shutil.copy(theirs, mine)


def written_over(mine: Path, theirs: Path) -> None:
    """A sync writes the other machine's bytes into the open file itself."""
    with mine.open("r+b") as file:
        file.write(theirs.read_bytes())
        file.truncate()


def appended(mine: Path, theirs: Path) -> None:
    with mine.open("ab") as file:
        file.write(theirs.read_bytes()[mine.stat().st_size :])


def altered(mine: Path, theirs: Path) -> None:
    """Other bytes, as many as before, as of a machine that had written a line of the same length."""
    with mine.open("r+b") as file:
        file.write(mine.read_bytes().replace(b"shared 2", b"Shared 2"))
    os.utime(mine, ns=(1, mine.stat().st_mtime_ns + 5_000_000))


def taken_away(mine: Path, theirs: Path) -> None:
    mine.rename(mine.with_name("elsewhere.txt"))


BY_A_SYNC = [replaced, set_apart, written_over, appended, altered, taken_away]


@pytest.mark.parametrize("sync", BY_A_SYNC, ids=lambda f: f.__name__)
def test_the_open_file_changes_and_the_session_goes_on_in_a_linked_one(
    begun: Journal, on_b: Path, at, sync
) -> None:
    mine = begun.path
    mine_before = list(begun.events)
    sync(mine, on_b)
    there = {path.name: path.read_bytes() for path in mine.parent.iterdir()}
    begun.append("noted", {"text": "on A", "step": ""}, at(20))
    assert len(begun.waiting) == 1
    assert re.search("moved, removed or replaced|another program has changed", begun.trouble)
    begun.retry(at(21), elsewhere=False)
    saved = begun.events[4]
    begun.append("noted", {"text": "on A again", "step": ""}, at(22))
    begun.close()
    assert {p.name: p.read_bytes() for p in mine.parent.iterdir() if p != begun.path} == there, "not touched"
    assert begun.path.parent == mine.parent and begun.path != mine
    reading = read_session(begun.path)
    assert list(reading.records[:4]) == mine_before and reading.records[4] == saved
    assert [r.data.get("text") for r in reading.records[4:]] == ["on A", None, "on A again"]
    assert reading.continued_from == mine.name
    assert reading.records[5].data["why"] in (
        "the file was moved, removed or replaced",
        "another program has changed the file",
    )
    assert verify(begun.path).exit_code == 0


def test_a_file_that_was_only_touched_goes_on(begun: Journal, at) -> None:
    """A backup may set its time; what counts is what it holds."""
    os.utime(begun.path, ns=(1, 1))
    begun.append("noted", {"text": "on", "step": ""}, at(20))
    os.utime(begun.path)
    assert begun.append("noted", {"text": "and on", "step": ""}, at(21)).n == 6
    begun.close()
    assert verify(begun.path).exit_code == 0


def test_parted_copies_are_told_with_the_event_they_part_at(begun: Journal, on_b: Path, at) -> None:
    begun.append("noted", {"text": "on A", "step": ""}, at(20))
    begun.close()
    found = parting(read_session(begun.path).records, read_session(on_b).records)
    assert [r.n for r in found.shared] == [1, 2, 3, 4] and found.parted
    assert [r.data["text"] for r in found.only_one] == ["on A"]
    assert [r.data["text"] for r in found.only_other] == ["on B 0", "on B 1"]
    copy = begun.path.with_name(f"{begun.path.stem} (copy of B).jsonl")
    shutil.copy(on_b, copy)
    told, trouble = told_of_copies([begun.path, copy])
    assert trouble and told == [
        f"{begun.path.name} and {copy.name} are the same up to event 4 and part there: "
        f"{begun.path.name} has 1 event of its own, 2026-09-21 14:13:40 to 2026-09-21 14:13:40, "
        f"{copy.name} has 2 events of its own, 2026-09-21 14:13:31 to 2026-09-21 14:13:32. "
        "Nothing is merged: keep the one that tells what was really done, and move the other out of sessions/."
    ]


def test_an_older_copy_and_an_equal_one_are_told(begun: Journal, on_b: Path) -> None:
    begun.close()
    told, trouble = told_of_copies([begun.path, on_b])
    name = begun.path.name
    assert trouble and told == [f"{name} holds all 4 events of {name} and 2 more; the shorter one can go."]
    told, trouble = told_of_copies([on_b, on_b])
    assert trouble and told == [f"{name} and {name} hold the same 6 events; one of them can go."]


def test_sessions_of_their_own_are_no_copies(begun: Journal, tmp_path: Path, at, opening) -> None:
    begun.close()
    with Journal.create([tmp_path], "stripes", opening, at(1)) as other:
        pass
    assert told_of_copies([begun.path, other.path]) == ([], False)


def test_a_file_and_the_one_that_goes_on_from_it_are_no_trouble(begun: Journal, at, monkeypatch) -> None:
    monkeypatch.setattr(begun._tape, "trusted", False)
    begun.append("noted", {"text": "on", "step": ""}, at(20))
    old = begun.path
    begun.retry(at(21), elsewhere=False)
    begun.close()
    told, trouble = told_of_copies([old, begun.path])
    assert not trouble and told == [
        f"{begun.path.name} holds all 4 events of {old.name} and 2 more; it goes on from it."
    ]


def test_both_records_may_go_on_once_they_have_parted_but_a_part_may_not(
    begun: Journal, on_b: Path, at
) -> None:
    old = begun.path
    replaced(old, on_b)
    begun.append("noted", {"text": "on A", "step": ""}, at(20))
    begun.retry(at(21), elsewhere=False)
    begun.close()
    with prepare_to_resume(old, at(30)) as other:
        other.append("noted", {"text": "B goes on with its own", "step": ""}, at(31))
    told, trouble = told_of_copies([old, begun.path])
    assert trouble and "the same up to event 4 and part there" in told[0]
    old.write_bytes(b"".join(begun.path.read_bytes().splitlines(keepends=True)[:4]))
    with pytest.raises(ReadOnlySession, match=f"was continued in {begun.path.name}"):
        prepare_to_resume(old, at(40))


def test_the_beginning_of_a_name_means_the_session_and_not_its_copy(begun: Journal) -> None:
    begun.close()
    (begun.path.parent / "shared").mkdir()
    (begun.path.parent / "sessions").mkdir()
    path = Path(shutil.copy(begun.path, begun.path.parent / "sessions"))
    copy = Path(shutil.copy(path, path.with_name(f"{path.stem} (conflicted copy).jsonl")))
    folder = StudioFolder(begun.path.parent)
    assert folder.session_path(path.stem) == path and folder.session_path(path.name[:13]) == path
    assert folder.session_path(copy.name) == copy


def test_what_to_do_about_a_conflict_copy_is_one_sentence_that_is_safe_to_show() -> None:
    original = "20261125-1004-tidewrack-stripes-9f3a.jsonl"
    for copy in (
        "20261125-1004-tidewrack-stripes-9f3a (conflicted copy 2026-11-25).jsonl",
        "20261125-1004-tidewrack-stripes-9f3a.sync-conflict-20261125-100500-ABCDEFG.jsonl",
        "20261125-1004-tidewrack-stripes-9f3a (1).jsonl",
    ):
        told = odd_sentence(copy, {original})
        assert told == (
            f"{copy} looks like a copy made by a file sync; it is not in the logbook. "
            f'potside verify {original} "{copy}" says where the two part; keep one.'
        )
    told = odd_sentence("a\x1b]0;owned\x07.jsonl", {original})
    assert told.isprintable() and "Move it out of sessions/" in told
