"""The parts of the bench as content: header, stage rail, clock face, step, checks, other clocks, alarms."""

from __future__ import annotations

import math

from rich.cells import cell_len
from textual.content import Content

from studio.plaintext import clean
from studio.plan.shapes import Figure, Step
from studio.quantity.reading_in import as_read, in_units
from studio.report.telling import outcome
from studio.report.worksheet import value_words
from studio.screens.draw.clocks import big_text, width_of
from studio.screens.draw.keys import CRITICAL, DONE, LEFT_OUT, NOW, OPEN, WAITS, WAITS_TO_BE_SAVED, Glyphs
from studio.session.path import LEFT_OUT as NOT_AS_PLANNED
from studio.session.path import StageProgress
from studio.session.state import StepRecord
from studio.session.timers import TimerView, clock_text, minutes_text
from studio.words.table import spoken

Part = tuple[str, str]

KIND_WORDS = {"do": "do", "check": "check", "measure": "value", "wait": "wait", "gate": "gate"}


def header(title: str, about: str, time: str, saved: Part, width: int) -> Content:
    """Title and what is dyed on the left; time of day and the state of the file on the right."""
    right = f"{time}   {saved[0]}"
    room = max(8, width - len(right) - 5)
    name = clean(title, limit=room)
    taken = cell_len(name)
    rest = room - taken - 3
    parts: list[Part] = [(f" {name}", "bold $text")]
    if rest > 12:
        about = clean(about, limit=rest)
        parts.append((f"   {about}", "$quiet"))
        taken += 3 + cell_len(about)
    parts.append((" " * max(1, width - taken - len(right) - 2), ""))
    parts.append((f"{time}   ", "$quiet"))
    parts.append(saved)
    return Content.assemble(*parts)


