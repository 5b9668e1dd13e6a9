"""The studio's habits and published practices as sections of text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator, Mapping, Sequence

from studio.plaintext import clean
from studio.plan.habits import Habit, rough
from studio.plan.practices import ListedDose, Practices
from studio.plan.shapes import Figure, num
from studio.quantity.reading_in import told_span
from studio.quantity.showing import HOURS_FROM, show, show_number
from studio.report.printing import Role, Row, Section, Span, document, picked, row
from studio.tables.finding import HEATS
from studio.tables.rows import HoldRow

# The studio's habits as text: what is yours, the default beside it, the spread, and where it stands.

ROLE: dict[str, Role] = {"yours": "done", "pinned": "due", "off": "quiet", "default": "quiet"}
NARROW = 68
"""Columns below which a habit's standing goes to the second line."""
NAME, LABEL = 10, 30
MOST_TOLD = 8
"""Measurements that are told one by one. House rule."""


def value_text(habit: Habit) -> str:
    """`106 %`."""
    return f"{rough(habit.value)} {habit.kind.unit}"


def standing_text(habit: Habit) -> str:
    """`yours (5 sessions)`, `pinned`, `off`, `default`, `from the shelf`."""
    if habit.standing == "default" and habit.origin == "yours":
        return "from the shelf"
    return f"yours ({habit.counted})" if habit.standing == "yours" else habit.standing


def beside_text(habit: Habit) -> str:
    """What stands beside the value: the spread where it was learned, and the default."""
    unit = habit.kind.unit
    default = f"default {num(habit.default)} {unit}"
    if habit.standing == "yours":
        return f"{rough(habit.low)} to {rough(habit.high)} {unit}; {default}"
    if habit.standing in ("pinned", "off") and habit.n:
        return f"learned {rough(habit.learned)} {unit} ({habit.counted}); {default}"
    if habit.standing == "pinned":
        return default
    return default if habit.n else "not measured yet"


def habit_rows(habit: Habit, width: int, name: str = "") -> tuple[Row, Row]:
    """One habit on two lines: its value and where it stands, and below what stands beside it.

    `name` is put before it, for a list in which habits are called by name. Where it is narrow, where it stands
    goes to the second line.
    """
    wide = width >= NARROW + len(name)
    label = clean(habit.kind.label, limit=LABEL)
    spans: list[Span] = [
        (name, "strong"),
        (f"{label:<{LABEL}} ", "plain"),
        (f"{value_text(habit):>13}", "focus"),
    ]
    below: list[Span] = [(" " * max(2, len(name)), "quiet")]
    standing: Span = (standing_text(habit), ROLE[habit.standing])
    if wide:
        spans.append(("   ", "plain"))
        spans.append(standing)
    else:
        below.extend([standing, ("  ", "quiet")])
    below.append((beside_text(habit), "quiet"))
    return row(*spans), row(*below)


def habit_sections(habits: Sequence[Habit], width: int) -> tuple[Section, ...]:
    """All of them, by name."""
    return tuple(Section("", habit_rows(h, width, f"{h.id:<{NAME}}")) for h in habits)


def habit_figure(habit: Habit, measured: Sequence[tuple[str, float]]) -> Figure:
    """A habit as a figure, with the sum that gave its value and how it is measured."""
    kind, unit = habit.kind, habit.kind.unit
    told = ", ".join(f"{num(value)} ({clean(key[:8], limit=8)})" for key, value in measured[:MOST_TOLD])
    more = f" and {len(measured) - MOST_TOLD} older" if len(measured) > MOST_TOLD else ""
    weight = f"which counts as {num(kind.weight)}"
    if habit.n:
        because = (
            f"measured, newest first: {told}{more} {unit}; with the default of {num(habit.default)} {unit}, {weight}, "
            f"their mean is {num(habit.learned)} {unit}, and nine in ten lie from {rough(habit.low)} to "
            f"{rough(habit.high)} {unit}"
        )
    else:
        because = (
            f"no finished session holds a measurement, so the default of {num(habit.default)} {unit} stands"
        )
    if habit.standing in ("pinned", "off"):
        because += f"; {'pinned by you' if habit.standing == 'pinned' else 'switched off by you'}"
    return Figure(
        id=f"habit.{habit.id}",
        value=habit.value,
        unit=unit,
        label=kind.label,
        because=because,
        origin=habit.origin,
        source=f"{habit.source}. Measured by: {kind.measured_by}. Mean with shrinkage: Buehlmann credibility; what "
        "the default counts as: house rule",
    )


