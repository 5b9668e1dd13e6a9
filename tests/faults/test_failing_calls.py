"""The N-th write or sync fails, for every N until nothing fails any more; once, and from then on."""

from __future__ import annotations

import errno

import pytest

from studio.store.copies import verify
from studio.store.disk import CannotSave
from studio.store.journal import Journal
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume

EVENTS = 8


def run_session(folder, spare, disk, at, opening):
    """Appends eight events and closes; on failure tries again or goes to a new file, as a bench would."""
    journal = Journal.create([folder, spare], "failing", opening, at(0), disk=disk)
    shown = []
    for i in range(EVENTS + 1):
        kind = "session.finished" if i == EVENTS else "noted"
        data = (
            {"outcome": "finished", "counts": {"noted": EVENTS}}
            if i == EVENTS
            else {"text": f"event {i}", "step": ""}
        )
        record = journal.append(kind, data, at(i + 1))
        if journal.waiting:
            assert journal.waiting == [record] and journal.trouble
            assert all(record in read_session(journal.path).records for record in shown)
            journal.retry(at(i + 1), elsewhere=False)
            assert not journal.waiting and not journal.trouble
        shown.append(next(r for r in journal.events if r.n == record.n))
    journal.close()
    return journal, shown


@pytest.mark.parametrize(
    ("call", "code", "short"),
    [
        ("write", errno.ENOSPC, 0),
        ("write", errno.ENOSPC, 1),
        ("write", errno.ENOSPC, 60),
        ("write", errno.ENOSPC, 100_000),
        ("write", errno.EIO, 7),
        ("short write", 0, 0),
        ("fsync", errno.EIO, 0),
        ("fsync", errno.ENOSPC, 0),
    ],
)
def test_every_single_failure_loses_nothing(tmp_path, failing_disk, at, opening, call, code, short):
    for number in range(1, 60):
        folder = tmp_path / f"{number}"
        folder.mkdir()
        disk = failing_disk(call, number, code=code, short=short)
        try:
            journal, shown = run_session(folder, tmp_path / "spare", disk, at, opening)
        except CannotSave:
            assert disk.failures == 1
            assert list(folder.iterdir()) == [], "a session that never began must leave no file"
            continue
        assert [r.data.get("text") for r in shown if r.kind == "noted"] == [
            f"event {i}" for i in range(EVENTS)
        ]
        verdict = verify(journal.path)
        assert verdict.hash_ok, (number, verdict)
        assert verdict.exit_code in (0, 1)
        kept = read_session(journal.path).records
        assert [r for r in kept if r.kind in ("noted", "session.finished")] == shown
        assert disk.written_after_failed_sync == []
        if call == "fsync" and disk.failures:
            assert len(list(folder.iterdir())) == 2
            assert read_session(journal.path).continued_from != ""
        if disk.failures == 0:
            assert number > EVENTS
            return
    pytest.fail("the run never got through without a failure")


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_disk_that_stays_broken_keeps_everything_in_memory(tmp_path, failing_disk, at, opening, call):
    for number in range(2, 8):
        folder = tmp_path / f"{number}"
        folder.mkdir()
        disk = failing_disk(call, number, for_ever=True, short=5)
        try:
            journal = Journal.create([folder, tmp_path / "spare"], "broken", opening, at(0), disk=disk)
        except CannotSave:
            continue
        for i in range(6):
            journal.append("noted", {"text": f"event {i}", "step": ""}, at(i))
            assert len(journal.waiting) + len(journal.events) == i + 2
        journal.retry(at(9), elsewhere=True)
        assert journal.trouble.startswith("no folder takes a new file")
        assert len(journal.waiting) + len(journal.events) == 7
        assert list(read_session(journal.path).records)[: len(journal.events)] == journal.events
        assert journal.last_resort().count("\n") == len(journal.waiting)
        disk.number = 10**9
        disk.for_ever = False
        journal.retry(at(9), elsewhere=True)
        assert [r.data["text"] for r in journal.events if r.kind == "noted"] == [
            f"event {i}" for i in range(6)
        ]
        assert verify(journal.path).exit_code == 0
        journal.close()


def test_the_half_line_of_a_full_disk_is_no_event_until_the_rest_of_it_is_written(
    tmp_path, failing_disk, at, opening
):
    disk = failing_disk("write", 2, code=errno.ENOSPC, short=90)
    journal = Journal.create([tmp_path], "full", opening, at(0), disk=disk)
    journal.append("noted", {"text": "kept", "step": ""}, at(1))
    assert journal.trouble == "the disk is full"
    before = journal.path.read_bytes()
    assert len(before.split(b"\n")[-1]) == 90
    assert [r.n for r in read_session(journal.path).records] == [1]
    journal.retry(at(3), elsewhere=False)
    after = journal.path.read_bytes()
    assert after.startswith(before) and len(after.split(b"\n")) == 4
    reading = read_session(journal.path)
    assert [r.kind for r in reading.records] == ["session.opened", "noted", "session.saved_late"]
    assert reading.records[-1].data == {"entries": 1, "waited_s": 2.0, "why": "the disk is full"}
    assert reading.state == "clean"


