"""Lines taken out, swapped, doubled, run together, given other line ends: kept, and the cause is named."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.store.copies import judge
from studio.store.reading import read_text

NAME = Path("x.jsonl")


def numbers(reading) -> list[int]:
    return [record.n for record in reading.records]


def test_a_line_taken_out(thirty):
    raw, records = thirty
    lines = [x + b"\n" for x in raw.split(b"\n")[:-1]]
    for i in range(1, 29):
        reading = read_text(NAME, b"".join(lines[:i] + lines[i + 1 :]))
        assert list(reading.records) == records[:i] + records[i + 1 :]
        assert reading.missing == ((i + 1, i + 1),)
        assert [p.text for p in reading.problems] == [f"Event {i + 1} is missing before line {i + 1}."]
        assert judge(reading).exit_code == 3


def test_two_lines_swapped(thirty):
    raw, records = thirty
    lines = [x + b"\n" for x in raw.split(b"\n")[:-1]]
    lines[8], lines[9] = lines[9], lines[8]
    reading = read_text(NAME, b"".join(lines))
    assert list(reading.records) == records
    assert [p.text for p in reading.problems] == ["Line 10 (event 9) stands after event 10; it was put back."]
    assert reading.state == "damaged"


def test_a_line_doubled(thirty):
    raw, records = thirty
    lines = [x + b"\n" for x in raw.split(b"\n")[:-1]]
    reading = read_text(NAME, b"".join([*lines[:12], lines[11], *lines[12:]]))
    assert list(reading.records) == records
    assert [p.text for p in reading.problems] == ["Line 13 repeats line 12 (event 12)."]


def test_two_writers_with_the_same_number(thirty, tmp_path, at, opening):
    """Two copies of one session that went on apart, glued together: one is kept, both are named."""
    raw, records = thirty
    from studio.session.folding import Record
    from studio.store.line import encode

    other = encode(
        Record(
            n=12, kind="noted", at=records[11].at, boot_ns=5, boot="b", data={"text": "other", "step": ""}
        ),
        records[10].crc,
    )
    lines = [x + b"\n" for x in raw.split(b"\n")[:-1]]
    reading = read_text(NAME, b"".join([*lines[:12], other, *lines[12:]]))
    assert list(reading.records) == records
    (problem,) = reading.problems
    assert problem.text == "Lines 12 and 13 are two different events numbered 12; line 12 is kept."
    assert reading.state == "damaged"


@pytest.mark.parametrize("glue", [b"", b" ", b"\r", b"\x00" * 7])
def test_two_lines_run_together(thirty, glue):
    raw, records = thirty
    lines = raw.split(b"\n")
    reading = read_text(NAME, b"\n".join([*lines[:4], lines[4] + glue + lines[5], *lines[6:]]))
    assert list(reading.records) == records
    assert reading.state == "repaired"
    assert any(p.text == "Events 5 and 6 stand on one line (5); both are kept." for p in reading.problems)


def test_a_torn_line_before_a_whole_one_on_the_same_line(thirty):
    raw, records = thirty
    lines = raw.split(b"\n")
    reading = read_text(NAME, b"\n".join([*lines[:4], lines[4][:50] + lines[4], *lines[5:]]))
    assert list(reading.records) == records
    assert reading.state == "repaired"


def test_line_ends_of_another_program(thirty):
    raw, records = thirty
    reading = read_text(NAME, raw.replace(b"\n", b"\r\n"))
    assert list(reading.records) == records
    assert reading.state == "clean"
    assert reading.notes == (
        "Line endings of 30 lines were changed by another program; nothing is lost by it.",
    )
    assert (judge(reading).hash_ok, judge(reading).exit_code) == (True, 0)


def test_a_byte_order_mark(thirty):
    raw, records = thirty
    reading = read_text(NAME, b"\xef\xbb\xbf" + raw.replace(b"\n", b"\r\n"))
    assert list(reading.records) == records
    assert len(reading.notes) == 2
    assert judge(reading).hash_ok is True


@pytest.mark.parametrize("size", [1, 512, 4096, 70_000])
def test_zeros_at_the_end(thirty, size):
    raw, records = thirty
    reading = read_text(NAME, raw + bytes(size))
    assert list(reading.records) == records
    assert reading.state == "open tail"
    assert (
        reading.problems[0].text
        == f"The last {size} bytes (line 31) are no whole event: it is all zero bytes."
    )


def test_several_torn_lines_at_the_end_are_damage(thirty):
    raw, _ = thirty
    assert read_text(NAME, raw + b"old\nstale\nblock").state == "damaged"


def test_nothing_of_a_session(thirty):
    for raw in (b"", b"\n", b"root:x:0:0\n", bytes(5000), b"\xff\xfe" * 900):
        reading = read_text(NAME, raw)
        assert (reading.records, reading.state) == ((), "damaged")
        assert judge(reading).exit_code == 3


@pytest.mark.deep
def test_a_hostile_file_is_answered(no_hang):
    """Many ends and many starts, none of which belong together."""
    piece = b'{"at":"' + b',"crc":"00000000"}'
    with no_hang(120):
        assert read_text(NAME, piece * 120_000).state == "damaged"
        assert read_text(NAME, (b'{"at":"' * 50 + b',"crc":"00000000"}\n') * 4_000).state == "damaged"
