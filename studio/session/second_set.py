"""A second set: heat, cool and rinse once more, as stages of their own."""

from __future__ import annotations

import msgspec

from studio.plan.shapes import Stage, Step, Timer, Worksheet

HEATED = ("steam", "heat", "microwave")
AGAIN = (*HEATED, "cool", "rinse")
"""Stages that a second set does over; of the first three a session has one."""
ONCE = ("acid-wait", "acid", "part-2", "part-3")
"""What a bath gets only the first time."""
FIRST = {
    "steam": (
        "wrap",
        "Wet it with water as sour as the presoak was, lay it flat and wrap it closed again.",
        "Wrapped again",
    ),
    "heat": (
        "bath",
        "Make a fresh bath of lukewarm water as sour as the first one was, without dye, and lower the fibre in.",
        "Fresh bath made",
    ),
    "microwave": (
        "wrap",
        "Wet it with water as sour as the presoak was, lay it flat and wrap it with a vent again.",
        "Wrapped again",
    ),
}
"""How a second set begins: the step's name, its sentence, and what is said when it is done."""


def with_second_set(sheet: Worksheet, number: int, closed: frozenset[str]) -> Worksheet:
    """The worksheet with heat, cool and rinse added before the record, as set `number`.

    What was still open of the last rinse moves into the new one, so that goods are washed and dried once,
    at the end. `closed`: ids of the steps that are closed.
    """
    stages = list(sheet.procedure)
    record = stages.pop()
    originals = {s.stage: s for s in stages if s.stage in AGAIN}
    last_rinse = next(s for s in reversed(stages) if s.stage.split("-")[0] == "rinse")
    stages = [_only_closed(s, closed) if s is last_rinse else s for s in stages]
    heated = next(name for name in HEATED if name in originals)
    name, text, done = FIRST[heated]
    begin = Step(
        id=f"{heated}-{number}.{name}",
        kind="do",
        text=text,
        done=done,
        after=tuple(s.id for s in last_rinse.steps if s.id in closed)[-1:],
    )
    # The rinse is taken from the last set, because the first may have lost what was open of it already.
    again = {**originals, "rinse": last_rinse}
    added = [_renumbered(again[stage], number) for stage in (heated, "cool", "rinse")]
    added[0] = Stage(stage=added[0].stage, steps=(begin, *_first_free(added[0].steps)))
    last = added[-1].steps[-1].id
    first, *rest = record.steps
    record = Stage(stage=record.stage, steps=(msgspec.structs.replace(first, after=(last,)), *rest))
    own = _timers_of(originals, sheet.timers)
    timers = (*sheet.timers, *(_timer(t, number) for t in sheet.timers if t.id in own))
    return msgspec.structs.replace(sheet, procedure=(*stages, *added, record), timers=timers)


def _only_closed(stage: Stage, closed: frozenset[str]) -> Stage:
    return Stage(stage=stage.stage, steps=tuple(s for s in stage.steps if s.id in closed))


def _first_free(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    first, *rest = steps
    return (msgspec.structs.replace(first, after=()), *rest)


def _renumbered(stage: Stage, number: int) -> Stage:
    steps = tuple(
        msgspec.structs.replace(
            step,
            id=_id(step.id, number),
            after=tuple(_id(a, number) if _name(a) in AGAIN else a for a in step.after),
            starts=_suffixed(step.starts, number),
            stops=_suffixed(step.stops, number),
            timer=_suffixed(step.timer, number),
            cautions=(),
        )
        for step in stage.steps
        if step.id.partition(".")[2] not in ONCE
    )
    return Stage(stage=f"{_name(stage.stage)}-{number}", steps=steps)


def _name(stage_or_step: str) -> str:
    """The stage without its step and its set: `rinse` of `rinse-2.water`."""
    return stage_or_step.partition(".")[0].partition("-")[0]


def _id(step_id: str, number: int) -> str:
    return f"{_name(step_id)}-{number}.{step_id.partition('.')[2]}"


def _suffixed(timer_id: str, number: int) -> str:
    return f"{timer_id}-{number}" if timer_id else ""


def _timers_of(stages: dict[str, Stage], timers: tuple[Timer, ...]) -> frozenset[str]:
    """Ids of the clocks those stages need: started or stopped by a step, beside another, or after one."""
    steps = [s for stage in stages.values() for s in stage.steps if s.id.partition(".")[2] not in ONCE]
    own = {name for step in steps for name in (step.starts, step.stops) if name}
    beside = {t.id for t in timers if t.with_timer in own and t.id not in ONCE}
    after = {t.then for t in timers if t.id in own and t.then}
    return frozenset(own | beside | after)


def _timer(timer: Timer, number: int) -> Timer:
    return msgspec.structs.replace(
        timer,
        id=f"{timer.id}-{number}",
        label=f"{timer.label}, set {number}",
        with_timer=_suffixed(timer.with_timer, number),
        then=_suffixed(timer.then, number),
    )
