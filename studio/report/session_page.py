"""One session as sections of text: how it stands, stages, planned against actual, clocks, notes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from studio.plaintext import clean
from studio.plan.shapes import Step
from studio.quantity.kinds import money_text
from studio.quantity.reading_in import apart, as_read, told
from studio.report.logbook import FOLLOW_UPS, fastness_rows
from studio.report.printing import Role, Row, Section, Span, day_and_time, picked, row
from studio.report.session_head import facts_section, head_section
from studio.report.telling import told_apart
from studio.report.timeline import stage_rows
from studio.session.after import review
from studio.session.after.comparing import NO_PER_CENT
from studio.session.after.real_cost import real_cost
from studio.session.asked import told_of
from studio.session.bands import bands_of, still_bare
from studio.session.clock import local, time_of_day, wall_ns_of
from studio.session.kinds.clocks import ClockStepped, ClockSuspended, late_of
from studio.session.kinds.course import SavedLate, by_version
from studio.session.kinds.notes import PhotoAdded, SwatchCounted
from studio.session.kinds.steps import digits_weighed
from studio.session.path import closed_as
from studio.session.state import AlarmRecord, State
from studio.session.timers import minutes_text, rounds

# A session's clocks and alarms as rows: what was set against what ran, and how long each alarm went
# unanswered.

LATE_S = 2.0
"""An alarm that came later than that is said to have been late: the machine slept or was busy. House rule."""
LONGEST_LABEL = 28
MOST_ALARMS = 60
"""Rows; an alarm that repeats all day is counted after that. House rule."""


def clock_rows(state: State) -> Iterator[Row]:
    """Every clock with the difference, what the computer's own clocks did, and what was told or saved late."""
    clocks = rounds(state)
    column = _column(timer.label for timer in clocks)
    for timer in clocks:
        set_for = minutes_text(timer.minutes * 60)
        if timer.ran_min is None:
            told = f"set for {set_for}, not stopped"
        else:
            off = timer.ran_min - timer.minutes
            told = f"set for {set_for}, ran {minutes_text(timer.ran_min * 60)}{_off(off)}"
        yield row((f"{clean(timer.label, limit=LONGEST_LABEL):<{column}}", "plain"), (told, "quiet"))
    stands = [event for event in state.log if event.n not in state.gone]
    for jump in stands:
        if isinstance(jump.told, ClockStepped | ClockSuspended):
            yield row((jump.told.says(state), "due"))
    for late in stands:
        if isinstance(late.told, SavedLate) or late_of(late.told) is not None:
            at = time_of_day(wall_ns_of(late.at), state.utc_offset_min)
            yield row((f"{at}  ", "quiet"), (told_apart(late, state)[0], "due"))
    if state.resumed:
        times = (time_of_day(ns, state.utc_offset_min) + by_version(state, by) for ns, by in state.resumed)
        yield row((f"resumed at {', '.join(times)}", "quiet"))


def _column(labels: Iterable[str]) -> int:
    """Cells for the labels of one list, with a gap behind the longest."""
    return 1 + max((13, *(len(clean(label, limit=LONGEST_LABEL)) for label in labels)))


def _off(minutes: float) -> str:
    """The difference to what was set; nothing under a second."""
    if abs(minutes) * 60 < 1:
        return ""
    return f", {minutes_text(abs(minutes) * 60)} {'longer' if minutes > 0 else 'shorter'}"


def alarm_rows(state: State) -> Iterator[Row]:
    """Every alarm that came due: when, how late the program was, and how long until it was answered."""
    due = [alarm for alarm in state.alarms if not alarm.ahead]
    column = _column(_label(alarm, state) for alarm in due[:MOST_ALARMS])
    yield from (_alarm(alarm, state, column) for alarm in due[:MOST_ALARMS])
    if len(due) > MOST_ALARMS:
        yield row((f"and {len(due) - MOST_ALARMS} more", "quiet"))


def _label(alarm: AlarmRecord, state: State) -> str:
    timer = state.timers.get(alarm.timer)
    label = timer.label if timer is not None else alarm.timer
    return label if alarm.level == "due" else f"{label}, {alarm.level}"


