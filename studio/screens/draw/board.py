"""The rows of home as content: what is to be seen to, plans, sessions, and the ways in of the first start."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from textual.content import Content

from studio.plaintext import clean
from studio.screens.draw.cloth import strip
from studio.screens.draw.keys import MARGIN, SENTENCE, Glyphs
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.plan.preview import StripBand
    from studio.services.plans import PlanCard
    from studio.session.kinds.fastness import WaitingTest

ROOMY, ROOMIEST = 100, 150
"""Cells from which the columns are wider."""
TALL, TALLEST = 36, 44
"""Rows from which there is a blank one between two plans; from which their strips are two rows high."""
SAFETY = (
    "Hot steam, dye powder and acid can hurt. The maker's safety data sheet, local rules and "
    "trained advice come before anything this program says."
)


def heading(title: str, more: str, time: str, width: int) -> Content:
    """The house and the studio at the left, the time of day at the right."""
    room = max(4, width - 2 * MARGIN - len(title) - len(time) - 5)
    left = Content.assemble((title, "bold $text"), (f"   {clean(more, limit=room)}", "$quiet"))
    gap = " " * max(2, width - 2 * MARGIN - left.cell_length - len(time))
    return Content.assemble(" " * MARGIN, left, gap, (time, "$quiet"))


def safety(width: int) -> Content:
    """What comes before anything this program says."""
    lines = Content.styled(SAFETY, "$quiet").wrap(min(SENTENCE, width - 2 * MARGIN))
    return Content("\n").join(line.pad_left(MARGIN) for line in lines)


# The rows of the list; its first cell is kept for the sign of the chosen one.


def group(name: str) -> Content:
    """What the rows below it are."""
    return Content.styled(f" {name}", "$quiet")


def set_in(lines: Sequence[Content]) -> Content:
    """Lines of a row, in from the sign."""
    return Content("\n").join(line.pad_left(MARGIN - 1) if line.plain else line for line in lines)


def see_row(sign: str, what: str, why: str, width: int, style: str = "$due") -> Content:
    """One thing to be seen to: its sign, what it is, and why at the right where there is room for it."""
    room = width - 2 * MARGIN - 2
    told = Content.styled(clean(what, limit=300), "$text")
    reason = Content.styled(clean(why, limit=max(10, room - 14)), "$quiet")
    column = 36 if width < ROOMY else 28 + strip_wide(width)
    if told.cell_length + 2 + reason.cell_length <= room:
        gap = max(2, min(column, room - reason.cell_length) - told.cell_length)
        return Content.assemble(" ", (f"{sign} ", style), told, " " * gap, reason)
    lines = [*told.wrap(room), *([reason] if reason.plain else [])]
    return Content("\n").join(
        Content.assemble(" ", (f"{sign} " if n == 0 else "  ", style), line) for n, line in enumerate(lines)
    )


def marks_of(one: LogbookRow | None) -> Content:
    """How it was rated, of five; as many blanks where there is none."""
    from studio.report.logbook import rating_marks

    return Content(f"{rating_marks(one):>5}") if one is not None else Content(" " * 5)


def strip_wide(width: int) -> int:
    """Cells of one repeat on a page so wide."""
    return 36 if width >= ROOMIEST else 24 if width >= ROOMY else 16


def board_row(
    title: str,
    bands: Sequence[StripBand],
    facts: Sequence[str],
    marks: Content,
    width: int,
    glyphs: Glyphs,
    rows: int = 1,
) -> Content:
    """A plan or a session: name, one repeat of its strip, facts in columns as far as there is room, its rating."""
    wide, room = strip_wide(width), 28 if width >= ROOMY else 20
    name = Content.styled(clean(title, limit=room - 1), "$text")
    drawn = strip(bands, wide, rows, glyphs) if bands else (Content(" " * wide),) * rows
    parts: list[Content | tuple[str, str]] = [name, (" " * (room - name.cell_length), ""), drawn[0]]
    left = width - 2 * MARGIN - room - wide - marks.cell_length - 1
    for number, fact in enumerate(facts):
        last = number == len(facts) - 1
        told = clean(fact, limit=max(1, left - 2)) if last else fact
        cells = max(13, len(told) + 2)
        if cells <= left:
            parts.append((f"  {told:<{cells - 2}}", "$quiet"))
            left -= cells
    parts.extend([(" " * (left + 1), ""), marks])
    under = [Content.assemble(" " * (room + 1), line) for line in drawn[1:]]
    return Content("\n").join([Content.assemble(" ", *parts), *under])


def _day(one: LogbookRow) -> str:
    from studio.report.printing import short_day

    return short_day(one.opened_ns, one.utc_offset_min)


def plan_row(plan: PlanCard, last: LogbookRow | None, width: int, glyphs: Glyphs, rows: int = 1) -> Content:
    """A plan that can be begun, with its last session; or a file that has to be mended."""
    if not plan.readable:
        return see_row("▲", plan.title, "has to be mended", width, "$danger")
    done = f"last {_day(last)}" if last is not None else ""
    facts = [plan.goods, done if plan.ready else "cannot begin yet"]
    if width >= ROOMY:
        facts.append(plan.colours)
    marks = marks_of(last)
    return board_row(plan.title, plan.bands, facts, marks, width, glyphs, rows)


def session_row(one: LogbookRow, bands: Sequence[StripBand], width: int, glyphs: Glyphs) -> Content:
    """A session that is over, with its remark, or why it was abandoned."""
    from studio.report.logbook import remark_told

    return board_row(one.title, bands, [_day(one), remark_told(one)[0]], marks_of(one), width, glyphs)


def open_row(one: LogbookRow, width: int) -> Content:
    """A further session that was left open."""
    day = _day(one)
    rehearsal = ", a rehearsal" if one.rehearsal else ""
    return see_row("►", one.title, f"{one.about}, left open on {day}{rehearsal}", width, "$focus")


def waiting_row(waiting: WaitingTest, today: date, width: int) -> Content:
    """A test that waits, on the home page, in the list of them all and below the logbook's."""
    from studio.report.logbook import due_role
    from studio.session.kinds.fastness import when_words

    sign, style = ("●", "$due") if due_role(waiting.due, today) == "due" else ("□", "$text")
    what = f"{clean(waiting.test, limit=12)} test {when_words(waiting.due, today)}"
    return see_row(sign, what, waiting.title, width, style)


# The first start.

WAYS = (
    ("rehearse", "rehearse", "Rehearse a whole session", "The clocks run fast; no water, no dye."),
    ("plan", "first_plan", "", "A plan that is ready: read it, change it, begin."),
    ("new", "new_plan", "A plan of my own", "Fibre, colours and layout, one after the other."),
)
"""What is chosen, the name of its key in the table, and what it is; a plan is called by its title."""


def first_strip(bands: Sequence[StripBand], size: tuple[int, int], glyphs: Glyphs) -> Content:
    """The cloth there could be, and whose studio it is."""
    width, height = size
    lines = strip(bands, width - 2 * MARGIN, 3 if height >= 24 else 2, glyphs) if bands else ()
    name = Content.styled("A studio of your own", "bold $text")
    return set_in([*lines, *([Content("")] if lines else []), name])


def way_row(key: str, name: str, more: str) -> Content:
    """One way in, in two lines."""
    return Content.assemble(
        (f" {spoken(f'{{home.{key}}}')}", "bold $focus"),
        f"  {clean(name, limit=50)}\n",
        (f"    {more}", "$quiet"),
    )
