"""A session's clocks and alarms as rows: what was set against what ran, and how long each alarm went unanswered."""

from __future__ import annotations

from collections.abc import Iterable

from studio.plaintext import clean
from studio.report.spans import Row, Section, row
from studio.report.telling import by_version, told_apart
from studio.session import events as e
from studio.session import review
from studio.session.clock import time_of_day, wall_ns_of
from studio.session.records import AlarmRecord
from studio.session.state import State
from studio.session.timers import minutes_text

LATE_S = 2.0
"""An alarm that came later than that is said to have been late: the machine slept or was busy. House rule."""
LONGEST_LABEL = 28
MOST_ALARMS = 60
"""Rows; an alarm that repeats all day is counted after that. House rule."""


def clocks_section(state: State) -> Section:
    """Every clock with the difference, what the computer's own clocks did, and what was told or saved late."""
    rows: list[Row] = []
    runs = review.timer_runs(state)
    column = _column(run.timer.label for run in runs)
    for run in runs:
        set_for = minutes_text(run.timer.minutes * 60)
        if run.ran_min is None:
            told = f"set for {set_for}, not stopped"
        else:
            off = run.ran_min - run.timer.minutes
            told = f"set for {set_for}, ran {minutes_text(run.ran_min * 60)}{_off(off)}"
        rows.append(
            row((f"{clean(run.timer.label, limit=LONGEST_LABEL):<{column}}", "plain"), (told, "quiet"))
        )
    for event in state.clock_events:
        slept = f"the computer slept {minutes_text(event.seconds)}; clocks went on"
        was_set = f"the wall clock was set by {event.seconds:+.0f} s; no timer was moved"
        rows.append(row((slept if event.kind == "suspended" else was_set, "due")))
    for late in state.log:
        if late.n not in state.gone and ("happened" in late.data or late.kind == e.SAVED_LATE):
            at = time_of_day(wall_ns_of(late.at), state.utc_offset_min)
            rows.append(row((f"{at}  ", "quiet"), (told_apart(late, state)[0], "due")))
    if state.resumed:
        times = (time_of_day(ns, state.utc_offset_min) + by_version(state, by) for ns, by in state.resumed)
        rows.append(row((f"taken up again at {', '.join(times)}", "quiet")))
    return Section("clocks", tuple(rows))


def _column(labels: Iterable[str]) -> int:
    """Cells for the labels of one list, with a gap behind the longest."""
    return 1 + max((13, *(len(clean(label, limit=LONGEST_LABEL)) for label in labels)))


def _off(minutes: float) -> str:
    """The difference to what was set; nothing under a second."""
    if abs(minutes) * 60 < 1:
        return ""
    return f", {minutes_text(abs(minutes) * 60)} {'longer' if minutes > 0 else 'shorter'}"


def alarms_section(state: State) -> Section:
    """Every alarm that came due: when, how late the program was, and how long until it was answered."""
    due = [alarm for alarm in state.alarms if not alarm.ahead]
    column = _column(_label(alarm, state) for alarm in due[:MOST_ALARMS])
    rows = [_alarm(alarm, state, column) for alarm in due[:MOST_ALARMS]]
    if len(due) > MOST_ALARMS:
        rows.append(row((f"and {len(due) - MOST_ALARMS} more", "quiet")))
    return Section("alarms", tuple(rows))


def _label(alarm: AlarmRecord, state: State) -> str:
    timer = state.timers.get(alarm.timer)
    label = timer.label if timer is not None else alarm.timer
    return label if alarm.level == "due" else f"{label}, {alarm.level}"


def _alarm(alarm: AlarmRecord, state: State, column: int) -> Row:
    late = f"came {minutes_text(alarm.late_s)} late, " if alarm.late_s >= LATE_S else ""
    snoozed = "put off, " if alarm.snoozed_at is not None else ""
    when = f"{time_of_day(alarm.raised.wall_ns, state.utc_offset_min)}  "
    name = f"{clean(_label(alarm, state), limit=LONGEST_LABEL):<{column}}"
    if alarm.acknowledged_after_s is None:
        return row((when, "quiet"), (name, "plain"), (f"{late}{snoozed}not answered", "due"))
    how = "ended" if alarm.ended_by else "answered"
    answered = f"{snoozed}{how} after {minutes_text(alarm.acknowledged_after_s)}"
    return row((when, "quiet"), (name, "plain"), (late, "due"), (answered, "quiet"))


def pictures_section(state: State) -> Section:
    """Every picture with the number it is opened by, its path from the studio folder and the words about it."""
    return Section(
        "pictures",
        tuple(
            row(
                (f"{number}  ", "focus"),
                (f"{time_of_day(photo.at.wall_ns, state.utc_offset_min)}  ", "quiet"),
                (clean(photo.path, limit=200), "plain"),
                (f"  {clean(photo.text, limit=300)}".rstrip(), "quiet"),
            )
            for number, photo in enumerate(state.photos, 1)
        ),
    )
