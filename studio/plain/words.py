"""The sentences of the line mode: steps, prompts, clocks, stages, reasons."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from studio.plan.shapes import Step
from studio.quantity import show
from studio.report.telling import value_text
from studio.report.worksheet_rows import value_words
from studio.session.alarms import escalated
from studio.session.clock import Reading, elapsed_since
from studio.session.path import current_step, last_closed, progress, stage_of
from studio.session.records import AlarmRecord, StepRecord
from studio.session.run import Running
from studio.session.state import State
from studio.session.step_rules import CAUTIONS_STEP, open_warnings
from studio.session.timers import TimerView, elapsed_s, minutes_text, ran_out, running, view

KIND_WORDS = {"do": "do", "check": "check", "measure": "value", "wait": "wait", "gate": "gate"}


def time_of_day(wall_ns: int, utc_offset_min: int) -> str:
    """Time where the session was opened.

    >>> time_of_day(0, 90)
    '01:30'
    """
    when = datetime.fromtimestamp(wall_ns / 1e9, UTC) + timedelta(minutes=utc_offset_min)
    return f"{when:%H:%M}"


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
        sentence += f" Last done: {last[0].done} at {time_of_day(last[1], state.utc_offset_min)}."
    return sentence


def place(state: State, step: Step) -> str:
    """`step 3 of 7 in presoak`."""
    stage = stage_of(state, step.id)
    assert stage is not None, "a step of the procedure is always in a stage"
    number = [s.id for s in stage.steps].index(step.id) + 1
    return f"step {number} of {len(stage.steps)} in {stage.stage}"


def step_lines(state: State, step: Step) -> tuple[str, ...]:
    """The step to do now: its place, its sentence, its figures and its cautions."""
    critical = ", critical" if step.critical else ""
    earlier = state.step(step.id).earlier
    before = f" Taken back before: {earlier[-1].what}." if earlier else ""
    lines = [f"S{place(state, step)[1:]}: {KIND_WORDS[step.kind]}{critical}.{before}", step.text]
    for name in step.figures:
        figure = state.worksheet.figure(name)
        if figure is not None:
            lines.append(f"{figure.label}: {value_words(figure)}, {figure.origin}: {figure.because}")
    for name in step.cautions:
        caution = state.worksheet.caution(name)
        if caution is not None:
            lines.append(f"{caution.level.upper()}: {caution.text}")
    return tuple(lines)


def asking_lines(state: State, step: Step, now: Reading) -> tuple[str, ...]:
    """What the step waits for; the last line is the prompt and ends in "> "."""
    if step.id == CAUTIONS_STEP:
        waiting = open_warnings(state)
        return (*(f"WARN: {w.text}" for w in waiting[:1]), "Why do you go on? > ")
    if step.kind == "gate":
        return (f'Type the word "{step.word}" when it is so; or override and a reason > ',)
    if step.kind == "measure":
        return (f"{_value_wanted(step)}; or not measured and a reason > ",)
    if step.kind == "wait":
        return (_wait_prompt(state, step, now),)
    return ("Enter when it is done > " if step.kind == "do" else "Enter when you see that it is so > ",)


def _value_wanted(step: Step) -> str:
    if step.quantity == "rating":
        return "A number from 1 to 5"
    wanted = {"count": f"Number of {step.unit}", "ph": "pH"}.get(step.quantity, f"Value in {step.unit}")
    return wanted if step.expected is None else f"{wanted}, planned {_amount(step.expected, step.unit)}"


def _amount(value: float, unit: str) -> str:
    return show(value, unit) if unit in ("g", "mL", "degC") else f"{value:g} {unit}"


def _wait_prompt(state: State, step: Step, now: Reading) -> str:
    timer = state.timers.get(step.timer)
    if timer is None or ran_out(state, step.timer, now):
        return "The clock has run out: Enter to go on > "
    if not elapsed_s(timer, now)[1]:
        return "Write ran and the minutes this clock has run in all > "
    left = view(timer, now)
    ends = time_of_day(left.ends_wall_ns, state.utc_offset_min)
    return f"{minutes_text(left.left_s)} to go, until {ends}; an alarm tells you. Or override and a reason > "


def clock_lines(state: State, now: Reading) -> tuple[str, ...]:
    """The time of day and every running clock, soonest first."""
    offset = state.utc_offset_min
    lines = [f"It is {time_of_day(now.wall_ns, offset)}."]
    lines.extend(f"{v.label}: {_stands(v, offset)}" for v in running(state, now))
    return tuple(lines) if len(lines) > 1 else (*lines, "No clock is running.")


def _stands(clock: TimerView, offset: int) -> str:
    if not clock.sure:
        return "not sure, the computer was restarted; write ran and the minutes it has run in all."
    ends = time_of_day(clock.ends_wall_ns, offset)
    if clock.due:
        return f"over by {minutes_text(clock.left_s)}, was due at {ends}."
    return f"{minutes_text(clock.left_s)} to go, ends at {ends}."


def unsure_line(label: str) -> str:
    """Said for a clock whose time nobody can know but the dyer."""
    return f"The computer was restarted. How many minutes has {label} run in all? Write ran and the minutes."


def stage_lines(state: State, now: Reading) -> tuple[str, ...]:
    """Every stage with its count, and below the stage of now each of its steps."""
    current = current_step(state, now)
    lines = []
    for row in progress(state, now):
        standing = {"done": "done", "now": "now", "ahead": "ahead"}[row.standing]
        lines.append(f"Stage {row.stage}: {standing}, {row.closed} of {row.total} closed.")
        if row.standing == "now" and current is not None:
            stage = stage_of(state, current.id)
            assert stage is not None, "a step of the procedure is always in a stage"
            lines.extend(_listed(s, state.step(s.id), now=s.id == current.id) for s in stage.steps)
    return tuple(lines)


def _listed(step: Step, record: StepRecord, *, now: bool) -> str:
    critical = ", critical" if step.critical and not record.closed else ""
    standing = "now" if now else record.state
    return f"  {standing}: {step.done}{value_tail(record)}{critical}"


def value_tail(record: StepRecord) -> str:
    """`, 41.5 g`, or the reason where there is no value."""
    if record.state == "measured":
        return f", {value_text(record.value, record.unit)}" + (" (marked)" if record.flagged else "")
    return f", {record.why}" if record.why else ""


def why_lines(state: State, step: Step) -> tuple[str, ...]:
    """Equation, origin and source of the figures of a step, and its cautions with their sources."""
    lines = []
    for name in step.figures:
        figure = state.worksheet.figure(name)
        if figure is not None:
            same = not figure.source or figure.source == figure.origin
            said = figure.origin if same else f"{figure.origin}: {figure.source}"
            lines.append(f"{figure.label}: {value_words(figure)}. {figure.because}. {said}")
    for name in step.cautions:
        caution = state.worksheet.caution(name)
        if caution is not None:
            lines.append(f"{caution.level.upper()}: {caution.text} Source: {caution.source}")
    if step.id == CAUTIONS_STEP:
        lines.extend(f"WARN: {w.text} Source: {w.source}" for w in open_warnings(state))
    return tuple(lines) or ("This step stands on no figure and no caution of its own.",)


def alarm_line(alarm: AlarmRecord, state: State, now: Reading) -> str:
    """An alarm that stands; the word ALARM comes first."""
    if alarm.level != "due":
        return f"Soon: {alarm.text}."
    timer = state.timers.get(alarm.timer)
    over = -view(timer, now).left_s if timer is not None else 0.0
    late = f" Over by {minutes_text(over)}." if over >= 1 else ""
    unanswered = ""
    if escalated(alarm, now):
        unanswered = f" unanswered for {minutes_text(elapsed_since(alarm.raised, now).seconds)}"
    return f"ALARM {alarm.priority}{unanswered}: {alarm.text}{late} Write heard, or later."