def _alarm(alarm: AlarmRecord, state: State, column: int) -> Row:
    late = f"came {minutes_text(alarm.late_s)} late, " if alarm.late_s >= LATE_S else ""
    snoozed = "put off, " if alarm.snoozed_at is not None else ""
    when = f"{time_of_day(alarm.raised.wall_ns, state.utc_offset_min)}  "
    name = f"{clean(_label(alarm, state), limit=LONGEST_LABEL):<{column}}"
    if alarm.acknowledged_after_s is None:
        return row((when, "quiet"), (name, "plain"), (f"{late}{snoozed}not answered", "due"))
    how = "ended" if alarm.ended_by else "answered"
    answered = f"{snoozed}{how} after {minutes_text(alarm.acknowledged_after_s)}"
    return row((when, "quiet"), (name, "plain"), (late, "due"), (answered, "quiet"))


def picture_rows(state: State) -> Iterator[Row]:
    """Every picture with the number it is opened by, its path from the studio folder and the words about it."""
    for number, photo in enumerate(state.kept(PhotoAdded), 1):
        yield row(
            (f"{number}  ", "focus"),
            (f"{time_of_day(photo.at.wall_ns, state.utc_offset_min)}  ", "quiet"),
            (clean(photo.event.path, limit=200), "plain"),
            (f"  {clean(photo.event.text, limit=300)}".rstrip(), "quiet"),
        )


# The cost, planned beside real.

COST_LABEL, MONEY = 16, 12
"""Cells for what it is, and for an amount."""
STAND_IN = "as planned"


def cost_rows(state: State) -> Iterator[Row]:
    """A head, a row for each part, and what is left out or left over."""
    cost = real_cost(state)
    if cost is None:
        return
    yield row(
        (f"{'in ' + clean(cost.currency, limit=8):<{COST_LABEL}} ", "quiet"),
        (f"{'planned':>{MONEY}} ", "quiet"),
        (f"{'real':>{MONEY}}", "quiet"),
    )
    for part in cost.rows:
        planned = "-" if part.planned is None else _amount(part.planned, cost.currency)
        yield row(
            (f"{part.label:<{COST_LABEL}} ", "plain"),
            (f"{planned:>{MONEY}} ", "quiet"),
            (f"{_amount(part.real, cost.currency):>{MONEY}}", "strong"),
            ("" if part.measured or part.id in ("total", "per_100g") else f"  {STAND_IN}", "due"),
        )
    if cost.missing:
        yield row((clean(cost.missing, limit=400), "due"))
    if cost.price is not None and cost.margin_percent is not None:
        asked = clean(money_text(cost.price, cost.currency), limit=40)
        if cost.margin_percent > 0:
            yield row((f"margin at {asked}: ", "quiet"), (f"{cost.margin_percent:.1f} %", "strong"))
        else:  # A price below the cost is a loss.
            lost = money_text(-cost.margin_percent / 100.0 * cost.price, cost.currency)
            yield row((f"loss at {asked}: ", "quiet"), (clean(lost, limit=40), "danger"))


def _amount(money: float, currency: str) -> str:
    return money_text(money, currency, named=False)


def cost_data(state: State) -> dict[str, Any] | None:
    """The same for JSON, unrounded; None where the plan counted no costs."""
    cost = real_cost(state)
    if cost is None:
        return None
    return {
        "currency": cost.currency,
        "missing": cost.missing,
        "price_suggested": cost.price,
        "gross_margin_percent": cost.margin_percent,
        "rows": [picked(part, "id", "planned", "real", "measured", "because") for part in cost.rows],
    }


PLANNED_AND_ACTUAL, STAGES, COST = "planned and actual", "stages", "cost"


def session_page(state: State, name: str, remarks: Sequence[str], width: int) -> tuple[Section, ...]:
    """All sections that have something to say, for lines of `width` cells."""
    told: dict[str, Iterable[Row]] = {
        STAGES: stage_rows(state, width - 2),
        PLANNED_AND_ACTUAL: _values(state, width),
        "clocks": clock_rows(state),
        "alarms": alarm_rows(state),
        COST: cost_rows(state),
        "at the bench": _seen(state),
        "pictures": picture_rows(state),
        "forecast and swatch": _swatches(state),
        FOLLOW_UPS: fastness_rows(state),
        "warnings accepted": _taken_on(state),
        "left out, passed with a reason or doubted": _overridden(state),
        "corrections": _taken_back(state),
        "notes": _notes(state),
        "file": [row((clean(name, limit=200), "quiet"))],
    }
    rest = (Section(title, tuple(rows)) for title, rows in told.items())
    sections = (head_section(state, remarks, width), facts_section(state, width), *rest)
    return tuple(s for s in sections if s.rows)


