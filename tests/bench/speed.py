"""Every speed that has a budget, beside a baseline of the same run, in one table.

What is measured and its baseline take turns, so that other work on the machine falls on both. CPU time counts, but for
the keys, and the append, whose sync waits for the disk. Run: unset PYTHONDONTWRITEBYTECODE; python tests/bench/speed.py
"""

from __future__ import annotations

import os
import statistics
import sys
import time
import tomllib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import msgspec
import on_screen as screen

from studio.plan.reading import read_plan
from studio.plan.sheet import work_out
from studio.session.folding import FIRST_PREV, replay
from studio.shelf.reading import load_shelf
from studio.store.journal import Journal
from studio.store.line import sealed
from studio.store.reading import read_session, read_text
from studio.store.system_clock import SystemClock

EVENTS = 5_000
REFERENCES = ("ref", "alarm")

Once = Callable[[], float]
"""One measurement: seconds, or KiB."""


@dataclass(frozen=True, slots=True)
class Row:
    """What was measured; values in ms, or in MiB for memory."""

    name: str
    ours: float
    baseline: str
    theirs: float
    budget: float

    @property
    def ratio(self) -> float:
        """How many times the baseline."""
        return self.ours / self.theirs


def in_turns(
    ours: Once, theirs: Once, turns: int, take: Callable[[list[float]], float]
) -> tuple[float, float]:
    """Both after one turn that warms up, in units a thousandth of theirs."""
    found: list[tuple[float, float]] = []
    for _ in range(turns + 1):
        found.append((theirs(), ours()))
    return take([one[1] for one in found[1:]]) * 1000, take([one[0] for one in found[1:]]) * 1000


def cpu(once: Callable[[], object], times: int = 1) -> Once:
    def measured() -> float:
        began = time.process_time()
        for _ in range(times):
            once()
        return (time.process_time() - began) / times

    return measured


def long_session() -> bytes:
    """5 000 events in the proportions of a sample: its opening, then all that came of it again and again."""
    first, *rest = read_session(sorted((screen.ROOT / "sessions").glob("*.jsonl"))[0]).records
    body = [record for record in rest if record.kind != "session.finished"]
    line, last = sealed(first, FIRST_PREV)
    lines = [line]
    while last.n < EVENTS:
        record, ahead = body[(last.n - 1) % len(body)], (last.n - 1) // len(body) * len(body)
        data = moved(record.data, ahead)
        line, last = sealed(msgspec.structs.replace(record, n=last.n + 1, data=data), last.crc)
        lines.append(line)
    return b"".join(lines)


def moved(value: Any, ahead: int) -> Any:
    """Data with the numbers of the events it names moved on."""
    if isinstance(value, list):
        return [moved(one, ahead) for one in value]
    if not isinstance(value, dict):
        return value
    return {
        key: one + ahead if key in REFERENCES and isinstance(one, int) else moved(one, ahead)
        for key, one in value.items()
    }


def replaying() -> Row:
    raw, name = long_session(), Path("20261125-0636-speed-0000.jsonl")
    reading = read_text(name, raw)
    assert reading.state == "clean" and len(reading.records) == EVENTS, reading.problems
    lines = raw.splitlines()
    ours = cpu(lambda: replay(read_text(name, raw).records))
    theirs = cpu(lambda: [msgspec.json.decode(line) for line in lines])
    return Row("replay of 5 000 events", *_beside("msgspec of each line", ours, theirs, 15, min), budget=6)


