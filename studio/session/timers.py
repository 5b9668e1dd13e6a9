"""How long a timer has run, how long it has left, which come first, and which a step ends."""

from __future__ import annotations

import math

import msgspec

from studio.plan.shapes import Step, Worksheet
from studio.quantity.showing import HOURS_FROM, hours_text
from studio.session.clock import Moment, Reading, elapsed_since
from studio.session.state import State, TimerRecord

# How long a timer has run, how long it has left, and which come first.


class TimerView(msgspec.Struct, frozen=True):
    """One running timer at one instant."""

    id: str
    label: str
    elapsed_s: float
    left_s: float
    """Negative once it is overdue."""
    ends_wall_ns: int
    sure: bool
    """False after a restart of the machine, or where the clock ran backwards: the person must confirm."""
    paused: bool = False
    """Stands still because the steam was lost."""

    @property
    def due(self) -> bool:
        """Whether it has run out."""
        return self.left_s <= 0


def elapsed_s(timer: TimerRecord, now: Reading) -> tuple[float, bool]:
    """Seconds the timer has run, and whether that is sure.

    A stopped timer keeps its time. After a restart of the machine the time comes from the wall clock
    and is not sure; a negative time is given as it is, never as a guess.
    """
    if timer.stopped_after_s is not None:
        return timer.stopped_after_s, True
    return run_s(timer, now)


def run_s(timer: TimerRecord, until: Reading | Moment) -> tuple[float, bool]:
    """Seconds the timer ran up to a moment, without the times it stood still, and whether that is sure."""
    seconds, sure, begin = timer.head_start_s, True, timer.started
    for stood, again in (*timer.off, (until, None)):
        gone = elapsed_since(begin, stood)
        seconds, sure = seconds + gone.seconds, sure and gone.sure
        if again is None:
            break
        begin = again
    return seconds, sure


def view(timer: TimerRecord, now: Reading) -> TimerView:
    """The timer as it stands now."""
    gone, sure = elapsed_s(timer, now)
    left = timer.minutes * 60 - gone
    return TimerView(
        id=timer.id,
        label=timer.label,
        elapsed_s=gone,
        left_s=left,
        ends_wall_ns=now.wall_ns + int(left * 1_000_000_000),
        sure=sure,
        paused=timer.paused is not None,
    )


def running(state: State, now: Reading) -> tuple[TimerView, ...]:
    """Views of the running timers, soonest first; equal ones by id, so that rows never jump.

    One beside a clock that is over has nothing left to ask for and is left out.
    """
    views = [view(t, now) for t in state.timers.values() if t.running and not main_is_over(state, t, now)]
    return tuple(sorted(views, key=lambda v: (v.ends_wall_ns // 1_000_000_000, v.id)))


def rounds(state: State) -> list[TimerRecord]:
    """Every round of every clock, also of one that was stopped and begun anew, in the order they began."""
    return sorted((*state.rounds_over, *state.timers.values()), key=lambda t: t.started.wall_ns)


def counted_min(state: State, number: int) -> dict[str, float]:
    """Minutes that the clocks of a set ran, all rounds of them, by the id of the figure they count."""
    counts = {clock.id: clock.counts for clock in state.worksheet.timers if clock.counts}
    found: dict[str, float] = {}
    for timer in rounds(state):
        if timer.set_number == number and timer.id in counts and timer.ran_min is not None:
            # A bath that was held on counts as long as it was held.
            figure = counts[timer.id]
            found[figure] = found.get(figure, 0.0) + timer.ran_min
    return found


def packets(state: State) -> tuple[TimerRecord, ...]:
    """The clocks of everything that is or was in the steam, in the order in which they began."""
    return tuple(t for t in state.timers.values() if t.needs_steam and not t.repeats)


def packets_in(state: State) -> tuple[TimerRecord, ...]:
    """Clocks of the packets beside the first one that are in the steam."""
    return tuple(t for t in state.timers.values() if t.running and t.role == "packet")


def ran_out(state: State, timer_id: str, now: Reading) -> bool:
    """Whether that timer was started, is sure of its time, and has run its whole time."""
    timer = state.timers.get(timer_id)
    if timer is None:
        return False
    gone, sure = elapsed_s(timer, now)
    return sure and gone >= timer.minutes * 60


def main_is_over(state: State, timer: TimerRecord, now: Reading) -> bool:
    """Whether the clock beside which one comes again and again is over, with no packet left to look after."""
    main = state.timers.get(timer.with_timer) if timer.repeats else None
    over = main is not None and (not main.running or ran_out(state, main.id, now))
    return over and not (timer.needs_steam and packets_in(state))


def whole_s(left_s: float) -> int:
    """Seconds left as every clock and every sentence beside it tells them; below nothing once overdue.

    Rounded up, so that it reaches 0 exactly when the time is over.

    >>> whole_s(0.001), whole_s(0.0), whole_s(-61.2)
    (1, 0, -61)
    """
    return math.ceil(left_s)


def clock_text(left_s: float) -> str:
    """Remaining time as a countdown shows it; counts up with a plus sign once overdue.

    >>> clock_text(0.001), clock_text(-61.2), clock_text(5999), clock_text(7441)
    ('0:01', '+1:01', '99:59', '2 h 05')
    """
    seconds = abs(whole_s(left_s))
    sign = "+" if left_s < 0 and seconds else ""
    if seconds < 60 * HOURS_FROM:
        return f"{sign}{seconds // 60}:{seconds % 60:02d}"
    minutes = _whole_min(left_s)
    return f"{sign}{minutes // 60} h {minutes % 60:02d}"


def _whole_min(left_s: float) -> int:
    """Minutes of a time that is told with hours: rounded up while it is left, down once it is gone."""
    return abs(math.ceil(whole_s(left_s) / 60))


def left_words(left_s: float) -> str:
    """What a clock has left, or below nothing is over by or has gone, in words: the figures that `clock_text` shows.

    >>> left_words(570.4), left_words(2159.2), left_words(-61.2), left_words(7441)
    ('9 min 31 s', '36 min', '1 min 1 s', '2 h 5 min')
    """
    seconds = abs(whole_s(left_s))
    return _in_words(seconds) if seconds < 60 * HOURS_FROM else hours_text(_whole_min(left_s))


def minutes_text(seconds: float) -> str:
    """A duration in words a sentence can hold: from ten minutes on in whole ones, rounded.

    >>> minutes_text(42), minutes_text(61), minutes_text(3599), minutes_text(7500)
    ('42 s', '1 min 1 s', '60 min', '2 h 5 min')
    """
    whole = round(abs(seconds))
    return _in_words(whole if whole < 600 else 60 * round(whole / 60))


def _in_words(whole: int) -> str:
    minutes, left = divmod(whole, 60)
    if not minutes:
        return f"{left} s"
    return f"{minutes} min {left} s" if left and minutes < 10 else hours_text(minutes)


# Which clocks end with which step.


def clocks_ended_by(sheet: Worksheet, step: Step) -> frozenset[str]:
    """Ids of the clocks that have nothing left to count once that step is closed, however it was closed.

    The clock the step waits for or stops, the one that leads to it or follows from it, and their companions.
    """
    ended = {step.stops, step.timer if step.kind == "wait" else ""} - {""}
    ended |= {t.id for t in sheet.timers if t.then in ended} | {
        t.then for t in sheet.timers if t.id in ended and t.then
    }
    return frozenset(ended | {t.id for t in sheet.timers if t.with_timer in ended})