def test_however_often_a_full_disk_takes_a_little_one_torn_line_is_left(tmp_path, failing_disk, at, opening):
    """Killed at any time then, the session is taken up again as after any torn line."""
    journal = Journal.create(
        [tmp_path], "full", opening, at(0), disk=failing_disk("write", 2, short=20, for_ever=True)
    )
    journal.append("noted", {"text": "kept", "step": ""}, at(1))
    for _ in range(3):
        journal.retry(at(1), elsewhere=False)
        assert len(journal.waiting) == 1
        assert read_session(journal.path).state == "open tail"
    journal.close()
    with prepare_to_resume(journal.path, at(2)) as again:
        assert [r.kind for r in again.events] == ["session.opened", "recovered"]
    assert verify(journal.path).state == "repaired"


def test_a_file_that_is_taken_away_is_noticed(tmp_path, at, opening):
    journal = Journal.create([tmp_path], "gone", opening, at(0))
    old = journal.path
    old.unlink()
    journal.append("noted", {"text": "a", "step": ""}, at(1))
    assert journal.trouble == "the file was moved, removed or replaced"
    journal.retry(at(2), elsewhere=False)
    assert [r.data.get("text") for r in journal.events[1:]] == ["a", None]
    assert journal.path != old
    assert verify(journal.path).exit_code == 0


def test_a_file_that_another_program_changes_is_noticed(tmp_path, at, opening):
    journal = Journal.create([tmp_path], "changed", opening, at(0))
    with journal.path.open("ab") as other:
        other.write(b"a remark by hand\n")
    journal.append("noted", {"text": "a", "step": ""}, at(1))
    assert journal.trouble == "another program has changed the file"
    journal.retry(at(2), elsewhere=False)
    kinds = [r.kind for r in read_session(journal.path).records]
    assert kinds == ["session.opened", "noted", "session.continued"]


def test_a_real_limit_in_the_middle_of_a_line(tmp_path, child):
    """RLIMIT_FSIZE makes the kernel itself take 100 bytes and refuse the rest."""
    out, err = child("limit", tmp_path).communicate(timeout=30)
    assert err == ""
    lines = out.splitlines()
    assert lines[:2] == ["refused 1 True", "saved [2, 3] True"]
    number, path = lines[2].split(" ", 1)
    assert number == "4"
    verdict = verify(tmp_path / path)
    assert verdict.state == "clean" and len(read_session(tmp_path / path).records) == 4


def test_a_correction_that_waits_still_points_at_the_right_event(tmp_path, failing_disk, at, opening):
    """The waiting events keep their numbers in the new file."""
    disk = failing_disk("fsync", 2)
    journal = Journal.create([tmp_path], "numbers", opening, at(0), disk=disk)
    for kind, data in (("of.the.future", {"value": 4.2}), ("of.the.past", {"ref": 2, "new": 4.7})):
        assert journal.append(kind, data, at(1)) in journal.waiting
    numbered = [(2, "of.the.future"), (3, "of.the.past")]
    assert [(r.n, r.kind) for r in journal.waiting] == numbered
    journal.retry(at(2), elsewhere=False)
    assert [(r.n, r.kind) for r in journal.events[1:]] == [*numbered, (4, "session.continued")]
    assert journal.append("noted", {"text": "on", "step": ""}, at(3)).n == 5
    journal.close()
    assert list(read_session(journal.path).records) == journal.events


def test_a_session_that_is_closed_while_nothing_can_be_saved(tmp_path, failing_disk, at, opening):
    """The closing SHA-256 is worked out for the file the closing event ends up in."""
    from studio.store.disk import SessionClosed

    disk = failing_disk("fsync", 2)
    journal = Journal.create([tmp_path], "closing", opening, at(0), disk=disk)
    closing = {"outcome": "finished", "counts": {}}
    for kind, data in (("noted", {"text": "on", "step": ""}), ("session.finished", closing)):
        assert journal.append(kind, data, at(1)) in journal.waiting
    with pytest.raises(SessionClosed):
        journal.append("noted", {"text": "late", "step": ""}, at(2))
    journal.retry(at(2), elsewhere=False)
    with pytest.raises(SessionClosed):
        journal.append("noted", {"text": "late", "step": ""}, at(2))
    journal.append("addendum", {"text": "washed"}, at(3))
    journal.close()
    verdict = verify(journal.path)
    assert (verdict.state, verdict.hash_ok, len(read_session(journal.path).records)) == ("clean", True, 5)


def test_the_copy_is_on_the_disk_before_a_torn_file_is_touched(tmp_path, at, opening, failing_disk):
    with Journal.create([tmp_path], "torn", opening, at(0)) as journal:
        path = journal.path
    with path.open("ab") as file:
        file.write(b'{"at":')
    before = path.read_bytes()
    disk = failing_disk("fsync", 1)
    with pytest.raises(CannotSave, match=r"Cannot set aside a copy .* nothing was changed"):
        prepare_to_resume(path, at(20), disk=disk)
    assert disk.failures == 1 and path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_torn_file_that_takes_no_line_is_not_gone_on_with(tmp_path, at, opening, failing_disk, call):
    """The copy is made; what tells of it is not on the disk, so nothing may follow it, and the lock is free again."""
    with Journal.create([tmp_path], "torn", opening, at(0)) as journal:
        path = journal.path
    with path.open("ab") as file:
        file.write(b'{"at":')
    with pytest.raises(CannotSave, match=f"Cannot open {path} to go on with it: the disk"):
        prepare_to_resume(path, at(20), disk=failing_disk(call, 2))
    with prepare_to_resume(path, at(30)) as again:
        assert again.events[-1].kind == "recovered"
