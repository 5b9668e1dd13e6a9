"""Repeats: a session worked out again on another weight or base."""

from __future__ import annotations

import msgspec

from studio.plaintext import clean
from studio.plan.errors import PlanError
from studio.plan.repeat.repeating import Repeated, repeat
from studio.plan.shelf import Shelf, ShelfBase
from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse
from studio.quantity.reading_in import told
from studio.session.after.really_done import really_done
from studio.session.state import State
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
        parts.append(told(base.dry_weight_g, "g"))
    parts.append(", ".join(f"{fibre} {told(percent, '%')}" for fibre, percent in base.blend))
    if base.rows is not None:
        parts.append(f"{base.rows} rows")
    return ", ".join(parts)


def repeat_session_as(name: str, state: State, shelf: Shelf, *, weight: str = "", base: str = "") -> Repeated:
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
    except PlanError as problem:
        raise Trouble(str(problem), USAGE) from problem
