"""What undo would take back, in words: asked before it is done, told once it is."""

from __future__ import annotations

from collections.abc import Sequence

from studio.plaintext import clean
from studio.report.telling import value_tail
from studio.session.records import TimerRecord
from studio.session.taking_back import TakingBack
from studio.session.timers import minutes_text


def named(back: TakingBack) -> str:
    """`'Steam rolling'`, `'Dry fibre weighed', 101 g`, `the correction of 'Dry fibre weighed', 101 g`."""
    what = f"'{clean(back.step.done, limit=60)}'{value_tail(back.record)}"
    return f"the correction of {what}" if back.entry.before.closed else what


def question(back: TakingBack) -> str:
    """What would happen, clocks and all; ends in a full stop."""
    running = [timer for timer in back.lost if timer.running]
    stopped = [timer for timer in back.lost if not timer.running]
    parts = [f"takes back {named(back)}"]
    if running:
        parts.append(f"stops {_clocks(running)}")
    if stopped:
        parts.append(f"loses {_clocks(stopped)}")
    if back.going_again:
        parts.append(f"sets {_clocks(back.going_again)} going again")
    told = f"{', '.join(parts[:-1])} and {parts[-1]}" if len(parts) > 1 else parts[0]
    return f"This {told}{'; what was done since stays' if back.newer else ''}."


def _clocks(timers: Sequence[TimerRecord]) -> str:
    told = [f"'{clean(timer.label, limit=40)}' of {minutes_text(timer.minutes * 60)}" for timer in timers]
    if len(told) == 1:
        return f"the clock {told[0]}"
    return f"the clocks {', '.join(told[:-1])} and {told[-1]}"
