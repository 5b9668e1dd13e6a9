"""A second set: heat, cool and rinse once more, as stages of their own."""

from __future__ import annotations

import msgspec

from studio.plan.shapes import Stage, Worksheet
from studio.plan.steps.lay import laid_again


def with_second_set(sheet: Worksheet, number: int, closed: frozenset[str]) -> Worksheet:
    """The worksheet with what is done again before the record, as set `number`.

    What was still open of the last rinse moves into the new one, so that goods are washed and dried once,
    at the end. `closed`: ids of the steps that are closed.
    """
    *stages, record = sheet.procedure
    rinsed = next(s for s in reversed(stages) if s.kind == "rinse")
    done = tuple(s for s in rinsed.steps if s.id in closed)
    stages = [msgspec.structs.replace(s, steps=done) if s is rinsed else s for s in stages]
    added, clocks = laid_again(sheet.again, sheet.timers, number)
    added = (_after(added[0], *(s.id for s in done[-1:])), *added[1:])
    return msgspec.structs.replace(
        sheet,
        procedure=(*stages, *added, _after(record, added[-1].steps[-1].id)),
        timers=(*sheet.timers, *clocks),
    )


def _after(stage: Stage, *steps: str) -> Stage:
    first, *rest = stage.steps
    return msgspec.structs.replace(stage, steps=(msgspec.structs.replace(first, after=steps), *rest))
