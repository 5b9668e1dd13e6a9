"""The sentences of the line mode on the session as a whole: opening, clocks, stages, alarms."""

from __future__ import annotations

from studio.lines.key_words import for_lines
from studio.lines.step_words import place
from studio.plan.shapes import Step
from studio.report.telling import last_done, value_tail
from studio.session.alarms import escalated, over_s
from studio.session.clock import Reading, elapsed_since, time_of_day
from studio.session.path import current_step, last_closed, progress, stage_of
from studio.session.records import AlarmRecord, StepRecord
from studio.session.run import Running
from studio.session.state import State
from studio.session.timers import TimerView, left_words, minutes_text, running


def opening_lines(session: Running) -> tuple[str, ...]:
    """What is said first: which session this is, and after a resume where it stood."""
    state = session.state
    lines = [f"{state.title}. Session file: {session.name or 'in memory'}."]
    if state.rehearsal_speed:
        lines.append(
            f"A rehearsal: the clock runs {state.rehearsal_speed:g} times as fast, and nothing gets wet."
        )
    if state.resumed:
        lines.append(where_you_were(state, session.clock.now()))
    lines.append("Enter alone means done. Write help for everything else.")
    return tuple(line for line in lines if line)


def where_you_were(state: State, now: Reading) -> str:
    """One sentence after an interruption; empty when nothing is left to do."""
    step = current_step(state, now)
    if step is None:
        return ""
    sentence = f"You were at {place(state, step)}."
    last = last_closed(state)
    if last is not None:
        done, at_ns = last
        sentence += last_done(done, state.step(done.id), time_of_day(at_ns, state.utc_offset_min))
    return sentence


def clock_lines(state: State, now: Reading) -> tuple[str, ...]:
    """The time of day and every running clock, soonest first."""
    offset = state.utc_offset_min
    lines = [f"It is {time_of_day(now.wall_ns, offset)}."]
    lines.extend(f"{v.label}: {_stands(v, offset)}" for v in running(state, now))
    return tuple(lines) if len(lines) > 1 else (*lines, "No clock is running.")


def _stands(clock: TimerView, offset: int) -> str:
    if not clock.sure:
        return "not sure, the computer lost count; write ran and the minutes it has run in all."
    if clock.paused:
        return f"stands still, the steam is lost; {left_words(clock.left_s)} to go once it rolls."
    ends = time_of_day(clock.ends_wall_ns, offset)
    if clock.due:
        return f"over by {left_words(clock.left_s)}, was due at {ends}."
    return f"{left_words(clock.left_s)} to go, ends at {ends}."


def unsure_line(label: str) -> str:
    """Said for a clock whose time nobody can know but the dyer."""
    return f"The computer lost count. How many minutes has {label} run in all? Write ran and the minutes."


def stage_lines(session: Running, now: Reading) -> tuple[str, ...]:
    """Every stage with its count, and below the stage of now each of its steps."""
    state, unsaved = session.state, session.unsaved_steps
    current = current_step(state, now)
    lines = []
    for row in progress(state, now, unsaved):
        standing = "waiting to be saved" if row.standing == "waiting" else row.standing
        lines.append(f"Stage {row.stage}: {standing}, {row.closed} of {row.total} closed.")
        if row.standing == "now" and current is not None:
            stage = stage_of(state, current.id)
            assert stage is not None, "a step of the procedure is always in a stage"
            lines.extend(
                _listed(s, state.step(s.id), now=s.id == current.id, waits=s.id in unsaved)
                for s in stage.steps
            )
    return tuple(lines)


def _listed(step: Step, record: StepRecord, *, now: bool, waits: bool) -> str:
    critical = ", critical" if step.critical and not record.closed else ""
    standing = "now" if now else f"{record.state}, waiting to be saved" if waits else record.state
    return f"  {standing}: {step.done}{value_tail(record)}{critical}"


def alarm_line(alarm: AlarmRecord, state: State, now: Reading) -> str:
    """An alarm that stands; the word ALARM comes first."""
    if alarm.ahead:
        return f"Soon: {alarm.text}."
    over = over_s(alarm, state, now)
    late = f" Over by {left_words(-over)}." if over >= 1 else ""
    unanswered = ""
    if escalated(alarm, now):
        unanswered = f" unanswered for {minutes_text(elapsed_since(alarm.raised, now).seconds)}"
    return f"ALARM {alarm.priority}{unanswered}: {for_lines(alarm.text)}{late} Write heard, or later."
