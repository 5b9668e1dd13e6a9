"""Two to four sessions side by side: only what differs of their inputs, lined up by the ids of figures and keys.

Of each figure there are three numbers: planned, asked for at the bench, and measured.
"""

from __future__ import annotations

import math
import tomllib
from collections import defaultdict
from collections.abc import Callable, Mapping, Sequence
from typing import Any, Literal

import msgspec

from studio.plan.draft.field_text import told
from studio.plan.fields import sections_for
from studio.plan.layout import layout_text
from studio.plan.steps.lay import paint_path
from studio.quantity.showing import show
from studio.session.after import review
from studio.session.bands import bands_of
from studio.session.kinds.heat import AcidDosed, BathLooked
from studio.session.kinds.paint import BatchMixed
from studio.session.live.steam import filled_ml
from studio.session.path import closed_as
from studio.session.state import State
from studio.session.timers import rounds

FEWEST, MOST = 2, 4
"""Sessions that are compared at a time: more do not fit side by side. House rule."""
SAME_MIN = 1 / 60
"""Times less than a second apart count as the same. House rule."""
SAME_SHARE = 5e-4
"""Numbers that differ by less than this share of them count as the same: it is 0.0 % on a page. House rule."""
NO_PER_CENT = ("degC", "pH", "of 5", "rounds")
"""Units in which a difference in per cent would mean nothing: only the difference itself is given."""

LEFT_OUT = ("title", "name", "order")
"""Keys that are told elsewhere: at the top of the page, as the name of a colour, and as the layout in words."""

Part = Literal[
    "plan",
    "planned",
    "asked",
    "measured",
    "depth",
    "stage",
    "timer",
    "bench",
    "rating",
    "override",
    "caution",
]


class ComparedValue(msgspec.Struct, frozen=True):
    """What one session has to say of one thing: a number, or words."""

    label: str
    unit: str = ""
    value: float | None = None
    words: str = ""


class Difference(msgspec.Struct, frozen=True):
    """One thing that differs, with what each session has of it; a session may have nothing."""

    part: Part
    id: str
    """Of the key of the plan, figure, timer, step or caution."""
    label: str
    unit: str
    values: tuple[float | None, ...]
    words: tuple[str, ...]
    """Where it is told in words; empty texts where it is a number."""

    @property
    def by(self) -> tuple[float | None, ...]:
        """Difference from the first session in the unit; None for the first, and where either has no number."""
        first = self.values[0]
        rest = (None if first is None or v is None else v - first for v in self.values[1:])
        return (None, *rest)

    @property
    def by_percent(self) -> tuple[float | None, ...]:
        """The same in per cent of the first; None also where the first is 0 or the unit allows none."""
        first = self.values[0]
        if not first or self.unit in NO_PER_CENT:
            return tuple(None for _ in self.values)
        return tuple(None if d is None else 100 * d / abs(first) for d in self.by)


def compare(states: Sequence[State]) -> tuple[Difference, ...]:
    """Every row that is not the same in all of two to four sessions, part by part.

    A step that one of them lacks, or where nothing was measured, counts as different from a value.
    ValueError, one sentence, for fewer than two states or more than four.
    **Source:** arithmetic; what is compared is a house rule.
    """
    if not FEWEST <= len(states) <= MOST:
        raise ValueError(f"Two to four sessions can be compared, not {len(states)}.")
    rows: list[Difference] = []
    for part, read in _PARTS:
        rows.extend(_differing(part, [read(state) for state in states]))
    return tuple(rows)


def _differing(part: Part, of_each: Sequence[Mapping[str, ComparedValue]]) -> list[Difference]:
    """Lined up by id, in the order of the first session, then of the others."""
    ids = list(dict.fromkeys(key for entries in of_each for key in entries))
    close = SAME_MIN if part in ("stage", "timer") else 0.0
    found = []
    for key in ids:
        entries = [entries.get(key) for entries in of_each]
        if len({e.unit for e in entries if e is not None and e.value is not None}) > 1:
            entries = [None if e is None else _in_words(e) for e in entries]
        first = next(entry for entry in entries if entry is not None)
        row = Difference(
            part=part,
            id=key,
            label=first.label,
            unit=first.unit,
            values=tuple(None if e is None else e.value for e in entries),
            words=tuple("" if e is None else e.words for e in entries),
        )
        if not _all_same(row, close):
            found.append(row)
    return found


def _in_words(entry: ComparedValue) -> ComparedValue:
    """A number with its unit as words: mL of one acid and g of another are no numbers to subtract."""
    if entry.value is None:
        return entry
    return ComparedValue(entry.label, words=show(entry.value, entry.unit))


def _all_same(row: Difference, close: float) -> bool:
    if len(set(row.words)) > 1:
        return False
    first = row.values[0]
    if first is None:
        return all(value is None for value in row.values)
    return all(
        value is not None
        and (
            math.isclose(value, first, rel_tol=SAME_SHARE, abs_tol=max(close, 1e-12))
            or show(value, row.unit) == show(first, row.unit)
        )
        for value in row.values
    )


