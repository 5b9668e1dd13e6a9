"""A plan as lists show it, and worked out, ready to begin."""

from __future__ import annotations

from dataclasses import dataclass

from studio.plan.shapes import Worksheet
from studio.quantity import show


@dataclass(frozen=True, slots=True)
class PlanCard:
    """A plan file that can be begun."""

    key: str
    title: str
    about: str
    """One line: form, weight, colours; or the sentence that says what is wrong with the file."""
    readable: bool = True


@dataclass(frozen=True, slots=True)
class WorkedPlan:
    """A plan worked out, ready to begin."""

    key: str
    plan_text: str
    worksheet: Worksheet


def summarise(sheet: Worksheet) -> str:
    """`100 g blank, rust, kelp; 2 warnings`; what would keep it from beginning comes first."""
    if sheet.stops:
        return f"cannot begin yet: {sheet.stops[0].text}"
    facts, parts = sheet.facts, list[str]()
    if facts is not None:
        noun = facts.form if facts.form in ("blank", "skein") else "fibre"
        plural = "s" if facts.pieces > 1 and noun != "fibre" else ""
        parts = [f"{show(facts.dry_weight_g, 'g')} {noun}{plural}", *(c.name for c in facts.colours)]
    line = ", ".join(parts)
    warnings = sum(c.level == "warn" for c in sheet.cautions)
    if warnings:
        line += f"; {warnings} warning" + ("s" if warnings > 1 else "")
    return line
