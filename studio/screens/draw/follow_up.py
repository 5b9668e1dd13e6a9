"""The follow-up screen as content: the three tests, one test in full, and a grey scale to grade by."""

from __future__ import annotations

from datetime import date

from textual.content import Content

from studio.craft.fastness import CHANGE_STEPS, NOT_THE_STANDARD, STAINING_STEPS, HomeTest, Scale
from studio.plaintext import clean
from studio.report.logbook import due_role, grade_words
from studio.screens.draw.board import see_row
from studio.screens.draw.keys import Glyphs, hanging, wrapped
from studio.screens.draw.lists import STYLES
from studio.session.kinds.fastness import FollowUp, WaitingTest, when_words
from studio.session.state import State


def test_row(test: HomeTest, state: State, today: date) -> Content:
    """One of the three tests and how it stands."""
    newest = next((f for f in reversed(state.follow_ups) if f.test == test.name), None)
    name = (f"{test.name:<9}", "bold $text")
    if newest is None:
        return Content.assemble(name, ("not planned", "$quiet"))
    if newest.standing == "waiting":
        due = clean(newest.due, limit=12)
        return Content.assemble(
            name, (f"{when_words(newest.due, today)}, {due}", STYLES[due_role(newest.due, today)])
        )
    if newest.standing == "cancelled":
        return Content.assemble(name, ("called off", "$quiet"))
    grade = newest.grade
    return Content.assemble(name, (grade_words(grade) if grade is not None else "", "$done"))


def test_sheet(test: HomeTest, state: State, width: int) -> Content:
    """How it is done and what became of it, oldest first."""
    mine = [f for f in state.follow_ups if f.test == test.name]
    how = next((f.how for f in reversed(mine) if f.standing == "waiting" and f.how), test.how)
    lines = wrapped(clean(how, limit=900), "$text", width)
    lines.extend(wrapped(f"{NOT_THE_STANDARD} by {test.standard}, from memory.", "$quiet", width))
    for follow_up in mine:
        lines.extend(_history(follow_up, width))
    return Content("\n").join(lines)


def _history(follow_up: FollowUp, width: int) -> list[Content]:
    told = [f"was due {clean(day, limit=12)}, moved to another day" for day in follow_up.moved_from]
    told.extend(
        f"{'graded' if grade is follow_up.grade else 'was graded'} {grade_words(grade)}"
        + "".join(f"; {clean(text, limit=300)}" for text in (grade.note, grade.why) if text)
        for grade in follow_up.grades
    )
    if follow_up.note:
        told.append(clean(follow_up.note, limit=300))
    if follow_up.cancelled:
        told.append(f"called off: {clean(follow_up.cancelled, limit=300)}")
    return [line for text in told for line in wrapped(text, "$quiet", width)]


def scale_sheet(scale: Scale, width: int) -> Content:
    """The nine grades, each with what it looks like."""
    steps = CHANGE_STEPS if scale == "change" else STAINING_STEPS
    lines: list[Content] = []
    for step in steps:
        said = Content.styled(step.words, "$text").wrap(max(20, width - 8))
        lines.extend(hanging(Content.styled(f" {step.grade:<5}", "bold $focus"), said))
    return Content("\n").join(lines)


def waiting_row(waiting: WaitingTest, today: date, width: int) -> Content:
    """A test that waits, on the home page and in the list of them all."""
    sign, style = ("●", "$due") if due_role(waiting.due, today) == "due" else ("□", "$text")
    what = f"{clean(waiting.test, limit=12)} test {when_words(waiting.due, today)}"
    return see_row(sign, what, waiting.title, width, style)


def waiting_line(waiting: WaitingTest, today: date, glyphs: Glyphs) -> Content:
    """The same below the logbook's list."""
    role = due_role(waiting.due, today)
    sign, said = glyphs.due if role == "due" else glyphs.open, when_words(waiting.due, today)
    told = f"{clean(waiting.title, limit=40)}: {clean(waiting.test, limit=12)} test {said}"
    return Content.assemble((f"  {sign} ", STYLES[role]), (told, STYLES[role]))
