"""Cautions that come of the shelf: old jars, a pot that is too small, the studio's own steam time."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plan.figure_text import brief
from studio.plan.jar_age import age_of, day_of
from studio.plan.shapes import Caution
from studio.plan.shelf import KitItem
from studio.plan.worked import Worked


def shelf_cautions(worked: Worked) -> Iterator[Caution]:
    """jar.old.*, kit.pot-small and kit.steam-time."""
    yield from _old_jars(worked)
    yield from _pots(worked)


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


def _pots(worked: Worked) -> Iterator[Caution]:
    steam = worked.steam
    if steam is None:
        return
    kit = [item for item in worked.settled.kit if isinstance(item, KitItem)]
    largest = max(
        (item for item in kit if item.volume_ml), key=lambda item: item.volume_ml or 0.0, default=None
    )
    if largest is not None and largest.volume_ml and largest.volume_ml < steam.pot_ml:
        yield Caution(
            id="kit.pot-small",
            level="warn",
            text=f"{largest.name} holds {brief(largest.volume_ml)} mL to the brim and the pot water is "
            f"{brief(steam.pot_ml)} mL: take a larger pot, or fill it up while it steams.",
            source="yours: the shelf's kit",
            stage="steam",
            where="set.pot_water",
        )
    for item in kit:
        if item.steam_time_min and steam.hold_min < item.steam_time_min:
            yield Caution(
                id="kit.steam-time",
                level="note",
                text=f"You steam {brief(item.steam_time_min)} min in {item.name}, and this plan holds "
                f"{brief(steam.hold_min)} min.",
                source="yours: the shelf's kit",
                stage="steam",
                where="set.hold",
            )
