"""Whether a file can be trusted."""

from __future__ import annotations

import zlib

import pytest

from studio.store.copies import verify
from studio.store.journal import Journal
from studio.store.line import encode
from studio.store.reading import read_session


@pytest.fixture
def finished(tmp_path, at, opening):
    with Journal.create([tmp_path], "stripes", opening, at(0)) as journal:
        journal.append("kind.of.the.future", {"value": 4.2}, at(1))
        journal.append("session.finished", {"outcome": "finished", "counts": {"steps": 1}}, at(2))
    return journal.path


def test_a_finished_session(finished):
    verdict = verify(finished)
    assert verdict.sentences == (f"{finished.name}: clean, 3 events, finished, SHA-256 matches.",)
    assert (verdict.exit_code, verdict.hash_ok) == (0, True)


def test_a_session_that_was_left(tmp_path, at, opening):
    with Journal.create([tmp_path], "stripes", opening, at(0)) as journal:
        pass
    verdict = verify(journal.path)
    assert verdict.sentences == (f"{journal.path.name}: clean, 1 events, not finished.",)
    assert (verdict.exit_code, verdict.hash_ok) == (0, None)


def test_a_value_changed_by_hand_with_every_check_sum_made_good(finished):
    """Whoever recomputes the chain but not the closing SHA-256 is found out."""
    import msgspec

    records = list(read_session(finished).records)
    records[1] = msgspec.structs.replace(records[1], data={"value": 4.7})
    prev, lines = "00000000", []
    for record in records:
        lines.append(encode(record, prev))
        covered = lines[-1][: lines[-1].rindex(b',"crc"')]
        prev = format(zlib.crc32(covered), "08x")
    finished.write_bytes(b"".join(lines))
    assert read_session(finished).state == "clean"
    verdict = verify(finished)
    assert (verdict.state, verdict.exit_code, verdict.hash_ok) == ("damaged", 3, False)
    assert "The closing SHA-256 does not match what stands before it." in verdict.sentences


def test_an_event_written_after_closing(finished, at):
    from studio.session.folding import Record

    last = read_session(finished).records[-1]
    with finished.open("ab") as file:
        file.write(
            encode(
                Record(n=4, kind="noted", at=last.at, boot_ns=9, boot="b", data={"text": "late", "step": ""}),
                last.crc,
            )
        )
    verdict = verify(finished)
    assert (verdict.state, verdict.exit_code, verdict.hash_ok) == ("written after closing", 1, True)
    assert "Event 4 (noted) was written after the session was closed." in verdict.sentences


def test_a_torn_addendum_is_repaired_and_the_proof_still_holds(finished, at):
    from studio.store.repair import prepare_to_resume

    with finished.open("ab") as file:
        file.write(b'{"at":"2026')
    assert (verify(finished).state, verify(finished).exit_code) == ("open tail", 1)
    with prepare_to_resume(finished, at(9)) as journal:
        journal.append("addendum", {"text": "washed"}, at(10))
    assert (verify(finished).state, verify(finished).hash_ok) == ("repaired", True)