def appending(folder: Path) -> Row:
    clock = SystemClock()
    data = {"step": "presoak.water", "value": 2000.0, "unit": "mL", "typed": "2 L", "flagged": False}
    journal = Journal.create(
        [folder], "speed", {"format": "potside-session/1", "title": "speed"}, clock.now()
    )
    line, _ = sealed(journal.append("step.measured", data, clock.now()), FIRST_PREV)
    bare = os.open(folder / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def ours() -> float:
        began = time.perf_counter()
        journal.append("step.measured", data, clock.now())
        return time.perf_counter() - began

    def theirs() -> float:
        began = time.perf_counter()
        os.write(bare, line)
        os.fsync(bare)
        return time.perf_counter() - began

    row = Row(
        "append of an event", *_beside("write and fsync", ours, theirs, 600, statistics.median), budget=1.4
    )
    os.close(bare)
    journal.close()
    return row


def working_out() -> Row:
    text = screen.PLAN.read_text(encoding="utf-8")
    plan, shelf = read_plan(text, name=screen.PLAN.name), load_shelf(screen.ROOT / "shared")
    ours, theirs = cpu(lambda: work_out(plan, shelf), 10), cpu(lambda: tomllib.loads(text), 10)
    return Row("worksheet of a plan", *_beside("its TOML read", ours, theirs, 15, min), budget=4)


def starting(env: dict[str, str]) -> Iterator[Row]:
    blank = ["-c", screen.BLANK]
    begin = ["-m", "studio", "begin", str(screen.PLAN)]
    for name, argv, mark, budget in (
        ("first paint, home", ["-m", "studio"], b"Hot steam", 1.5),
        ("first start, its plan worked", ["-m", "studio"], b"A studio of your own", 2.5),
        ("first paint, bench", begin, b"Sound the bell", 1.5),
    ):
        if argv is begin:
            screen.with_finished_sessions(env)
        yield Row(
            name,
            *_beside(
                "blank Textual app",
                lambda argv=argv, mark=mark: screen.first_paint_s(argv, mark, env),
                lambda: screen.first_paint_s(blank, screen.BLANK_MARK, env),
                7,
                min,
            ),
            budget=budget,
        )
    ours, theirs = (
        statistics.median(screen.resident_kb(argv, mark, env) for _ in range(3))
        for argv, mark in ((begin, b"Sound the bell"), (blank, screen.BLANK_MARK))
    )
    yield Row("memory, bench", ours / 1024, "blank Textual app", theirs / 1024, 1.45)


def pressing(env: dict[str, str]) -> Iterator[Row]:
    plan = screen.at_the_liquor_ratio(env)
    typed = screen.opened(["-c", screen.BLANK_INPUT], screen.BLANK_MARK, env)
    page = screen.opened(["-c", screen.BLANK_PAGE], screen.BLANK_MARK, env)
    screen.at_the_weighing(env)
    bench = screen.opened(["-m", "studio", "resume"], b"You were at", env)
    entered = lambda: screen.key_s(page, "\r", b"TAKENMARK", "u", "100")  # noqa: E731
    weighed = lambda: screen.key_s(bench, "\r", b"soaking basin", "u", "100")  # noqa: E731
    row = _beside("a page by Textual", weighed, entered, 25, statistics.median)
    yield Row("a weight, sheet worked anew", *row, budget=1.2)
    digit = lambda: screen.key_s(plan, "3", b"300 mL", "\x15")  # noqa: E731
    letter = lambda: screen.key_s(typed, "3", b"SHOWNMARK", "\x15")  # noqa: E731
    row = _beside("a key in a blank app", digit, letter, 25, statistics.median)
    yield Row("a key on the plan screen", *row, budget=1.2)
    for child in (plan, typed, page, bench):
        child.close(force=True)


def _beside(
    baseline: str, ours: Once, theirs: Once, turns: int, take: Callable[[list[float]], float]
) -> tuple[float, str, float]:
    mine, plain = in_turns(ours, theirs, turns, take)
    return mine, baseline, plain


def rows() -> Iterator[Row]:
    with TemporaryDirectory() as folder:
        yield replaying()
        yield appending(Path(folder))
        yield working_out()
    with screen.studio_of_its_own() as env:
        yield from starting(env)
    with screen.studio_of_its_own() as env:
        yield from pressing(env)


def main() -> None:
    print(f"{'':<28} {'ours':>8}  {'baseline':<21} {'':>8} {'ratio':>6} {'budget':>6}")
    for row in rows():
        ok = "ok" if row.ratio <= row.budget else "OVER"
        told = f"{row.name:<28} {row.ours:8.2f}  {row.baseline:<21} {row.theirs:8.2f}"
        print(f"{told} {row.ratio:6.2f} {row.budget:6g}  {ok}", flush=True)
    print(f"ms, memory in MiB; load of the machine {os.getloadavg()[0]:.1f} on {os.cpu_count()} CPUs")


if __name__ == "__main__":
    sys.exit(main())
