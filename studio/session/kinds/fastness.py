"""Fastness tests after the session: planned for a day, graded on the grey scales, called off; which wait."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Annotated, ClassVar, Literal

import msgspec
from msgspec import Meta, Struct

from studio.craft.fastness import Grade, HomeTest, Scale, TestName, home_test, step_of
from studio.plaintext import clean, counted
from studio.plan.shelf import read_day
from studio.session import commands as c
from studio.session.asked import Refused, reason, words
from studio.session.clock import Reading, day_of
from studio.session.events import Event, Head, Words
from studio.session.state import State

Number = Annotated[int, Meta(description="Which test of the session, 1 for the first planned.", ge=1)]
Day = Annotated[
    str, Meta(description="Day by the calendar of the place, `2026-10-10`.", pattern=r"^[0-9]{4}-")
]
GradeOrNone = Annotated[
    Grade | Literal[""],
    Meta(description="Grade on the grey scale, 5 best; empty where it was not graded for this."),
]
WordsOrNone = Annotated[str, Meta(description="In the dyer's words, or empty.")]


class OfATest(Event, frozen=True):
    """What befell one test."""

    after_the_end: ClassVar[bool] = True

    number: Number
    test: TestName

    @property
    def named(self) -> str:
        """The test, for a sentence."""
        return f"{clean(self.test, limit=20)} test"

    def found(self, state: State) -> FollowUp | None:
        """The test it is about; None where its planning does not stand."""
        return next((f for f in state.follow_ups if f.number == self.number), None)


class FollowUpPlanned(OfATest, frozen=True, tag="follow_up.planned"):
    """A home test of fastness was planned; with the number of one that waits, it was moved to another day."""

    due: Day
    how: Words
    note: WordsOrNone

    def apply(self, state: State, head: Head) -> None:
        old = self.found(state)
        if old is not None:
            _put(state, old.moved(self))
            return
        number = len(state.follow_ups) + 1
        made = FollowUp(number, self.test, head.n, head.at.wall_ns, self.due, self.how, self.note)
        state.follow_ups.append(made)

    def says(self, state: State) -> str:
        note = f" - {clean(self.note, limit=400)}" if self.note else ""
        return f"{self.named} planned, due {clean(self.due, limit=12)}{note}"


class FollowUpGraded(OfATest, frozen=True, tag="follow_up.graded"):
    """A test was graded by eye; a later one counts in place of an earlier, and both stay."""

    change: GradeOrNone
    staining: GradeOrNone
    note: WordsOrNone
    why: Words = ""

    def apply(self, state: State, head: Head) -> None:
        found = self.found(state)
        if found is not None:
            graded = Graded(head.n, head.at.wall_ns, self.change, self.staining, self.note, self.why)
            _put(state, msgspec.structs.replace(found, grades=(*found.grades, graded)))

    def says(self, state: State) -> str:
        scales = (("change", self.change), ("staining", self.staining))
        given = ", ".join(f"{scale} {clean(grade, limit=12)}" for scale, grade in scales if grade)
        more = [clean(text, limit=400) for text in (self.note, self.why) if text]
        return " - ".join([f"{self.named} graded: {given}, grey scale, by eye", *more])


class FollowUpCancelled(OfATest, frozen=True, tag="follow_up.cancelled"):
    """A test that was planned will not be done."""

    why: Words

    def apply(self, state: State, head: Head) -> None:
        found = self.found(state)
        if found is not None:
            _put(state, msgspec.structs.replace(found, cancelled=self.why or "no reason given"))

    def says(self, state: State) -> str:
        return f"{self.named} called off - {clean(self.why, limit=400)}"


class Graded(Struct, frozen=True):
    """The grades of one look at a test; a later one does not remove the earlier."""

    n: int
    at_ns: int
    change: GradeOrNone = ""
    """Grey-scale grade of the change in colour, `4-5`; empty where none was given."""
    staining: GradeOrNone = ""
    note: str = ""
    why: str = ""
    """Why an earlier grade was wrong."""


class FollowUp(Struct, frozen=True):
    """One test that was planned, and what became of it."""

    number: int
    """1 for the first of the session."""
    test: TestName
    n: int
    at_ns: int
    due: str
    """The day, 2026-10-10."""
    how: str = ""
    note: str = ""
    grades: tuple[Graded, ...] = ()
    """Oldest first; the last one counts."""
    moved_from: tuple[str, ...] = ()
    """Days it was due before it was planned anew."""
    cancelled: str = ""
    """Why it will not be done."""

    @property
    def standing(self) -> Literal["waiting", "graded", "cancelled"]:
        """How it stands."""
        if self.cancelled:
            return "cancelled"
        return "graded" if self.grades else "waiting"

    @property
    def grade(self) -> Graded | None:
        """The grades that count."""
        return self.grades[-1] if self.grades else None

    def moved(self, to: FollowUpPlanned) -> FollowUp:
        """Planned anew; the old day stays visible."""
        return msgspec.structs.replace(
            self,
            due=to.due,
            how=to.how,
            note=to.note or self.note,
            moved_from=(*self.moved_from, self.due),
        )


def _put(state: State, changed: FollowUp) -> None:
    state.follow_ups = [changed if f.number == changed.number else f for f in state.follow_ups]


# The day a follow-up is due: read from what was typed, and held against today.
MOST_DAYS_AHEAD = 5 * 366
"""A strip that hangs longer is a slip of the year. House rule."""
SOON_DAYS = 7
"""A test due within so many days is shown as coming. House rule."""
EXAMPLE = "write for example 2026-12-02, 2 weeks, or in 10 days"

_ISO = r"(?a)\d{4}-\d{2}-\d{2}"
_AHEAD = r"(?a)(?:in )?(a|an|one|\d{1,4}) ?(days?|weeks?|months?)"
_DAYS = {"day": 1, "week": 7}
_WORDS = {"today": 0, "tomorrow": 1}


def due_day(text: str, today: date, opened: date) -> date:
    """The day that is meant; Refused with a sentence where it is none, or lies where no test can.

    `text`: `2026-12-02`, `2 weeks`, `in 10 days`, `1 month`, `today`, `tomorrow`. `today` as the computer has
    it; `opened`: the day of the session, before which nothing could be tested.

    >>> due_day("2 weeks", date(2026, 9, 12), date(2026, 9, 12))
    datetime.date(2026, 9, 26)
    >>> due_day("1 month", date(2027, 1, 31), date(2026, 9, 12))
    datetime.date(2027, 2, 28)
    """
    told = " ".join(text.casefold().split())
    if re.fullmatch(_ISO, told):
        try:
            day = date.fromisoformat(told)
        except ValueError as problem:
            raise Refused(f'"{told}" is no day of the calendar; {EXAMPLE}.') from problem
    else:
        day = _ahead(told, text, today, opened)
    if day < opened:
        raise Refused(f"{day} lies before the session itself, {opened}; {EXAMPLE}.")
    if day > _later(max(today, opened), MOST_DAYS_AHEAD):
        raise Refused(f"{day} is more than five years ahead; {EXAMPLE}.")
    return day


def days_ahead(days: int, today: date, opened: date) -> date:
    """So many days from today; Refused where the computer's clock is before the session."""
    if today < opened:
        raise Refused(
            f"The computer's clock says {today}, before the session itself, {opened}: set the clock, or write the "
            "day, for example 2026-12-02."
        )
    return _later(today, days)


