"""The studio's habits as text: what is yours, the default beside it, the spread, and where it stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from studio.plaintext import clean
from studio.plan.figure_text import num
from studio.plan.habits import Habit, rough
from studio.report.spans import Role, Row, Section, row

ROLE: dict[str, Role] = {"yours": "done", "pinned": "due", "off": "quiet", "default": "quiet"}
NAME_WIDTH = 10
MOST_TOLD = 8
"""Measurements that are told one by one. House rule."""


def value_text(habit: Habit) -> str:
    """`106 %`."""
    return f"{num(habit.value)} {habit.kind.unit}"


def standing_text(habit: Habit) -> str:
    """`yours (5 sessions)`, `pinned`, `off`, `default`."""
    return f"yours ({habit.counted})" if habit.standing == "yours" else habit.standing


def beside_text(habit: Habit) -> str:
    """What stands beside the value: the spread where it was learned, and the default."""
    unit = habit.kind.unit
    default = f"default {num(habit.default)} {unit}"
    if habit.standing == "yours":
        return f"{rough(habit.low)} to {rough(habit.high)} {unit}; {default}"
    if habit.standing in ("pinned", "off") and habit.n:
        return f"learned {num(habit.learned)} {unit} ({habit.counted}); {default}"
    if habit.standing == "pinned":
        return default
    return default if habit.n else f"not measured yet; {habit.default_is}"


def habit_lines(habit: Habit, width: int) -> tuple[Row, ...]:
    """One habit: its value and where it stands, and on the line below what stands beside it."""
    room = max(18, min(34, width - 42))
    first = row(
        (f"{habit.id:<{NAME_WIDTH}}", "strong"),
        (f"{clean(habit.kind.label, limit=room):<{room}} ", "plain"),
        (f"{value_text(habit):>13}  ", "focus"),
        (standing_text(habit), ROLE[habit.standing]),
    )
    return (
        first,
        row((" " * NAME_WIDTH + clean(beside_text(habit), limit=max(20, width - NAME_WIDTH)), "quiet")),
    )


def habit_sections(habits: Sequence[Habit], width: int) -> tuple[Section, ...]:
    """All of them."""
    return tuple(Section("", habit_lines(h, width)) for h in habits)


def why_text(habit: Habit, measured: Sequence[tuple[str, float]]) -> str:
    """How the value came about, as the lines of one paragraph."""
    kind, unit = habit.kind, habit.kind.unit
    weight = f"the default counts as {num(kind.weight)} {kind.counted}{'' if kind.weight == 1 else 's'}"
    lines = [f"Measured by: {kind.measured_by}."]
    if habit.n:
        lines.append(
            f"Learned: {habit.counted} and the default of {num(habit.default)} {unit}, which counts as "
            f"{num(kind.weight)}, give {num(habit.learned)} {unit}; nine in ten lie from {rough(habit.low)} to "
            f"{rough(habit.high)} {unit} (Buehlmann credibility; {weight}: house rule)."
        )
        told = ", ".join(f"{num(value)} ({clean(key[:13], limit=13)})" for key, value in measured[:MOST_TOLD])
        more = f", and {len(measured) - MOST_TOLD} older" if len(measured) > MOST_TOLD else ""
        lines.append(f"Measurements, newest first, {unit}: {told}{more}.")
    else:
        lines.append(f"No finished session holds a measurement, so the default stands; {weight}: house rule.")
    lines.append(f"Default: {num(habit.default)} {unit}, {habit.default_is}.")
    return "\n".join(lines)


def habits_json(habits: Sequence[Habit], measured: Mapping[str, Sequence[tuple[str, float]]]) -> str:
    """All of them as one JSON document, `potside-habits/1`."""
    rows = [
        {
            "id": h.id,
            "label": h.kind.label,
            "value": h.value,
            "unit": h.kind.unit,
            "standing": h.standing,
            "origin": h.origin,
            "source": h.source,
            "default": h.default,
            "default_source": h.default_is,
            "learned": h.learned if h.n else None,
            "low": h.low if h.n else None,
            "high": h.high if h.n else None,
            "n": h.n,
            "measured_by": h.kind.measured_by,
            "measurements": [{"session": key, "value": value} for key, value in measured.get(h.id, ())],
        }
        for h in habits
    ]
    encoded = msgspec.json.encode({"format": "potside-habits/1", "habits": rows}, order="sorted")
    return msgspec.json.format(encoded, indent=2).decode()
