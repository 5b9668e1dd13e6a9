"""Names of steps and clocks, made here of stage, role, subject and set. Nobody reads a name: each carries its parts.

A plan is laid once, when its session begins; a second set lays again what has to be done again.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import msgspec

from studio.plan.shapes import ClockRole, Role, Stage, StageId, Step, Timer

_WORDS: dict[Role, str] = {
    "accept cautions": "cautions",
    "open powder": "powder",
    "label jars": "jars",
    "dry weight": "weight",
    "soak water": "water",
    "pH": "ph",
    "end pH": "end-ph",
    "into the soak": "in",
    "soaking": "wait",
    "weigh dye": "{}.dye",
    "make up": "{}.volume",
    "count drops": "{}.drops",
    "clear stocks": "clear",
    "squeeze": "squeezed",
    "mix": "{}.mix",
    "paint": "apply",
    "turn over": "turned",
    "bath water": "water",
    "dye in": "dye",
    "bath temperature": "temperature",
    "into the bath": "in",
    "wet again": "again",
    "pot water": "water",
    "safe heat": "safe",
    "heat on": "on",
    "steam rolling": "rolling",
    "acid draws on": "acid-wait",
    "at the top": "top",
    "look": "clear",
    "heat off": "off",
    "cooling": "wait",
    "goods temperature": "temperature",
    "lift out": "lift",
    "rinse water": "water",
    "rinse rounds": "rounds",
    "kit away": "kit",
    "dyed weight": "weight",
    "rating": "{}",
}
"""What a step is called in its stage, where not as its role; `{}` stands for its subject, which else comes behind."""

_CLOCKS: dict[ClockRole, str] = {
    "soak": "presoak",
    "pot look": "pot-water",
    "dye": "part-{}",
    "hold": "{}",
    "turn": "hold-turn",
    "hold on": "hold-more",
    "burst": "burst-{}",
    "rest": "rest-{}",
    "packet": "packet-{}",
}
"""The same of a clock."""


def stage_name(stage: str, number: int = 1) -> str:
    """`steam`, and `steam-2` in the second set."""
    return stage if number == 1 else f"{stage}-{number}"


def step_id(stage: str, role: Role, of: str = "", number: int = 1) -> str:
    """`steam.rolling`, `paint.rust.mix`, `cool-2.wait`. `of`: the subject; `number`: the set."""
    word, subject = _WORDS.get(role, _word(role)), _word(of)
    word = word.format(subject) if "{}" in word else f"{word}-{subject}" if subject else word
    return f"{stage_name(stage, number)}.{word}"


def clock_id(role: ClockRole, of: str = "", number: int = 1) -> str:
    """`part-2`, `cool-2`; the clock a set is held by is called by its subject, `steam` or `hold`."""
    name = _CLOCKS.get(role, _word(role)).format(_word(of))
    return name if number == 1 else f"{name}-{number}"


def figure_id(figure: str, number: int) -> str:
    """The path of a figure in a later set: `set.pot_water`, in the second `set.pot_water-2`."""
    return figure if number == 1 else f"{figure}-{number}"


def stock_path(stock: str, what: str) -> str:
    """A figure of a jar: `stock.rust.dye`."""
    return f"stock.{stock}.{what}"


def paint_path(colour: str, what: str) -> str:
    """A figure of a colour's paint: `paint.rust.liquid`."""
    return f"paint.{colour}.{what}"


def _word(subject: str) -> str:
    return subject.replace(" ", "-")


def laid_stage(kind: StageId, *steps: Step | None, name: str = "") -> Stage:
    """A stage of the steps that the plan needs, each named; None stands for one it does not need.

    `name`: what a way of dyeing calls its own stage; else as its kind.
    """
    shown = name or kind
    named = (msgspec.structs.replace(s, id=step_id(shown, s.role, s.of)) for s in steps if s is not None)
    return Stage(stage=shown, kind=kind, steps=tuple(named))


def laid_clocks(*timers: Timer) -> tuple[Timer, ...]:
    """The clocks, each named."""
    return tuple(msgspec.structs.replace(t, id=clock_id(t.role, t.of)) for t in timers)


def laid_again(
    stages: Sequence[Stage], timers: Iterable[Timer], number: int
) -> tuple[tuple[Stage, ...], tuple[Timer, ...]]:
    """Those stages as they are done in a later set, without what is done once, and the clocks they need."""
    kept = [msgspec.structs.replace(s, steps=tuple(t for t in s.steps if not t.once)) for s in stages]
    clocks = _clocks_of(kept, tuple(timers))
    names = {t.id: clock_id(t.role, t.of, number) for t in clocks}
    names |= {s.id: step_id(stage.stage, s.role, s.of, number) for stage in kept for s in stage.steps}
    return (
        tuple(
            Stage(
                stage=stage_name(stage.stage, number),
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
        sets=step.sets and figure_id(step.sets, number),
        figures=tuple(figure_id(f, number) for f in step.figures),
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
