"""`habits.toml` on the shelf: which habits are pinned to a value or switched off; read, and changed for
one habit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

import msgspec

from studio.plan.errors import PlanError, in_file, quoted
from studio.plan.habits import HABITS, KIND_OF, Choice, HabitKind, habits_of
from studio.plan.keys import Keys
from studio.plan.shelf import LeftOut, Shelf, StudioFacts
from studio.plan.toml import entry_spans, lines_of, read_text, toml_table
from studio.quantity.kinds import QuantityError
from studio.quantity.reading import parse_number
from studio.shelf.reading import HABITS_FILE, place_in_file
from studio.tables.finding import nearest

# An entry is `[[habit]]` with a `name`, and `pinned = "110 %"` or `off = true`. A bad one is left out and named,
# like any other of the shelf.


def with_habits(shelf: Shelf, folder: Path, measured: Mapping[str, Sequence[float]]) -> Shelf:
    """The shelf with the studio's habits on it: measured in its sessions, and as `habits.toml` wants them.

    The dropper of the shelf becomes the one that was learned, so that everything that counts drops agrees.
    """
    choices, remarks = read_choices(folder)
    found = habits_of(measured, choices, _on_shelf(shelf))
    drops = next(h.value for h in found if h.id == "drops")
    return msgspec.structs.replace(
        shelf,
        habits=found,
        studio=msgspec.structs.replace(shelf.studio, drops_per_ml=drops),
        left_out=(
            *shelf.left_out,
            *(LeftOut(HABITS_FILE, "habit", "", remark, remark) for remark in remarks),
        ),
    )


def _on_shelf(shelf: Shelf) -> dict[str, float]:
    dropper = shelf.studio.drops_per_ml
    return {} if dropper == StudioFacts().drops_per_ml else {"drops": dropper}


def read_choices(folder: Path) -> tuple[dict[str, Choice], tuple[str, ...]]:
    """What the dyer chose, by habit, and a sentence for each line that cannot be used."""
    path = folder / HABITS_FILE
    if not path.exists():
        return {}, ()
    try:
        return choices_in(read_text(path))
    except PlanError as problem:
        return {}, (str(problem),)


def choices_in(text: str) -> tuple[dict[str, Choice], tuple[str, ...]]:
    """The same for the text of the file; PlanError where it is no TOML at all."""
    keys = Keys(toml_table(text, file=HABITS_FILE), file=HABITS_FILE)
    found: dict[str, Choice] = {}
    told: list[PlanError] = []
    try:
        keys.only(("habit",))
    except PlanError as problem:
        told.append(problem)
    rows = keys.raw("habit")
    for number, row in enumerate(rows if isinstance(rows, list) else [] if rows is None else [rows], 1):
        try:
            entry = Keys(row, file=HABITS_FILE, place=("habit", number))
            name, choice = _entry(entry)
            if name in found:
                raise entry.wrong("name", f"is {quoted(name)} a second time; keep one of the two.")
            found[name] = choice
        except PlanError as problem:
            told.append(problem)
    lines = lines_of(text) if told else {}
    return found, tuple(in_file(problem, place_in_file(problem, HABITS_FILE, lines)) for problem in told)


def _entry(keys: Keys) -> tuple[str, Choice]:
    keys.only(("name", "pinned", "off"))
    name = keys.needed_text("name", "held")
    if name not in KIND_OF:
        raise keys.wrong("name", f"is {quoted(name)}, which is no habit; {_meant(name)}")
    kind = KIND_OF[name]
    pinned = keys.raw("pinned")
    if pinned is None:
        return name, Choice(off=keys.flag("off", False))
    if isinstance(pinned, bool) or not isinstance(pinned, int | float | str):
        raise keys.wrong("pinned", f'must be a value like "{example(kind)}", not {quoted(pinned)}.')
    try:
        return name, Choice(pinned=pinned_value(kind, str(pinned)), off=keys.flag("off", False))
    except PlanError as problem:
        raise keys.wrong("pinned", f": {problem}") from None


def _meant(name: str) -> str:
    near = nearest(name, tuple(KIND_OF))
    return f'did you mean "{near}"?' if near else f"the habits are {', '.join(KIND_OF)}."


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
    rows = toml_table(text, file=HABITS_FILE).get("habit", [])
    if not isinstance(rows, list) or (rows and ("habit", 1) not in entry_spans(text)):
        raise PlanError(f"{HABITS_FILE}: habit must be written as [[habit]] tables; correct that first.")
    place = next((n for n, row in enumerate(rows) if row.get("name") == kind.id), None)
    pinned = None if choice.pinned is None else f"{choice.pinned:.10g} {kind.unit}"
    written = {"name": kind.id, "pinned": pinned, "off": choice.off or None}
    if place is None:
        return text if choice == Choice() else _appended(text, written)
    from studio.plan.text import PlanText  # loads tomlkit

    new = PlanText(text, name=HABITS_FILE)
    if choice != Choice():
        for key, value in written.items():
            if value is None:
                new.erase("habit", place, key)
            else:
                new.write("habit", place, key, value)
    elif len(rows) == 1:
        new.drop_table("habit")
    else:
        new.remove_row("habit", place)
    return new.text()


def _appended(text: str, written: Mapping[str, str | bool | None]) -> str:
    """The entry at the end, a blank line before it: a table of a list may stand anywhere."""
    from studio.plan.text import toml_value

    lines = [f"{key} = {toml_value(value)}" for key, value in written.items() if value is not None]
    return "\n".join((f"{text.rstrip() or HEAD.rstrip()}\n", "[[habit]]", *lines, ""))
