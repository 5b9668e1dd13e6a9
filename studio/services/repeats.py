"""Repeats: a session worked out again on another weight or base, and saved as a new plan."""

from __future__ import annotations

import itertools
import os
from pathlib import Path

from studio.exit_codes import CANNOT_SAVE, USAGE
from studio.plaintext import clean, slug
from studio.plan.errors import PlanError
from studio.plan.repeating import Repeated, repeat
from studio.plan.shelf import Shelf, ShelfBase
from studio.quantity import QuantityError, parse, show
from studio.screens.needs import BaseCard
from studio.session.really_done import really_done
from studio.session.state import State
from studio.store.atomic import write_whole
from studio.store.errors import StoreError
from studio.trouble import Trouble

MOST_OF_ONE_NAME = 10_000
"""Plans of one title. House rule."""


def base_cards(shelf: Shelf) -> list[BaseCard]:
    """The bases of the shelf, in its order."""
    return [BaseCard(base.name, _about(base)) for base in shelf.bases]


def _about(base: ShelfBase) -> str:
    parts: list[str] = [base.form] if base.form else []
    if base.dry_weight_g is not None:
        parts.append(show(base.dry_weight_g, "g"))
    parts.append(", ".join(f"{fibre} {show(percent, '%')}" for fibre, percent in base.blend))
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


def save_as_new_plan(repeated: Repeated, folder: Path) -> Path:
    """Write it under a name made from its title that no file has yet; Trouble where the disk does not take it."""
    stem = slug(repeated.plan.title)
    for number in itertools.islice(itertools.count(1), MOST_OF_ONE_NAME):
        path = folder / f"{stem}{'' if number == 1 else f'-{number}'}.plan.toml"
        if os.path.lexists(path):
            continue
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_whole(path, repeated.text.encode("utf-8"), overwrite=False)
        except OSError as problem:
            raise Trouble(f"Cannot make the folder {folder}: {problem.strerror}.", CANNOT_SAVE) from problem
        except StoreError as problem:
            if os.path.lexists(path):
                continue  # Someone else was quicker with that name.
            raise Trouble(str(problem), CANNOT_SAVE) from problem
        return path
    raise Trouble(f"There are {MOST_OF_ONE_NAME} plans called {stem} already; give the plan another title.")
