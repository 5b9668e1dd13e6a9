"""Fastness tests after the session: planned, graded, called off; and what a state keeps of each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, ClassVar, Literal

import msgspec
from msgspec import Meta, Struct

from studio.craft.fastness import Grade, TestName
from studio.plaintext import clean
from studio.session.events import Event, Head, Words

if TYPE_CHECKING:
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


KINDS = (FollowUpPlanned, FollowUpGraded, FollowUpCancelled)