def _ahead(told: str, typed: str, today: date, opened: date) -> date:
    if told in _WORDS:
        return days_ahead(_WORDS[told], today, opened)
    ahead = re.fullmatch(_AHEAD, told)
    if ahead is None:
        raise Refused(f'"{clean(typed.strip(), limit=40)}" is no day; {EXAMPLE}.')
    count = int(ahead[1]) if ahead[1].isdigit() else 1
    unit = ahead[2].removesuffix("s")
    if unit in _DAYS:
        return days_ahead(count * _DAYS[unit], today, opened)
    return _months_on(days_ahead(0, today, opened), count)


def _months_on(day: date, months: int) -> date:
    """The same day so many months on, or the last one of a shorter month."""
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    from calendar import monthrange

    if year > date.max.year:
        return date.max
    return date(year, month + 1, min(day.day, monthrange(year, month + 1)[1]))


def _later(day: date, days: int) -> date:
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return date.max


def when_words(due: str, today: date) -> str:
    """How far off a due day is.

    >>> when_words("2026-09-26", date(2026, 9, 28)), when_words("2026-09-26", date(2026, 9, 26))
    ('2 days overdue', 'due today')
    >>> when_words("2026-09-26", date(2026, 9, 25)), when_words("2026-09-26", date(2026, 8, 26))
    ('due tomorrow', 'due in 31 days')
    """
    days = days_until(due, today)
    if days < 0:
        return f"{counted(-days, 'day')} overdue"
    return {0: "due today", 1: "due tomorrow"}.get(days, f"due in {days} days")


def days_until(due: str, today: date) -> int:
    """Days from today to a due day, below 0 where it is past; 0 for a day that cannot be read."""
    try:
        return (date.fromisoformat(due) - today).days
    except ValueError:
        return 0


# Fastness tests after the session: planned with a day, graded on the grey scales, or called off with a
# reason. All of it is added after the record, which stays as it was closed.
MOST_FOLLOW_UPS = 40
"""Of one session; more is a slip or a script. House rule."""