def habits_json(habits: Sequence[Habit], measured: Mapping[str, Sequence[tuple[str, float]]]) -> str:
    """All of them as one JSON document, `potside-habits/1`."""
    rows = [
        {
            **picked(h, "id", "value", "standing", "origin", "source", "default", "n"),
            **picked(h.kind, "label", "unit", "measured_by"),
            "default_source": h.default_is,
            "learned": h.learned if h.n else None,
            "low": h.low if h.n else None,
            "high": h.high if h.n else None,
            "measurements": [{"session": key, "value": value} for key, value in measured.get(h.id, ())],
        }
        for h in habits
    ]
    return document("potside-habits/1", {"habits": rows})


# Published practices as sections of text, and as JSON.


def practices_sections(listed: Practices, width: int) -> tuple[Section, ...]:
    """Doses, and times of each heat, each with its id, its label and its source."""
    return (
        *(
            Section(f"acid {told}", tuple(_doses((d for d in listed.doses if d.practice.use == use), width)))
            for use, told in (
                ("bath", f"in a bath for {show(listed.weight_g, 'g')} of fibre"),
                ("soak", "to 1 L of a soak's water"),
            )
        ),
        *(Section(title, tuple(_holds(listed.holds, heat, width))) for heat, title in HEATS.items()),
    )


def _doses(doses: Iterable[ListedDose], width: int) -> Iterator[Row]:
    for dose in doses:
        found = dose.practice
        in_it = f"{span_words(dose.low, dose.high, dose.unit)} {clean(dose.acid, limit=30)}"
        yield from _lines(found.id, in_it, found.label, found.standing, found.source, width)


def _holds(rows: Iterable[HoldRow], method: str, width: int) -> Iterator[Row]:
    for hold in (one for one in rows if one.method == method):
        words = span_words(hold.low_min, hold.high_min, "min")
        if hold.low_c is not None and hold.high_c is not None:
            words += f" at {told_span(hold.low_c, hold.high_c, 'degC', hold.low_c)}"
        yield from _lines(hold.id, words, hold.label, hold.standing, hold.source, width)


def _lines(name: str, value: str, label: str, standing: str, source: str, width: int) -> Iterator[Row]:
    room = max(30, width - 8)
    said = f"second hand: {source}" if standing == "second hand" and "second-hand" not in source else source
    yield row((f"{name:<24} ", "focus"), (value, "strong"))
    yield from (row((f"    {line}", "plain")) for line in textwrap.wrap(label, room))
    yield from (row((f"    {line}", "quiet")) for line in textwrap.wrap(said, room))


def span_words(low: float, high: float, unit: str) -> str:
    """One value, or two ends with their unit.

    >>> span_words(30.0, 30.0, "min"), span_words(20.0, 60.0, "mL")
    ('30 min', '20 to 60 mL')
    """
    if low == high:
        return show(low, unit)
    hours = unit == "min" and high >= HOURS_FROM
    return f"{show(low, unit) if hours else show_number(low, unit)} to {show(high, unit)}"


def practices_json(listed: Practices) -> str:
    """`{"format", "acid", "weight_g", "doses": [...], "holds": [...]}`; ASCII, a line feed at the end."""
    told = {
        **picked(listed, "acid", "weight_g"),
        "doses": [_dose_data(dose) for dose in listed.doses],
        "holds": listed.holds,
    }
    return document("potside-practices/1", told, order=None) + "\n"


def _dose_data(dose: ListedDose) -> dict[str, object]:
    found = dose.practice
    return {
        **picked(found, "id", "label"),
        **picked(dose, "acid", "unit", "low", "high", "converted"),
        "published_acid": found.acid,
        "published_low": found.low,
        "published_high": found.high,
        "published_per": "1 L of water" if found.use == "soak" else "100 g of fibre",
        **picked(found, "source", "standing"),
    }
