"""The logbook's index: finds sessions by their words, and is made of the session files alone."""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from threading import RLock
from typing import TYPE_CHECKING, TypeVar

import msgspec

from studio import __version__
from studio.plan.habits import KIND_OF
from studio.store.disk import StoreError
from studio.store.folder import Stamp, StudioFolder, studio_mark

if TYPE_CHECKING:
    from sqlite3 import Connection

    from studio.logbook.entry import LogbookEntry, LogbookRow, Wanted


# The database behind the logbook: a file in the user's cache folder, or memory where that cannot be had.
# It holds nothing that the session files do not say. Whatever is wrong with it, it is thrown away.

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
OBSERVERS = 6
"""Goes up where a habit comes to mean something else (`session.after.observing`) or a row holds more."""
OURS = zlib.crc32(f"{__version__}{LAYOUT}{OBSERVERS}{','.join(KIND_OF)}".encode()) & 0x7FFFFFFF
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
        try:
            import sqlite3
        except ImportError:
            raise IndexBroken(
                "The logbook needs sqlite3, and this Python was built without it: use another Python. "
                "A session is opened by its name without it: potside resume NAME, potside show NAME."
            ) from None
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


# The logbook's index: finds sessions by their words, and is made of the session files alone. It is
# brought up to date from the files whose name, size or time differ, and is never the truth: a damaged
# index is thrown away and made anew, and where the cache folder cannot be written it lives in memory.

AT_ONCE = 64
"""Files that are read before they are written down together. House rule."""

Told = tuple[list["LogbookRow"], int]
Answer = TypeVar("Answer")
Measurements = dict[str, list[tuple[str, float]]]
"""By habit: name of the session and what was measured in it, newest session first."""


Progress = Callable[[int, int], object]
"""Told how many files are read, and how many are to be."""
Stop = Callable[[], bool]


class RefreshCounts(msgspec.Struct, frozen=True):
    """What bringing the logbook up to date came to."""

    sessions: int
    """Session files there are."""
    read: int
    """Files that were new or changed, and were read."""
    gone: int
    """Sessions that were known and are no longer there."""
    left: int
    """Files still to be read, because it was stopped."""


class Index:
    """Finds the sessions of one studio folder. May be used by several threads and several windows."""

    def __init__(self, folder: StudioFolder, *, file: Path | None = None) -> None:
        """`file` is the database, in the user's cache folder where it is not named."""
        self.folder = folder
        self.database = IndexFile(file or cache_file(folder.root))

    def refresh(
        self, progress: Progress = lambda done, total: None, stop: Stop = lambda: False
    ) -> RefreshCounts:
        """Take in what is new, forget what is gone; CannotRead where the folder cannot be listed.

        `progress(done, total)` is told of the files that had to be read; when `stop()` turns true the rest
        is left for the next time.
        """
        return self._sure(lambda: self._refresh(progress, stop))

    def search(self, wanted: Wanted, limit: int | None = 500) -> Told:
        """Rows, newest first, at most `limit`, and how many there are in all. Looks at no session file."""
        return self._sure(lambda: self._search(wanted, limit), self.refresh)

    def observed(self, habits: Sequence[str], newest: int) -> Measurements:
        """The newest measurements of each habit. Looks at no session file."""
        return self._sure(lambda: self._observed(habits, newest), self.refresh)

    def _sure(self, ask: Callable[[], Answer], fill: Callable[[], object] | None = None) -> Answer:
        """The answer; a database that cannot be used is thrown away and filled again, in memory in the end.

        One that another window holds is left alone. IndexBroken where this Python has none that can be used.
        """
        for in_memory in (False, True):
            try:
                return ask()
            except IndexBroken as problem:
                if in_memory or isinstance(problem, IndexBusy):
                    self.database.turn_to_memory()
                else:
                    self.database.forget()
            if fill is not None:
                fill()
        return ask()

    def _refresh(self, progress: Progress, stop: Stop) -> RefreshCounts:
        found = self.folder.stamps()
        with self.database.reading() as connection:
            known = _known(connection)
        gone = known.keys() - found.keys()
        if gone:
            with self.database.writing() as connection:
                for key in gone:
                    _forget(connection, key)
        waiting = sorted((key for key, stamp in found.items() if known.get(key) != stamp), reverse=True)
        done = 0
        for start in range(0, len(waiting), AT_ONCE):
            from studio.logbook.entry import entry_of  # Of no use to a bench that finds all of them known.

            batch: list[tuple[LogbookEntry, Stamp]] = []
            for key in waiting[start : start + AT_ONCE]:
                if stop():
                    break
                progress(done, len(waiting))
                batch.append((entry_of(self.folder.session_file(key)), found[key]))
                done += 1
            self._write(batch)
            if stop():
                break
        if done:
            progress(done, len(waiting))
        return RefreshCounts(len(found), done, len(gone), len(waiting) - done)

    def _write(self, batch: Sequence[tuple[LogbookEntry, Stamp]]) -> None:
        if not batch:
            return
        with self.database.writing() as connection:
            for entry, stamp in batch:
                _put(connection, entry, stamp)

    def _observed(self, habits: Sequence[str], newest: int) -> Measurements:
        with self.database.reading() as connection:
            told = {habit: connection.execute(_NEWEST, (habit, newest)).fetchall() for habit in habits}
        try:
            return {habit: [(str(key), float(value)) for key, value in rows] for habit, rows in told.items()}
        except (TypeError, ValueError) as problem:
            raise IndexBroken("The logbook's index holds measurements that are none.") from problem

    def _search(self, wanted: Wanted, limit: int | None) -> Told:
        if wanted.hopeless:
            return [], 0
        from studio.logbook.entry import LogbookRow

        decoder = msgspec.json.Decoder(LogbookRow)
        where, values = _condition(wanted)
        with self.database.reading() as connection:
            if limit is None:
                told = connection.execute(
                    f"SELECT row FROM session{where} ORDER BY key DESC", values
                ).fetchall()
                total = len(told)
            else:
                # Once through the numbers alone: cheaper than counting first and listing after.
                numbers = f"SELECT id FROM session{where} ORDER BY key DESC"
                found = connection.execute(numbers, values).fetchall()
                total = len(found)
                one = "SELECT row FROM session WHERE id = ?"
                rows = (connection.execute(one, number).fetchone() for number in found[: max(0, limit)])
                told = [row for row in rows if row]  # another window may have forgotten one meanwhile
        try:
            return [decoder.decode(row) for (row,) in told], total
        except (msgspec.DecodeError, TypeError, ValueError) as problem:
            raise IndexBroken("The logbook's index holds rows that are none.") from problem


