"""What `append` returns is in the file, and nothing else is."""

from __future__ import annotations

import hashlib
import os
import re
import stat

import pytest

from studio.store.copies import verify
from studio.store.disk import CannotSave, SessionClosed, Unstorable
from studio.store.journal import Journal
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume


def test_a_new_file_is_private_whatever_the_umask(tmp_path, at, opening):
    before = os.umask(0)
    try:
        with Journal.create([tmp_path], "Tidewrack stripes", opening, at(0)) as journal:
            assert stat.S_IMODE(journal.path.stat().st_mode) == 0o600
    finally:
        os.umask(before)


@pytest.mark.parametrize(
    "title", ["../../etc/x", "con", "a\0b", "x" * 300, "", "\U0001f9f6", "-rf", "\x1b]0;t\x07", "/"]
)
def test_no_title_leads_out_of_the_folder(tmp_path, at, opening, title):
    with Journal.create([tmp_path], title, {**opening, "title": title}, at(0), utc_offset_min=60) as journal:
        assert journal.path.parent == tmp_path
        # 1 790 000 000 s after 1970 is 2026-09-21 14:13:20 UTC (`date -u -d @1790000000`).
        assert re.fullmatch(r"20260921-1513-[a-z0-9-]{1,40}-[0-9a-f]{4}\.jsonl", journal.path.name)
    assert read_session(journal.path).records[0].data["title"] == title


def test_every_event_is_there_when_append_returns(tmp_path, at, opening):
    with Journal.create([tmp_path], "t", opening, at(0)) as journal:
        for i in range(5):
            record = journal.append("of.the.future", {"i": i}, at(i + 1))
            assert read_session(journal.path).records[-1] == record
            assert (record.n, record.at) == (i + 2, f"2026-09-21T14:13:2{i + 1}.000Z")
        assert not journal.waiting
    assert [r.prev for r in journal.events[1:]] == [r.crc for r in journal.events[:-1]]


def test_the_closing_event_proves_all_before_it(tmp_path, at, opening):
    with Journal.create([tmp_path], "t", opening, at(0)) as journal:
        journal.append("noted", {"text": "rolled", "step": ""}, at(1))
        before = journal.path.read_bytes()
        closing = journal.append("session.finished", {"outcome": "finished", "counts": {"noted": 1}}, at(2))
        assert closing.data == {
            "outcome": "finished",
            "counts": {"noted": 1},
            "sha256": hashlib.sha256(before).hexdigest(),
        }
        with pytest.raises(SessionClosed, match="only an addendum"):
            journal.append("noted", {"text": "late", "step": ""}, at(3))
        journal.append("addendum", {"text": "faded a little by March"}, at(4))
    verdict = verify(journal.path)
    assert (verdict.state, verdict.hash_ok, len(read_session(journal.path).records)) == ("clean", True, 4)


def test_an_addendum_weeks_later(tmp_path, at, opening):
    with Journal.create([tmp_path], "t", opening, at(0)) as journal:
        journal.append("session.finished", {"outcome": "finished", "counts": {}}, at(2))
    with prepare_to_resume(journal.path, at(1_999_999)) as again:
        again.append("addendum", {"text": "washed"}, at(2_000_000))
    assert verify(journal.path).exit_code == 0


def test_what_cannot_be_kept_leaves_no_trace(tmp_path, at, opening):
    with Journal.create([tmp_path], "t", opening, at(0)) as journal:
        with pytest.raises(Unstorable):
            journal.append("noted", {"x": float("nan")}, at(1))
        assert not journal.waiting
        assert journal.append("of.the.future", {"x": 1}, at(1)).n == 2
    with pytest.raises(Unstorable):
        Journal.create([tmp_path], "t", {"x": float("inf")}, at(0))
    assert len(list(tmp_path.iterdir())) == 1


def test_folders_that_take_nothing(tmp_path, at, opening):
    in_place = tmp_path / "file"
    in_place.write_text("x")
    for folder, told in ((tmp_path / "no", "it is not there"), (in_place, "a part of the path is a file")):
        with pytest.raises(CannotSave, match=told) as caught:
            Journal.create([folder], "t", opening, at(0))
        assert caught.value.exit_code == 4
        assert "--studio" in str(caught.value)
        assert str(folder) in str(caught.value)


def test_a_session_of_ten_thousand_events_opens(tmp_path, at, opening):
    from studio.session.folding import FIRST_PREV, Record
    from studio.store.line import encode

    prev, lines = FIRST_PREV, []
    for n in range(1, 10_001):
        record = Record(
            n=n,
            kind="noted",
            at="2026-09-21T14:13:20.000Z",
            boot_ns=n,
            boot="b",
            data={"text": f"note {n / 3}", "step": ""},
        )
        line = encode(record, prev)
        lines.append(line)
        prev = line[-11:-3].decode()
    path = tmp_path / "long.jsonl"
    path.write_bytes(b"".join(lines))
    assert len(read_session(path).records) == 10_000
