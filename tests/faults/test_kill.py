"""kill -9 at random moments: every number that was shown is in the file, and the next run goes on."""

from __future__ import annotations

import random
import time

import pytest

from studio.store.files import is_session_name
from studio.store.reading import read_session


def shown_before_kill(process, delay_s: float) -> list[tuple[int, str]]:
    first = process.stdout.readline()
    time.sleep(delay_s)
    lines = (first + process.end()).split("\n")[:-1]
    return [(int(n), crc) for n, crc in (line.split() for line in lines)]


def kill_many(times: int, folder, forked, seed: int) -> None:
    chance = random.Random(seed)
    shown: dict[int, str] = {}
    for _ in range(times):
        shown.update(shown_before_kill(forked("children.py", "append", folder), chance.uniform(0, 0.01)))
        (path,) = (p for p in folder.iterdir() if is_session_name(p.name))
        reading = read_session(path)
        kept = {record.n: record.crc for record in reading.records}
        assert shown.items() <= kept.items()
        assert reading.state in ("clean", "repaired", "open tail")
    assert len(shown) > times


def test_four_kills(tmp_path, forked):
    kill_many(4, tmp_path, forked, 1)


@pytest.mark.deep
def test_two_hundred_kills(tmp_path, forked):
    kill_many(200, tmp_path, forked, 2)