def _inputs(state: State) -> dict[str, ComparedValue]:
    """Every key of the plan that decides no figure, as it was written, else what stood in for it."""
    found = {}
    for section in sections_for(state.choices.plan.method):
        for name, table in _tables(state, section.table):
            for field in section.fields:
                if field.key not in LEFT_OUT and not field.decides:
                    label = f"{field.label} of {name}" if name else field.label
                    words = told(field, table, state.choices)
                    place = ".".join(part for part in (section.table, name, field.key) if part)
                    found[place] = ComparedValue(label, words=words)
    layout = layout_text(state.choices.plan.layout)
    return {**found, "layout.order": ComparedValue("layout", words=layout)}


def _tables(state: State, name: str) -> list[tuple[str, dict[str, Any]]]:
    """The table, or each colour with its name, as the text of the plan has it; empty where it does not."""
    try:
        data: Any = tomllib.loads(state.plan_text)
    except ValueError:
        data = {}
    found = data.get(name) if name else data
    if name == "colour":
        rows = found if isinstance(found, list) else []
        return [(str(row.get("name", "")), row) for row in rows if isinstance(row, dict)]
    return [("", found if isinstance(found, dict) else {})]


def _planned(state: State) -> dict[str, ComparedValue]:
    return {f.id: ComparedValue(f.label, f.currency or f.unit, f.value) for f in state.worksheet.figures}


def _depths(state: State) -> dict[str, ComparedValue]:
    came = review.depths(state).items()
    return {
        paint_path(slug, "depth"): ComparedValue(f"depth of {name}", "%", depth)
        for slug, (name, depth) in came
    }


def _at_steps(state: State, which: Callable[[review.Compared], float | None]) -> dict[str, ComparedValue]:
    return {
        row.step.sets or row.step.id: ComparedValue(row.step.done, row.step.unit, which(row))
        for row in review.planned_and_actual(state)
        if row.step.quantity != "rating"
    }


def _stages(state: State) -> dict[str, ComparedValue]:
    return {t.stage: ComparedValue(t.stage, "min", t.minutes) for t in review.stage_times(state)}


def _timers(state: State) -> dict[str, ComparedValue]:
    """All rounds of each clock together; without a number while one of them was not stopped."""
    ran: dict[str, float | None] = {}
    for timer in rounds(state):
        before = ran.get(timer.id, 0.0)
        ran[timer.id] = None if before is None or timer.ran_min is None else before + timer.ran_min
    return {name: ComparedValue(state.timers[name].label, "min", minutes) for name, minutes in ran.items()}


def _ratings(state: State) -> dict[str, ComparedValue]:
    return {what: ComparedValue(what, "of 5", float(value)) for what, value in review.ratings(state).items()}


def _overrides(state: State) -> dict[str, ComparedValue]:
    return {
        s.id: ComparedValue(s.done, words=f"{closed_as(s, r)}: {r.why}") for s, r in review.overridden(state)
    }


def _cautions(state: State) -> dict[str, ComparedValue]:
    found = {}
    for caution_id, why in state.accepted.items():
        caution = state.worksheet.caution(caution_id)
        found[caution_id] = ComparedValue(caution.text if caution else caution_id, words=f"accepted: {why}")
    return found


def bench_totals(state: State) -> dict[str, ComparedValue]:
    """Steam lost, water topped up, paint mixed later, second coats and rinses, by id.

    Losses, water and coats are there as 0 too, so that a session without them can be held against one with.
    """
    bands = bands_of(state)
    found = {
        "steam.lost": ComparedValue("steam lost", "min", review.steam_lost_min(state)),
        "pot.filled": ComparedValue("pot filled up with", "mL", filled_ml(state)),
        "sets": ComparedValue("sets", "times", float(state.sets)),
        "coats": ComparedValue("bands painted more than once", "bands", float(sum(b.again for b in bands))),
        "other_jar": ComparedValue(
            "bands painted from another jar", "bands", float(sum(b.strange for b in bands))
        ),
    }
    mixed: dict[str, float] = defaultdict(float)
    for batch in state.kept(BatchMixed):
        mixed[batch.event.colour] += batch.event.ml
    for colour, ml in mixed.items():
        found[f"more.{colour}"] = ComparedValue(f"more of {colour} mixed", "mL", ml)
    looks, doses = state.kept(BathLooked), [dose.event for dose in state.kept(AcidDosed)]
    if looks:
        found["looks"] = ComparedValue("looks at the white spoon", "times", float(len(looks)))
    if doses:
        total = sum(dose.amount for dose in doses)
        found["acid.more"] = ComparedValue("more acid into the bath", doses[0].unit, total)
    return found


_PARTS: tuple[tuple[Part, Callable[[State], Mapping[str, ComparedValue]]], ...] = (
    ("plan", _inputs),
    ("measured", lambda state: _at_steps(state, lambda row: row.actual)),
    ("depth", _depths),
    ("stage", _stages),
    ("timer", _timers),
    ("bench", bench_totals),
    ("rating", _ratings),
    ("override", _overrides),
    ("caution", _cautions),
    ("asked", lambda state: _at_steps(state, lambda row: row.asked)),
    ("planned", _planned),
)
