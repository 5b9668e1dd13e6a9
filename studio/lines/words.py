"""The session's own sentences name keys of the bench in brackets; here they name what is written in a
line.
"""

from __future__ import annotations

from collections.abc import Iterator

from studio.plaintext import clean
from studio.plan.shapes import Caution, Role, Step, said_by
from studio.quantity.reading_in import in_units
from studio.report.telling import end_words, outcome, where_you_were
from studio.report.worksheet import value_words
from studio.session.alarms import escalated, over_s
from studio.session.asked import UNIT_NAMES, asked_in, told_of
from studio.session.clock import Reading, elapsed_since, time_of_day
from studio.session.doubts import text_now
from studio.session.live.cooling import rounds_now, staining_words, too_hot
from studio.session.live.given import leftovers_untold
from studio.session.live.thinking import behind, effective
from studio.session.path import LEFT_OUT, closed_as, current_step, progress, stage_of
from studio.session.run import Running
from studio.session.state import AlarmRecord, State, StepRecord
from studio.session.step_rules import Missed, digit_asked, open_warnings, range_told
from studio.session.timers import TimerView, elapsed_s, left_words, minutes_text, ran_out, running, view
from studio.words.questions import leftover_label
from studio.words.table import NAMED_KEY

WRITTEN = {
    "bench.more": "mix",
    "bench.acid": "acid and how much",
    "bench.extend": "more, minutes and a reason",
    "bench.refill": "refill and how much",
    "bench.steam": "steam",
    "bench.correct": "correct",
    "bench.not_measured": "not measured and a reason",
    "bench.note": "note and a remark",
    "bench.packets": "packet out and its number",
    "bench.override": "override and a reason",
    "bench.reading": "reading and the degrees",
    "bench.true_time": "ran and the minutes",
    "bench.undo": "undo",
    "painting.coat": "band, its number and coat",
}


def for_lines(sentence: str) -> str:
    """The sentence with line commands in place of keys.

    >>> for_lines("A gate or a wait is not left out; pass it with a reason ({bench.override}).")
    'A gate or a wait is not left out; pass it with a reason (write override and a reason).'
    """
    return NAMED_KEY.sub(
        lambda key: f"write {WRITTEN[key[1]]}" if key[1] in WRITTEN else key[0], in_units(sentence)
    )


# The sentences of the line mode on one step: what to do, what is waited for, and why.

DOSED: frozenset[Role] = frozenset(
    {"soak water", "acid", "weigh dye", "make up", "count drops", "bath water", "salt", "dye in", "pot water"}
)
"""Steps that ask for an amount to be put in, which is said with them; of the others a value is only expected."""
HINTS = {
    "sound": "Write bell to ring it. Enter when you hear it where you heat > ",
    "paint": "Write band after each band. Enter when all bands are painted > ",
}
ALL_CLOSED = "All steps are closed. list tells them, and leave closes the program."
BY_EYE = "If you cannot judge it: not judged; or ask someone and write 4 by Anna."


def step_lines(state: State, step: Step, now: Reading) -> Iterator[str]:
    """The step to do now: the stage where it is the first of one, what to do with its amount, and its cautions."""
    step, stage = effective(state, step), stage_of(state, step)
    if stage.steps[0].id == step.id:
        yield f"{stage.stage.replace('-', ' ').capitalize()}, {len(stage.steps)} steps."
    earlier = state.step(step.id).earlier
    if earlier:
        yield f"Taken back before: {earlier[-1].what}."
    text = for_lines(text_now(state, step, now))
    if step.role in DOSED and step.expected is not None:
        text = f"{text} How much: {told_of(step, step.expected)}."
    yield text
    told = behind(state, step, now)
    yield from (f"{for_lines(f.label)}: {value_words(f)}" for f in told.figures if step.role == "paint")
    yield from map(caution_line, told.cautions)


def answers_to(state: State, step: Step, now: Reading) -> Iterator[str]:
    """What may be written at a step, for who asks."""
    step = effective(state, step)
    yield from step_lines(state, step, now)
    if by_eye(step):
        yield f"A number from 1 to 5. {BY_EYE}"
    elif step.kind == "measure" and (step.low is not None or step.high is not None):
        yield f"A value, near enough: {range_told(step)}. Or not measured and a reason."
    elif step.kind == "measure":
        yield "A value. Or not measured and a reason."
    elif step.kind in ("gate", "wait"):
        yield "To pass it all the same: override and a reason."
    else:
        yield "Enter when it is done. To leave it out: skip and a reason."
    yield "why: the figures and where they come from. ? and a word, such as ? stock: what it means. help: all lines."


def by_eye(step: Step) -> bool:
    """Whether the step asks for a grade that somebody sees."""
    return step.quantity in ("rating", "look") or step.role == "rinse rounds"


def caution_line(caution: Caution) -> str:
    """The level as a word, then the sentence."""
    return f"{caution.level.upper()}: {for_lines(caution.text)}"


