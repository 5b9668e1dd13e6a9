"""The list of a studio's sessions, and their fastness tests, as rows and as JSON."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from textwrap import wrap
from typing import TYPE_CHECKING, Any

from studio.craft.fastness import NOT_THE_STANDARD, Scale, home_test, step_of
from studio.plaintext import clean
from studio.quantity.reading_in import in_units, told
from studio.quantity.showing import show_day
from studio.report.printing import Role, Row, Section, Span, day_and_time, document, marks, picked, row
from studio.session.after.review import ReadSession
from studio.session.clock import day_of, local, utc_text
from studio.session.kinds.fastness import SOON_DAYS, FollowUp, Graded, WaitingTest, days_until, when_words
from studio.session.state import State

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow


STANDING_ROLE: dict[str, Role] = {
    "open": "due",
    "finished": "done",
    "abandoned": "danger",
    "damaged": "danger",
}


NAME, WEIGHT, LEAST_REMARK = 20, 10, 20
"""Cells of a title, where there is no room for more of it, of a weight, and of a remark worth beginning."""


def when_row(card: LogbookRow, width: int, year: int | None) -> Row:
    """The day and the title of one session: what stands before its strip. The year where it is not this one."""
    day = local(card.opened_ns, card.utc_offset_min)
    same = day.year == year
    when = f"{show_day(day):>6}" if same else f"{show_day(day):>6} {day:%Y}"
    room = NAME if width < 96 else 26
    name = clean(card.title, limit=room - 1)
    return row((f"{when:<{6 if same else 11}}  ", "quiet"), (f"{name:<{room}}", "plain"))


def result_row(card: LogbookRow, room: int) -> Row:
    """Weight, rating and remark of one session, or why it was abandoned: what stands behind its strip."""
    weight = told(card.dry_g, "g", kitchen=True) if card.dry_g > 0 else ""
    text, role = remark_told(card)
    left = room - WEIGHT - 6
    if len(text) > left and left < LEAST_REMARK:
        text = "" if card.standing == "finished" else card.standing
    return row(
        (f"{weight:>{WEIGHT - 2}}  ", "plain"),
        (f"{rating_marks(card):<5} ", "plain"),
        (clean(text, limit=max(8, left)), role),
    )


def rating_marks(card: LogbookRow) -> str:
    """Its ratings together as marks, their mean to the nearest; a dash where there are none."""
    given = card.ratings.values()
    return marks(round(sum(given) / len(given))) if given else "\N{EN DASH}"


def remark_told(card: LogbookRow) -> tuple[str, Role]:
    """How it stands where it is not simply finished, else its newest note."""
    if card.standing != "finished":
        what, about = " rehearsal" if card.rehearsal else "", f": {card.about}" if card.about else ""
        return f"{card.standing}{what}{about}", STANDING_ROLE.get(card.standing, "quiet")
    return ("rehearsal" if card.rehearsal else card.remark), "quiet"


def chosen_rows(card: LogbookRow, width: int) -> tuple[Row, ...]:
    """All of one session's facts, in as many lines as they need."""
    weight = f"   {told(card.dry_g, 'g', kitchen=True)}" if card.dry_g > 0 else ""
    title = clean(card.title, limit=min(70, width - len(weight)))
    rated = ", ".join(f"{what} {value}" for what, value in card.ratings.items())
    text, role = remark_told(card)
    more: list[Span] = [(rated, "quiet"), (clean(text, limit=2 * width), role)]
    lines = [row((line, how)) for one, how in more for line in wrap(one, width)]
    return (row((title, "strong"), (weight, "plain")), *lines)


def logbook_sections(cards: Sequence[LogbookRow], width: int) -> list[Section]:
    """One line for each session, newest first; a sentence where there is none."""
    rows = []
    for card in cards:
        when = when_row(card, width, None)
        rows.append((*when, *result_row(card, width - sum(len(text) for text, _ in when))))
    return [Section("", tuple(rows) or (row(("No session yet. Try: potside rehearse", "plain")),))]


def logbook_json(cards: Sequence[LogbookRow]) -> str:
    """The list as one JSON document."""
    sessions = [
        {
            "session": c.key,
            "opened": utc_text(c.opened_ns),
            **picked(c, "title", "standing", "about", "rehearsal"),
        }
        for c in cards
    ]
    return document("potside-logbook/1", {"sessions": sessions})


# Fastness tests after the session: what waits and how it is done, what was graded, what was called off.

FOLLOW_UPS = "fastness tests"
STANDING_ROLES: dict[str, Role] = {"waiting": "due", "graded": "done", "cancelled": "quiet"}


def fastness_rows(state: State) -> Iterator[Row]:
    """Every test in the order it was planned; a corrected grade and a moved day stay visible."""
    for follow_up in state.follow_ups:
        yield from follow_up_rows(follow_up, state.utc_offset_min)
    if state.follow_ups:
        standards = ", ".join(laboratory(test) for test in dict.fromkeys(f.test for f in state.follow_ups))
        yield row((f"{NOT_THE_STANDARD} {standards}; 5 is best, 1 worst", "quiet"))


