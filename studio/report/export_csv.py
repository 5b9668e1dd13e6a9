"""Two tables for a spreadsheet: the events, and the figures with what was measured.

Numbers stand as numbers. Text that a spreadsheet would run as a formula gets an apostrophe in front,
unless it is asked for raw.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from studio.craft.fastness import NOT_THE_STANDARD, Scale, step_of
from studio.plaintext import clean
from studio.report.export_json import ALL_OF_IT, Source
from studio.report.follow_up_rows import laboratory
from studio.report.telling import tell
from studio.session.after import review
from studio.session.after.real_cost import real_cost
from studio.session.kinds.fastness import FollowUp

EVENT_HEADS = ("n", "at", "kind", "step", "told", "value", "unit", "typed", "why")
FIGURE_HEADS = (
    "kind",
    "id",
    "label",
    "value",
    "unit",
    "low",
    "high",
    "planned",
    "asked",
    "difference_percent",
    "origin",
    "because",
    "source",
)
_FORMULA = frozenset("=+-@\t\r\n\0|%")

Cell = str | int | float | None


def inert(text: str) -> str:
    """Text that no spreadsheet runs: an apostrophe before a formula sign, also behind blanks or wide forms.

    **Source:** OWASP Application Security Verification Standard 5.0, 1.2.10; `|` and `%`: house rule.

    >>> inert("=1+1"), inert("  @x"), inert("rust")
    ("'=1+1", "'  @x", 'rust')
    """
    begins = unicodedata.normalize("NFKC", text.lstrip()[:1])[:1]
    return f"'{text}" if (begins in _FORMULA and begins) or (text[:1] in _FORMULA and text) else text


def events_csv(source: Source, *, raw: bool = False) -> str:
    """`EVENT_HEADS`, one event a row, in order; value is a number where the event measured one."""
    rows = []
    for event in source.events:
        data = event.data
        value = data.get("value")
        number = value if isinstance(value, int | float) and not isinstance(value, bool) else None
        rows.append(
            (
                event.n,
                event.at,
                event.kind,
                str(data.get("step", "")),
                tell(event, source.state),
                number,
                str(data.get("unit", "")),
                str(data.get("typed", "")),
                str(data.get("why", "")),
            )
        )
    return _table(EVENT_HEADS, rows, raw)


def figures_csv(source: Source, *, raw: bool = False) -> str:
    """`FIGURE_HEADS`: kinds `figure`, of the worksheet; `measured`; `graded`, on the grey scales; `cost`."""
    rows: list[Sequence[Cell]] = [
        (
            "figure",
            f.id,
            f.label,
            f.value,
            f.unit,
            f.low,
            f.high,
            None,
            None,
            None,
            f.origin,
            f.because,
            f.source,
        )
        for f in source.state.worksheet.figures
    ]
    for found in review.planned_and_actual(source.state):
        step, record = found.step, found.record
        because = record.why or (f"typed {record.typed}" if record.typed else record.state)
        ends = (step.low, step.high, found.planned, found.asked, found.difference_percent)
        measured = ("measured", step.id, step.done, found.actual, step.unit)
        rows.append((*measured, *ends, "measured", because, ""))
    for follow_up in source.state.follow_ups:
        rows.extend(_graded(follow_up))
    rows.extend(_cost(source))
    return _table(FIGURE_HEADS, rows, raw)


def _cost(source: Source) -> Iterator[Sequence[Cell]]:
    """Real costs beside the planned ones, unrounded."""
    cost = real_cost(source.state)
    if cost is None:
        return
    for part in cost.rows:
        off = 100 * (part.real / part.planned - 1) if part.planned else None
        label = f"real cost, {part.label}, in {cost.currency}"
        ends = (None, None, part.planned, None, off, "measured" if part.measured else "plan")
        yield ("cost", f"cost.{part.id}", label, part.real, "1", *ends, part.because, "prices on the shelf")


def _graded(follow_up: FollowUp) -> Iterator[Sequence[Cell]]:
    """One row for each grade that counts: 4.5 for `4-5`, of 1 to 5, with the note as its reason."""
    grade = follow_up.grade
    if grade is None or follow_up.standing != "graded":
        return
    given: dict[Scale, str] = {"change": grade.change, "staining": grade.staining}
    for scale, one in given.items():
        try:
            number = step_of(one, scale).number
        except ValueError:
            continue
        what = ("graded", f"follow_up.{follow_up.number}.{scale}", f"{follow_up.test} test, {scale} {one}")
        source = f"{NOT_THE_STANDARD} {laboratory(follow_up.test)}"
        yield (*what, number, "grade", 1, 5, None, None, None, "measured", grade.note or grade.why, source)


def _table(heads: Sequence[str], rows: Iterable[Sequence[Cell]], raw: bool) -> str:
    out = io.StringIO(newline="")
    writer = csv.writer(out, quoting=csv.QUOTE_NONNUMERIC, lineterminator="\r\n")
    writer.writerow(heads)
    for row in rows:
        writer.writerow([_cell(cell, raw) for cell in row])
    return out.getvalue()


def _cell(cell: Cell, raw: bool) -> Cell:
    if cell is None:
        return ""
    if not isinstance(cell, str) or raw:
        return cell
    return inert(clean(cell, limit=ALL_OF_IT))