HEADS = ("planned", "asked", "actual", "off by", "")
LEAST_NAME, MOST_NAME = 24, 40
"""Cells of the name of a value: with fewer it is not told by how much the value was off. House rule."""


def _values(state: State, width: int) -> Iterator[Row]:
    """A line for each value, with as much of its name as `width` leaves room for."""
    found = [c for c in review.planned_and_actual(state) if c.step.quantity != "rating"]
    cells = [_cells(compared) for compared in found]
    wide = [max(map(len, column)) for column in zip(HEADS, *cells, strict=True)]
    room = _name_room(width, wide)
    if room < LEAST_NAME:
        wide[HEADS.index("off by")] = 0
        room = max(LEAST_NAME // 2, _name_room(width, wide))
    if found:
        yield row(*((text, "quiet") for text, _ in _columns("", room, HEADS, wide)))
    for compared, texts in zip(found, cells, strict=True):
        yield _columns(clean(compared.step.done, limit=room), room, texts, wide)
        if compared.record.why:
            yield row((f"    {clean(compared.record.why, limit=200)}", "quiet"))


def _cells(compared: review.Compared) -> tuple[str, ...]:
    """What stands under the heads."""
    step, record, value = compared.step, compared.record, compared.actual
    planned, asked = ("-" if c is None else told_of(step, c) for c in (compared.planned, compared.asked))
    left = closed_as(step, record)
    actual = left if value is None else told_of(step, value, digits_weighed(value, step.unit))
    off = off_by(value, compared.asked, step.unit, kitchen=step.kitchen)
    return planned, "" if asked == planned else asked, actual, off, "marked" if record.flagged else ""


def _name_room(width: int, wide: Sequence[int]) -> int:
    """Cells for the names, within the indent of a section; two stand before each column."""
    return min(MOST_NAME, width - 2 - sum(2 + cells for cells in wide if cells))


def _columns(name: str, room: int, texts: Sequence[str], wide: Sequence[int]) -> Row:
    roles: tuple[Role, ...] = ("quiet", "plain", "strong", "quiet", "due")
    shown = zip(texts, wide, roles, strict=True)
    columns = ((f"  {text:>{cells}}" if cells else "", role) for text, cells, role in shown)
    return row((f"{name:<{room}}", "plain"), *columns)


LEAST_PERCENT, MOST_PERCENT = 0.05, 9_999
"""Less would be written as 0.0; more has no room in a column, and nothing to say. House rule."""


def off_by(value: float | None, of: float | None, unit: str, *, kitchen: bool = False) -> str:
    """`+4.5 %`, `-2 °C`, `-2` for pH, rounds and ratings; empty where it is nothing, or one of the two is missing.

    Two values that read alike are not off by anything.

    >>> off_by(19_507.0, 1.0, "g")  # and a space is left before it in a column of eight
    '+9999 %'
    >>> off_by(104.5, 100.0, "g"), off_by(38.0, 40.0, "degC"), off_by(3.0, 0.0, "mL"), off_by(0.39, 0.3927, "g")
    ('+4.5 %', '-2 °C', '', '')
    """
    if value is None or of is None or told(value, unit, kitchen=kitchen) == told(of, unit, kitchen=kitchen):
        return ""
    if unit in NO_PER_CENT:
        by, sign = apart(value - of) if unit == "degC" else (value - of, "")
        return f"{round(by, 2):+g} {sign}".rstrip() if round(by, 2) else ""
    percent = max(-MOST_PERCENT, min(100 * (value - of) / abs(of), MOST_PERCENT)) if of else 0.0
    if abs(percent) < LEAST_PERCENT:
        return ""
    return f"{percent:+.1f} %" if abs(percent) < 100 else f"{percent:+.0f} %"


def _seen(state: State) -> Iterator[Row]:
    """What was read, poured, mixed and graded beside the steps, in order of time."""
    stand = (event for event in state.log if event.n not in state.gone and event.told.seen)
    told = [(event.moment.wall_ns, event.told.says(state)) for event in stand]
    other_jar = (coat for coat in state.coats if coat.event.jar != coat.event.colour)
    told.extend((coat.at.wall_ns, coat.event.says(state)) for coat in other_jar)
    for stopped, again in state.steam_off:
        lasted = "" if again is None else f" for {minutes_text((again.wall_ns - stopped.wall_ns) / 1e9)}"
        told.append((stopped.wall_ns, f"steam lost{lasted}"))
    if not state.sound_heard:
        yield row(("the alarm was NOT heard at the sound check", "due"))
    if painted := [band for band in bands_of(state) if not band.bare]:
        second = sum(band.again for band in painted)
        both = sum(len({coat.face for coat in band.coats}) > 1 for band in painted)
        sides = f", {both} of them on both sides" if both else ""
        bare = f"; still to paint: {still_bare(state)}" if still_bare(state) else ""
        words = f"{len(painted)} bands painted{sides}, {second} of them more than once{bare}"
        yield row((words, "plain"))
    for at, text in sorted(told):
        yield row((f"{local(at, state.utc_offset_min):%H:%M}  ", "quiet"), (clean(text, limit=300), "plain"))


def _swatches(state: State) -> Iterator[Row]:
    """Forecast against what the needles gave."""
    for swatch in state.kept(SwatchCounted):
        low, middle, high = swatch.event.forecast_solid
        each_side = swatch.event.mixed_each_side
        mixed = "" if each_side is None else f", {each_side:g} mixed each side"
        yield row(
            (f"{clean(swatch.event.colour, limit=20)}, {swatch.event.rows:g} rows   ", "plain"),
            (f"forecast {middle} ({low} to {high}) solid   ", "quiet"),
            (f"swatch {swatch.event.solid:g} solid{mixed}", "strong"),
            (f"   spread {swatch.event.spread:.2g} rows (yours)", "quiet"),
        )


def _taken_on(state: State) -> Iterator[Row]:
    for caution_id, why in state.accepted.items():
        caution = state.worksheet.caution(caution_id)
        yield row((as_read(caution.text if caution else caution_id, limit=400), "plain"))
        yield row((f"    accepted: {clean(why, limit=300)}", "due"))


def _overridden(state: State) -> Iterator[Row]:
    for step, r in review.overridden(state):
        read = f"   read at {told(r.read_c, 'degC')}" if r.read_c is not None else ""
        why = f"{closed_as(step, r)}: {clean(r.why, limit=200)}"
        yield row(*_closed(step, state), (why, "due"), (read, "danger"))
    for step in review.doubted(state):
        yield row(*_closed(step, state), ("doubted, confirmed", "due"))


def _closed(step: Step, state: State) -> tuple[Span, Span]:
    at = time_of_day(state.step(step.id).at_ns, state.utc_offset_min)
    return (f"{at}  ", "quiet"), (f"{clean(step.done, limit=50)}   ", "plain")


def _taken_back(state: State) -> Iterator[Row]:
    """Of the steps and of what lay beside them, in order of time."""
    told: list[tuple[int, tuple[Span, ...]]] = []
    for step in state.all_steps():
        for old in state.step(step.id).earlier:
            what: Span = (f"{clean(step.done, limit=44)}   ", "quiet")
            was: Span = (f"was {clean(old.what, limit=40)}", "plain")
            told.append((old.at_ns, (what, was, (f"   {clean(old.why, limit=200)}", "quiet"))))
    for event in review.put_right_beside_steps(state):
        told.append((wall_ns_of(event.at), ((clean(event.told.says(state), limit=300), "plain"),)))
    for at_ns, spans in sorted(told, key=lambda one: one[0]):
        yield row((f"{local(at_ns, state.utc_offset_min):%H:%M}  ", "quiet"), *spans)


def _notes(state: State) -> Iterator[Row]:
    for note in state.notes:
        # What is added weeks later is told with its day.
        time = f"{local(note.at_ns, state.utc_offset_min):%H:%M}"
        when = day_and_time(note.at_ns, state.utc_offset_min) if note.addendum else time
        later = "added later  " if note.addendum else ""
        later = f"late entry, for {clean(note.happened_at, limit=40)}  " if note.happened_at else later
        yield row((f"{when}  {later}", "quiet"), (clean(note.text, limit=2000), "plain"))
