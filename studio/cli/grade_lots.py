"""Two measured colours graded by the steps of a grey scale: `potside grade`."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Literal

from studio.craft.fastness import (
    CHANGE_SOURCE,
    MOST_DIFFERENCE,
    STAINING_SOURCE,
    GreyStep,
    grade_of_lots,
    grade_of_staining,
)
from studio.plaintext import clean
from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse_number
from studio.quantity.showing import show
from studio.report.printing import Row, Section, row
from studio.trouble import USAGE, Trouble

FORMULA = "CIELAB 1976, dE = sqrt(dL^2 + da^2 + db^2)"
NOT_THE_OTHER = (
    "The grey scales are drawn up in it; CIEDE2000 gives other numbers, for which their steps are not meant."
)
BREAKS = "Measure both under one light on the same cloth: from photographs the light is the difference."
Scale = Literal["change", "staining"]
WHAT_FOR: dict[Scale, str] = {
    "change": "change in colour; one lot against another",
    "staining": "undyed cloth before, and after it lay against the dyed",
}


def grade(first: str, second: str, scale: Scale) -> tuple[tuple[Section, ...], str]:
    """The grade of two colours, as sections to print and as JSON.

    first, second: measured L, a and b, set apart by blanks. Trouble, one sentence, where one is no colour.
    **Source:** `craft.fastness`: the steps of EN 20105-A02:1994, clause 2.4, or of the staining scale.
    """
    one, other = _lab(first, "first"), _lab(second, "second")
    try:
        lots = grade_of_lots(one, other)
    except ValueError as problem:
        raise Trouble(str(problem), USAGE) from problem
    step = lots.step if scale == "change" else grade_of_staining(min(lots.delta_e, MOST_DIFFERENCE))
    by = [b - a for a, b in zip(one, other, strict=True)]
    return _sections(lots.delta_e, by, step, scale), _json((one, other), lots.delta_e, step, scale)


def _lab(text: str, which: str) -> list[float]:
    """`52 40 -3.5`; a comma behind a number or a semicolon sets apart, too; a decimal comma is understood."""
    parts = [part.rstrip(",") for part in text.replace(";", " ").replace("\u2212", "-").split()]
    if len(parts) != 3:
        raise Trouble(
            f'The {which} colour is "{clean(text, limit=40)}"; write its L, a and b, for example "52 40 -3.5".',
            USAGE,
        )
    try:
        return [-parse_number(part[1:]) if part.startswith("-") else parse_number(part) for part in parts]
    except QuantityError as problem:
        raise Trouble(f"The {which} colour: {problem}", USAGE) from problem


def _source(scale: Scale) -> str:
    return CHANGE_SOURCE if scale == "change" else STAINING_SOURCE


def _sections(delta_e: float, by: Sequence[float], step: GreyStep, scale: Scale) -> tuple[Section, ...]:
    def said(label: str, value: str, note: str = "") -> Row:
        return row((f"{label:<22} ", "plain"), (value, "strong"), (f"   {note}" if note else "", "quiet"))

    lightness, red, yellow = by
    return (
        Section(
            f"grade {step.grade}",
            (
                said("grade", step.grade, WHAT_FOR[scale]),
                said("looks like", step.words),
                said("difference dE", show(delta_e, "1"), FORMULA),
                said("the second is", _direction(lightness, ("lighter", "darker")), "dL"),
                said("", _direction(red, ("redder", "greener")), "da"),
                said("", _direction(yellow, ("yellower", "bluer")), "db"),
                said(
                    "nearest step", f"dE {show(step.delta_e, '1')}", "the nearest, and its words: house rule"
                ),
            ),
        ),
        Section(
            "mind", tuple(row((s, "quiet")) for s in (NOT_THE_OTHER, BREAKS, f"Steps: {_source(scale)}."))
        ),
    )


def _direction(by: float, words: tuple[str, str]) -> str:
    return (
        f"neither {words[0]} nor {words[1]}" if abs(by) < 5e-4 else f"{words[by < 0]} by {show(abs(by), '1')}"
    )


def _json(labs: tuple[list[float], list[float]], delta_e: float, step: GreyStep, scale: Scale) -> str:
    told = {
        "format": "potside-grade/1",
        "scale": scale,
        "first": labs[0],
        "second": labs[1],
        "formula": "CIELAB 1976",
        "difference": delta_e,
        "grade": step.grade,
        "step": step.delta_e,
        "source": _source(scale),
    }
    return json.dumps(told, ensure_ascii=False, indent=2)
