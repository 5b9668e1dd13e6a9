"""The query of sessions/QUERIES.md over 100,000 generated sessions: straight over the files, and over Parquet.

The sessions are the samples again, every event of them, with other days and values. The opening's worksheet is left
empty, for the query reads its choices. They lie in one folder for each month, as a co-operative may keep them. The
baseline is Python's own json on some of the same files. Run: python tests/bench/query_speed.py [COUNT] [FOLDER]
"""

from __future__ import annotations

import hashlib
import json
import os
import random
import re
import resource
import sys
import tempfile
import time
import zlib
from collections.abc import Callable, Iterable
from concurrent.futures import ProcessPoolExecutor
from datetime import date, timedelta
from functools import cache, partial
from pathlib import Path
from typing import Any

import duckdb

from studio.store.copies import verify

ROOT = Path(__file__).resolve().parents[2]

DAYS = 10 * 365
BASELINE = 2_000
(QUERY,) = re.findall(r"```sql\n(.*?)```", (ROOT / "sessions" / "QUERIES.md").read_text(), re.S)
PARTED = re.fullmatch(r"WITH events AS \((.*?)\n\), (sessions AS .*)", QUERY, re.S)
assert PARTED is not None, "the query of sessions/QUERIES.md begins with its events"
EVENTS, REST = PARTED.groups()


@cache
def samples() -> list[list[tuple[str, dict[str, Any], bytes]]]:
    """The samples: time of day, data, and the line from behind its time to before its `prev`.

    The worksheet is left empty.
    """
    found = []
    for path in sorted((ROOT / "sessions").glob("*.jsonl")):
        lines = [json.loads(line) for line in path.read_text().splitlines()]
        sheet = lines[0]["data"]["worksheet"]
        lines[0]["data"]["worksheet"] = {
            **sheet,
            "figures": [],
            "cautions": [],
            "procedure": [],
            "timers": [],
            "again": [],
        }
        found.append(
            [(x["at"][10:], x["data"] if x["kind"] == "step.measured" else {}, middle(x)) for x in lines]
        )
    return found


def middle(line: dict[str, Any]) -> bytes:
    kept = {key: line[key] for key in ("boot", "boot_ns", "data", "kind", "n")}
    return json.dumps(kept, sort_keys=True, separators=(",", ":"))[1:-1].encode()


def write_session(folder: str, number: int) -> None:
    """One whole session, its check sums and all, on a day of its own and with values of its own."""
    chance = random.Random(number)
    lines = samples()[number % len(samples())]
    day = date(2026, 10, 1) - timedelta(days=chance.randrange(DAYS))
    prev, written = b"00000000", []
    for time_of_day, data, rest in lines:
        if data:
            value = round(data["value"] * chance.uniform(0.9, 1.1), 2)
            other = {**data, "value": value, "typed": f"{value:g}"}
            rest = rest.replace(compact(data), compact(other))
        elif b'"kind":"session.finished"' in rest:
            proof = hashlib.sha256(b"".join(written)).hexdigest()
            rest = re.sub(rb'"sha256":"[0-9a-f]+"', f'"sha256":"{proof}"'.encode(), rest)
        head = b'{"at":"%s%s",%s,"prev":"%s"' % (str(day).encode(), time_of_day.encode(), rest, prev)
        prev = b"%08x" % zlib.crc32(head)
        written.append(head + b',"crc":"%s"}\n' % prev)
    place = Path(folder, f"year={day.year}", f"month={day.month:02}")
    place.mkdir(parents=True, exist_ok=True)
    clock = lines[0][0][1:6].replace(":", "")
    name = f"{day:%Y%m%d}-{clock}-generated-{number // 46656}-{base36(number % 46656)}.jsonl"
    (place / name).write_bytes(b"".join(written))


def compact(data: dict[str, Any]) -> bytes:
    return json.dumps(data, sort_keys=True, separators=(",", ":")).encode()


