"""Two windows on one session: one writes, the other looks on and may take over when the first is gone."""

from __future__ import annotations

import time

import pytest

from studio.store.disk import HeldElsewhere
from studio.store.journal import Journal
from studio.store.reading import read_session
from studio.store.repair import continue_in_new_file, prepare_to_resume


@pytest.fixture
def in_nepal(monkeypatch):
    """A wall that is 5 h 45 min ahead of UTC: nobody mistakes one for the other."""
    with monkeypatch.context() as m:
        m.setenv("TZ", "Asia/Kathmandu")
        time.tzset()
        yield
    time.tzset()


def test_the_second_window_looks_on_and_takes_over_after_kill_9(tmp_path, at, opening, child):
    with Journal.create([tmp_path], "two windows", opening, at(0)) as journal:
        path = journal.path
    holder = child("hold", path)
    assert holder.stdout.readline() == "held\n", holder.stderr.read()
    for go_on in (prepare_to_resume, continue_in_new_file):
        with pytest.raises(HeldElsewhere):
            go_on(path, at(1))
        resumed = read_session(path).records[-1]
        assert resumed.kind == "session.resumed"
    holder.kill()
    holder.wait()
    with prepare_to_resume(path, at(2)) as journal:
        assert journal.append("noted", {"text": "mine now", "step": ""}, at(3)).n == 3
    assert [p.name for p in tmp_path.iterdir()] == [path.name], "nothing is left behind"


def test_a_second_opening_in_the_same_process_is_refused_too(tmp_path, at, opening, in_nepal):
    with Journal.create([tmp_path], "two windows", opening, at(0)) as journal:
        with pytest.raises(HeldElsewhere) as caught:
            prepare_to_resume(journal.path, at(1))
        told = "Open in another window since 2026-09-21 19:58: "
        assert str(caught.value).startswith(told), "a local time, never 14:13:20Z"
        assert journal.append("noted", {"text": "still mine", "step": ""}, at(2)).n == 2
    prepare_to_resume(journal.path, at(3)).close()


def test_the_lock_moves_with_a_rescue(tmp_path, at, opening, failing_disk):
    with Journal.create([tmp_path], "moved", opening, at(0), disk=failing_disk("fsync", 2)) as journal:
        journal.append("noted", {"text": "a", "step": ""}, at(1))
        old = journal.path
        journal.retry(at(2), elsewhere=False)
        with pytest.raises(HeldElsewhere):
            prepare_to_resume(journal.path, at(3))
        with pytest.raises(Exception, match=f"was continued in {journal.path.name}"):
            prepare_to_resume(old, at(3))