def rail(stages: tuple[StageProgress, ...], width: int, glyphs: Glyphs) -> Content:
    """The stages as knots on a strand: wound behind the dyer, loose ahead."""
    names = [s.stage.upper() if s.standing == "now" else s.stage for s in stages]
    taken = sum(map(len, names)) + 2
    gaps = max(1, len(stages) - 1)
    link = max(1, min(6, (width - taken) // gaps - 2))
    pad = " " if taken + gaps * (link + 2) <= width else ""
    parts: list[Part] = [(" ", "")]
    for index, stage in enumerate(stages):
        if index:
            wound = stages[index - 1].standing == "done"
            strand = (glyphs.wound if wound else glyphs.loose) * link
            parts.append((f"{pad}{strand}{pad}", "$done" if wound else "$line"))
        style = {"done": "$done", "waiting": "$danger", "now": "bold $focus", "ahead": "$quiet"}[
            stage.standing
        ]
        parts.append((names[index], style))
    return Content.assemble(*parts)


def left_text(view: TimerView) -> str:
    """What a clock has left; dashes where only the dyer can tell, so that no guess is read as the time.

    **Source:** house rule.
    """
    return clock_text(view.left_s) if view.sure else "--:--"


def clock_face(
    view: TimerView | None, time: str, ends_at: str, glyphs: Glyphs, *, tall: bool, width: int
) -> Content:
    """The one clock that matters now in large digits, with what it counts beside it."""
    if view is None:
        digits, style = time, "$line"
        said: list[Part] = [("time of day", "$quiet"), ("no clock runs yet", "$quiet")]
    else:
        digits = left_text(view)
        style = "bold $due" if view.sure and view.due else "bold $text"
        said = _said(view, ends_at)
    tall = tall and width_of(digits, tall=True) + 24 <= width
    rows = big_text(digits, block=glyphs.block, tall=tall)
    beside = width - width_of(digits, tall=tall) - 8
    top = max(0, (len(rows) - len(said)) // 2)
    lines = []
    for index, row in enumerate(rows):
        text, text_style = ("", "") if not top <= index < top + len(said) else said[index - top]
        lines.append(Content.assemble(("  " + row, style), ("    " + text[: max(0, beside)], text_style)))
    return Content("\n").join(lines)


def _said(view: TimerView, ends_at: str) -> list[Part]:
    label = as_read(view.label, limit=40)
    if not view.sure:
        return [
            (label, "bold $danger"),
            ("computer lost count", "$danger"),
            (spoken("{bench.true_time}: say how long it ran"), "$text"),
        ]
    if view.paused:
        again = spoken("{bench.steam_back} when it rolls again")
        return [(label, "bold $due"), ("stands still: no steam", "$due"), (again, "$text")]
    if view.due:
        return [("DUE", "bold $due"), (f"{label} is over", "$due"), (f"was due {ends_at}", "$quiet")]
    return [
        (label, "bold $text"),
        (f"ends {ends_at}", "$quiet"),
        (f"{minutes_text(math.floor(view.elapsed_s))} gone", "$quiet"),
    ]


def step_lines(step: Step, number: str, record: StepRecord) -> Content:
    """The step to do now: its kind as a word, its place in the stage, its sentence."""
    parts: list[Part] = [(f" {KIND_WORDS[step.kind]:<7}", "bold $focus")]
    if step.critical:
        parts.append(("CRITICAL  ", "bold $danger"))
    parts.append((number, "$quiet"))
    if record.earlier:
        last = record.earlier[-1]
        parts.append((f"   taken back before: {clean(last.what, limit=30)}", "$quiet"))
    return Content.assemble(*parts)


def figure_row(figure: Figure, width: int) -> Content:
    """One figure: label, value with unit and range, and its origin where the label leaves room for it."""
    value = value_words(figure)
    value_width = 21 if width >= 72 else max(15, len(value))
    room = width - 4 - max(value_width, len(value))
    origin = figure.origin if len(figure.label) <= room - 16 else ""
    label_width = max(12, min(36, room - 16 if origin else room))
    label = as_read(figure.label, limit=label_width)
    return Content.assemble(
        (f"  {label:<{label_width}} ", "$quiet"),
        (f"{value:<{value_width}} ", "bold $text"),
        (origin, "$quiet"),
    )


def check_row(step: Step, record: StepRecord, *, current: bool, waits: bool = False) -> Content:
    """One line of the stage's list; what waits to be saved is not ticked."""
    mark, style = (WAITS, "bold $danger") if waits else _mark(step, record, current)
    text = clean(step.done, limit=60)
    tail = in_units(f"{step.done}: {outcome(record)}").removeprefix(f"{in_units(step.done)}: ")
    return Content.assemble(
        (f"{mark} {text}", style),
        (f"  {tail}" if tail else "", "$text" if record.state == "measured" else "$due"),
        (f"  {WAITS_TO_BE_SAVED}" if waits else "", "$danger"),
    )


def _mark(step: Step, record: StepRecord, current: bool) -> Part:
    if record.state in NOT_AS_PLANNED:
        return LEFT_OUT, "$due"
    if record.closed:
        return DONE, "$done"
    if current:
        return NOW.rstrip() + " ", "bold $focus"
    return (CRITICAL, "$danger") if step.critical else (OPEN, "$quiet")


def also_line(views: tuple[TimerView, ...], shown: str, sign: str, width: int) -> Content:
    """Every other running clock on one line; what must be known of sound and sleep beside them, or below."""
    others = [v for v in views if v.id != shown]
    said = Content.styled(f" {sign}", "$quiet")
    if not others:
        return said.truncate(width, ellipsis=True) if sign else Content("")
    parts: list[Part] = [(" also  ", "$quiet")]
    for view in others:
        style = "bold $due" if view.sure and view.due else "$text"
        still = " stands still" if view.paused else ""
        parts.append((f"{clean(view.label, limit=20)} {left_text(view)}{still}   ", style))
    clocks = Content.assemble(*parts)
    if sign and clocks.cell_length + said.cell_length <= width:
        return Content.assemble(clocks, said)
    lines = [clocks, said] if sign else [clocks]
    return Content("\n").join(line.truncate(width, ellipsis=True) for line in lines)