def asking_lines(state: State, step: Step, now: Reading, missed: Missed = ()) -> tuple[str, ...]:
    """What the step waits for; the last line is the prompt and ends in "> ". `missed`: as for the gate's digit."""
    if step.role == "accept cautions":
        waiting = open_warnings(state)
        return (*(f"WARN: {for_lines(w.text)}" for w in waiting[:1]), "Why do you go on? > ")
    for colour in leftovers_untold(state) if step.role == "leftovers" else ():
        return (f"{leftover_label(state, colour)} > ",)
    if step.role in HINTS:
        return (HINTS[step.role],)
    if step.quantity in ("look", "rating"):
        return ("1 to 5? > ",)
    if step.role == "rinse rounds":
        return (f"How does the rinse water look? {'1 to 5' if rounds_now(state) else staining_words()} > ",)
    if too_hot(state, step):
        return ("Too hot to open. Write reading and the degrees again > ",)
    digit = digit_asked(state, step, missed)
    if digit is not None:
        return (f"Write {digit} when it is so > ",)
    if step.kind == "measure":
        return (_value_wanted(effective(state, step)),)
    if step.kind == "wait":
        return (_wait_prompt(state, step, now),)
    return ("Enter when it is done > " if step.kind == "do" else "Enter when you see that it is so > ",)


def _value_wanted(step: Step) -> str:
    unit = asked_in(step)
    planned = ""
    if step.role not in DOSED and step.expected is not None:
        planned = f", planned {told_of(step, step.expected)}"
    return f"{UNIT_NAMES.get(unit, unit)}{planned}? > "


def _wait_prompt(state: State, step: Step, now: Reading) -> str:
    timer = state.timers.get(step.timer)
    if timer is None or ran_out(state, step.timer, now):
        return f"{for_lines(text_now(state, step, now))} Enter to go on > "
    if not elapsed_s(timer, now)[1]:
        return "Write ran and the minutes this clock has run in all > "
    if timer.paused is not None:
        return "The steam is lost and the clock stands still: write steam when it rolls again > "
    left = view(timer, now)
    ends = end_words(left, state.utc_offset_min)
    return f"{left_words(left.left_s)} to go, {ends}; an alarm will ring > "


def why_lines(state: State, step: Step, now: Reading) -> tuple[str, ...]:
    """Equation, origin and source of the figures of a step, and its cautions with their sources."""
    told = behind(state, step, now)
    lines = []
    for figure in told.figures:
        said = said_by(figure.origin, figure.source)
        lines.append(f"{for_lines(figure.label)}: {value_words(figure)}. {figure.because}. {said}")
    waiting = tuple(open_warnings(state)) if step.role == "accept cautions" else ()
    for caution in (*told.warnings, *told.cautions, *waiting):
        lines.append(f"{caution_line(caution)} Source: {caution.source}")
    return tuple(lines) or ("This step has no figures and no cautions.",)


def opening_lines(session: Running) -> Iterator[str]:
    """What is said first: which session this is, and after a resume where it stood."""
    state = session.state
    yield f"{state.title}. Session file: {session.name or 'in memory'}."
    if state.rehearsal_speed:
        yield f"A rehearsal: the clock runs {state.rehearsal_speed:g} times as fast. A dry run: no water, no dye."
    if state.resumed and (where := where_you_were(state, session.clock.now())):
        yield where
    yield "Enter alone means done. Write ? for what a step takes, help for everything else."


def clock_lines(state: State, now: Reading) -> Iterator[str]:
    """The time of day and every running clock, soonest first."""
    offset = state.utc_offset_min
    yield f"It is {time_of_day(now.wall_ns, offset)}."
    yield from [f"{v.label}: {_stands(v, offset)}" for v in running(state, now)] or ["No clock is running."]


def _stands(clock: TimerView, offset: int) -> str:
    end, left = end_words(clock, offset), left_words(clock.left_s)
    if not clock.sure:
        return f"{end}; write ran and the minutes it has run in all."
    if clock.paused:
        return f"{end}; {left} to go once it rolls."
    return f"over by {left}, {end}." if clock.due else f"{left} to go, {end}."


def unsure_line(label: str) -> str:
    """Said for a clock whose time nobody can know but the dyer."""
    return f"The computer lost count. How many minutes has {label} run in all? Write ran and the minutes."


def stage_lines(session: Running, now: Reading) -> Iterator[str]:
    """Every stage with its count, and below the stage of now each of its steps."""
    state, unsaved = session.state, session.unsaved_steps
    current = current_step(state, now)
    for row in progress(state, now, unsaved):
        # The fibre soaks while the stocks are mixed: its stage is neither that of now nor ahead.
        begun = "under way" if row.standing == "ahead" and row.closed else row.standing
        standing = "waiting to be saved" if row.standing == "waiting" else begun
        yield f"Stage {row.stage}: {standing}, {row.closed} of {row.total} closed."
        if row.standing == "now" and current is not None:
            for s in stage_of(state, current).steps:
                yield _listed(s, state.step(s.id), now=s.id == current.id, waits=s.id in unsaved)


def _listed(step: Step, record: StepRecord, *, now: bool, waits: bool) -> str:
    critical = ", critical" if step.critical and not record.closed else ""
    closed = closed_as(step, record)
    standing = "now" if now else f"{closed}, waiting to be saved" if waits else closed
    told = clean(record.why, limit=200) if record.state in LEFT_OUT else outcome(step, record)
    return f"  {standing}: {step.done}{', ' if told else ''}{told}{critical}"


def alarm_line(alarm: AlarmRecord, state: State, now: Reading) -> str:
    """An alarm that stands; the word ALARM comes first."""
    if alarm.ahead:
        return f"Soon: {for_lines(alarm.text)}."
    over = over_s(alarm, state, now)
    late = f" Over by {left_words(-over)}." if over >= 1 else ""
    unanswered = ""
    if escalated(alarm, now):
        unanswered = f" unanswered for {minutes_text(elapsed_since(alarm.raised, now).seconds)}"
    return f"ALARM {alarm.priority}{unanswered}: {for_lines(alarm.text)}{late} Write heard, or later."
