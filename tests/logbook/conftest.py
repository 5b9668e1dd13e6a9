"""What the index is held against: the files themselves, read whole."""

from __future__ import annotations

import shutil
import sqlite3
from pathlib import Path

import pytest

from studio.logbook.entry import LogbookEntry, Wanted, entry_of, phrase, phrases
from studio.logbook.index import Index, Told
from studio.store.folder import StudioFolder

ROOT = Path(__file__).resolve().parents[2]


def studio_in(root: Path) -> StudioFolder:
    """A studio with the four painted sample sessions."""
    (root / "studio" / "shared").mkdir(parents=True)
    (root / "studio" / "sessions").mkdir()
    for path in sorted((ROOT / "sessions").glob("*.jsonl"))[:4]:
        shutil.copy2(path, root / "studio" / "sessions")
    return StudioFolder(root / "studio")


@pytest.fixture
def studio(tmp_path: Path) -> StudioFolder:
    return studio_in(tmp_path)


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Index:
    """The index of those four, made once: to be searched, never changed."""
    root = tmp_path_factory.mktemp("whole")
    made = Index(studio_in(root), file=root / "cache" / "logbook.sqlite3")
    assert made.refresh().read == 4
    return made


@pytest.fixture
def index(studio: StudioFolder, whole: Index, tmp_path: Path) -> Index:
    """An index of the test's own, which has read its four sessions."""
    file = tmp_path / "cache" / "logbook.sqlite3"
    file.parent.mkdir()
    with sqlite3.connect(whole.database.path) as source, sqlite3.connect(file) as copy:
        source.backup(copy)
    made = Index(studio, file=file)
    assert made.refresh().read == 0
    return made


class PlainLogbook:
    """Answers like `Index`, from entries read into memory: slow, and needs no database at all."""

    def __init__(self, folder: StudioFolder) -> None:
        self.folder = folder
        self._kept: dict[str, LogbookEntry] = {}

    def refresh(self) -> None:
        self._kept = {p.name: entry_of(p) for p in self.folder.session_paths()}

    def search(self, wanted: Wanted, limit: int | None = 500) -> Told:
        """Rows, newest first, at most `limit`, and how many there are in all."""
        older = self._older()
        kept = [entry for entry in self._kept.values() if entry.row.key not in older]
        entries = [entry for entry in kept if meets(entry, wanted)]
        entries.sort(key=lambda entry: entry.row.key, reverse=True)
        return [entry.row for entry in entries[:limit]], len(entries)

    def _older(self) -> set[str]:
        """Files that are no more than a part of another; a session is listed once."""
        entries = list(self._kept.values())
        parts = {part for entry in entries for part in entry.parts}
        return {entry.row.key for entry in entries if (entry.row.key, entry.last) in parts}


def meets(entry: LogbookEntry, wanted: Wanted) -> bool:
    """Whether an entry meets a search, worked out without any index."""
    row = entry.row
    kept = entry.words.split(" ")
    lowest = entry.least_rating
    return (
        not wanted.hopeless
        and all(any(word.startswith(begun) for word in kept) for begun in wanted.words)
        and phrase(wanted.dye) in phrases(row.dyes)
        and phrase(wanted.base) in phrases(row.base.split(", "))
        and phrase(wanted.method) in phrase(row.method)
        and (wanted.least_rating is None or (lowest is not None and lowest >= wanted.least_rating))
        and (wanted.since is None or entry.day >= wanted.since.isoformat())
        and (wanted.until is None or entry.day <= wanted.until.isoformat())
        and (not wanted.unfinished or row.standing == "open")
        and (not wanted.waiting or entry.due is not None)
    )


@pytest.fixture(scope="session")
def plain_logbook() -> type[PlainLogbook]:
    return PlainLogbook
