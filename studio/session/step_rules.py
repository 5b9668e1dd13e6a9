"""What may be done to a step, and the events it gives; the digit that opens a gate."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator

import msgspec

from studio.plan.shapes import Caution, Step
from studio.quantity.reading_in import told_span
from studio.session import commands as c
from studio.session import doubts
from studio.session.asked import Refused, WrongDigit, asked_in, read_value, reason, told_of, with_unit
from studio.session.clock import Reading, time_of_day
from studio.session.doubts import still_in_the_steam
from studio.session.events import Event
from studio.session.kinds import steps
from studio.session.live.cooling import beyond_limit, ended_by, too_hot
from studio.session.live.given import leftovers_untold
from studio.session.live.steam import POT_LEVELS, pot_timers_off, watched_min
from studio.session.live.thinking import effective
from studio.session.path import is_free, stage_of
from studio.session.sheet import fixes, sheet_now, step_anew, unworkable
from studio.session.state import State
from studio.session.taking_back import closes, newest
from studio.session.time_rules import end_alarms, goes_on_for_packets, start_draft, stop_draft, sure_s
from studio.session.timers import clocks_ended_by, elapsed_s, packets_in, ran_out, view

# The digit that opens a gate: shown in its question, another one each time, so that no habit can pass
# it.

DIGITS = range(1, 10)
END_EARLY = "It can be ended early with a reason ({bench.override})."

Missed = tuple[tuple[str, int], ...]
"""Wrong digits that were pressed, each with its gate, oldest first."""


def gate_digit(state: State, gate: str, missed: Missed = ()) -> int:
    """1 to 9; never the one that opened the gate before, nor the one that was shown or pressed a moment ago.

    Of one session, one gate and the same presses it is always the same, so that no alarm and no tick of the
    clock changes it under the dyer's eyes; each session has digits of its own. A key held down never opens it.

    **Source:** house rule.
    """
    chance = random.Random(f"{state.opened.wall_ns} {gate} {len(state.step(gate).earlier)}")
    shown = state.gate_digit
    for wrong in (0, *(digit for at, digit in missed if at == gate)):
        shown = chance.choice([digit for digit in DIGITS if digit not in (shown, wrong)])
    return shown


def digit_asked(state: State, step: Step, missed: Missed = ()) -> int | None:
    """The digit a step asks for; None where it is no gate, or one that asks for reasons or for leftovers first."""
    if step.kind != "gate" or step.role == "accept cautions":
        return None
    if step.role == "leftovers" and leftovers_untold(state):
        return None
    return gate_digit(state, step.id, missed)


# What may be done to a step, and the events it gives.


def open_step(state: State, step_id: str) -> Step:
    """The step, if it exists, is open and nothing stands before it; Refused otherwise."""
    step = state.find_step(step_id)
    if step is None:
        raise Refused("That step is not part of this session.")
    if state.step(step_id).closed:
        back = newest(state)
        offer = " It can be taken back ({bench.undo})." if back is not None and closes(back, step.id) else ""
        raise Refused(f"Already closed: {step.done}.{offer}")
    if not is_free(state, stage_of(state, step), step):
        raise Refused("An earlier step is still open; the bench shows it first.")
    return step


@c.rule(c.Close)
def close(state: State, command: c.Close, now: Reading) -> Iterable[Event]:
    """Close a `do`, `check` or `wait`."""
    step = open_step(state, command.step)
    if step.kind == "measure":
        return measure(state, c.Measure(step.id, ""), now)  # Refused, with an example of what to type.
    if step.kind == "gate":
        raise Refused("This is a gate: type the digit it shows.")
    if step.kind == "wait" and not ran_out(state, step.timer, now) and ended_by(state, step) is None:
        raise Refused(_still_waiting(state, step, now))
    _packets_out_first(state, step)
    flagged = doubts.taken(doubts.closing(state, step, now), meant=command.meant)
    return done_drafts(state, step, now, flagged=flagged)


def done_drafts(state: State, step: Step, now: Reading, *, flagged: bool = False) -> list[Event]:
    """The step is done: the clocks that end and start with it, and the reading where one ended its wait."""
    read = ended_by(state, step)
    read_c = None if read is None or ran_out(state, step.timer, now) else read.event.value
    return [steps.StepDone(step.id, read_c, flagged), *timers_of(state, step, now)]


def _packets_out_first(state: State, step: Step) -> None:
    if step.role == "heat off" and still_in_the_steam(state):
        raise Refused(still_in_the_steam(state))


def _still_waiting(state: State, step: Step, now: Reading) -> str:
    leads = (state.timers.get(plan.id) for plan in state.worksheet.timers if plan.then == step.timer)
    timer = state.timers.get(step.timer) or next(filter(None, leads), None)
    if timer is None:
        return "The clock for this wait has not been started."
    if not elapsed_s(timer, now)[1]:
        return "The computer lost count of this clock: say first how long it ran ({bench.true_time})."
    if timer.paused is not None:
        return f"This clock stands still until the steam is back. {END_EARLY}"
    # The time it ends and not what is left: the sentence stays on screen while the clock goes on.
    ends = time_of_day(view(timer, now).ends_wall_ns, state.utc_offset_min)
    if timer.id != step.timer:
        if ran_out(state, timer.id, now):
            return f"The clock '{timer.label}' is over: answer its alarm, and the one for this wait starts."
        return f"The clock '{timer.label}' is set until {ends}; the one for this wait follows. {END_EARLY}"
    return f"This clock runs until {ends}. {END_EARLY}"


@c.rule(c.Measure)
def measure(state: State, command: c.Measure, now: Reading) -> list[Event]:
    """Record a value, or what it becomes at that step."""
    step = open_step(state, command.step)
    if step.kind != "measure":
        raise Refused("This step takes no value.")
    if step.known_by in c.ANSWERS:
        return _answered(state, step, command.text.strip(), now)
    step = effective(state, step)
    value = read_value(step, command.text)
    odd = unworkable(state, step, value)
    doubt = _odd_value(state, step, command.text, value, odd) or doubts.part_too_soon(state, step, now)
    flagged = doubts.taken(doubt, meant=command.meant)
    told = steps.StepMeasured(
        step=step.id,
        value=value,
        unit=step.unit,
        typed=command.text.strip(),
        flagged=flagged,
        asked=step.expected,
        fixed=fixes(state, step, value),
    )
    return [told, *timers_of(state, step, now)]


def _answered(state: State, step: Step, typed: str, now: Reading) -> list[Event]:
    """What the value becomes, with the clocks of the step; where it stays open, the one that it stops holds it on."""
    told = [*c.ANSWERS[step.known_by](state, step, typed)]
    if any(isinstance(event, steps.StepMeasured) for event in told):
        return [*told, *timers_of(state, step, now)]
    running = state.timers.get(step.stops)
    idle = running is None or not running.running or ran_out(state, step.stops, now)
    more = (t for t in state.worksheet.timers if t.id == step.stops and idle)
    return [*told, *(start_draft(timer, timer.minutes, step.id) for timer in more)]


def _odd_value(state: State, step: Step, typed: str, value: float, odd: str) -> str:
    """The doubt of a value in the words of its step: the sheet's own, `odd`, may name an amount that nobody typed."""
    if not outside(step, value):
        return odd or doubts.mixed(state, step, value)
    then = "nothing can be worked out from it" if odd else doubts.follows(state, step, value)
    meant = with_unit(typed, step.quantity, asked_in(step))
    return f"Really {meant}? Expected {range_told(step)}{f'; {then}' if then else ''}."


