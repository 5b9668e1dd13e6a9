"""Every bit of a session file turned round: no event is ever silently another one."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.store.copies import judge
from studio.store.reading import read_text


def check(raw: bytes, records: list, bit: int) -> None:
    flipped = bytearray(raw)
    flipped[bit // 8] ^= 1 << bit % 8
    reading = read_text(Path("x.jsonl"), bytes(flipped))
    line = raw.count(b"\n", 0, bit // 8) + 1
    by_number = {record.n: record for record in records}
    assert all(by_number[record.n] == record for record in reading.records), bit
    lost = by_number.keys() - {record.n for record in reading.records}
    at_line_feed = raw[bit // 8] == 0x0A
    assert lost <= {line}, bit
    assert at_line_feed or lost == {line}, bit
    assert reading.state != "clean", bit
    assert any(problem.line in (line, line + 1) for problem in reading.problems), bit
    assert judge(reading).exit_code != 0, bit


def test_a_sample_of_flips_in_every_line(thirty):
    raw, records = thirty
    for bit in range(0, len(raw) * 8, 243):
        check(raw, records, bit)


def test_every_flip_around_the_line_ends(thirty, sampled):
    raw, records = thirty
    for end in sampled([i for i, byte in enumerate(raw) if byte == 0x0A], 4):
        for bit in range((end - 2) * 8, min(end + 3, len(raw)) * 8):
            check(raw, records, bit)


@pytest.mark.deep
def test_every_flip_of_one_line_of_each_text(nine):
    raw, records = nine
    for bit in range(len(raw) * 8):
        check(raw, records, bit)


def test_a_block_of_zeros_costs_only_what_it_covers(thirty):
    raw, records = thirty
    for start in range(0, len(raw), 512):
        zeroed = raw[:start] + bytes(len(raw[start : start + 512])) + raw[start + 512 :]
        reading = read_text(Path("x.jsonl"), zeroed)
        first, last = raw.count(b"\n", 0, start) + 1, raw.count(b"\n", 0, min(start + 511, len(raw) - 1)) + 1
        kept = [record for record in records if record.n < first or record.n > last]
        assert [record for record in reading.records if not first <= record.n <= last] == kept
        assert all(records[record.n - 1] == record for record in reading.records)
        assert reading.state in ("damaged", "open tail")
