"""The database behind the logbook: a file in the user's cache folder, or memory where that cannot be had.

It holds nothing that the session files do not say. Whatever is wrong with it, it is thrown away.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING

from studio import __version__
from studio.plan.habit_kinds import KIND_OF
from studio.store.errors import StoreError
from studio.store.folder import studio_mark

if TYPE_CHECKING:
    from sqlite3 import Connection

LAYOUT = """
CREATE TABLE session (
  id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, size INTEGER NOT NULL, mtime_ns INTEGER NOT NULL,
  last TEXT NOT NULL, day TEXT NOT NULL, standing TEXT NOT NULL, least_rating INTEGER,
  dyes TEXT NOT NULL, base TEXT NOT NULL, method TEXT NOT NULL, due TEXT, row BLOB NOT NULL);
CREATE INDEX waiting ON session (due) WHERE due IS NOT NULL;
CREATE TABLE observed (session TEXT NOT NULL, habit TEXT NOT NULL, place INTEGER NOT NULL, value REAL NOT NULL);
CREATE INDEX observed_newest ON observed (habit, session DESC, place);
CREATE INDEX observed_of ON observed (session);
CREATE TABLE part (session TEXT NOT NULL, older TEXT NOT NULL, last TEXT NOT NULL);
CREATE VIRTUAL TABLE wordlist USING fts5(words, tokenize = 'unicode61 remove_diacritics 2', prefix = '1 2 3');
"""
OURS = zlib.crc32(f"{__version__}{LAYOUT}{','.join(KIND_OF)}".encode()) & 0x7FFFFFFF
"""Marks a database made by this version of the program, with these habits; another one is made anew."""
_HELD = (5, 6)
"""SQLITE_BUSY and SQLITE_LOCKED. **Source:** SQLite documentation, Result and Error Codes."""
PATIENCE_S = 3.0
"""How long another window may hold the database before we do without. House rule."""


class IndexBroken(StoreError):
    """The database cannot be used as it is; `forget` and fill it again."""


def cache_file(root: Path) -> Path:
    """Where the database of a studio folder is kept: one for each folder, told apart by its path."""
    from platformdirs import user_cache_path

    cache = user_cache_path("potside", appauthor=False)
    if not cache.is_absolute():
        cache = Path.home() / ".cache" / "potside"
    return cache / f"logbook-{studio_mark(root)}.sqlite3"


class IndexBusy(IndexBroken):
    """Another window holds it; it is whole, and must not be thrown away."""


class IndexFile:
    """One database. Every use opens and closes the file, so that nothing is held between two uses."""

    def __init__(self, path: Path | None) -> None:
        self.path = path
        """None while it is kept in memory."""
        self._memory: Connection | None = None
        self._one_at_a_time = RLock()

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A connection to a database that is laid out. IndexBroken where that cannot be had."""
        import sqlite3

        try:
            with self._one_at_a_time:
                if self.path is None:
                    self._memory = self._memory or _connect(":memory:")
                    yield self._memory
                    return
                with suppress(OSError):
                    self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
                with closing(_connect(str(self.path))) as connection:
                    yield connection
        except sqlite3.Error as error:
            kind = IndexBusy if getattr(error, "sqlite_errorcode", 0) & 0xFF in _HELD else IndexBroken
            raise kind(f"The logbook's index cannot be used: {error}.") from error

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """The same; what was changed is kept when all went well, and none of it otherwise."""
        with self.reading() as connection:
            connection.execute("BEGIN IMMEDIATE")
            try:
                yield connection
                connection.execute("COMMIT")
            except BaseException:
                if connection.in_transaction:
                    connection.execute("ROLLBACK")
                raise

    def forget(self) -> None:
        """Throw the database away; from a file that cannot be removed, turn to memory."""
        with self._one_at_a_time:
            self.close()
            if self.path is None:
                return
            try:
                for name in (self.path.name, f"{self.path.name}-journal"):
                    self.path.with_name(name).unlink(missing_ok=True)
            except OSError:
                self.turn_to_memory()

    def turn_to_memory(self) -> None:
        """Keep it in memory from now on."""
        self.path = None

    def close(self) -> None:
        """Let go of what is kept in memory."""
        with self._one_at_a_time:
            if self._memory is not None:
                self._memory.close()
                self._memory = None


def _connect(place: str) -> Connection:
    """A connection to a database that is laid out; sqlite3.Error where it is none of ours."""
    import sqlite3

    connection = sqlite3.connect(place, timeout=PATIENCE_S, isolation_level=None, check_same_thread=False)
    try:
        connection.execute("PRAGMA trusted_schema = OFF")
        connection.execute("PRAGMA synchronous = NORMAL")
        mark = _mark(connection)
        if mark == 0:
            _lay_out(connection)
        elif mark != OURS:
            raise sqlite3.DatabaseError("another version of the program made it")
    except BaseException:
        connection.close()
        raise
    return connection


def _mark(connection: Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])


def _lay_out(connection: Connection) -> None:
    connection.execute("BEGIN IMMEDIATE")
    if _mark(connection) == 0:  # no other window was faster
        for statement in LAYOUT.split(";\n"):
            connection.execute(statement)
        connection.execute(f"PRAGMA user_version = {OURS}")
    connection.execute("COMMIT")
