"""A session of 5,000 events read from disk and replayed, beside plain JSON decoding of the same lines.

Budget (design, section 10): replay under 100 ms. Run: python tests/bench/replay_speed.py
"""

from __future__ import annotations

import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import msgspec

from studio.plan.reading import read_plan
from studio.plan.shelf_reading import load_shelf
from studio.plan.worksheet import work_out
from studio.session.events import CORRECTED, NOTED, OPENED, STEP_MEASURED
from studio.session.folding import replay
from studio.session.opening import opening
from studio.store.line import FIRST_PREV, Record, encode
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]

EVENTS = 5_000
TURNS = 7


def session_bytes() -> bytes:
    """One opening, one weighing, and from then on corrections and notes in turn."""
    path = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
    text = path.read_text(encoding="utf-8")
    sheet = work_out(read_plan(text, name=path.name), load_shelf(ROOT / "shared"))
    first = opening(sheet, text, program="0", pid=1, host="0", utc_offset_min=0).data
    value = {"step": "ready.weight", "value": 100.0, "unit": "g", "typed": "100", "flagged": False}
    drafts = [(OPENED, first), (STEP_MEASURED, value)]
    while len(drafts) < EVENTS:
        n = len(drafts)
        corrected = {**value, "ref": 2, "value": 90.0 + n % 20, "why": "misread"}
        drafts.append((CORRECTED, corrected) if n % 10 == 0 else (NOTED, {"text": f"note {n}", "step": ""}))
    previous = FIRST_PREV
    lines = []
    for n, (kind, data) in enumerate(drafts, start=1):
        plain = msgspec.json.decode(msgspec.json.encode(data))
        line = encode(
            Record(
                n=n, kind=kind, at="2026-11-25T06:36:38.123Z", boot_ns=n * 1000, boot="9f3a12cd", data=plain
            ),
            previous,
        )
        previous = msgspec.json.decode(line)["crc"]
        lines.append(line)
    return b"".join(lines)


def median_ms(once: Callable[[], object]) -> float:
    took = []
    for _ in range(TURNS + 1):
        began = time.perf_counter()
        once()
        took.append(time.perf_counter() - began)
    return statistics.median(took[1:]) * 1000


def main() -> None:
    raw = session_bytes()
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "20261125-0636-speed-0000.jsonl"
        path.write_bytes(raw)
        reading = read_session(path)
        assert reading.state == "clean" and len(reading.records) == EVENTS, reading.problems
        plain = median_ms(lambda: [msgspec.json.decode(line) for line in raw.splitlines()])
        read = median_ms(lambda: read_session(path))
        fold = median_ms(lambda: replay(reading.records))
    print(f"decode {EVENTS} lines only   {plain:7.1f} ms")
    print(f"read and verify          {read:7.1f} ms   ({read / plain:.1f} x)")
    print(f"replay                   {fold:7.1f} ms   ({fold / plain:.1f} x)   budget 100 ms")


if __name__ == "__main__":
    main()
