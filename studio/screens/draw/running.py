"""The session that runs, as home shows it: its strip as far as it is, its clock, what it waits for, its alarms."""

from __future__ import annotations

import msgspec
from textual.content import Content

from studio.plaintext import clean
from studio.plan.preview import StripBand
from studio.quantity.reading_in import as_read
from studio.report.telling import end_words
from studio.screens.bench.view import AlarmLine, alarm_line, main_timer
from studio.screens.draw.bench import left_text
from studio.screens.draw.board import ROOMY, TALL, set_in
from studio.screens.draw.cloth import stage_words, strip
from studio.screens.draw.digits import big
from studio.screens.draw.keys import MARGIN, SENTENCE, Glyphs, beside
from studio.session import alarms as ringing
from studio.session.clock import Reading
from studio.session.doubts import text_now
from studio.session.live.thinking import effective
from studio.session.path import StageProgress, current_step, progress, share_done
from studio.session.run import as_it_stands
from studio.session.state import State
from studio.session.timers import TimerView, running


class Glance(msgspec.Struct, frozen=True):
    """A session that nobody is at, as home shows it."""

    stages: tuple[StageProgress, ...]
    bands: tuple[StripBand, ...]
    timer: TimerView | None
    clock_words: str
    """What the clock is of, and when it ends."""
    alarms: tuple[AlarmLine, ...]
    waits_for: str


def glance(state: State, now: Reading, bands: tuple[StripBand, ...]) -> Glance:
    """Of the state in its file; a clock that ran out since stands among the alarms."""
    state = as_it_stands(state, now)
    step = current_step(state, now)
    timers = running(state, now)
    timer = main_timer(state, step, timers, now)
    words = "" if timer is None else f"{timer.label}, {end_words(timer, state.utc_offset_min)}"
    return Glance(
        stages=progress(state, now),
        bands=bands,
        timer=timer,
        clock_words=as_read(words, limit=80),
        alarms=tuple(alarm_line(a, state, now) for a in ringing.standing(state)),
        waits_for="All steps are closed." if step is None else text_now(state, effective(state, step), now),
    )


def running_row(title: str, seen: Glance, size: tuple[int, int], glyphs: Glyphs) -> Content:
    """The session that runs: its strip as far as it is, its clock, what it waits for."""
    width, height = size
    wide = width - 2 * MARGIN
    rows = 7 if width >= ROOMY and height >= TALL else 5 if width >= 76 and height >= 24 else 3
    right = list[Content]()
    if seen.timer is not None:
        style = "bold $due" if seen.timer.due and seen.timer.sure else "bold $text"
        drawn = big(left_text(seen.timer), rows, ascii_only=glyphs.ascii_only)
        room = max(map(len, drawn))
        right = [Content.styled(row, style) for row in drawn]
        right.extend(Content.styled(seen.clock_words, "$quiet").wrap(max(room, 20)))
    column = wide - max((line.cell_length for line in right), default=-3)
    part = column - 3
    left = [
        *strip(seen.bands, part, 2 if rows == 3 else 4, glyphs, done=share_done(seen.stages)),
        *([Content("")] if rows == 7 else []),
        stage_words(seen.stages, part, glyphs),
    ]
    name = Content.styled(clean(title, limit=wide - 4), "bold $text")
    told = Content.styled(as_read(seen.waits_for, limit=400), "$text")
    if name.cell_length + 3 + told.cell_length <= wide:
        head = [Content.assemble(name, "   ", told)]
    else:
        head = [name, *told.wrap(min(SENTENCE, wide))]
    blank = [Content("")] if rows > 3 else []
    return set_in([*head, *blank, *(beside(left, right, column) if right else left)])
