"""A worksheet as content, and what to do now at the bench: step, figures, cautions, keys, the list of its stage."""

from __future__ import annotations

from collections.abc import Callable

import msgspec
from textual.content import Content

from studio.plaintext import clean, first_sentence
from studio.plan.shapes import Caution, Figure, Stage, Step, Worksheet, said_by
from studio.quantity.reading_in import as_read
from studio.report.worksheet import value_words
from studio.screens.draw.bench import check_row, figure_row, step_lines
from studio.screens.draw.keys import hanging
from studio.session import alarms
from studio.session.asked import told_of
from studio.session.live.cooling import too_hot
from studio.session.live.painting import still_bare
from studio.session.state import State, StepRecord
from studio.words.table import spoken

LEVEL_STYLE = {"stop": "bold $danger", "warn": "bold $due", "note": "$quiet"}


def pressing(worksheet: Worksheet, width: int) -> Content:
    """Stops and warnings, most serious first: what must be dealt with before the pot is lit."""
    return _rows([c for level in ("stop", "warn") for c in worksheet.cautions if c.level == level], width)


def notes(worksheet: Worksheet, width: int) -> Content:
    """What is good to know; read after the figures."""
    rows = _rows([c for c in worksheet.cautions if c.level == "note"], width)
    return Content("\n").join([Content.styled(" good to know", "bold $focus"), rows]) if rows.plain else rows


def _rows(cautions: list[Caution], width: int) -> Content:
    return Content("\n").join(line for c in cautions for line in caution_lines(c, width))


def caution_lines(caution: Caution, width: int, *, with_source: bool = False) -> list[Content]:
    """Level as a word and the sentence beside it, wrapped under itself; the source below when asked for."""
    room = max(20, width - 8)
    lines = Content.styled(as_read(spoken(caution.text), limit=900), "$text").wrap(room)
    if with_source:
        lines = [*lines, *Content.styled(clean(caution.source, limit=400), "$quiet").wrap(room)]
    return hanging(Content.styled(f" {caution.level.upper():<6}", LEVEL_STYLE[caution.level]), lines)


def figures(worksheet: Worksheet, width: int) -> Content:
    """All figures, in sections."""
    from studio.report.worksheet import sections

    lines: list[Content] = []
    for name, part in sections(worksheet).items():
        rows = [line for figure in part for line in _figure_rows(figure, width)]
        lines.extend([Content.styled(f" {name}", "bold $focus"), *rows, Content("")])
    return Content("\n").join(lines)


def _figure_rows(figure: Figure, width: int) -> list[Content]:
    """The figure; below it where the plan's choice lies, if it is one of a published spread."""
    from studio.report.worksheet import spread_bar

    bar = spread_bar(figure)
    lines = [figure_row(figure, width)]
    return [*lines, Content.styled(f"    {bar}", "$quiet").truncate(width, ellipsis=True)] if bar else lines


def why(figure: Figure, width: int) -> Content:
    """One figure with its value, its equation and its source, each wrapped under itself."""
    from studio.report.worksheet import spread_bar

    room = max(20, width - 5)
    lines = [
        Content.assemble(
            (f" {as_read(figure.label, limit=60)}  ", "bold $text"), (value_words(figure), "bold $focus")
        )
    ]
    told = Content.styled(clean(figure.because, limit=900), "$text").wrap(room)
    said = clean(said_by(figure.origin, figure.source), limit=1500)
    origin = Content.styled(said, "$quiet").wrap(room)
    bar = spread_bar(figure)
    shown = Content.styled(bar, "$text").wrap(room) if bar else []
    lines.extend(line.pad_left(3) for line in (*shown, *told, *origin))
    return Content("\n").join([*lines, Content("")])


class Shown(msgspec.Struct, frozen=True):
    """What stands at the bench now."""

    step: Step
    stage: Stage
    number: str
    record: StepRecord
    figures: tuple[Figure, ...]
    cautions: tuple[Caution, ...]
    hint: str
    last: str
    """What was closed last, with its value and time, so that a key that took is seen to have taken."""
    unsaved: frozenset[str] = frozenset()
    """Steps of which something waits to be saved."""


Curve = Callable[[int, int], list[Content]]
"""Draws so many lines, so many cells wide, and one line of minutes below; nothing where there is no room."""
TALLEST_CURVE = 8

SOUND_HINT = "{bench.sound}  ring it   {bench.go}  heard   {bench.skip}  not heard"
HOT_HINT = "{bench.reading}  read it again   {bench.override}  pass it with a reason"
HINTS = {
    "do": "{bench.go}  when it is done",
    "check": "{bench.go}  when you see that it is so",
    "wait": "{bench.go}  when the clock has run out   {bench.override}  end it early",
    "gate": "{bench.gate}  to answer",
}


