"""The sentences of the line mode on one step: what to do, what is waited for, and why."""

from __future__ import annotations

from studio.lines.colours import leftover_prompt
from studio.lines.key_words import for_lines
from studio.plan.shapes import Caution, Step
from studio.quantity import show
from studio.report.worksheet_rows import value_words
from studio.session.clock import Reading, time_of_day
from studio.session.gate_digit import Missed, digit_asked
from studio.session.live.cooling import too_hot
from studio.session.live.rinsing import staining_words
from studio.session.live.thinking import behind, effective
from studio.session.path import stage_of
from studio.session.state import State
from studio.session.step_rules import open_warnings
from studio.session.step_text import text_now
from studio.session.timers import elapsed_s, left_words, ran_out, view

KIND_WORDS = {"do": "do", "check": "check", "measure": "value", "wait": "wait", "gate": "gate"}
HINTS = {
    "sound": "Write bell to ring it. Enter when you hear it at the pot; skip and a reason when not > ",
    "paint": "Write band after each band, band 7 for the seventh. Enter when all bands are painted > ",
}


def place(state: State, step: Step) -> str:
    """`step 3 of 7 in presoak`."""
    stage = stage_of(state, step.id)
    assert stage is not None, "a step of the procedure is always in a stage"
    number = [s.id for s in stage.steps].index(step.id) + 1
    return f"step {number} of {len(stage.steps)} in {stage.stage}"


def step_lines(state: State, step: Step, now: Reading) -> tuple[str, ...]:
    """The step to do now: its place, its sentence, its figures and the plan's cautions."""
    step = effective(state, step)
    critical = ", critical" if step.critical else ""
    earlier = state.step(step.id).earlier
    before = f" Taken back before: {earlier[-1].what}." if earlier else ""
    lines = [f"S{place(state, step)[1:]}: {KIND_WORDS[step.kind]}{critical}.{before}"]
    lines.append(for_lines(text_now(state, effective(state, step), now)))
    told = behind(state, step, now)
    lines.extend(for_lines(f"{f.label}: {value_words(f)}, {f.origin}: {f.because}") for f in told.figures)
    lines.extend(caution_line(c) for c in told.cautions)
    return tuple(lines)


def caution_line(caution: Caution) -> str:
    """The level as a word, then the sentence."""
    return f"{caution.level.upper()}: {for_lines(caution.text)}"


def asking_lines(state: State, step: Step, now: Reading, missed: Missed = ()) -> tuple[str, ...]:
    """What the step waits for; the last line is the prompt and ends in "> ". `missed`: as for the gate's digit."""
    if step.role == "accept cautions":
        waiting = open_warnings(state)
        return (*(f"WARN: {w.text}" for w in waiting[:1]), "Why do you go on? > ")
    leftover = leftover_prompt(state) if step.role == "leftovers" else ""
    if leftover:
        return (leftover,)
    if step.role in HINTS:
        return (HINTS[step.role],)
    if step.quantity == "look":
        return (
            "On the white spoon: 1 as dark as at first, 3 half gone, 5 clear; or not measured and a reason > ",
        )
    if step.role == "rinse rounds":
        return (f"How does the rinse water look? {staining_words()} > ",)
    if too_hot(state, step):
        return ("Too hot to open: write reading and the degrees again; or override and a reason > ",)
    digit = digit_asked(state, step, missed)
    if digit is not None:
        return (f"Write {digit} when it is so; or override and a reason > ",)
    if step.kind == "measure":
        return (f"{_value_wanted(effective(state, step))}; or not measured and a reason > ",)
    if step.kind == "wait":
        return (_wait_prompt(state, step, now),)
    return ("Enter when it is done > " if step.kind == "do" else "Enter when you see that it is so > ",)


def _value_wanted(step: Step) -> str:
    if step.quantity == "rating":
        return "A number from 1 to 5"
    wanted = {"count": f"Number of {step.unit}", "ph": "pH"}.get(step.quantity, f"Value in {step.unit}")
    return wanted if step.expected is None else f"{wanted}, planned {_amount(step.expected, step.unit)}"


def _amount(value: float, unit: str) -> str:
    return show(value, unit)


def _wait_prompt(state: State, step: Step, now: Reading) -> str:
    timer = state.timers.get(step.timer)
    if timer is None or ran_out(state, step.timer, now):
        return f"{for_lines(text_now(state, step, now))} Enter to go on > "
    if not elapsed_s(timer, now)[1]:
        return "Write ran and the minutes this clock has run in all > "
    if timer.paused is not None:
        return "The steam is lost and the clock stands still: write steam when it rolls again > "
    left = view(timer, now)
    ends = time_of_day(left.ends_wall_ns, state.utc_offset_min)
    return f"{left_words(left.left_s)} to go, until {ends}; an alarm tells you. Or override and a reason > "


def why_lines(state: State, step: Step, now: Reading) -> tuple[str, ...]:
    """Equation, origin and source of the figures of a step, and its cautions with their sources."""
    told = behind(state, step, now)
    lines = []
    for figure in told.figures:
        same = not figure.source or figure.source == figure.origin
        said = figure.origin if same else f"{figure.origin}: {figure.source}"
        lines.append(for_lines(f"{figure.label}: {value_words(figure)}. {figure.because}. {said}"))
    waiting = tuple(open_warnings(state)) if step.role == "accept cautions" else ()
    for caution in (*told.warnings, *told.cautions, *waiting):
        lines.append(f"{caution_line(caution)} Source: {caution.source}")
    return tuple(lines) or ("This step stands on no figure and no caution of its own.",)
