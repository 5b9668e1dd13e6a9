"""An event appended and synced by the journal, beside a bare write and fsync of as many bytes.

Both take turns on the same disk. Budget (design, section 10): under twice the bare one.
Run: python tests/bench/append_speed.py [FOLDER]
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

from studio.store.journal import Journal
from studio.store.system_clock import SystemClock

TURNS = 400


def main() -> None:
    clock = SystemClock()
    opening = {"format": "potside-session/1", "title": "speed"}
    data = {"step": "presoak.water", "value": 2000.0, "unit": "mL", "typed": "2 L", "flagged": False}
    with tempfile.TemporaryDirectory(dir=sys.argv[1] if len(sys.argv) > 1 else None) as name:
        journal = Journal.create(Path(name), "speed", opening, clock.now())
        before = journal.path.stat().st_size
        journal.append("step.measured", data, clock.now())
        line = b"x" * (journal.path.stat().st_size - before - 1) + b"\n"
        bare = os.open(Path(name) / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        ours: list[float] = []
        theirs: list[float] = []
        for _ in range(TURNS):
            began = time.perf_counter()
            journal.append("step.measured", data, clock.now())
            middle = time.perf_counter()
            os.write(bare, line)
            os.fsync(bare)
            theirs.append(time.perf_counter() - middle)
            ours.append(middle - began)
        os.close(bare)
        journal.close()
    mine, plain = statistics.median(ours), statistics.median(theirs)
    print(f"journal.append        {mine * 1e6:7.0f} us   (a line of {len(line)} bytes)")
    print(f"os.write + os.fsync   {plain * 1e6:7.0f} us")
    print(f"ratio                 {mine / plain:7.2f}      budget 2")


if __name__ == "__main__":
    main()
