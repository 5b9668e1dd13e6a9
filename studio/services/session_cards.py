"""Sessions as lists show them and as they are read whole, and where one is that is not in the studio folder."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from studio.logbook.entry import LogbookRow
from studio.plaintext import clean, without_home
from studio.session.clock import Reading
from studio.session.events import Recorded
from studio.session.state import State
from studio.trouble import OK


@dataclass(frozen=True, slots=True)
class SessionCard:
    """One session file, in a list."""

    key: str
    title: str
    opened_ns: int
    utc_offset_min: int
    standing: str
    """`open`, `finished`, `abandoned`, `damaged`."""
    about: str
    """Where it stopped, or how it was rated."""
    rehearsal: bool = False


@dataclass(frozen=True, slots=True)
class ReadSession:
    """A session file read whole."""

    name: str
    state: State
    remarks: tuple[str, ...]
    """What is wrong with the file, if anything, one sentence each."""
    may_continue: bool = False
    """Damaged before its end: it can go on from what is whole, in a new file."""
    events: Sequence[Recorded] = ()
    exit_code: int = OK
    sha256: str = ""
    """Of the very bytes it was read from."""
    told: tuple[str, ...] = ()
    """The remarks, each with the name of the file, safe to show."""


def elsewhere_sentence(path: Path) -> str:
    """What to do about a session that had to go on outside the studio folder."""
    name, place = clean(path.name), without_home(clean(str(path.parent)))
    return (
        f"{name} is kept in {place}: the studio folder took nothing. Make room, then move it into sessions/."
    )


def session_card(row: LogbookRow, elsewhere: Path | None) -> SessionCard:
    """A session as lists show it; `elsewhere`: the folder the file is in, where that is none of the studio's own."""
    place = f", kept in {without_home(str(elsewhere))}" if elsewhere else ""
    return SessionCard(
        row.key,
        row.title,
        row.opened_ns,
        row.utc_offset_min,
        row.standing,
        f"{row.about}{place}",
        row.rehearsal,
    )


def about_session(state: State) -> str:
    """One line: how it was rated, or at which step it stands."""
    from studio.session.after.review import ratings
    from studio.session.path import current_step, stage_of

    if state.outcome:
        given = ratings(state)
        return ", ".join(f"{what} {value}" for what, value in given.items()) or state.outcome_why
    last = state.last
    step = current_step(state, Reading(last.wall_ns, last.boot_ns, last.boot_ns, last.boot))
    stage = stage_of(state, step.id) if step else None
    if step is None or stage is None:
        return "all steps closed"
    place = [s.id for s in stage.steps].index(step.id) + 1
    return f"at {stage.stage} {place} of {len(stage.steps)}"
