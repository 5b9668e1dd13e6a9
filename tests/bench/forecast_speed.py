"""1,000 paintings of a 220 x 64 blank beside a plain numpy copy of as many stitches, and a preview of 50.

Budget (design, section 10): 1,000 paintings under 2 s and 300 MB, a preview under 50 ms.
Run: python tests/bench/forecast_speed.py
"""

from __future__ import annotations

import resource
import statistics
import time
from collections.abc import Callable
from itertools import cycle, islice

import numpy as np

from studio.craft.stripe.blank import Band, Blank, Knitting, Painting
from studio.craft.stripe.forecast import PAINTINGS, PREVIEW_PAINTINGS, forecast
from studio.craft.stripe.inverse import least_rows
from studio.craft.stripe.picture import picture

BLANK, SOCK = Blank(220, 64, 15.9, strands=2), Knitting(64, 13.0)
ORDERS = {
    "bands of 6 and 5 rows": [Band("rust", 6), Band("", 5), Band("kelp", 6), Band("", 5)],
    "bands of 3 and 2 rows": [Band("rust", 3), Band("", 2), Band("kelp", 3), Band("", 2)],
}


def median_s(once: Callable[[], object], turns: int) -> float:
    once()
    took = []
    for _ in range(turns):
        began = time.perf_counter()
        once()
        took.append(time.perf_counter() - began)
    return statistics.median(took)


def peak_mb() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main() -> None:
    print(f"python and numpy alone                {peak_mb():7.1f} MiB")
    times = {}
    for name, order in ORDERS.items():
        bands = list(islice(cycle(order), len(order) * int(BLANK.rows // sum(band.rows for band in order))))
        times[name] = median_s(lambda b=bands: forecast(BLANK, b, Painting(), SOCK), 3)  # type: ignore[misc]
        preview = median_s(
            lambda b=bands: forecast(BLANK, b, Painting(), SOCK, paintings=PREVIEW_PAINTINGS),  # type: ignore[misc]
            9,
        )
        look = median_s(lambda b=bands: picture(BLANK, b, Painting(), SOCK), 9)  # type: ignore[misc]
        print(
            f"{name}: {len(bands)} bands\n"
            f"  {PAINTINGS} paintings                     {times[name]:7.3f} s"
            f"   ({times[name] / 2:.2f} of the budget)\n"
            f"  {PREVIEW_PAINTINGS} paintings                       {preview * 1000:7.1f} ms"
            f"  ({preview / 0.05:.2f} of the budget)   picture of one {look * 1000:.1f} ms"
        )
    inverse = median_s(lambda: least_rows(4, 0.9, BLANK, Painting(), SOCK), 3)
    print(f"least width for 4 solid rounds        {inverse * 1000:7.1f} ms")
    print(f"most memory so far                    {peak_mb():7.1f} MiB  (budget 300)")
    stitches = np.full((PAINTINGS, BLANK.rows, BLANK.stitches), 0.5, dtype=np.float32)
    into = np.empty_like(stitches)
    copy = median_s(lambda: np.copyto(into, stitches), 9)
    print(f"copy of {PAINTINGS} x 220 x 64 float32        {copy * 1000:7.1f} ms")
    for name, took in times.items():
        print(f"  {name}: {took / copy:5.1f} copies' worth")


if __name__ == "__main__":
    main()
