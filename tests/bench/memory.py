"""Resident memory of the bench beside that of a blank Textual app, both once they stand still.

Budget (design, section 10): under twice the blank app. Linux only. Run: python tests/bench/memory.py
"""

from __future__ import annotations

import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path

from first_paint import BLANK, PLAN, ROOT, surroundings

sys.path.insert(0, str(Path(__file__).parent))


RUNS = 3
SETTLE_S = 1.5


def resident_kb(argv: list[str], mark: bytes, env: dict[str, str]) -> int:
    """VmRSS of a process once `mark` has been on its screen for a while."""
    import pexpect

    child = pexpect.spawn(sys.executable, argv, dimensions=(24, 80), env=env, timeout=30)
    child.expect_exact(mark)
    end = time.monotonic() + SETTLE_S
    while time.monotonic() < end:
        try:
            child.read_nonblocking(65536, 0.1)
        except pexpect.TIMEOUT:
            pass
    status = Path(f"/proc/{child.pid}/status").read_text()
    child.close(force=True)
    return int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmRSS")))


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        studio = Path(folder)
        (studio / "sessions").mkdir()
        shutil.copytree(ROOT / "shared", studio / "shared")
        env = surroundings(studio)
        begin = ["-m", "studio", "begin", str(PLAN)]
        blank = [resident_kb(["-c", BLANK], b"READYMARK", env) for _ in range(RUNS)]
        bench = [resident_kb(begin, b"Sound the bell", env) for _ in range(RUNS)]
    plain, ours = statistics.median(blank), statistics.median(bench)
    print(f"blank app  {plain / 1024:6.1f} MiB")
    print(f"bench      {ours / 1024:6.1f} MiB")
    print(f"ratio      {ours / plain:6.2f}       budget 2")


if __name__ == "__main__":
    main()
