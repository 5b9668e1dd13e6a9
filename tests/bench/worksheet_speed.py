"""From a parsed plan to a worksheet, and from its text to the plan, beside plain TOML reading.

Budget (design, section 10): a worksheet from a parsed plan under 5 ms. Run: python tests/bench/worksheet_speed.py
"""

from __future__ import annotations

import statistics
import time
import tomllib
from collections.abc import Callable
from pathlib import Path

from studio.plan.reading import read_plan
from studio.plan.shelf_reading import load_shelf
from studio.plan.worksheet import work_out

ROOT = Path(__file__).resolve().parents[2]

TURNS = 60


def median_ms(once: Callable[[], object]) -> float:
    for _ in range(3):
        once()
    took = []
    for _ in range(TURNS):
        began = time.perf_counter()
        once()
        took.append(time.perf_counter() - began)
    return statistics.median(took) * 1000


def main() -> None:
    shelf = load_shelf(ROOT / "shared")
    for path in sorted((ROOT / "shared" / "plans").glob("*.plan.toml")):
        text = path.read_text(encoding="utf-8")
        plan = read_plan(text, name=path.name)
        toml_ms = median_ms(lambda text=text: tomllib.loads(text))  # type: ignore[misc]
        read_ms = median_ms(lambda text=text: read_plan(text, name="x"))  # type: ignore[misc]
        work_ms = median_ms(lambda plan=plan: work_out(plan, shelf))  # type: ignore[misc]
        print(
            f"{path.name:<34} TOML {toml_ms:5.2f} ms   plan {read_ms:5.2f} ms ({read_ms / toml_ms:.1f} x TOML)"
            f"   worksheet {work_ms:5.2f} ms ({work_ms / 5:.2f} of the budget)"
        )


if __name__ == "__main__":
    main()