def outside(step: Step, value: float) -> bool:
    """Whether a value lies outside the range the procedure expects."""
    low = step.low if step.low is not None else float("-inf")
    high = step.high if step.high is not None else float("inf")
    return not low <= value <= high


def range_told(step: Step) -> str:
    """What a value is taken between without a question, in the unit it is asked for in."""
    if step.low is not None and step.high is not None:
        like = step.high if step.expected is None else step.expected
        return told_span(step.low, step.high, step.unit, like, kitchen=step.kitchen)
    if step.high is not None:
        return f"at most {told_of(step, step.high)}"
    return f"at least {told_of(step, step.low or 0.0)}"


@c.rule(c.NotMeasured)
def not_measured(state: State, command: c.NotMeasured, now: Reading) -> list[Event]:
    """Say why a value is missing; absence alone is never left to be guessed at."""
    step = open_step(state, command.step)
    if step.kind != "measure":
        raise Refused("Only a value that a step asks for can be left unmeasured.")
    step = effective(state, step)
    told = steps.StepNotMeasured(step.id, reason(command.why), step.expected, fixes(state, step, None))
    return [told, *timers_of(state, step, now)]


@c.rule(c.PassGate)
def pass_gate(state: State, command: c.PassGate, now: Reading) -> list[Event]:
    """Open a gate with the digit it shows."""
    step = open_step(state, command.step)
    if step.kind != "gate":
        raise Refused("This step is not a gate; it takes no digit.")
    if step.role == "accept cautions":
        raise Refused("This gate opens once every warning is accepted: type a reason for each.")
    if said := too_hot(state, step):
        raise Refused(said)
    if command.digit != gate_digit(state, step.id, command.missed):
        raise WrongDigit(step.id, command.digit)
    return [steps.GatePassed(step.id, command.digit), *timers_of(state, step, now)]