def hint_for(step: Step, state: State, digit: int | None = None, *, over: bool = False) -> str:
    """What Enter does on this step, in words; at a gate the `digit` that opens it, where it asks for one.

    `over`: the clock that a wait has is run out.
    """
    if too_hot(state, step):
        return HOT_HINT
    if digit is not None:
        return f"Press {digit} when it is so   {{bench.override}}  pass it with a reason"
    if alarms.standing(state):
        return "{bench.answer}  answers the alarm first"
    if over:
        return "{bench.go}  to go on"
    if step.role == "sound":
        return SOUND_HINT
    if step.role == "paint":
        bare = still_bare(state)
        told = f"bare: {bare}" if bare else "every band has a coat"
        return f"{{bench.bands}}  tick the bands   {told}   {{bench.go}}  all painted"
    if step.quantity == "look":
        return "{bench.go}  then how it looks, 1 to 5   {bench.not_measured}  go on as it is"
    if step.role == "rinse rounds":
        return "{bench.go}  after each round, and say how the water looks"
    if step.kind != "measure":
        return HINTS[step.kind]
    if step.quantity == "rating":
        return "{bench.go}  then a number from 1 to 5"
    planned = ""
    if step.expected is not None:
        planned = f", planned {told_of(step, step.expected)}"
    return f"{{bench.go}}  then the value{planned}   {{bench.not_measured}}  not measured"


def panel(shown: Shown, state: State, width: int, height: int, curve: Curve | None = None) -> Content:
    """All of it within `width` by `height` cells; the stage's list gives way first, then a curve, then figures."""
    listed = checks(shown, state, width)
    lines = _wrapped(_top(shown, width, with_reasons=curve is None), width)
    if curve is not None:
        lines = [line for line in lines if line.plain.strip()]
        drawn = curve(width - 2, min(TALLEST_CURVE, height - len(lines) - 1))
        lines.extend(line.pad_left(1) for line in drawn)
    elif len(lines) + len(listed) + 2 > height:
        lines = _wrapped(_top(shown, width, with_reasons=False), width)
    if height < len(lines):
        lines = [line for line in lines if line.plain.strip()]
    while height < len(lines) and shown.figures and curve is None:
        # What was just said and what Enter does stay in sight; figures and cautions stand on the why-page too.
        if len(shown.figures) > 1 or (cut := tuple(_shorter(c) for c in shown.cautions)) == shown.cautions:
            shown = msgspec.structs.replace(shown, figures=shown.figures[:-1])
        else:
            shown = msgspec.structs.replace(shown, cautions=cut)
        lines = _wrapped(_top(shown, width, with_reasons=False), width)
        lines = [line for line in lines if line.plain.strip()]
    if shown.last and len(lines) < height:
        last = Content.styled(f" last  {as_read(shown.last, limit=max(10, width - 8))}", "$quiet")
        lines.append(last)
    left = height - len(lines) - 1
    if left >= 2 and listed:
        lines.append(Content(""))
        lines.extend(listed if len(listed) <= left else _around_current(listed, left))
    return Content("\n").join(lines[:height])


def _shorter(caution: Caution) -> Caution:
    """A note of several sentences by its first; what is more serious stays whole."""
    if caution.level != "note":
        return caution
    return msgspec.structs.replace(caution, text=first_sentence(caution.text))


def _wrapped(blocks: list[Content], width: int) -> list[Content]:
    return [piece for block in blocks for piece in block.wrap(max(20, width - 1))]


def _top(shown: Shown, width: int, *, with_reasons: bool) -> list[Content]:
    blocks = [step_lines(shown.step, shown.number, shown.record)]
    text = Content.styled(as_read(shown.step.text, limit=400), "bold $text")
    blocks.extend(line.pad_left(1) for line in text.wrap(max(20, width - 3)))
    if shown.figures:
        blocks.append(Content(""))
        for figure in shown.figures:
            blocks.append(figure_row(figure, width))
            if with_reasons:
                blocks.append(
                    Content.styled(f"    {clean(figure.because, limit=max(20, width - 8))}", "$quiet")
                )
    serious = [caution for caution in shown.cautions if caution.level != "note"]
    for caution in (serious or list(shown.cautions))[: 2 if serious else 1]:
        blocks.extend(caution_lines(caution, width))
    blocks.append(Content(""))
    blocks.append(Content.styled(f" {spoken(shown.hint)}", "$focus"))
    return blocks


def checks(shown: Shown, state: State, width: int) -> list[Content]:
    """The stage's steps with their marks; in two columns where there is room for them."""
    rows = [
        check_row(step, state.step(step.id), current=step.id == shown.step.id, waits=step.id in shown.unsaved)
        for step in shown.stage.steps
    ]
    column = (width - 3) // 2
    if width < 76 or any(r.cell_length > column for r in rows):
        return [r.truncate(width - 2, ellipsis=True).pad_left(1) for r in rows]
    half = (len(rows) + 1) // 2
    lines = []
    for index in range(half):
        left = rows[index].pad_right(column - rows[index].cell_length)
        right = rows[index + half] if index + half < len(rows) else Content("")
        lines.append(Content.assemble(" ", left, " ", right))
    return lines


def _around_current(lines: list[Content], room: int) -> list[Content]:
    current = next((i for i, line in enumerate(lines) if ">>" in line.plain), len(lines) - 1)
    first = max(0, min(current - room // 2, len(lines) - room))
    return lines[first : first + room]
