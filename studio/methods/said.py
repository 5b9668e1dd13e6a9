"""What the ways of dyeing say: what is done at the bench, the clocks of it, and what is to be minded.

Each way has a table of its own beside its module; what several say stands in one of them.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import msgspec

from studio.plan.said import Sayings
from studio.plan.shapes import Caution, Step, Timer
from studio.shaping import shaped_json


class WayTable(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The rows of one way, by their names."""

    steps: dict[str, Step] = {}
    clocks: dict[str, Timer] = {}
    """The minutes of each follow from the plan."""
    cautions: dict[str, Caution] = {}


@cache
def _tables() -> tuple[WayTable, ...]:
    files = sorted(Path(__file__).parent.glob("*/*.json"))
    return tuple(shaped_json(file.read_bytes(), WayTable) for file in files)


step = Sayings(lambda: {name: row for table in _tables() for name, row in table.steps.items()})
"""What is done, by the stage of each way."""
clock = Sayings(lambda: {name: row for table in _tables() for name, row in table.clocks.items()})
caution = Sayings(lambda: {name: row for table in _tables() for name, row in table.cautions.items()})
"""What is to be minded, by what it is about."""
