"""Reading a session afterwards: planned against actual, stages, clocks, and what was overridden."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import msgspec

from studio.plan.shapes import Step
from studio.plan.steps.lay import paint_path
from studio.session.clock import Moment, elapsed_since
from studio.session.events import parts
from studio.session.folding import Record
from studio.session.kinds.paint import BandPainted
from studio.session.kinds.steps import ClosesAStep
from studio.session.path import LEFT_OUT
from studio.session.sheet import sheet_now
from studio.session.state import State, StepRecord, Undone
from studio.session.timers import rounds
from studio.trouble import OK

# What happened beside the steps, added up.


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
        (timer.started.wall_ns / 60e9 - timer.head_start_s / 60.0, timer.ran_min)
        for timer in rounds(state)
        if timer.needs_steam and not timer.repeats and timer.ran_min is not None
    )
    total, covered = 0.0, float("-inf")
    for begin, minutes in spans:
        total += max(0.0, begin + minutes - max(begin, covered))
        covered = max(covered, begin + minutes)
    return total


# Reading a session afterwards: its file, planned against actual, and how long each stage took.


class ReadSession(msgspec.Struct, frozen=True):
    """A session file read whole."""

    name: str
    state: State
    remarks: tuple[str, ...] = ()
    """What is wrong with the file, if anything, one sentence each."""
    may_continue: bool = False
    """Damaged before its end: it can go on from what is whole, in a new file."""
    events: Sequence[Record] = ()
    exit_code: int = OK
    sha256: str = ""
    """Of the very bytes it was read from."""
    told: tuple[str, ...] = ()
    """The remarks, each with the name of the file, safe to show."""


class Compared(msgspec.Struct, frozen=True):
    """One value as it was planned, asked for at the bench, and measured."""

    step: Step
    record: StepRecord
    planned: float | None
    asked: float | None
    """What followed, at that moment, from what had been measured before; the planned where nothing had moved."""
    actual: float | None
    difference_percent: float | None
    """Of what was asked, for that is what the hand can be held to; None where either is missing or 0 was asked."""


def planned_and_actual(state: State) -> tuple[Compared, ...]:
    """Every step that asks for a value, in order."""
    rows = []
    for step in state.all_steps():
        record = state.step(step.id)
        if step.kind != "measure" or not record.closed:
            continue
        asked = step.expected if record.asked is None else record.asked
        difference = None
        if record.value is not None and asked:
            difference = 100 * (record.value - asked) / asked
        rows.append(Compared(step, record, step.expected, asked, record.value, difference))
    return tuple(rows)


def overridden(state: State) -> tuple[tuple[Step, StepRecord], ...]:
    """Steps that were passed, skipped or left unmeasured, with the reason given."""
    return tuple((s, state.step(s.id)) for s in state.all_steps() if state.step(s.id).state in LEFT_OUT)


def put_right_beside_steps(state: State) -> tuple[Record, ...]:
    """What stands of undos of what closes no step, as more of a colour, and of coats whose jar was put right; a step
    keeps what it had been itself.
    """
    return tuple(event for event in state.log if event.n not in state.gone and _puts_right(state, event))


def _puts_right(state: State, event: Record) -> bool:
    if isinstance(event.told, BandPainted):
        return bool(event.told.instead_of)
    undone = state.log.find(event.told.ref) if isinstance(event.told, Undone) else None
    return (
        undone is not None
        and undone.n in state.gone
        and not isinstance(undone.told, Undone)
        and not any(isinstance(part, ClosesAStep) for part in parts(undone.told))
    )


def doubted(state: State) -> tuple[Step, ...]:
    """Steps that were said to be done, or ended early, although that could hardly be."""
    kinds = ("done", "overridden")
    return tuple(s for s in state.all_steps() if state.step(s.id).flagged and state.step(s.id).state in kinds)


def ratings(state: State) -> dict[str, int]:
    """The ratings given, 1 to 5, by the good end that was rated: `{"rinsed clear": 5}`."""
    given = {}
    for step in state.all_steps():
        record = state.step(step.id)
        if step.quantity == "rating" and record.value is not None:
            given[step.of] = int(record.value)
    return given


PUT_ON = ("paint", "into the bath")
"""Steps after which the colour is on the fibre."""


def depths(state: State) -> dict[str, tuple[str, float]]:
    """Name and depth, %, of each colour that was put on, as it came, where the plan asked for a depth; by its slug."""
    sheet = sheet_now(state)
    painted = {coat.event.jar for coat in state.coats}
    all_on = any(s.role in PUT_ON and state.step(s.id).state == "done" for s in state.all_steps())
    plans = (colour.plan for colour in state.choices.colours)
    figures = ((p, sheet.figure(paint_path(p.slug, "depth"))) for p in plans if all_on or p.slug in painted)
    return {
        p.slug: (p.name, f.value) for p, f in figures if p.depth is not None and f is not None and f.value > 0
    }


# When the hands were at work and the clocks ran, stage by stage.

LONGEST_GAP_MIN = 20.0
"""Between two ticks; what is longer was a break or a wait, and counts as this. House rule."""
WAITED_FOR = frozenset({"steam rolling", "at the top", "look", "goods temperature", "unravel", "dyed weight"})
"""Steps that close when water has boiled, a packet has cooled or yarn has dried: what is before them is no
work of hands."""
Span = tuple[float, float]
"""From when to when, wall time in ns."""


class StageTime(msgspec.Struct, frozen=True):
    """When a stage was worked in: by the hands, and by clocks and what else was waited for; its alarms in ns."""

    stage: str
    hands: list[Span] = []
    clocks: list[Span] = []
    alarms: list[float] = []

    @property
    def first_ns(self) -> float:
        """When it was begun."""
        return min(begin for begin, _ in (*self.hands, *self.clocks))

    @property
    def last_ns(self) -> float:
        """When the last of it was over."""
        return max(end for _, end in (*self.hands, *self.clocks))

    @property
    def minutes(self) -> float:
        """From its beginning to its end."""
        return (self.last_ns - self.first_ns) / 60e9


class ClosedStep(msgspec.Struct, frozen=True):
    """A step that was closed, and the seconds since the one before it, by hand or waited."""

    step: Step
    moment: Moment
    gone_s: float
    waited: bool


def ticks(state: State) -> Iterator[ClosedStep]:
    """Every closed step in the order they were closed; a break counts as 20 min of hands."""
    closed = [(state.step(step.id), step) for step in state.all_steps()]
    before = state.opened
    for record, step in sorted(closed, key=lambda one: one[0].n):
        if record.closed and record.moment is not None:
            gone_s = max(0.0, elapsed_since(before, record.moment).seconds)
            before, waited = record.moment, step.kind == "wait" or step.role in WAITED_FOR
            yield ClosedStep(step, before, gone_s if waited else min(60.0 * LONGEST_GAP_MIN, gone_s), waited)


def stage_times(state: State) -> tuple[StageTime, ...]:
    """Stages in which a step was closed; a clock belongs to the stage that waits for it, else where it began.

    **Source:** the moments of ticks, clocks and alarms; what is a wait and what a break are house rules.
    """
    found: dict[str, StageTime] = {}
    stage_of = {step.id: stage.stage for stage in state.worksheet.procedure for step in stage.steps}
    last = state.opened.wall_ns
    for tick in ticks(state):
        name = stage_of[tick.step.id]
        stage = found.setdefault(name, StageTime(name))
        last = max(last, tick.moment.wall_ns)
        span = (tick.moment.wall_ns - 1e9 * tick.gone_s, float(tick.moment.wall_ns))
        (stage.clocks if tick.waited else stage.hands).append(span)
    waits = {step.timer: step.id for step in state.all_steps() if step.timer}
    waited_in: dict[str, str] = {}
    for timer in rounds(state):
        name = waited_in[timer.id] = stage_of.get(waits.get(timer.id, timer.by), "")
        if name in found:
            begun = timer.started.wall_ns - 1e9 * timer.head_start_s
            found[name].clocks.append((begun, max(begun, timer.stopped.wall_ns if timer.stopped else last)))
    for alarm in state.alarms:
        name = waited_in.get(alarm.timer, "")
        if name in found and not alarm.ahead:
            found[name].alarms.append(alarm.raised.wall_ns)
    return tuple(found[laid.stage] for laid in state.worksheet.procedure if laid.stage in found)
