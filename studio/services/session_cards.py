"""Sessions as lists show them, and where one is that is not in the studio folder."""

from __future__ import annotations

from pathlib import Path

import msgspec

from studio.logbook.entry import LogbookRow
from studio.plaintext import clean, without_home
from studio.session.clock import Reading
from studio.session.state import State


def elsewhere_sentence(path: Path) -> str:
    """What to do about a session that had to go on outside the studio folder."""
    name, place = clean(path.name), without_home(clean(str(path.parent)))
    return (
        f"{name} is kept in {place}: the studio folder took nothing. Make room, then move it into sessions/."
    )


def placed(row: LogbookRow, elsewhere: Path | None) -> LogbookRow:
    """With the folder the file is in, where that is none of the studio's own."""
    if elsewhere is None:
        return row
    return msgspec.structs.replace(row, about=f"{row.about}, kept in {without_home(str(elsewhere))}")


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