@c.rule(c.PlanFollowUp)
def plan_follow_up(state: State, command: c.PlanFollowUp, now: Reading) -> list[Event]:
    """A test with a day; one that waits already is moved to the new day, and its old one stays visible."""
    test = _test(command.test)
    today, opened = (day_of(ns, state.utc_offset_min) for ns in (now.wall_ns, state.opened.wall_ns))
    typed = command.due.strip()
    day = due_day(typed, today, opened) if typed else days_ahead(test.days, today, opened)
    waiting = waiting_of(state, test.name)
    if waiting is not None and waiting.due == day.isoformat():
        raise Refused(f"A {test.name} test is planned for {day} already; give another day to move it.")
    if waiting is None and len(state.follow_ups) >= MOST_FOLLOW_UPS:
        raise Refused(
            f"This session has {MOST_FOLLOW_UPS} follow-ups already; grade them or note what you see."
        )
    number = waiting.number if waiting is not None else len(state.follow_ups) + 1
    how = words(command.how) if command.how.strip() else (waiting.how if waiting is not None else test.how)
    note = words(command.note) if command.note.strip() else ""
    return [FollowUpPlanned(number, test.name, day.isoformat(), how, note)]


@c.rule(c.GradeFollowUp)
def grade_follow_up(state: State, command: c.GradeFollowUp, now: Reading) -> list[Event]:
    """Grades for the test that waits, or better ones for the test graded last; those stay visible."""
    test = _test(command.test)
    found = to_grade(state, test.name)
    if found is None:
        raise Refused(f"No {test.name} test is planned here; plan it first, for today if it is done.")
    given: dict[Scale, GradeOrNone] = {
        "change": _grade(command.change, "change", test),
        "staining": _grade(command.staining, "staining", test),
    }
    if not any(given.values()):
        raise Refused(f"Grade {' or '.join(test.scales)}: one of the nine grades, for example 4-5.")
    before = found.grade or Graded(0, 0)
    graded = FollowUpGraded(
        number=found.number,
        test=test.name,
        change=given["change"] or before.change,
        staining=given["staining"] or before.staining,
        note=words(command.note) if command.note.strip() else "",
    )
    if replaced(before, given["change"], given["staining"]):
        graded = msgspec.structs.replace(graded, why=reason(command.why))
    elif (graded.change, graded.staining) == (before.change, before.staining):
        raise Refused(
            f"That is the grade the {test.name} test has already; a remark can be added to the session."
        )
    return [graded]


@c.rule(c.CancelFollowUp)
def cancel_follow_up(state: State, command: c.CancelFollowUp, now: Reading) -> list[Event]:
    """It will not be done, for a reason."""
    test = _test(command.test)
    waiting = waiting_of(state, test.name)
    if waiting is None:
        raise Refused(f"No {test.name} test is waiting here, so there is none to call off.")
    return [FollowUpCancelled(waiting.number, test.name, reason(command.why))]


def waiting_of(state: State, test: str) -> FollowUp | None:
    """The follow-up of that test that is planned and neither graded nor called off."""
    return next((f for f in state.follow_ups if f.test == test and f.standing == "waiting"), None)


def to_grade(state: State, test: str) -> FollowUp | None:
    """What a grade of that test is for: the one that waits, else the one graded last."""
    graded = [f for f in state.follow_ups if f.test == test and f.standing == "graded"]
    return waiting_of(state, test) or (graded[-1] if graded else None)


def replaced(before: Graded, change: str, staining: str) -> bool:
    """Whether a new grade takes the place of another one, which needs a reason."""
    pairs = ((before.change, change), (before.staining, staining))
    return any(old and new and old != new for old, new in pairs)


def _test(name: str) -> HomeTest:
    try:
        return home_test(name)
    except ValueError as problem:
        raise Refused(str(problem)) from problem


def _grade(text: str, scale: Scale, test: HomeTest) -> GradeOrNone:
    if not text.strip():
        return ""
    if scale not in test.scales:
        raise Refused(f"A {test.name} test is graded for {' and '.join(test.scales)}, not for {scale}.")
    try:
        return step_of(text, scale).grade
    except ValueError as problem:
        raise Refused(str(problem)) from problem


# Fastness tests that are planned and not yet graded, of one session and of many.
class WaitingTest(msgspec.Struct, frozen=True, kw_only=True):
    """One test of one session that waits."""

    key: str
    """Name of the session file."""
    title: str
    test: str
    """`light`, `wash`, `wet rub`."""
    due: str
    """The day, 2026-10-10."""


def waiting_in(state: State) -> tuple[tuple[str, str], ...]:
    """Name and due day of each test that waits; a rehearsal dyed nothing, so none of its tests is waited for."""
    if state.rehearsal_speed is not None:
        return ()
    waiting = [f for f in reversed(state.follow_ups) if f.standing == "waiting" and read_day(f.due)]
    # One of each: the rules keep it so, and a file of another hand is read so.
    return tuple({f.test: f.due for f in waiting}.items())
