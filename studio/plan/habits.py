"""The studio's habits: what they are, and their values as learned, pinned, switched off, or still the
default.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Literal

import msgspec

from studio.craft.credibility import Prior, learn
from studio.plan.shapes import Origin, num
from studio.shaping import shaped_json

# What a studio's habits are: the values a plan takes from a default until the studio's own sessions
# tell. Defaults are those the figures have always had; how much a default weighs, in sessions, and how
# far sessions of one studio are expected to lie apart are house rules.

HabitId = Literal["held", "painted", "drops", "to-steam", "boil-off", "cooling", "spread", "hands-on"]
Counted = Literal["session", "count", "swatch"]


class HabitKind(msgspec.Struct, frozen=True, kw_only=True):
    """One thing that can be learned."""

    id: HabitId
    label: str
    unit: str
    default: float
    origin: Origin
    """Of the default."""
    standing: str
    """Where the default comes from, in words."""
    weight: float
    """The default counts as much as so many measurements."""
    spread: float
    """Standard deviation that is expected from one measurement to the next."""
    low: float
    high: float
    """No habit lies outside; a measurement that does is a slip and is not counted."""
    counted: Counted = "session"
    """What a measurement is one of."""
    measured_by: str
    """How it is measured, and from what."""

    def prior(self, default: float | None = None) -> Prior:
        """The belief before anything was measured; around another default where the shelf has one."""
        return Prior(self.default if default is None else default, self.weight, self.spread, 4)


HABITS = shaped_json(Path(__file__).with_name("habits.json").read_bytes(), tuple[HabitKind, ...])
KIND_OF: dict[str, HabitKind] = {kind.id: kind for kind in HABITS}


# The studio's habits as values: learned, pinned, switched off, or still the default. The plan comes
# first, then what was pinned, then what was learned. A fact of the shelf (the dropper of `studio.toml`)
# is what the learned value is drawn towards: it is the dyer's own word, and weighs as much as any
# default, but many sessions that were measured say more than one line that was written once.

Standing = Literal["yours", "pinned", "off", "default"]
MOST_MEASUREMENTS = 40
"""The newest count: a hand changes, and so do pots. House rule."""
NINE_IN_TEN = 0.9
PLURAL = {"session": "sessions", "count": "counts", "swatch": "swatches"}


class Choice(msgspec.Struct, frozen=True, kw_only=True):
    """What the dyer wrote about a habit in `habits.toml`."""

    pinned: float | None = None
    off: bool = False


NO_CHOICE = Choice()


class Habit(msgspec.Struct, frozen=True, kw_only=True):
    """One habit as it stands now."""

    id: HabitId
    standing: Standing
    value: float
    """What a plan takes that does not say otherwise."""
    default: float
    default_is: str
    """Where the default comes from, in words."""
    origin: Origin
    """Of the value."""
    learned: float
    """What was learned, whether it is used or not; the default where nothing was measured."""
    low: float
    high: float
    """Nine in ten measurements lie there."""
    n: int
    """Measurements it was learned from."""

    @property
    def kind(self) -> HabitKind:
        """What it is."""
        return KIND_OF[self.id]

    @property
    def used(self) -> bool:
        """Whether it replaces the default."""
        return self.standing in ("yours", "pinned")

    @property
    def span(self) -> tuple[float, float]:
        """The least and the most that is to be reckoned with: the value alone where nothing was learned."""
        return (self.low, self.high) if self.standing == "yours" else (self.value, self.value)

    @property
    def counted(self) -> str:
        """`1 session`, `5 swatches`."""
        word = self.kind.counted
        return f"{self.n} {word if self.n == 1 else PLURAL[word]}"

    @property
    def source(self) -> str:
        """Where the value comes from, the default beside it: `yours (5 sessions), 105 to 121 %; default 110 %`."""
        unit = self.kind.unit
        default = f"default {num(self.default)} {unit} ({self.default_is})"
        if self.standing == "pinned":
            return f"pinned by you at {num(self.value)} {unit}; {default}"
        if self.standing == "yours":
            return f"yours ({self.counted}), {rough(self.low)} to {rough(self.high)} {unit}; {default}"
        return default


def rough(value: float) -> str:
    """An end of an interval: three digits are more than it is sure of.

    >>> rough(118.83), rough(0.8), rough(1234.0)
    ('119', '0.8', '1230')
    """
    return f"{float(f'{value:.3g}'):g}"


def habit(
    kind: HabitKind,
    measured: Sequence[float] = (),
    choice: Choice = NO_CHOICE,
    on_shelf: float | None = None,
) -> Habit:
    """One habit from its measurements, newest first, what was chosen, and a fact of the shelf.

    **Source:** `craft.credibility.learn`; what counts and how much the default weighs: house rules.
    """
    values = [v for v in measured if kind.low <= v <= kind.high][:MOST_MEASUREMENTS]
    default = kind.default if on_shelf is None else on_shelf
    told = learn(values, kind.prior(default), NINE_IN_TEN)
    standing = _standing(choice, bool(values))
    value, origin = default, kind.origin
    if on_shelf is not None:
        origin = "yours"
    if choice.pinned is not None:
        value, origin = choice.pinned, "yours"
    elif standing == "yours":
        value, origin = told.estimate, "yours"
    return Habit(
        id=kind.id,
        standing=standing,
        value=value,
        default=default,
        default_is=kind.standing if on_shelf is None else "the shelf's studio facts",
        origin=origin,
        learned=told.estimate,
        low=max(kind.low, told.low),
        high=min(kind.high, told.high),
        n=told.n,
    )


def _standing(choice: Choice, measured: bool) -> Standing:
    if choice.pinned is not None:
        return "pinned"
    if choice.off:
        return "off"
    return "yours" if measured else "default"


def habits_of(
    measured: Mapping[str, Sequence[float]],
    choices: Mapping[str, Choice],
    on_shelf: Mapping[str, float],
) -> tuple[Habit, ...]:
    """Every habit, in the order of work."""
    return tuple(
        habit(kind, measured.get(kind.id, ()), choices.get(kind.id, NO_CHOICE), on_shelf.get(kind.id))
        for kind in HABITS
    )


def in_use(habits: Iterable[Habit], habit_id: HabitId) -> Habit | None:
    """The habit that replaces a default; None where the default stands."""
    return next((h for h in habits if h.id == habit_id and h.used), None)
