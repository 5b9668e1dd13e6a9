"""What a session really used up, and what that cost."""

from __future__ import annotations

from typing import Literal, get_args

import msgspec

from studio.craft import pot
from studio.plan.shapes import ClockRole, Worksheet, brief
from studio.session.after.observing import hands_on_min
from studio.session.after.review import min_in_steam, steam_lost_min
from studio.session.live.given import allowed
from studio.session.live.steam import filled_ml
from studio.session.sheet import sheet_now
from studio.session.state import State, StepRecord, TimerRecord
from studio.session.timers import rounds
from studio.shelf.shopping import Kind, Use, uses

# What a session really took off the shelf, part by part, as it was weighed, poured and counted.

VERBS = {"g": "weighed", "drops": "counted"}


class Part(msgspec.Struct, frozen=True, kw_only=True):
    """So much of one thing, taken at one place of the session."""

    id: str
    """The same whenever the session is read: `stock.rust`, `acid`, `base`."""
    kind: Kind
    name: str
    """As the plan calls it: a dye or a jar, an acid, a base."""
    amount: float
    unit: str
    """`g` or `mL`; of a base the g that were weighed."""
    because: str


def used_up(state: State) -> tuple[Part, ...]:
    """Dyes and jars stock by stock, acid, thickener, base; what was skipped or never reached is left out.

    A value that was given up as not measured counts as asked, and says so.
    **Source:** the figures of the sheet as it is worked out from the session's own values.
    """
    sheet = sheet_now(state)
    parts = (_part(state, sheet, use) for use in _uses(state))
    return tuple(part for part in parts if part is not None)


def asked_at(state: State, figure_id: str) -> tuple[StepRecord, str] | None:
    """How the step stands that sets a figure, with the unit it is asked in; None where no step does."""
    step = next((step for step in state.all_steps() if step.sets == figure_id), None)
    return None if step is None else (state.step(step.id), step.unit)


def _part(state: State, sheet: Worksheet, use: Use) -> Part | None:
    amount, told = 0.0, []
    for takes, asks in zip(use.figures, use.asks, strict=True):
        figure, given = sheet.figure(takes), sheet.figure(asks)
        if figure is None or given is None or figure.value <= 0 or not _taken(state, use, asks):
            continue
        amount += figure.value
        told.append(_told(state, asks, given.value))
        if takes != asks and abs(figure.value - given.value) > 1e-9:
            told.append(f"{brief(figure.value)} {use.unit} of it")
    later = sheet.figure(use.later)
    if later is not None:
        amount += later.value
        told.append(f"{brief(later.value)} {use.unit} more later")
    if not told:
        return None
    purpose = f", for {use.purpose}" if use.purpose else ""
    return Part(
        id=use.id,
        kind=use.kind,
        name=use.name,
        amount=amount,
        unit=use.unit,
        because=f"{', '.join(told)}{purpose}",
    )


def _taken(state: State, use: Use, figure_id: str) -> bool:
    """Whether it is off the shelf: fibre once it is wet, all else once its step is closed."""
    wet = state.worksheet.step_for("into the soak")
    if use.kind == "base" and wet is not None:
        return state.step(wet.id).closed
    asked = asked_at(state, figure_id)
    return asked is not None and asked[0].closed


def _told(state: State, figure_id: str, value: float) -> str:
    record, unit = asked_at(state, figure_id) or (StepRecord(), "")
    how = (
        VERBS.get(unit, "measured") if record.value is not None and figure_id in record.fixed else "as asked"
    )
    return f"{brief(value)} {unit} {how}"


# What a session really cost: the sheet worked once more, with what was weighed, poured and timed, at the
# prices of the day it was planned.

PartId = Literal["base", "dye", "acid", "thickener", "energy", "labour", "total", "per_100g"]
LABELS: dict[PartId, str] = {"base": "undyed base", "total": "the lot", "per_100g": "100 g"}
HELD: frozenset[ClockRole] = frozenset({"hold", "hold on", "burst"})
"""The clocks of a bath at its top, in each set."""


