"""Published practices as sections of text, and as JSON."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Iterable

from studio.plaintext import clean
from studio.plan.practice_list import ListedDose, Practices
from studio.quantity import show, show_number
from studio.report.spans import Row, Section, row
from studio.tables import HoldRow

FORMAT = "potside-practices/1"


def practices_sections(listed: Practices, width: int) -> tuple[Section, ...]:
    """Doses, times of steam and times in the kettle, each with its id, its label and its source."""
    counted = f" in {clean(listed.acid, limit=40)}" if listed.acid else ""
    return (
        Section(f"acid for {show(listed.weight_g, 'g')} of fibre{counted}", _doses(listed.doses, width)),
        Section("steam, from rolling steam", _holds(listed.holds, "steam", width)),
        Section("kettle, from heat", _holds(listed.holds, "kettle", width)),
    )


def _doses(doses: Iterable[ListedDose], width: int) -> tuple[Row, ...]:
    rows: list[Row] = []
    for dose in doses:
        found = dose.practice
        in_it = f"{span_words(dose.low, dose.high, dose.unit)} {clean(dose.acid, limit=30)}"
        rows.extend(_lines(found.id, in_it, found.label, found.standing, found.source, width))
    return tuple(rows)


def _holds(rows: Iterable[HoldRow], method: str, width: int) -> tuple[Row, ...]:
    found: list[Row] = []
    for hold in rows:
        if hold.method != method:
            continue
        words = span_words(hold.low_min, hold.high_min, "min")
        if hold.low_c is not None and hold.high_c is not None:
            words += f" at {span_words(hold.low_c, hold.high_c, 'degC')}"
        found.extend(_lines(hold.id, words, hold.label, hold.standing, hold.source, width))
    return tuple(found)


def _lines(name: str, value: str, label: str, standing: str, source: str, width: int) -> list[Row]:
    room = max(30, width - 8)
    said = f"second hand: {source}" if standing == "second hand" and "second-hand" not in source else source
    return [
        row((f"{name:<24} ", "focus"), (value, "strong")),
        *(row((f"    {line}", "plain")) for line in textwrap.wrap(label, room)),
        *(row((f"    {line}", "quiet")) for line in textwrap.wrap(said, room)),
    ]


def span_words(low: float, high: float, unit: str) -> str:
    """One value, or two ends with their unit.

    >>> span_words(30.0, 30.0, "min"), span_words(20.0, 60.0, "mL")
    ('30 min', '20 to 60 mL')
    """
    if low == high:
        return show(low, unit)
    return f"{show_number(low, unit)} to {show(high, unit)}"


def practices_json(listed: Practices) -> str:
    """`{"format", "acid", "weight_g", "doses": [...], "holds": [...]}`; ASCII, a line feed at the end."""
    import msgspec

    document = {
        "format": FORMAT,
        "acid": listed.acid,
        "weight_g": listed.weight_g,
        "doses": [_dose_data(dose) for dose in listed.doses],
        "holds": [msgspec.to_builtins(hold) for hold in listed.holds],
    }
    return json.dumps(document, indent=2, ensure_ascii=True, allow_nan=False) + "\n"


def _dose_data(dose: ListedDose) -> dict[str, object]:
    found = dose.practice
    return {
        "id": found.id,
        "label": found.label,
        "acid": dose.acid,
        "unit": dose.unit,
        "low": dose.low,
        "high": dose.high,
        "converted": dose.converted,
        "published_acid": found.acid,
        "published_low_per_100g": found.low_per_100g,
        "published_high_per_100g": found.high_per_100g,
        "source": found.source,
        "standing": found.standing,
    }
