"""A second set: steam, cool and rinse once more, as stages of their own."""

from __future__ import annotations

import msgspec

from studio.plan.shapes import Stage, Step, Timer, Worksheet

AGAIN = ("steam", "cool", "rinse")


def with_second_set(sheet: Worksheet, number: int, closed: frozenset[str]) -> Worksheet:
    """The worksheet with steam, cool and rinse added before the record, as set `number`.

    What was still open of the last rinse moves into the new one, so that goods are washed and dried once,
    at the end. `closed`: ids of the steps that are closed.
    """
    stages = list(sheet.procedure)
    record = stages.pop()
    originals = {s.stage: s for s in stages if s.stage in AGAIN}
    last_rinse = next(s for s in reversed(stages) if s.stage.split("-")[0] == "rinse")
    stages = [_only_closed(s, closed) if s is last_rinse else s for s in stages]
    wrap = Step(
        id=f"steam-{number}.wrap",
        kind="do",
        text="Wet it with water as sour as the presoak was, lay it flat and wrap it closed again.",
        done="Wrapped again",
        after=tuple(s.id for s in last_rinse.steps if s.id in closed)[-1:],
    )
    # The rinse is taken from the last set, because the first may have lost what was open of it already.
    added = [_renumbered({**originals, "rinse": last_rinse}[name], number) for name in AGAIN]
    added[0] = Stage(stage=added[0].stage, steps=(wrap, *_first_free(added[0].steps)))
    last = added[-1].steps[-1].id
    first, *rest = record.steps
    record = Stage(stage=record.stage, steps=(msgspec.structs.replace(first, after=(last,)), *rest))
    timers = (*sheet.timers, *(_timer(t, number) for t in sheet.timers if t.id in _timers_of(originals)))
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
    )
    return Stage(stage=f"{_name(stage.stage)}-{number}", steps=steps)


def _name(stage_or_step: str) -> str:
    """The stage without its step and its set: `rinse` of `rinse-2.water`."""
    return stage_or_step.partition(".")[0].partition("-")[0]


def _id(step_id: str, number: int) -> str:
    return f"{_name(step_id)}-{number}.{step_id.partition('.')[2]}"


def _suffixed(timer_id: str, number: int) -> str:
    return f"{timer_id}-{number}" if timer_id else ""


def _timers_of(stages: dict[str, Stage]) -> frozenset[str]:
    started = {step.starts for stage in stages.values() for step in stage.steps if step.starts}
    return frozenset(started | {"pot-water"})


def _timer(timer: Timer, number: int) -> Timer:
    return msgspec.structs.replace(
        timer,
        id=f"{timer.id}-{number}",
        label=f"{timer.label}, set {number}",
        with_timer=_suffixed(timer.with_timer, number),
    )