class CostRow(msgspec.Struct, frozen=True):
    """One part of the cost, planned and real."""

    id: PartId
    label: str
    planned: float | None
    """By the worksheet as it was begun; None where it had no such figure."""
    real: float
    because: str
    measured: bool
    """False where the plan's number stands in for one that was not measured."""


class RealCost(msgspec.Struct, frozen=True):
    """All parts, and what they leave of the price that was suggested."""

    currency: str
    rows: tuple[CostRow, ...]
    missing: str
    """What has no price, in a sentence; empty where all have one."""
    price: float | None = None
    """Suggested by the plan for one piece, or for the lot."""
    margin_percent: float | None = None
    """Gross margin that this price leaves after the real cost."""

    def row(self, part: PartId) -> CostRow | None:
        """The row of that part."""
        return next((row for row in self.rows if row.id == part), None)


def real_cost(state: State) -> RealCost | None:
    """The cost of a session; None where its plan counted none.

    A part that was not measured keeps the plan's amount and says so; a part without a price is left out.
    **Source:** the figures of the plan's own cost, over the amounts that were measured.
    """
    sheet = sheet_now(state, spent(state))
    total = sheet.figure("cost.total")
    if total is None:
        return None
    standing = _measured(state)
    rows: list[CostRow] = []
    for part in get_args(PartId):
        figure, planned = sheet.figure(f"cost.{part}"), state.worksheet.figure(f"cost.{part}")
        if figure is not None:
            measured = standing.get(part, all(row.measured for row in rows))
            before = None if planned is None else planned.value
            rows.append(CostRow(part, LABELS.get(part, part), before, figure.value, figure.because, measured))
    suggested = state.worksheet.figure("price.suggested")
    left_out = state.worksheet.caution("cost.incomplete")
    price = None if suggested is None else suggested.value
    margin = _margin(price, (sheet.figure("cost.per_piece") or total).value)
    missing = "" if left_out is None else left_out.text
    return RealCost(total.currency, tuple(rows), missing, price, margin)


def _measured(state: State) -> dict[str, bool]:
    """Whether each part was measured; a base is bought by the piece, whatever it weighs."""
    timed = spent(state)
    found = {"base": True, "energy": "energy.held" in timed, "labour": "labour.hands_on" in timed}
    for use in _uses(state):
        part = use.kind if use.kind in ("acid", "thickener") else "dye"
        steps = [step for asks in use.asks if (step := asked_at(state, asks)) is not None]
        if use.kind != "base":
            found[part] = found.get(part, True) and all(record.value is not None for record, _ in steps)
    return found


def _uses(state: State) -> tuple[Use, ...]:
    """What the plan takes of the shelf; nothing where a file that was changed by hand holds one that cannot be."""
    try:
        return uses(state.choices)
    except ValueError:
        return ()


def _margin(price: float | None, cost: float) -> float | None:
    """% of the price; None without a price, or where a file that was changed by hand holds money beyond measure."""
    if not price:
        return None
    try:
        return pot.gross_margin_percent(price, cost)
    except ValueError:
        return None


def spent(state: State) -> dict[str, float]:
    """What the clocks and the kettle tell of hands, heat and water, by the paths the cost is worked out from.

    Nothing for what has not begun: its planned amount stands.
    """
    poured_ml, hands_min = filled_ml(state), hands_on_min(state)
    held_min = heated_min(state)
    found = {"energy.sets": float(state.sets), "energy.filled": poured_ml}
    if held_min > 0:
        found["energy.held"] = held_min + steam_lost_min(state)
    if hands_min > 0:
        found["labour.hands_on"] = hands_min
    return found


def heated_min(state: State) -> float:
    """Minutes the heat was held: steam, a bath at its top, or the bursts of an oven."""
    if allowed(state, "lose steam"):
        return min_in_steam(state)
    return sum(_ran_min(timer) for timer in rounds(state) if timer.role in HELD)


def _ran_min(timer: TimerRecord) -> float:
    """An oven that is set to a burst ends it by itself, whenever its clock is answered."""
    ran_min = timer.ran_min or 0.0
    return min(ran_min, timer.minutes) if timer.role == "burst" else ran_min
