"""Fastness tests: those of one session, planned and graded with the scale beside, and all that wait in the studio."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from studio.craft.fastness import (
    CHANGE_STEPS,
    HOME_TESTS,
    NOT_THE_STANDARD,
    STAINING_STEPS,
    HomeTest,
    Scale,
    home_test,
    step_of,
)
from studio.plaintext import clean
from studio.report.logbook import due_role, follow_up_rows, grade_words
from studio.screens.bench.entry import Entry
from studio.screens.draw.board import waiting_row
from studio.screens.draw.keys import answers, hanging, wrapped
from studio.screens.draw.lists import STYLES, heading, row_content
from studio.screens.keyed import Keyed, KeyLine, app_of
from studio.screens.rows import Rows
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.kinds.fastness import Graded, WaitingTest, replaced, to_grade, waiting_of, when_words
from studio.session.state import State
from studio.trouble import Trouble
from studio.words.actions import REASON, WORDS, Question
from studio.words.questions import reason_question
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.services.studio import Services
    from studio.session.after.review import ReadSession


WHAT: dict[Scale, str] = {
    "change": "change in colour",
    "staining": "staining of undyed cloth",
}


class ScaleQuestion(Question, frozen=True):
    """A question that is answered with a grade; the scale is shown beside it."""

    scale: Scale = "change"


def grade_question(state: State, test: str) -> Question:
    """Ask for the grade on each scale of the test, for a reason where one is replaced, and for a few words."""
    found = to_grade(state, test)
    if found is None:
        raise Refused(f"No {test} test is planned here; {{follow.plan}} plans one, for today if it is done.")
    before = found.grade or Graded(0, 0)
    scales = home_test(test).scales

    def ask(place: int, given: dict[Scale, str]) -> Question:
        if place == len(scales):
            return _last_words(test, before, given)
        scale = scales[place]
        old = before.change if scale == "change" else before.staining
        none = " (Enter: not graded)" if len(scales) > 1 or old else ""

        def answer(text: str) -> Question:
            grade = step_of(text, scale).grade if text.strip() or not none else ""
            return ask(place + 1, {**given, scale: grade})

        was = f", was {old}" if old else ""
        label = f"{test} test, {WHAT[scale]}{was}: 5 to 1{none}"
        return ScaleQuestion(label, answer, "A grade, 5 to 1", scale=scale)

    return ask(0, {})


def _last_words(test: str, before: Graded, given: dict[Scale, str]) -> Question:
    change, staining = given.get("change", ""), given.get("staining", "")
    if not change and not staining:
        raise Refused("Give at least one grade, for example 4-5; Esc leaves it ungraded.")

    def words(why: str) -> Question:
        return Question(
            "A few words about it, or Enter alone",
            lambda note: c.GradeFollowUp(test, change, staining, note, why),
            WORDS,
        )

    if not replaced(before, change, staining):
        return words("")
    return Question("Why was the old grade wrong? Both stay in the record.", _then(words), REASON)


def _then(words: Callable[[str], Question]) -> Callable[[str], Question]:
    """The reason is asked for until there is one."""

    def answer(why: str) -> Question:
        from studio.session.asked import reason

        return words(reason(why))

    return answer


def plan_question(state: State, test: str, today: date) -> Question:
    """Ask for the day it is due; the test's own where nothing is typed."""
    usual = home_test(test)
    own = today + timedelta(days=usual.days)
    waiting = waiting_of(state, test)
    moved = f"due {waiting.due}, move it to" if waiting is not None else "due"
    label = f"{test} test, {moved} (2026-12-02, 2 weeks, today; Enter alone: {own}, {usual.why_then})"
    return Question(label, lambda text: c.PlanFollowUp(test, text), "A day")


def cancel_question(state: State, test: str) -> Question:
    """Ask why it will not be done."""
    if waiting_of(state, test) is None:
        raise Refused(f"No {test} test is waiting here, so there is none to call off.")
    return reason_question(f"Why call off the {test} test", lambda why: c.CancelFollowUp(test, why))


# The three tests, one test in full, and a grey scale to grade by.


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
    told = [row for follow_up in mine for row in follow_up_rows(follow_up, state.utc_offset_min)]
    waits = any(f.standing == "waiting" for f in mine)  # Then the rows tell how it is done.
    how = [] if waits else wrapped(clean(test.how, limit=900), "$text", width)
    by = wrapped(f"{NOT_THE_STANDARD} by {test.standard}, from memory.", "$quiet", width)
    return Content("\n").join([*how, *by, *(row_content(row).pad_left(1) for row in told)])


def scale_sheet(scale: Scale, width: int) -> Content:
    """The nine grades, each with what it looks like."""
    steps = CHANGE_STEPS if scale == "change" else STAINING_STEPS
    lines: list[Content] = []
    for step in steps:
        said = Content.styled(step.words, "$text").wrap(max(20, width - 8))
        told = hanging(Content.styled(f" {step.grade:<5}", "bold $focus"), said)
        lines.extend(answers(line, step.grade) for line in told)
    return Content("\n").join(lines)


# Fastness tests after a session: what waits, how each is done, planned and graded with the scale beside.


