"""What planning hands to everything after it: figures, cautions, steps, stages, a worksheet.

Plain typed records (msgspec), so the same objects are shown on screen, printed, written as JSON and
stored in the first line of a session file.
"""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.plan.facts import ProcedureFacts

Origin = Literal["published", "common practice", "house rule", "estimate", "yours", "plan", "measured"]
"""Where a number comes from; `plan` is what the dyer wrote, taken as it is, `measured` what was measured
or worked out from measurements in this very session."""

Level = Literal["stop", "warn", "note"]
StepKind = Literal["do", "check", "measure", "wait", "gate"]
StageId = Literal[
    "ready", "presoak", "stocks", "paint", "bath", "steam", "heat", "microwave", "cool", "rinse", "record"
]
"""Stages of a plan, of which a method has its own; a second set adds some, `steam-2` and so on."""

STAGE_ORDER: tuple[StageId, ...] = (
    "ready",
    "presoak",
    "stocks",
    "paint",
    "bath",
    "steam",
    "heat",
    "microwave",
    "cool",
    "rinse",
    "record",
)


class Figure(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One computed number with its unit, its reason and its origin."""

    id: str
    """Stable, dotted: `paint.rust.liquid`."""
    value: float
    unit: str
    """One of g, mL, min, degC, degC/min, %, 1, cm, m, mL/min, W, Wh, pH."""
    label: str
    """What the number is, in a few words: `liquid to mix for rust`."""
    because: str
    """The equation with its numbers in it."""
    origin: Origin
    source: str = ""
    """The publication, or the standing (`common practice`, `house rule`, `from memory`)."""
    low: float | None = None
    high: float | None = None
    """The ends of the interval, where the number is one of a range."""
    chosen: float | None = None
    """Where the interval is a spread of what is published: the plan's own value, within it or not."""
    currency: str = ""
    """Of an amount of money, whose unit is 1."""


class Caution(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something the dyer should know before it matters."""

    id: str
    level: Level
    text: str
    source: str
    stage: StageId | Literal[""] = ""
    """The stage it matters to; empty for the whole plan."""
    where: str = ""
    """The key of the plan that leads to it, `colour.rust.dye`."""


class Step(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One line of the procedure."""

    id: str
    kind: StepKind
    text: str
    """What to do, one sentence."""
    done: str
    """The same in the past tense, short: `Fibre wetted out`."""
    critical: bool = False
    after: tuple[str, ...] = ()
    """Steps that physics wants closed first, beyond the earlier steps of the same stage."""
    figures: tuple[str, ...] = ()
    """Ids of the figures to show beside the step."""
    cautions: tuple[str, ...] = ()
    """Ids of cautions that matter at this step."""
    quantity: str = ""
    """For `measure`: the kind of quantity asked for (`mass`, `volume`, `temperature`, `ph`, `count`), `rating` or
    `look`, both 1 to 5."""
    unit: str = ""
    expected: float | None = None
    low: float | None = None
    high: float | None = None
    """For `measure`: outside low..high the bench asks once whether the value is meant."""
    sets: str = ""
    """Id of the figure whose value is measured here; what is asked is that figure as it stands."""
    fixes: tuple[str, ...] = ()
    """Ids of figures that are done as asked when this step closes, beside the one that is measured."""
    starts: str = ""
    """Timer that starts when this step closes."""
    stops: str = ""
    """Timer that ends when this step closes."""
    timer: str = ""
    """For `wait`: the timer that must run out."""
    limit_c: float | None = None
    """degC: a `gate` stays shut while the goods were last read above it; a `wait` ends by a reading at or below."""
    waiting: str = ""
    """What the bench says in place of `text` while that timer, or the one a look has started, still runs."""


class Timer(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A clock the procedure needs."""

    id: str
    label: str
    minutes: float
    action: str
    """What to do when it runs out, as the alarm says it."""
    priority: Literal["high", "medium", "low"] = "medium"
    repeats: bool = False
    """Starts again each time its alarm is acknowledged, until it is stopped."""
    with_timer: str = ""
    """Starts and stops together with this other timer."""
    then: str = ""
    """Timer that starts when this one's alarm is answered."""
    needs_steam: bool = False
    """Stands still while the steam is lost."""


class Stage(msgspec.Struct, frozen=True, kw_only=True):
    stage: str
    """A `StageId`, or one of a later set: `steam-2`."""
    steps: tuple[Step, ...]


class Worksheet(msgspec.Struct, frozen=True, kw_only=True):
    """All that was worked out from a plan."""

    format: str = "potside-worksheet/1"
    title: str
    figures: tuple[Figure, ...]
    cautions: tuple[Caution, ...]
    procedure: tuple[Stage, ...]
    timers: tuple[Timer, ...] = ()
    facts: ProcedureFacts | None = None
    """The numbers behind the procedure, for what the bench works out while the session runs."""

    def figure(self, figure_id: str) -> Figure | None:
        """The figure of that id, or None."""
        return next((f for f in self.figures if f.id == figure_id), None)

    def caution(self, caution_id: str) -> Caution | None:
        """The caution of that id, or None."""
        return next((c for c in self.cautions if c.id == caution_id), None)

    def step(self, step_id: str) -> Step | None:
        """The step of that id, or None."""
        return next((s for stage in self.procedure for s in stage.steps if s.id == step_id), None)

    @property
    def stops(self) -> tuple[Caution, ...]:
        """The cautions that keep a session from beginning."""
        return tuple(c for c in self.cautions if c.level == "stop")
