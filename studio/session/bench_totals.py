"""What happened beside the steps, added up."""

from __future__ import annotations

from studio.session.live.painting import bands_of
from studio.session.state import State

Total = tuple[str, str, float]
"""Label, unit, value."""


def steam_lost_min(state: State) -> float:
    """Minutes without steam, all losses together; one that never ended counts up to the last event.

    **Source:** the wall clock of the events.
    """
    spans = ((again or state.last).wall_ns - stopped.wall_ns for stopped, again in state.steam_off)
    return sum(max(0, span) for span in spans) / 60e9


def min_in_steam(state: State) -> float:
    """Minutes in which at least one packet's clock ran; packets beside each other count once.

    **Source:** the clocks' own times, laid where the wall clock says they were started.
    """
    spans = sorted(
        (timer.started.wall_ns / 60e9 - timer.head_start_s / 60.0, timer.stopped_after_s / 60.0)
        for timer in state.timers.values()
        if timer.needs_steam and not timer.repeats and timer.stopped_after_s is not None
    )
    total, covered = 0.0, float("-inf")
    for begin, minutes in spans:
        total += max(0.0, begin + minutes - max(begin, covered))
        covered = max(covered, begin + minutes)
    return total


def bench_totals(state: State) -> dict[str, Total]:
    """Steam lost, water topped up, paint mixed later, second coats and rinses, by id.

    Losses, water and coats are there as 0 too, so that a session without them can be held against one with.
    """
    bands = bands_of(state)
    found: dict[str, Total] = {
        "steam.lost": ("steam lost", "min", steam_lost_min(state)),
        "pot.filled": ("pot filled up with", "mL", sum(p.event.ml for p in state.refills)),
        "sets": ("sets", "times", float(state.sets)),
        "coats": ("bands painted more than once", "bands", float(sum(len(b.coats) > 1 for b in bands))),
        "other_jar": ("bands painted from another jar", "bands", float(sum(b.strange for b in bands))),
    }
    for batch in state.batches:
        key = f"more.{batch.event.colour}"
        before = found[key][2] if key in found else 0.0
        found[key] = (f"more of {batch.event.colour} mixed", "mL", before + batch.event.ml)
    if state.looks:
        found["looks"] = ("looks at the white spoon", "times", float(len(state.looks)))
    if state.acid_doses:
        total = sum(dose.event.amount for dose in state.acid_doses)
        found["acid.more"] = ("more acid into the bath", state.acid_doses[0].event.unit, total)
    return found
