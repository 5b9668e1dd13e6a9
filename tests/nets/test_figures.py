"""The figures of forty plans stay what they are when the code that works them out is moved.

A net, not a check of truth: `tests/outside` and the hand calculations hold the numbers themselves. A changed
line is looked at, and its reason written into the commit, before it is accepted.
"""

from __future__ import annotations

from syrupy.assertion import SnapshotAssertion

from studio.plan.settled import Settled
from studio.plan.work.worked import work_all


def test_the_figures_of_forty_plans_are_equal(settled: Settled, snapshot: SnapshotAssertion) -> None:
    assert "\n".join(f"{f.id} {f.value:.6g} {f.unit}" for f in work_all(settled).figures) == snapshot
