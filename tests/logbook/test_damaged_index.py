"""An index that is damaged, or another program's, is thrown away and made anew from the files."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from studio.logbook.entry import Wanted
from studio.logbook.index import Index

TIDEWRACK = "20260912-0704-tidewrack-stripes-63ea.jsonl"


def garbage(path: Path) -> None:
    path.write_bytes(b"no database\n" * 1000)


def torn(path: Path) -> None:
    path.write_bytes(path.read_bytes()[:9000])


def holes(path: Path) -> None:
    raw = bytearray(path.read_bytes())
    raw[4096:] = bytes(len(raw) - 4096)
    path.write_bytes(raw)


def foreign(path: Path) -> None:
    with sqlite3.connect(path) as other:
        other.execute("PRAGMA user_version = 7")


def odd_rows(path: Path) -> None:
    with sqlite3.connect(path) as other:
        other.execute("UPDATE session SET row = ?", (b'{"key": 3}',))


def no_words(path: Path) -> None:
    with sqlite3.connect(path) as other:
        other.execute("DROP TABLE wordlist")


@pytest.mark.one_in(3)
@pytest.mark.parametrize("harm", [garbage, torn, holes, foreign, odd_rows, no_words])
@pytest.mark.parametrize("first", ["search", "refresh"])
def test_a_damaged_index_is_thrown_away_and_made_anew(index: Index, harm, first: str) -> None:
    path = index.database.path
    assert path is not None
    harm(path)
    if first == "refresh":
        index.refresh()
    assert [row.key for row in index.search(Wanted(text="draught"))[0]] == [TIDEWRACK]
    assert index.search(Wanted())[1] == 4
    assert index.database.path == path, "it is a file again"
    with sqlite3.connect(path) as looked_at:
        assert looked_at.execute("SELECT count(*) FROM session").fetchone() == (4,)
