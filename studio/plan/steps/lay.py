"""Names of steps and clocks: that of their row, in the stage and the set they are laid in. Nobody reads a name.

A plan is laid once, when its session begins; a second set lays again what has to be done again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from studio.plan.shapes import Stage, StageId, Step, Timer


def in_set(name: str, number: int) -> str:
    """A stage, a clock or the path of a figure in a later set: `steam`, and `steam-2` in the second."""
    return name if number == 1 else f"{name}-{number}"


def stock_path(stock: str, what: str) -> str:
    """A figure of a jar: `stock.rust.dye`."""
    return f"stock.{stock}.{what}"


def paint_path(colour: str, what: str) -> str:
    """A figure of a colour's paint: `paint.rust.liquid`."""
    return f"paint.{colour}.{what}"


def laid_stage(kind: StageId, *steps: Step | None, name: str = "") -> Stage:
    """A stage of the steps that the plan needs, each named; None stands for one it does not need.

    `name`: what a way of dyeing calls its own stage; else as its kind.
    """
    shown = name or kind
    named = (msgspec.structs.replace(s, id=_named(shown, s)) for s in steps if s is not None)
    return Stage(stage=shown, kind=kind, steps=tuple(named))


def _named(stage: str, step: Step) -> str:
    """The step in the stage it is laid in: `kettle.hold` is `heat.hold` there."""
    return f"{stage}.{step.id.partition('.')[2]}"


def laid_again(
    stages: Sequence[Stage], timers: Iterable[Timer], number: int
) -> tuple[tuple[Stage, ...], tuple[Timer, ...]]:
    """Those stages as they are done in a later set, without what is done once, and the clocks they need."""
    kept = [msgspec.structs.replace(s, steps=tuple(t for t in s.steps if not t.once)) for s in stages]
    clocks = _clocks_of(kept, tuple(timers))
    names = {t.id: in_set(t.id, number) for t in clocks}
    names |= {s.id: _named(in_set(stage.stage, number), s) for stage in kept for s in stage.steps}
    return (
        tuple(
            Stage(
                stage=in_set(stage.stage, number),
                kind=stage.kind,
                steps=tuple(_again(s, names, number) for s in stage.steps),
            )
            for stage in kept
        ),
        tuple(_clock_again(t, names, number) for t in clocks),
    )


def _again(step: Step, names: Mapping[str, str], number: int) -> Step:
    return msgspec.structs.replace(
        step,
        id=names[step.id],
        set_number=number,
        after=tuple(names.get(a, a) for a in step.after),
        starts=names.get(step.starts, ""),
        stops=names.get(step.stops, ""),
        timer=names.get(step.timer, ""),
        sets=step.sets and in_set(step.sets, number),
        figures=tuple(in_set(f, number) for f in step.figures),
        cautions=(),
    )


def _clock_again(timer: Timer, names: Mapping[str, str], number: int) -> Timer:
    return msgspec.structs.replace(
        timer,
        id=names[timer.id],
        set_number=number,
        label=f"{timer.label}, set {number}",
        with_timer=names.get(timer.with_timer, ""),
        then=names.get(timer.then, ""),
    )


def _clocks_of(stages: Iterable[Stage], timers: Sequence[Timer]) -> tuple[Timer, ...]:
    """The clocks those stages need: started or stopped by a step, beside another, or after one."""
    own = {name for stage in stages for step in stage.steps for name in (step.starts, step.stops) if name}
    own |= {t.id for t in timers if t.with_timer in own and not t.once}
    own |= {t.then for t in timers if t.id in own and t.then}
    return tuple(t for t in timers if t.id in own)
