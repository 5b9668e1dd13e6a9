"""Fastness tests after the session as rows: what waits and how it is done, what was graded, what was called off."""

from __future__ import annotations

from collections.abc import Iterator

from studio.craft.fastness import NOT_THE_STANDARD, Scale, home_test, step_of
from studio.plaintext import clean
from studio.report.printing import Role, Row, Section, row
from studio.session.follow_up_rules import day_of
from studio.session.kinds.fastness import FollowUp, Graded
from studio.session.state import State

FOLLOW_UPS = "fastness tests"
STANDING_ROLES: dict[str, Role] = {"waiting": "due", "graded": "done", "cancelled": "quiet"}


def follow_up_section(state: State) -> Section:
    """Every test in the order it was planned; a corrected grade and a moved day stay visible."""
    rows = [line for follow_up in state.follow_ups for line in _rows(follow_up, state.utc_offset_min)]
    if rows:
        standards = ", ".join(laboratory(test) for test in dict.fromkeys(f.test for f in state.follow_ups))
        rows.append(row((f"{NOT_THE_STANDARD} {standards}; 5 is best, 1 worst", "quiet")))
    return Section(FOLLOW_UPS, tuple(rows))


def name_of(follow_up: FollowUp) -> str:
    """What is tested, safe to show."""
    return clean(follow_up.test, limit=20)


def grade_words(graded: Graded) -> str:
    """The grades, each with its scale.

    >>> grade_words(Graded(9, 0, change="4-5", staining="4"))
    'change 4-5, staining 4'
    """
    given = {"change": graded.change, "staining": graded.staining}
    return clean(", ".join(f"{scale} {grade}" for scale, grade in given.items() if grade), limit=60)


def meaning(grade: str, scale: Scale) -> str:
    """What a grade looks like; empty for one that is none of the nine."""
    try:
        return step_of(grade, scale).words
    except ValueError:
        return ""


def laboratory(test: str) -> str:
    """Which standard tests the same thing; only the test's name where it is not known here."""
    try:
        return f"{test}: {home_test(test).standard} (from memory)"
    except ValueError:
        return clean(test, limit=20)


def _rows(follow_up: FollowUp, utc_offset_min: int) -> Iterator[Row]:
    standing = follow_up.standing
    grade = follow_up.grade
    due = clean(follow_up.due, limit=12)
    day = "" if grade is None else f"{day_of(grade.at_ns, utc_offset_min)}  "
    told = {"waiting": f"waits for {due}", "cancelled": "called off"}.get(standing, "")
    yield row(
        (f"{name_of(follow_up):<9}", "plain"),
        (day, "quiet"),
        (
            grade_words(grade) if grade is not None and standing == "graded" else told,
            STANDING_ROLES[standing],
        ),
    )
    if follow_up.cancelled:
        yield _quiet(f"why: {follow_up.cancelled}")
    if grade is not None:
        given: dict[Scale, str] = {"change": grade.change, "staining": grade.staining}
        for scale, one in given.items():
            if words := meaning(one, scale):
                yield _quiet(f"{scale} {one}: {words}")
        if grade.note:
            yield _quiet(grade.note)
        if grade.why:
            yield _quiet(f"graded anew: {grade.why}")
    for old in follow_up.grades[:-1]:
        note = f"  {old.note}" if old.note else ""
        yield _quiet(f"was {grade_words(old)} on {day_of(old.at_ns, utc_offset_min)}{note}")
    for moved in follow_up.moved_from:
        yield _quiet(f"was due {moved}")
    if follow_up.note:
        yield _quiet(follow_up.note)
    if standing == "waiting" or not _is_usual(follow_up):
        yield _quiet(follow_up.how, 600)


def _is_usual(follow_up: FollowUp) -> bool:
    try:
        return follow_up.how == home_test(follow_up.test).how
    except ValueError:
        return False


def _quiet(text: str, limit: int = 300) -> Row:
    return row((f"    {clean(text, limit=limit)}", "quiet"))