class FollowUpScreen(Keyed[None], where="follow"):
    """The three tests of one session. Enter does what comes next: plan, or grade."""

    AUTO_FOCUS = "#follow-list"

    def __init__(self, services: Services, key: str, read: ReadSession, *, grade: str = "") -> None:
        """`grade` is the test that is graded at once."""
        super().__init__()
        self.services = services
        self.key = key
        self.read = read
        self._at_once = grade
        self._today = date.fromisoformat(services.today())

    def compose(self) -> ComposeResult:
        yield Static(id="follow-title", markup=False)
        yield Rows(*(Option(test.name, id=test.name) for test in HOME_TESTS), id="follow-list")
        with VerticalScroll(id="follow-sheet", can_focus=False):
            yield Static(id="follow-page", markup=False)
        yield Entry(self._carry_out)
        yield KeyLine()

    def on_mount(self) -> None:
        rows = self.query_one(OptionList)
        names = [test.name for test in HOME_TESTS]
        waiting = [f for f in self.read.state.follow_ups if f.standing == "waiting" and f.test in names]
        first = min(waiting, key=lambda f: f.due).test if waiting else names[0]
        rows.highlighted = names.index(self._at_once if self._at_once in names else first)
        if self._at_once:
            self.call_after_refresh(self.action_grade)

    @property
    def test(self) -> HomeTest:
        """The test under the bar."""
        rows = self.query_one(OptionList)
        return HOME_TESTS[rows.highlighted or 0]

    def redraw(self) -> None:
        """The three tests, and the one under the bar in full; a scale in its place while it is graded by."""
        entry, rows = self.query_one(Entry), self.query_one(OptionList)
        width = max(40, self.size.width - 1)
        state = self.read.state
        title = Content.styled(f"   {clean(state.title, limit=40)}", "$text")
        name = "" if entry.is_asking else clean(self.read.name, limit=50)
        self.show(
            "follow-title", Content.assemble(heading("Fastness tests"), title, (f"   {name}", "$quiet"))
        )
        for test in HOME_TESTS:
            rows.replace_option_prompt(test.name, test_row(test, state, self._today))
        asked = entry.question
        grading = asked if isinstance(asked, ScaleQuestion) else None
        rows.display = grading is None
        page = scale_sheet(grading.scale, width) if grading else test_sheet(self.test, state, width)
        self.show("follow-page", page)

    @on(OptionList.OptionHighlighted)
    def _looked_at(self) -> None:
        self._say("")
        self.redraw()

    @on(OptionList.OptionSelected)
    def _chosen(self) -> None:
        if waiting_of(self.read.state, self.test.name) is not None:
            self.action_grade()
        else:
            self.action_plan()

    def action_grade(self) -> None:
        self._ask(lambda: grade_question(self.read.state, self.test.name))

    def action_plan(self) -> None:
        self._ask(lambda: plan_question(self.read.state, self.test.name, self._today))

    def action_cancel(self) -> None:
        self._ask(lambda: cancel_question(self.read.state, self.test.name))

    def _ask(self, question: Callable[[], Question]) -> None:
        try:
            asked = question()
        except Refused as refused:
            self._say(str(refused))
            return
        self._say("")
        self.query_one(Entry).ask(asked)

    def _say(self, sentence: str) -> None:
        self.notice = sentence
        self.draw_foot()

    def _carry_out(self, command: object) -> None:
        self.services.add_later(self.key, lambda state: cast("c.Command", command))
        self.read = self.services.read(self.key)

    @on(Entry.Stands)
    def _asked(self) -> None:
        self.redraw()

    @on(Entry.Closed)
    def _answered_or_not(self) -> None:
        self.redraw()
        self.query_one(OptionList).focus()


class WaitingScreen(Keyed[None], where="waiting"):
    """Every test that waits over the whole studio, the longest overdue first."""

    def __init__(self, services: Services) -> None:
        super().__init__()
        self.services = services
        self._waiting: Sequence[WaitingTest] = ()

    def compose(self) -> ComposeResult:
        yield Static(Content.styled(" Fastness tests that wait", "bold $text"), id="log-title", markup=False)
        yield Rows(id="waiting-list")
        yield KeyLine()

    def on_screen_resume(self) -> None:
        with self.telling():
            self._waiting = self.services.waiting(refresh=True)
        self.redraw()
        self.refresh_bindings()

    def redraw(self) -> None:
        """All of them at the present width."""
        today, width = date.fromisoformat(self.services.today()), max(40, self.size.width - 4)
        rows = [Option(waiting_row(one, today, width), id=row_id(one)) for one in self._waiting]
        told = spoken("None. {session.follow_up} on a session's page plans one.")
        none = Option(Content.styled(told, "$quiet"), id="")
        self.query_one(Rows).fill(rows or [none])

    def any_waiting(self) -> bool:
        """Whether a test waits."""
        return bool(self.query_one(Rows).chosen)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        if event.option_id:
            open_to_grade(self, self.services, event.option_id.partition(":")[2])


def row_id(waiting: WaitingTest) -> str:
    """The id of a row, read back by `open_to_grade` after the first colon."""
    return f"follow:{waiting.test}:{waiting.key}"


def open_to_grade(screen: Screen[None], services: Services, told: str) -> None:
    """Open the tests of a session with one to be graded; `told` is `wash:KEY`."""
    test, _, key = told.partition(":")
    try:
        read = services.read(key)
        name = home_test(test).name
    except (Trouble, ValueError) as problem:
        app_of(screen).say(str(problem), bad=True)
        return
    screen.app.push_screen(FollowUpScreen(services, key, read, grade=name))
