"""What has been measured so far, and the plan's numbers where nothing has."""

from __future__ import annotations

from dataclasses import dataclass, field

from studio.plan.facts import ColourFacts, LiveFacts, ProcedureFacts
from studio.plan.shapes import Caution, Figure
from studio.session.clock import Moment, Reading, elapsed_since
from studio.session.records import StepRecord
from studio.session.sheet import sheet_now
from studio.session.state import State
from studio.session.timers import elapsed_s


@dataclass(frozen=True, slots=True)
class Thought:
    """What the bench makes of what happened."""

    figures: tuple[Figure, ...] = ()
    warnings: tuple[Caution, ...] = field(default=())

    def __add__(self, other: Thought) -> Thought:
        return Thought(self.figures + other.figures, self.warnings + other.warnings)


NOTHING = Thought()


def facts_of(state: State) -> tuple[ProcedureFacts, LiveFacts] | None:
    """The numbers behind the procedure, as they stand now; None in sessions that were written without them."""
    facts = sheet_now(state).facts
    return (facts, facts.live) if facts is not None and facts.live is not None else None


def measured(state: State, step_id: str) -> float | None:
    """The value given at a step, if it was given."""
    record = state.step(step_id)
    return record.value if record.closed else None


def dry_g(state: State, facts: ProcedureFacts) -> float:
    """Dry weight as weighed, else as planned."""
    return measured(state, "ready.weight") or facts.dry_weight_g


def colour_of(facts: ProcedureFacts, slug: str) -> ColourFacts | None:
    """The colour of that slug."""
    return next((c for c in facts.colours if c.slug == slug), None)


def leftovers_untold(state: State) -> tuple[ColourFacts, ...]:
    """Colours of which it was not told yet what became of the rest; none in sessions written without colours."""
    known, told = facts_of(state), {kept.colour for kept in state.leftovers}
    return tuple(colour for colour in (known[0].colours if known else ()) if colour.slug not in told)


def minutes_between(start: Moment, end: Moment | Reading) -> float:
    """Minutes from one moment to another."""
    return elapsed_since(start, end).seconds / 60


def minutes_gone(state: State, start: Moment, timer_id: str, now: Reading) -> float | None:
    """Minutes from a start to now. After a restart of the machine those of the clock that began with it, and
    None until the dyer has said how long that one has run."""
    if start.boot == now.boot:
        return minutes_between(start, now)
    timer = state.timers.get(timer_id)
    gone, sure = elapsed_s(timer, now) if timer is not None else (0.0, False)
    return gone / 60 if sure else None


def minute_of(start: Moment, moment: Moment, now: Reading, gone_min: float) -> float | None:
    """Minute of a moment after a start, `gone_min` being now's; None where only the wall clock could tell."""
    if moment.boot == start.boot:
        return minutes_between(start, moment)
    return gone_min - minutes_between(moment, now) if moment.boot == now.boot else None


def warning(warning_id: str, text: str, source: str) -> Caution:
    """A warning of the bench; it stands as long as what it says is so."""
    return Caution(id=f"live.{warning_id}", level="warn", text=text, source=source)


def set_suffix(state: State) -> str:
    """What the step and timer ids of the present set end their stage with: nothing, or `-2`."""
    return "" if state.sets == 1 else f"-{state.sets}"


HEAT_STAGES = ("steam", "heat", "microwave")
"""The stage in which a method sets its colour; each plan has one of them."""


def heat_stage(state: State) -> str:
    """Which of them this session has: `steam`, `heat` of a kettle, or `microwave`."""
    stages = {stage.stage for stage in state.worksheet.procedure}
    return next((name for name in HEAT_STAGES if name in stages), "steam")


def off_the_heat(state: State) -> StepRecord:
    """How the step stands that takes the goods from the heat, in the present set."""
    stage = heat_stage(state)
    return state.step(f"{stage}{set_suffix(state)}.{'off' if stage == 'heat' else 'out'}")


def usual_place(state: State) -> str:
    """Where a temperature was read when nobody says where: at the packet, or in the bath."""
    return "bath" if heat_stage(state) == "heat" else "packet"


def set_timer_id(state: State) -> str:
    """The clock that the present set is held by; a microwave's has bursts instead."""
    return f"{'hold' if heat_stage(state) == 'heat' else 'steam'}{set_suffix(state)}"
