"""`habits.toml` on the shelf: which habits are pinned to a value or switched off; read, and changed for
one habit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import msgspec

from studio.plan.errors import PlanError, quoted
from studio.plan.fields import row
from studio.plan.habits import HABITS, KIND_OF, Choice, HabitKind, habits_of
from studio.plan.keys import Keys
from studio.plan.shelf import LeftOut, Shelf, StudioFacts
from studio.plan.toml import entry_spans, read_text, toml_table
from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse_number
from studio.shelf.reading import ENTRY_READERS, HABITS_FILE, read_file
from studio.tables.finding import meant

# An entry is `[[habit]]` with a `name`, and `pinned = "110 %"` or `off = true`. A bad one is left out and named,
# like any other of the shelf.


def with_habits(shelf: Shelf, folder: Path, measured: Mapping[str, Sequence[float]]) -> Shelf:
    """The shelf with the studio's habits on it: measured in its sessions, and as `habits.toml` wants them.

    The dropper of the shelf becomes the one that was learned, so that everything that counts drops agrees.
    """
    choices, left_out = read_choices(folder)
    dropper = shelf.studio.drops_per_ml
    on_shelf = {} if dropper == StudioFacts().drops_per_ml else {"drops": dropper}
    found = habits_of(measured, choices, on_shelf)
    drops = next(h.value for h in found if h.id == "drops")
    return msgspec.structs.replace(
        shelf,
        habits=found,
        studio=msgspec.structs.replace(shelf.studio, drops_per_ml=drops),
        left_out=(*shelf.left_out, *left_out),
    )


def read_choices(folder: Path) -> tuple[dict[str, Choice], list[LeftOut]]:
    """What the dyer chose, by habit, and what cannot be used."""
    path = folder / HABITS_FILE
    try:
        return choices_in(read_text(path)) if path.exists() else ({}, [])
    except PlanError as problem:
        return {}, [LeftOut(HABITS_FILE, "", "", str(problem), str(problem))]


def choices_in(text: str) -> tuple[dict[str, Choice], list[LeftOut]]:
    """The same for the text of the file; PlanError where it is no TOML at all."""
    found: dict[str, list[Chosen]] = {"habit": []}
    left_out = read_file(HABITS_FILE, text, found)
    return {one.name: one.choice for one in found["habit"]}, left_out


class Chosen(msgspec.Struct, frozen=True):
    """An entry of the file."""

    name: str
    choice: Choice


def _habit(keys: Keys) -> Chosen:
    keys.only(("name", "pinned", "off"))
    name = keys.needed(row("name", "", "text", "held"))
    if name not in KIND_OF:
        raise keys.wrong("name", f"is {quoted(name)}, which is no habit; {_meant(name)}")
    kind = KIND_OF[name]
    pinned = keys.raw("pinned")
    off = keys.value(row("off", "", "flag", "")) if "off" in keys else False
    if pinned is None:
        return Chosen(name, Choice(off=off))
    if isinstance(pinned, bool) or not isinstance(pinned, int | float | str):
        raise keys.wrong("pinned", f'must be a value like "{example(kind)}", not {quoted(pinned)}.')
    try:
        return Chosen(name, Choice(pinned=pinned_value(kind, str(pinned)), off=off))
    except PlanError as problem:
        raise keys.wrong("pinned", f": {problem}") from None


ENTRY_READERS["habit"] = _habit


def _meant(name: str) -> str:
    return meant(name, KIND_OF, f"the habits are {', '.join(KIND_OF)}.")


def example(kind: HabitKind) -> str:
    """A value as it may be written: `100 %`."""
    return f"{kind.default:g} {kind.unit}"


def pinned_value(kind: HabitKind, text: str) -> float:
    """The value somebody pins a habit to, `110 %` or `110`; PlanError, one sentence, where it is none."""
    typed = text.strip()
    number = typed.removesuffix(kind.unit).removesuffix(kind.unit.partition("/")[0]).strip()
    try:
        value = parse_number(number)
    except QuantityError:
        raise PlanError(
            f"{quoted(typed)} is no value for {kind.label}; write for example {example(kind)}."
        ) from None
    if not kind.low <= value <= kind.high or (kind.low == 0.0 and value < 0):
        raise PlanError(
            f"{kind.label} lies from {kind.low:g} to {kind.high:g} {kind.unit}, not at {quoted(typed)}; "
            f"write for example {example(kind)}."
        )
    return value


def named(name: str) -> HabitKind:
    """The habit of that name or of that beginning; PlanError, one sentence, where there is none."""
    wanted = name.strip().casefold()
    for kind in HABITS:
        if wanted == kind.id:
            return kind
    begun = [kind for kind in HABITS if wanted and kind.id.startswith(wanted)]
    if len(begun) == 1:
        return begun[0]
    raise PlanError(f"There is no habit {quoted(name)}; {_meant(name)}")


# The text of `habits.toml`, changed for one habit; comments and all other lines stay as the dyer wrote
# them.

HEAD = """\
# Habits of this studio that are fixed by hand. Those not named here are learned from the finished sessions.
# pinned = "110 %" fixes a value; off = true goes back to the default. potside habits lists them.
"""


def with_choice(text: str, kind: HabitKind, choice: Choice) -> str:
    """The text with that choice for a habit; PlanError, one sentence, where it cannot be edited safely.

    An entry that says nothing any more is taken out. Text that is empty gets a comment that explains it.
    """
    from studio.shelf.editing import Add, Change, Put, Remove, edited

    rows = toml_table(text, file=HABITS_FILE).get("habit", [])
    if not isinstance(rows, list) or (rows and ("habit", 1) not in entry_spans(text)):
        raise PlanError(f"{HABITS_FILE}: habit must be written as [[habit]] tables; correct that first.")
    pinned = None if choice.pinned is None else f"{choice.pinned:.10g} {kind.unit}"
    values = {"pinned": pinned, "off": choice.off or None}
    changes: list[Change] = []
    if not any(one.get("name") == kind.id for one in rows):
        written = {key: value for key, value in values.items() if value is not None}
        changes += [Add(table="habit", values={"name": kind.id, **written})] if written else []
    elif choice == Choice():
        changes.append(Remove(table="habit", name=kind.id))
    else:
        changes += [Put(table="habit", name=kind.id, key=key, value=value) for key, value in values.items()]
    return edited({HABITS_FILE: text if text.strip() else HEAD}, changes).get(HABITS_FILE, text)