_OLDER = "SELECT part.older FROM part JOIN session AS old ON old.key = part.older AND old.last = part.last"
"""Files that are no more than a part of another; a session is listed once."""
_NEWEST = (
    f"SELECT session, value FROM observed WHERE habit = ? AND session NOT IN ({_OLDER}) "
    "ORDER BY session DESC, place LIMIT ?"
)


def _known(connection: Connection) -> dict[str, Stamp]:
    rows = connection.execute("SELECT key, size, mtime_ns FROM session")
    return {key: (size, mtime_ns) for key, size, mtime_ns in rows}


def _put(connection: Connection, entry: LogbookEntry, stamp: Stamp) -> None:
    """One session in place of what was known of it."""
    from studio.logbook.entry import phrase, phrases

    row = entry.row
    _forget(connection, row.key)
    size, mtime_ns = stamp if entry.lasting else (-1, -1)
    values = (
        *(row.key, size, mtime_ns, entry.last, entry.day, row.standing, entry.least_rating),
        *(
            phrases(row.dyes),
            phrases(row.base.split(", ")),
            phrase(row.method),
            entry.due,
            msgspec.json.encode(row),
        ),
    )
    places = ", ".join("?" * len(values))
    names = "key, size, mtime_ns, last, day, standing, least_rating, dyes, base, method, due, row"
    new = connection.execute(f"INSERT INTO session ({names}) VALUES ({places})", values).lastrowid
    connection.execute("INSERT INTO wordlist (rowid, words) VALUES (?, ?)", (new, entry.words))
    connection.executemany(
        "INSERT INTO observed (session, habit, place, value) VALUES (?, ?, ?, ?)",
        [(row.key, habit, place, value) for place, (habit, value) in enumerate(entry.observed)],
    )
    connection.executemany(
        "INSERT INTO part (session, older, last) VALUES (?, ?, ?)",
        [(row.key, older, last) for older, last in entry.parts],
    )


def _forget(connection: Connection, key: str) -> None:
    old = connection.execute("SELECT id FROM session WHERE key = ?", (key,)).fetchone()
    if old:
        connection.execute("DELETE FROM wordlist WHERE rowid = ?", old)
        connection.execute("DELETE FROM session WHERE id = ?", old)
        connection.execute("DELETE FROM observed WHERE session = ?", (key,))
        connection.execute("DELETE FROM part WHERE session = ?", (key,))


def _condition(wanted: Wanted) -> tuple[str, tuple[str | int, ...]]:
    """The search as SQL. What a person typed stands in no statement: words are quoted, the rest is bound."""
    from studio.logbook.entry import phrase

    asked: Mapping[str, str | int | None] = {
        # Words hold letters and digits alone (words_of), so no quote can end the quoting.
        "id IN (SELECT rowid FROM wordlist WHERE wordlist MATCH ?)": " ".join(
            f'"{word}"*' for word in wanted.words
        ),
        "instr(dyes, ?)": phrase(wanted.dye),
        "instr(base, ?)": phrase(wanted.base),
        "instr(method, ?)": phrase(wanted.method),
        "least_rating >= ?": wanted.least_rating,
        "day >= ?": wanted.since.isoformat() if wanted.since else None,
        "day <= ?": wanted.until.isoformat() if wanted.until else None,
        "standing = ?": "open" if wanted.unfinished else None,
        "id IN (SELECT id FROM session WHERE due >= ?)": "0" if wanted.waiting else None,
    }
    used = {clause: value for clause, value in asked.items() if value is not None and value != ""}
    where = " AND ".join((f"key NOT IN ({_OLDER})", *used))
    return f" WHERE {where}", tuple(used.values())
