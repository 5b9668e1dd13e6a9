"""A clock that ticks once a second, and the opening event's data."""

from __future__ import annotations

import msgspec
import pytest

from studio.plan.settled import self_contained
from studio.session.clock import Reading


@pytest.fixture(scope="session")
def at():
    def reading_at(second: int) -> Reading:
        ns = second * 1_000_000_000
        return Reading(1_790_000_000_000_000_000 + ns, 7_000_000_000 + ns, 6_000_000_000 + ns, "9f3a12cd")

    return reading_at


@pytest.fixture(scope="session")
def opening(choices):
    return {
        "format": "potside-session/1",
        "title": "Tidewrack stripes",
        "plan": "x = 1\n",
        "worksheet": {"title": "Tidewrack stripes", "figures": [], "cautions": [], "procedure": []},
        "choices": msgspec.json.decode(msgspec.json.encode(self_contained(choices))),
        "program": "0",
        "pid": 4,
        "host": "0",
        "utc_offset_min": 0,
    }
