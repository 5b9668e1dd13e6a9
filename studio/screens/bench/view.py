"""What the bench shows at one instant, worked out from the session; no widget in sight."""

from __future__ import annotations

import msgspec
from textual.content import Content

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.quantity.reading_in import as_read, told
from studio.report.telling import last_done, not_saved, outcome
from studio.screens.draw.bench import Part, left_text
from studio.screens.draw.keys import WAITS_TO_BE_SAVED
from studio.screens.draw.panel import Shown, hint_for
from studio.session import alarms as ringing
from studio.session import time_rules
from studio.session.alarms import escalated, over_s, quiet_for_s
from studio.session.clock import Reading, time_of_day
from studio.session.doubts import text_now
from studio.session.live.bath import Ramp, ramp_of
from studio.session.live.thinking import behind, effective
from studio.session.path import StageProgress, current_step, last_closed, progress, stage_of
from studio.session.run import Running
from studio.session.state import AlarmRecord, State
from studio.session.step_rules import digit_asked
from studio.session.timers import TimerView, clock_text, ran_out, running, view
from studio.words.table import spoken


class AlarmLine(msgspec.Struct, frozen=True):
    """One standing alarm."""

    text: str
    late: str
    quiet_s: float
    loud: bool
    priority: str


class BenchView(msgspec.Struct, frozen=True):
    """Everything the bench draws."""

    title: str
    about: str
    time: str
    saved: Part
    trouble: str
    """Why entries wait to be saved; empty when none does."""
    moved: str
    """Where the session goes on, if it had to leave its own file."""
    stages: tuple[StageProgress, ...]
    timer: TimerView | None
    ends_at: str
    timers: tuple[TimerView, ...]
    alarms: tuple[AlarmLine, ...]
    shown: Shown | None
    ended: Content
    window_title: str
    stage: str
    """The stage that is worked in; empty when all are closed."""
    ramp: Ramp | None = None
    """The bath on its ramp, while a kettle is on the heat."""


def look(session: Running) -> BenchView:
    """The session as the bench shows it now."""
    state, now = session.state, session.clock.now()
    step = current_step(state, now)
    timers = running(state, now)
    timer = main_timer(state, step, timers, now)
    stage = stage_of(state, step.id) if step is not None else None
    unsaved = session.unsaved_steps
    stages = progress(state, now, unsaved)
    lines = tuple(_alarm(a, state, now) for a in ringing.standing(session.state))
    offset = state.utc_offset_min
    return BenchView(
        title=state.title,
        about=_about(state),
        time=time_of_day(now.wall_ns, offset),
        saved=("NOT SAVED", "bold $danger") if session.waiting else ("saved", "$done"),
        trouble=not_saved(session),
        moved=session.moved,
        stages=stages,
        timer=timer,
        ends_at=time_of_day(timer.ends_wall_ns, offset) if timer else "",
        timers=timers,
        alarms=lines,
        shown=_shown(session, step, now, unsaved) if step else None,
        ended=Content.styled(
            spoken(" All steps are closed. {bench.end} goes back; {bench.logbook} opens the logbook."),
            "$done",
        ),
        window_title=_window_title(state, timer, lines),
        stage=next((s.stage for s in stages if s.standing == "now"), ""),
        ramp=ramp_of(state, now) if stage is not None and stage.kind == "heat" else None,
    )


def main_timer(
    state: State, step: Step | None, timers: tuple[TimerView, ...], now: Reading
) -> TimerView | None:
    """The clock that matters most: one that must be confirmed, the current wait's, else the soonest."""
    unsure = time_rules.unsure_timers(state, now)
    if unsure:
        return view(unsure[0], now)
    if step is not None and step.kind == "wait":
        match = next((v for v in timers if v.id == step.timer), None)
        if match is not None:
            return match
    return timers[0] if timers else None


def _about(state: State) -> str:
    what = f"{told(state.choices.dry_g, 'g')} {state.choices.form}"
    if state.rehearsal_speed:
        return f"{what}   rehearsal, clock x{state.rehearsal_speed:g}".strip()
    return what


def _alarm(alarm: AlarmRecord, state: State, now: Reading) -> AlarmLine:
    late = clock_text(-over_s(alarm, state, now))
    return AlarmLine(alarm.text, late, quiet_for_s(alarm, now), escalated(alarm, now), alarm.priority)


def _shown(session: Running, step: Step, now: Reading, unsaved: frozenset[str]) -> Shown:
    state = session.state
    stage = stage_of(state, step.id)
    assert stage is not None, "a step of the procedure is always in a stage"
    place = [s.id for s in stage.steps].index(step.id) + 1
    step = effective(state, step)
    step = msgspec.structs.replace(step, text=text_now(state, step, now))
    told = behind(state, step, now)
    return Shown(
        step=step,
        stage=stage,
        number=f"{place} of {len(stage.steps)}",
        record=state.step(step.id),
        figures=told.figures,
        cautions=(*told.warnings, *told.cautions),
        hint=hint_for(
            step,
            state,
            digit_asked(session.state, step, session.missed),
            over=step.kind == "wait" and ran_out(state, step.timer, now),
        ),
        last=_last(state, unsaved),
        unsaved=unsaved,
    )


def _last(state: State, unsaved: frozenset[str]) -> str:
    newest = last_closed(state)
    if newest is None:
        return ""
    step, at_ns = newest
    record = state.step(step.id)
    ended = f"  {said}" if (said := outcome(record)) else ""
    waits = f"   {WAITS_TO_BE_SAVED}" if step.id in unsaved else ""
    return f"{step.done}{ended}   {time_of_day(at_ns, state.utc_offset_min)}{waits}"


def _window_title(state: State, timer: TimerView | None, alarms: tuple[AlarmLine, ...]) -> str:
    if alarms:
        return f"{alarms[0].late} DUE - {as_read(alarms[0].text, limit=60)}"
    if timer is not None:
        return f"{left_text(timer)} {clean(timer.label, limit=30)} - {clean(state.title, limit=40)}"
    return f"{clean(state.title, limit=60)} - Potside"


def where_you_were(state: State, now: Reading) -> str:
    """One sentence for the first look after an interruption or a resume."""
    step = current_step(state, now)
    if step is None:
        return ""
    stage = stage_of(state, step.id)
    assert stage is not None, "a step of the procedure is always in a stage"
    place = [s.id for s in stage.steps].index(step.id) + 1
    sentence = f"You were at {place} of {len(stage.steps)} in {stage.stage}."
    last = last_closed(state)
    if last is not None:
        done, at_ns = last
        sentence += last_done(done, state.step(done.id), time_of_day(at_ns, state.utc_offset_min))
    return sentence
