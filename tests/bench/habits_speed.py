"""What habits cost: asking them of an indexed logbook, and a worksheet that takes them, beside one that does not.

Run: python tests/bench/habits_speed.py [COUNT]  (sessions, 2000 where it is not said; about 45 MB a thousand)
"""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path

from logbook_speed import write_session
from speed import cpu

from studio.plan.reading import read_plan
from studio.plan.sheet import work_out
from studio.services.studio import Services
from studio.shelf.habits import with_habits
from studio.shelf.reading import load_shelf
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]


def least_ms(once: Callable[[], object]) -> float:
    return min(cpu(once)() for _ in range(15)) * 1000


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 2000
    with tempfile.TemporaryDirectory() as place:
        os.environ["XDG_CACHE_HOME"] = f"{place}/cache"
        folder = StudioFolder(Path(place))
        folder.sessions.mkdir()
        folder.shared.symlink_to(ROOT / "shared")
        with ProcessPoolExecutor() as workers:
            list(workers.map(partial(write_session, str(folder.sessions)), range(count), chunksize=50))
        services = Services(folder, SystemClock())
        services.read_logbook()
        listed = least_ms(folder.stamps)
        asked = least_ms(services.measurements)
        print(
            f"{count} sessions: names and times {listed:.1f} ms, habits {asked:.1f} ms ({asked / listed:.2f} x)"
        )
        plain = load_shelf(ROOT / "shared")
        told = with_habits(plain, folder.shared, services.measured())
        joined = least_ms(lambda: with_habits(plain, folder.shared, services.measured()))
        print(f"shelf with habits {joined:.1f} ms, once a studio")
    for path in sorted((ROOT / "shared" / "plans").glob("*.plan.toml")):
        plan = read_plan(path.read_text(encoding="utf-8"), name=path.name)
        without, with_them = (least_ms(partial(work_out, plan, shelf)) for shelf in (plain, told))
        ratio = with_them / without
        print(f"{path.name:<34} worksheet {without:.2f} ms, with habits {with_them:.2f} ms ({ratio:.2f} x)")


if __name__ == "__main__":
    main()
