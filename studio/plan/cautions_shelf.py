"""Cautions that come of the shelf: old jars, a pot that is too small, the studio's own steam time."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.jar_age import age_of, day_of
from studio.plan.shapes import Caution
from studio.plan.worked import Worked


def shelf_cautions(worked: Worked) -> Iterator[Caution]:
    """jar.old.*, kit.pot-small and kit.steam-time."""
    yield from _old_jars(worked)


def _old_jars(worked: Worked) -> Iterator[Caution]:
    today = day_of(worked.settled.shelf.read_on)
    for dye in worked.settled.dyes:
        age = age_of(dye.jar, today) if dye.jar is not None else None
        if age is not None and age.standing == "old":
            yield Caution(
                id=f"jar.old.{dye.slug}",
                level="warn",
                text=f"The jar {dye.name} is too old ({age.told}): make fresh stock, or dye a scrap with it first.",
                source=f"{age.origin}: {age.source}" if age.source != age.origin else age.source,
                stage="stocks",
                where="colour",
            )