@c.rule(c.Override)
def override(state: State, command: c.Override, now: Reading) -> list[Event]:
    """Pass a gate or end a wait against its rule; recorded."""
    step = open_step(state, command.step)
    if step.kind not in ("gate", "wait") or step.role == "accept cautions":
        raise Refused("Only a gate or a wait is passed with a reason.")
    if step.kind == "wait" and ran_out(state, step.timer, now):
        raise Refused("The clock of this wait has run out: it is done, without a reason.")
    timer = state.timers.get(step.timer)
    if timer is not None and timer.running:
        sure_s(timer, now)
    flagged = doubts.taken(doubts.ending(state, step, now), meant=command.meant)
    told, read = steps.Overridden(step.id, reason(command.why), flagged=flagged), beyond_limit(state, step)
    if read is not None:
        told = msgspec.structs.replace(told, read_c=read.event.value, limit_c=step.limit_c)
    return [told, *timers_of(state, step, now)]


@c.rule(c.Skip)
def skip(state: State, command: c.Skip, now: Reading) -> list[Event]:
    """Leave a step out for a reason; gates and waits are overridden instead."""
    step = open_step(state, command.step)
    if never_left_out(step):
        raise Refused(never_left_out(step))
    _packets_out_first(state, step)
    asking = effective(state, step)
    skipped = steps.StepSkipped(step.id, reason(command.why))
    if step.sets:
        left_out = fixes(state, asking, 0.0)
        skipped = msgspec.structs.replace(skipped, asked=asking.expected, fixed=left_out)
    return [skipped, *timers_of(state, step, now)]


def never_left_out(step: Step) -> str:
    """Why that step cannot be left out, whatever the reason; or nothing."""
    if step.kind in ("gate", "wait"):
        return "A gate or a wait is not left out; pass it with a reason ({bench.override})."
    return "This step starts a clock that later steps need, so it cannot be left out." if step.starts else ""


@c.rule(c.AcceptCaution)
def accept_caution(state: State, command: c.AcceptCaution, now: Reading) -> Iterator[Event]:
    """Accept one warning; the last one opens the gate."""
    caution = state.worksheet.caution(command.caution)
    if caution is None or caution.level != "warn":
        raise Refused("That warning is not part of this session.")
    if caution.id in state.accepted:
        raise Refused("That warning is already accepted.")
    yield steps.CautionAccepted(caution.id, reason(command.why))
    gate = state.worksheet.step_for("accept cautions")
    if gate is not None and all(w.id == caution.id for w in open_warnings(state)):
        yield steps.GatePassed(gate.id, 0)


def open_warnings(state: State) -> list[Caution]:
    """Warnings that have not been accepted yet."""
    return [w for w in state.worksheet.cautions if w.level == "warn" and w.id not in state.accepted]


def correctable(state: State) -> list[Step]:
    """The steps whose value can be corrected, the value given last first."""
    given = [s for s in state.all_steps() if state.step(s.id).state in ("measured", "not measured")]
    return sorted(given, key=lambda step: -state.step(step.id).n)


def correction_doubt(state: State, step: Step, typed: str) -> str:
    """What is odd about a better value, known before its reason; Refused where it cannot be read."""
    step = effective(state, step_anew(state, step))
    value = read_value(step, typed)
    return _odd_value(state, step, typed, value, unworkable(state, step, value))


@c.rule(c.Correct)
def correct(state: State, command: c.Correct, now: Reading) -> list[Event]:
    """Put a better value in the place of a recorded one."""
    step = state.find_step(command.step)
    record = state.step(command.step)
    if step is None or step.kind != "measure" or record.state not in ("measured", "not measured"):
        raise Refused("Only a value that was asked for and answered can be corrected.")
    why = reason(command.why)
    step = effective(state, step_anew(state, step))
    value = read_value(step, command.text)
    odd = unworkable(state, step, value)
    flagged = doubts.taken(correction_doubt(state, step, command.text), meant=command.meant)
    kept = {**record.fixed, **({step.sets: value} if step.sets and not odd else {})}
    told = steps.Corrected(
        ref=record.n,
        step=step.id,
        value=value,
        unit=step.unit,
        typed=command.text.strip(),
        flagged=flagged,
        why=why,
        fixed=kept,
    )
    return [told]


def timers_of(state: State, step: Step, now: Reading) -> Iterator[Event]:
    """Timers that start and stop with a step, and the alarms that end with it."""
    ending = clocks_ended_by(state.worksheet, step)
    if packets_in(state):
        ending -= {t.id for t in state.timers.values() if goes_on_for_packets(t)}
    yield from (stop_draft(t, now) for t in state.timers.values() if t.running and t.id in ending)
    yield from end_alarms(state, ending, step.id, now)
    yield from end_alarms(state, pot_timers_off(state, step), step.id, now, POT_LEVELS)
    planned = {timer.id: timer.minutes for timer in sheet_now(state).timers}
    for timer in state.worksheet.timers:
        if step.starts and step.starts in (timer.id, timer.with_timer):
            minutes = watched_min(state, timer, planned.get(timer.id, timer.minutes), now)
            yield start_draft(timer, minutes, step.id)
