"""How old a jar is: past its label's day, or past what is published for stock."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Literal

import msgspec

from studio.craft.leftover import AGE_LIMITS, AgeLimit
from studio.plan.shapes import Origin
from studio.plan.shelf import Jar

_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

Standing = Literal["good", "old", "unknown"]


class JarAge(msgspec.Struct, frozen=True, kw_only=True):
    """What its dates say of a jar on a day."""

    standing: Standing
    told: str
    """A few words: `use by 2026-12-29, 4 days over`."""
    origin: Origin
    source: str


def day_of(text: str) -> date | None:
    """The day of a text such as `2026-12-24`; None for anything else.

    >>> day_of("2026-12-24"), day_of("spring")
    (datetime.date(2026, 12, 24), None)
    """
    try:
        return date.fromisoformat(text) if _DAY.fullmatch(text) else None
    except ValueError:
        return None


def use_by_of(jar: Jar) -> tuple[date, Origin, str] | None:
    """The last day of a jar, and who says so; None without a date that can be read.

    **Source:** the label; else `craft.leftover.AGE_LIMITS` counted from the day it was made.
    """
    labelled = day_of(jar.use_by)
    if labelled is not None:
        return labelled, "yours", "the jar's label"
    made = day_of(jar.made)
    if made is None:
        return None
    limit = limit_of(jar)
    try:
        last = made + timedelta(days=limit.days)
    except OverflowError:
        last = date.max
    return last, "published" if limit.standing == "published" else "house rule", limit.source


def limit_of(jar: Jar) -> AgeLimit:
    """How long its kind is kept."""
    return AGE_LIMITS[jar.kind or "stock"]


def age_of(jar: Jar, today: date | None) -> JarAge:
    """Whether the jar is still good by its dates on a day; `unknown` without a date or without a day.

    **Source:** as `use_by_of`.
    Breaks for a jar that smells, has mould on it or was not kept cool and dark: age is not all.
    """
    found = use_by_of(jar)
    if found is None:
        return JarAge(
            standing="unknown", told="no date that can be read", origin="yours", source="the jar's label"
        )
    last, origin, source = found
    told = f"use by {last.isoformat()}"
    if not day_of(jar.use_by):
        told = f"made {jar.made}, keeps to {last.isoformat()}"
    if today is None:
        return JarAge(standing="unknown", told=told, origin=origin, source=source)
    over = (today - last).days
    if over > 0:
        told = f"{told}, {over} day{'s' if over != 1 else ''} over"
        return JarAge(standing="old", told=told, origin=origin, source=source)
    return JarAge(standing="good", told=told, origin=origin, source=source)
