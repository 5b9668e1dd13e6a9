"""Repeats: what was really done in a session, worked out again on another weight or base."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from studio.plaintext import clean
from studio.plan.repeat.repeating import Done, Repeated, repeat
from studio.plan.shelf import Shelf, ShelfBase
from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse
from studio.quantity.reading_in import told
from studio.quantity.showing import show
from studio.report.telling import band_words
from studio.session.after.review import steam_lost_min
from studio.session.bands import bands_of, still_bare
from studio.session.live.steam import filled_ml
from studio.session.sheet import counted
from studio.session.state import State
from studio.session.timers import counted_min
from studio.trouble import USAGE, Trouble


class BaseCard(msgspec.Struct, frozen=True):
    """A base of the shelf that a session can be repeated on."""

    name: str
    about: str
    """One line: form, weight, blend, rows."""


def base_cards(shelf: Shelf) -> list[BaseCard]:
    """The bases of the shelf, in its order."""
    return [BaseCard(base.name, _about(base)) for base in shelf.bases]


def _about(base: ShelfBase) -> str:
    parts: list[str] = [base.form] if base.form else []
    if base.dry_weight_g is not None:
        parts.append(told(base.dry_weight_g, "g", kitchen=True))
    parts.append(", ".join(f"{fibre} {told(percent, '%')}" for fibre, percent in base.blend))
    if base.rows is not None:
        parts.append(f"{base.rows} rows")
    return ", ".join(parts)


def repeat_session_as(name: str, state: State, shelf: Shelf, weight: str, base: str) -> Repeated:
    """A session as it was really done, at a weight a person typed and on a base of the shelf.

    weight: empty for its own, or the base's. Trouble, one sentence, with exit code 2 where it cannot be.
    """
    told = f"the plan of {clean(name, limit=80)}"
    try:
        grams = parse(weight, "mass").value if weight.strip() else None
        if grams is not None and grams <= 0:
            raise Trouble('The weight must be above 0 g; write for example "150 g".', USAGE)
        return repeat(
            state.plan_text, really_done(state), shelf, weight_g=grams, base=base, name=told, source=name
        )
    except QuantityError as problem:
        raise Trouble(f"The weight: {problem}", USAGE) from problem


LOST_WORTH_NOTING_MIN = 0.5
"""House rule."""


def really_done(state: State) -> Done:
    """The choices of a session with every amount that stands, and the minutes that its clocks ran.

    Hold and steam are those of the first set, without the time in which there was no steam.
    """
    return Done(
        choices=state.choices,
        amounts={**counted(state), **counted_min(state, 1)},
        beside=_beside(state),
        notes=tuple(_notes(state)),
    )


def _beside(state: State) -> dict[str, str]:
    lost_min, poured_ml = steam_lost_min(state), filled_ml(state)
    found = {}
    if lost_min >= LOST_WORTH_NOTING_MIN:
        found["set.hold"] = f"steam was lost for {show(lost_min, 'min', 2)} beside it; the clock stood still"
    if poured_ml > 0:
        found["set.pot_water"] = f"and {show(poured_ml, 'mL')} filled up while it steamed"
    return found


def _notes(state: State) -> Iterator[str]:
    """What a plan cannot hold: later sets, and bands painted otherwise than laid out."""
    if state.sets > 1:
        yield f"The fibre was set {state.sets} times; the plan holds one set; add the next at the bench."
    if state.coats and still_bare(state):
        yield (
            f"Bands not painted: {still_bare(state)}; the plan paints them too, as deep as the others came. "
            "Take them out of the layout, or paint them."
        )
    for band in bands_of(state):
        if band.strange or band.again:
            each = " on each side" if len(band.faces) > 1 else ""
            yield (
                f"Band {band.number}: {band_words(state, band)}; planned is one of "
                f"{clean(band.plan.colour, limit=40)}{each}. Change the layout, or paint it so again."
            )
