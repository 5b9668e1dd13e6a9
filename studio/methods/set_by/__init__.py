"""Ways to set colour, and how their cautions are told."""

from __future__ import annotations

from studio.plan.shapes import Caution, Level, StageId


def cautioned(
    caution_id: str, level: Level, text: str, source: str, key: str = "", *, stage: StageId = "heat"
) -> Caution:
    """A caution of a way to set; `key`, of the table that its id begins with, leads to it."""
    where = (caution_id.partition(".")[0], key) if key else ()
    return Caution(id=caution_id, level=level, text=text, source=source, stage=stage, where=where)
