"""Damage further in is never written over; the session goes on in a new file that says where it came from."""

from __future__ import annotations

import hashlib

import pytest

from studio.store.copies import verify
from studio.store.disk import CannotRead, ReadOnlySession
from studio.store.journal import Journal
from studio.store.reading import read_session
from studio.store.repair import continue_in_new_file, prepare_to_resume


@pytest.fixture
def lines(tmp_path, at, opening):
    """Path and lines of a session of eight events that was left."""
    with Journal.create([tmp_path], "stripes", opening, at(0)) as journal:
        for i in range(7):
            journal.append("of.the.future", {"i": i}, at(i))
    return journal.path, journal.path.read_bytes().split(b"\n")[:-1]


def test_a_clean_file_is_not_touched(lines, at):
    path, _ = lines
    before = path.read_bytes()
    prepare_to_resume(path, at(9)).close()
    assert path.read_bytes() == before
    assert len(list(path.parent.iterdir())) == 1


def test_interior_damage_is_refused_and_named(lines, at):
    path, old = lines
    raw = b"\n".join([*old[:3], old[3][:40] + b"#" + old[3][41:], *old[4:5], *old[6:]]) + b"\n"
    path.write_bytes(raw)
    with pytest.raises(ReadOnlySession) as caught:
        prepare_to_resume(path, at(9))
    told = str(caught.value)
    assert "Line 4 cannot be read" in told
    assert "Event 4 is missing before line 5" in told
    assert "Event 6 is missing before line 6" in told
    assert caught.value.may_continue
    assert caught.value.exit_code == 3
    assert path.read_bytes() == raw

    journal = continue_in_new_file(path, at(10))
    with journal:
        assert journal.path != path
        assert journal.append("noted", {"text": "on", "step": ""}, at(11)).n == 10
    assert path.read_bytes() == raw
    reading = read_session(journal.path)
    assert [r.n for r in reading.records] == [1, 2, 3, 5, 7, 8, 9, 10]
    continued = reading.records[6]
    assert continued.kind == "session.continued"
    assert continued.data == {
        "from": path.name,
        "sha256": hashlib.sha256(raw).hexdigest(),
        "lines_kept": 6,
        "missing": [[4, 4], [6, 6]],
        "breaks": [],
        "why": "the old file is damaged",
    }
    assert reading.state == "repaired"
    assert (verify(path).exit_code, verify(journal.path).exit_code) == (3, 1)
    prepare_to_resume(journal.path, at(12)).close()
    for again in (prepare_to_resume, continue_in_new_file):
        with pytest.raises(ReadOnlySession, match=f"was continued in {journal.path.name}"):
            again(path, at(13))


def test_without_its_first_event_a_session_cannot_go_on(lines, at):
    path, old = lines
    path.write_bytes(b"\n".join(old[1:]) + b"\n")
    with pytest.raises(ReadOnlySession) as caught:
        prepare_to_resume(path, at(9))
    assert not caught.value.may_continue
    with pytest.raises(ReadOnlySession, match="holds the plan, is lost"):
        continue_in_new_file(path, at(9))


@pytest.mark.parametrize("told", ["potside-session/2", "potside-session/12", "another-thing/1", ""])
def test_a_newer_format_is_only_read(tmp_path, at, opening, told):
    with Journal.create([tmp_path], "new", {**opening, "format": told, "program": "9.1"}, at(0)) as journal:
        journal.append("kind.of.the.future", {"text": "kept"}, at(1))
    before = journal.path.read_bytes()
    assert read_session(journal.path).records[1].kind == "kind.of.the.future"
    for go_on in (prepare_to_resume, continue_in_new_file):
        with pytest.raises(ReadOnlySession, match=r"written by 9\.1"):
            go_on(journal.path, at(2))
    assert journal.path.read_bytes() == before


def test_a_session_that_is_not_there(tmp_path, at):
    with pytest.raises(CannotRead, match="it is not there"):
        prepare_to_resume(tmp_path / "20261125-1004-x-0000.jsonl", at(0))


def test_two_repairs_within_one_second_keep_two_copies(lines, at):
    path, _ = lines
    for torn in (b'{"at":', b"\0\0\0"):
        with path.open("ab") as file:
            file.write(torn)
        prepare_to_resume(path, at(20)).close()
    assert sorted(p.name for p in path.parent.glob("*.damaged-*")) == [
        f"{path.stem}.damaged-20260921T141340Z-2.jsonl",
        f"{path.stem}.damaged-20260921T141340Z.jsonl",
    ]
    assert [r.kind for r in read_session(path).records[-2:]] == ["recovered", "recovered"]
    assert verify(path).state == "repaired"
