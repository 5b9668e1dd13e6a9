"""A logbook of 10,000 whole sessions: taken in, opened, searched and compared, beside `grep -r` and a plain
FTS query.

Budgets (design, section 10): opens in under 0.5 s and searches in under 50 ms, once it is indexed. The sessions
are the four samples with other days, titles and notes, every line written by the store. Disk: about 450 MB.
Run: python tests/bench/logbook_speed.py [COUNT]
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import cache, partial
from pathlib import Path

import msgspec

from studio.services.studio import Services
from studio.session.after.comparing import compare
from studio.session.clock import utc_text, wall_ns_of
from studio.session.folding import FIRST_PREV, Record
from studio.store.copies import verify
from studio.store.files import session_stem
from studio.store.folder import StudioFolder
from studio.store.line import encode
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]

DAY_NS = 86_400 * 10**9
TURNS = 9
WORDS = (
    *("harbour", "tide", "kelp", "wrack", "gorse", "slate", "fog", "rope", "tar", "creel", "buoy", "anchor"),
    *("shingle", "dune", "marram", "tern", "gannet", "seal", "oar", "thole", "keel", "hull", "mast", "sail"),
    *("knot", "splice", "net", "cork", "float", "lamp", "wick", "pitch", "oakum", "adze", "caulk", "rivet"),
)
ASKED = ("zostera", "gannet", "gannet thole", "tidew", "s", "steam lid slowly", "nowhere-to-be-found")


@cache
def samples() -> tuple[tuple[Record, ...], ...]:
    return tuple(read_session(path).records for path in sorted((ROOT / "sessions").glob("*.jsonl")))


def write_session(folder: str, number: int) -> None:
    """One whole session with its own day, title and notes; every 1000th speaks of zostera."""
    chance = random.Random(number)
    records = samples()[number % len(samples())]
    later = -(number // 2) * DAY_NS
    title = " ".join(chance.choices(WORDS, k=3)).capitalize()
    lines, previous, whole = [], FIRST_PREV, hashlib.sha256()
    for record in records:
        data = dict(record.data)
        if record.n == 1:
            data["title"] = title
        elif record.kind in ("noted", "noted.late"):
            rare = ["zostera"] if number % 1000 == 0 else []
            data["text"] = " ".join(chance.choices(WORDS, k=12) + rare)
        elif record.kind == "session.finished":
            data["sha256"] = whole.hexdigest()
        at = utc_text(wall_ns_of(record.at) + later)
        line = encode(msgspec.structs.replace(record, data=data, at=at), previous)
        previous = line[-11:-3].decode()
        whole.update(line)
        lines.append(line)
    if number % 500 == 0:
        due = {"number": 1, "test": "light", "due": at[:10], "how": "in the window", "note": ""}
        lines.append(
            encode(
                Record(
                    n=records[-1].n + 1, kind="follow_up.planned", at=at, boot_ns=0, boot="bench", data=due
                ),
                previous,
            )
        )
    stem = session_stem(title, wall_ns_of(records[0].at) + later, 0)
    Path(folder, f"{stem}-{number % 65536:04x}.jsonl").write_bytes(b"".join(lines))


def took_ms(once: Callable[[], object], turns: int = TURNS) -> float:
    took = []
    for _ in range(turns):
        began = time.perf_counter()
        once()
        took.append(time.perf_counter() - began)
    return statistics.median(took) * 1000


def told(label: str, milliseconds: float, more: str = "") -> None:
    print(f"{label:<44} {milliseconds:10.1f} ms   {more}".rstrip(), flush=True)


def plain_fts(studio: StudioFolder) -> sqlite3.Connection:
    """The titles and notes alone in a plain FTS5 table in memory: the least that a search can be."""
    database = sqlite3.connect(":memory:")
    database.execute("CREATE VIRTUAL TABLE plain USING fts5(body)")
    for path in studio.session_paths():
        lines = [
            msgspec.json.decode(line) for line in path.read_bytes().splitlines() if b'"kind":"noted' in line
        ]
        body = f"{path.name} {' '.join(line['data']['text'] for line in lines)}"
        database.execute("INSERT INTO plain VALUES (?)", (body,))
    database.commit()
    return database


def measure(studio: StudioFolder, count: int) -> None:
    size = sum(path.stat().st_size for path in studio.session_paths())
    print(f"{count} sessions, {size / 1e6:.0f} MB; SQLite {sqlite3.sqlite_version}")
    services = Services(studio, SystemClock())
    told("first time: every file read", took_ms(services.read_logbook, 1))
    kept = services._logbook.database.path
    print(f"index {kept.stat().st_size / 1e6:.1f} MB")
    told("open: files looked at, newest 500 listed", took_ms(lambda: services.find()), "budget 500 ms")
    told("open: all of them listed", took_ms(services.sessions), "budget 500 ms")
    told("screen: newest 500, no file looked at", took_ms(lambda: services.find(refresh=False)))
    waiting = len(services.waiting(refresh=False))
    told(
        "home: fastness tests that wait",
        took_ms(lambda: services.waiting(refresh=False)),
        f"{waiting} of them",
    )
    run = [sys.executable, "-m", "studio", "--studio", str(studio.root), "logbook", "--find", "zostera"]
    quiet = partial(subprocess.run, run, stdout=subprocess.DEVNULL, cwd=ROOT, check=True)
    told("potside logbook --find, whole process", took_ms(quiet, 3))
    database = plain_fts(studio)
    for text in ASKED:
        found = services.find(text, refresh=False)[1]
        ours = took_ms(partial(services.find, text, refresh=False))
        query = " ".join(f'"{word}"*' for word in text.replace("-", " ").split())
        select = "SELECT rowid FROM plain WHERE plain MATCH ? ORDER BY rowid LIMIT 500"
        plain = took_ms(lambda select=select, query=query: database.execute(select, (query,)).fetchall())
        grep = ["grep", "-rliF", text, str(studio.sessions)]
        by_grep = took_ms(partial(subprocess.run, grep, stdout=subprocess.DEVNULL, check=False), 1)
        more = f"{found:6d} found   plain FTS {plain:6.1f} ms   grep -r {by_grep:8.1f} ms   budget 50 ms"
        told(f'search "{text}"', ours, more)
    for name, asked in {
        "dye": {"dye": "pantry r"},
        "rating": {"least_rating": 3},
        "base": {"base": "harbour s"},
    }.items():
        found = services.find(refresh=False, **asked)[1]  # type: ignore[arg-type]
        told(
            f"filter by {name}", took_ms(partial(services.find, refresh=False, **asked)), f"{found:6d} found"
        )


def compare_two(services: Services) -> None:
    """Two of the sessions side by side, beside what any program must do for that: read both through json."""
    keys = [card.key for card in services.find(refresh=False, limit=2)[0]]
    paths = [services.folder.session_path(key) for key in keys]

    def ours() -> None:
        compare([services.read(key).state for key in keys])

    def plain() -> None:
        for path in paths:
            for line in path.read_bytes().splitlines():
                json.loads(line)

    least = took_ms(plain)
    mine = took_ms(ours)
    told(
        "compare two sessions, read and checked", mine, f"json alone {least:.1f} ms, {mine / least:.1f} times"
    )


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    with tempfile.TemporaryDirectory() as name:
        os.environ["XDG_CACHE_HOME"] = f"{name}/cache"
        root = Path(name) / "studio"
        (root / "sessions").mkdir(parents=True)
        shutil.copytree(ROOT / "shared", root / "shared")
        began = time.perf_counter()
        with ProcessPoolExecutor() as pool:
            list(pool.map(partial(write_session, str(root / "sessions")), range(count), chunksize=100))
        told("generated", (time.perf_counter() - began) * 1000)
        studio = StudioFolder(root)
        wrong = [path for path in studio.session_paths()[:40] if verify(path).state != "clean"]
        assert not wrong and len(studio.session_paths()) == count, wrong
        measure(studio, count)
        compare_two(Services(studio, SystemClock()))


if __name__ == "__main__":
    main()