def base36(number: int) -> str:
    signs = "0123456789abcdefghijklmnopqrstuvwxyz"
    return "".join(signs[number // 36**place % 36] for place in (3, 2, 1, 0))


def told(label: str, once: Callable[[], Any]) -> tuple[Any, float]:
    """What it gave, and the seconds of CPU it took: a busy machine changes those least."""
    began, worked = time.perf_counter(), time.process_time()
    found = once()
    seconds, cpu = time.perf_counter() - began, time.process_time() - worked
    print(f"{label:<48} {seconds:8.2f} s  {cpu:8.2f} s of CPU", flush=True)
    return found, cpu


def by_python(paths: Iterable[Path]) -> float:
    """Grams weighed, the least that a program of one's own would do: every line through json."""
    grams = 0.0
    for path in paths:
        for line in path.read_bytes().splitlines():
            event = json.loads(line)
            step = event["data"].get("step", "")
            if event["kind"] == "step.measured" and step.startswith("stocks.") and step.endswith(".dye"):
                grams += event["data"]["value"]
    return grams


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def size_mb(folder: Path, pattern: str) -> float:
    return sum(path.stat().st_size for path in folder.rglob(pattern)) / 1e6


def measure(folder: Path, count: int) -> None:
    files = folder / "sessions"
    paths = sorted(files.rglob("*.jsonl"))
    assert len(paths) == count, len(paths)
    print(
        f"{count} sessions, {size_mb(files, '*.jsonl'):.0f} MB; DuckDB {duckdb.__version__}, {os.cpu_count()} CPUs"
    )
    engine = duckdb.connect(config={"temp_directory": str(folder / "spilled")})
    over_files = EVENTS.replace("sessions/*.jsonl", f"{files}/*/*/*.jsonl")
    first, slow = told(
        "the query, straight over the files", lambda: engine.execute(ask(over_files)).fetchall()
    )
    one_year = EVENTS.replace("sessions/*.jsonl", f"{files}/year=2025/*/*.jsonl")
    told("the same over the folders of one year", lambda: engine.execute(ask(one_year)).fetchall())
    store = folder / "parquet"
    convert = f"COPY ({over_files}) TO '{store}' (FORMAT parquet, PARTITION_BY (year), OVERWRITE_OR_IGNORE)"
    convert = convert.replace("SELECT parse_filename", "SELECT year, parse_filename")
    told("turned into Parquet, once", partial(engine.execute, convert))
    print(f"{'Parquet':<52} {size_mb(store, '*.parquet'):8.0f} MB")
    from_parquet = f"\n  SELECT * FROM read_parquet('{store}/*/*.parquet', hive_partitioning = true)"
    second, fast = told("the same query over Parquet", lambda: engine.execute(ask(from_parquet)).fetchall())
    for (month, litres, grams), (same_month, same_litres, same_grams) in zip(first, second, strict=True):
        # Rounded, and added up in another order.
        assert month == same_month and abs(litres - same_litres) < 0.002 and abs(grams - same_grams) < 0.02
    some = paths[:: max(1, count // BASELINE)][:BASELINE]
    _, plain = told(f"Python's json over {len(some)} of the files", lambda: by_python(some))
    each = 1e3 / len(paths)
    json_ms = plain * 1e3 / len(some)
    print(f"CPU for each session: files {slow * each:.3f}, Parquet {fast * each:.4f}, json {json_ms:.3f} ms")
    print(f"{peak_mb():.0f} MB of memory at most")
    print(f"{len(first)} months, {sum(row[2] or 0 for row in first):.0f} g of dye")


def ask(events: str) -> str:
    return f"WITH events AS ({events}\n), {REST}"


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100_000
    with tempfile.TemporaryDirectory(dir=sys.argv[2] if len(sys.argv) > 2 else None) as name:
        began = time.perf_counter()
        with ProcessPoolExecutor() as pool:
            list(pool.map(partial(write_session, f"{name}/sessions"), range(count), chunksize=200))
        print(f"generated in {time.perf_counter() - began:.0f} s")
        for path in list(Path(name).rglob("*.jsonl"))[:40]:
            assert verify(path).state == "clean", path
        measure(Path(name), count)


if __name__ == "__main__":
    main()