def given(graded: Graded) -> dict[Scale, str]:
    """The grades by their scales; a scale that was not graded by is left out."""
    grades: dict[Scale, str] = {"change": graded.change, "staining": graded.staining}
    return {scale: grade for scale, grade in grades.items() if grade}


def grade_words(graded: Graded) -> str:
    """The grades, each with its scale.

    >>> grade_words(Graded(9, 0, change="4-5", staining="4"))
    'change 4-5, staining 4'
    """
    return ", ".join(f"{scale} {grade}" for scale, grade in given(graded).items())


def laboratory(test: str) -> str:
    """Which standard tests the same thing."""
    return f"{test}: {home_test(test).standard} (from memory)"


def follow_up_rows(follow_up: FollowUp, utc_offset_min: int) -> Iterator[Row]:
    """One test: how it stands, and below that its grades, what became of them and of its day, and how it is done."""
    standing, grade = follow_up.standing, follow_up.grade
    day = "" if grade is None else f"{day_of(grade.at_ns, utc_offset_min)}  "
    told = {"waiting": f"waits for {clean(follow_up.due, limit=12)}", "cancelled": "called off"}.get(
        standing, ""
    )
    if grade is not None and standing == "graded":
        told = grade_words(grade)
    yield row((f"{follow_up.test:<9}", "plain"), (day, "quiet"), (told, STANDING_ROLES[standing]))
    if follow_up.cancelled:
        yield _quiet(f"why: {follow_up.cancelled}")
    if grade is not None:
        for scale, one in given(grade).items():
            yield _quiet(f"{scale} {one}: {step_of(one, scale).words}")
        if grade.note:
            yield _quiet(grade.note)
        if grade.why:
            yield _quiet(f"graded again: {grade.why}")
    for old in follow_up.grades[:-1]:
        note = f"  {old.note}" if old.note else ""
        yield _quiet(f"was {grade_words(old)} on {day_of(old.at_ns, utc_offset_min)}{note}")
    for moved in follow_up.moved_from:
        yield _quiet(f"was due {moved}")
    if follow_up.note:
        yield _quiet(follow_up.note)
    if standing == "waiting" or follow_up.how != home_test(follow_up.test).how:
        yield _quiet(in_units(follow_up.how), 600)


def _quiet(text: str, limit: int = 300) -> Row:
    return row((f"    {clean(text, limit=limit)}", "quiet"))


# The fastness tests that wait, printed or as JSON: over a whole studio, or of one session.

FORMAT = "potside-follow/1"


def due_role(due: str, today: date) -> Role:
    """Overdue or due today: `due`; within a week: `plain`; later: `quiet`."""
    days = days_until(due, today)
    return "due" if days <= 0 else "plain" if days <= SOON_DAYS else "quiet"


def waiting_row(waiting: WaitingTest, today: date, width: int) -> Row:
    """One test on one line."""
    room = max(12, min(34, width - 40))
    return row(
        (f"{clean(waiting.due, limit=10):<10}  ", "quiet"),
        (f"{when_words(waiting.due, today):<18}", due_role(waiting.due, today)),
        (f"{clean(waiting.test, limit=8):<9}", "plain"),
        (clean(waiting.title, limit=room), "plain"),
    )


def waiting_sections(waiting: Sequence[WaitingTest], today: date, width: int) -> list[Section]:
    """Each test above its session, the longest overdue first; a sentence where none waits."""
    rows = []
    for one in waiting:
        rows.append(waiting_row(one, today, width))
        rows.append(row((f"{'':12}{clean(one.key, limit=width - 12)}", "quiet")))
    none = "No fastness test is waiting. potside follow SESSION --plan wash plans one."
    return [Section("", tuple(rows) or (row((none, "plain")),))]


def waiting_json(waiting: Sequence[WaitingTest], today: date) -> str:
    """The list as one JSON document; days are below 0 where a test is overdue."""
    tests = [
        {"session": one.key, "days": days_until(one.due, today), **picked(one, "title", "test", "due")}
        for one in waiting
    ]
    return document(FORMAT, {"today": today.isoformat(), "waiting": tests})


def follow_up_sections(read: ReadSession) -> list[Section]:
    """The tests of one session, with how each is done."""
    state = read.state
    when = day_and_time(state.opened.wall_ns, state.utc_offset_min)
    named = f"   {when}   {clean(read.name, limit=70)}"
    head = row((clean(state.title, limit=70), "strong"), (named, "quiet"))
    told = Section(FOLLOW_UPS, tuple(fastness_rows(state)))
    none = Section("", (row(("No fastness test is planned; --plan wash plans one.", "plain")),))
    return [Section("", (head,)), told if told.rows else none]


def follow_ups_json(read: ReadSession) -> str:
    """The same as one JSON document."""
    tests = follow_ups_document(read.state)
    return document(FORMAT, {"session": read.name, "title": read.state.title, "follow_ups": tests})


def follow_ups_document(state: State) -> list[dict[str, Any]]:
    """Every fastness test with all its grades, oldest first."""
    named = ("number", "test", "standing", "due", "moved_from", "how", "note", "cancelled")
    return [
        {
            **picked(test, *named),
            "grades": [
                {"at": utc_text(grade.at_ns), **picked(grade, "change", "staining", "note", "why")}
                for grade in test.grades
            ],
        }
        for test in state.follow_ups
    ]
