"""What planning hands to everything after it: figures, cautions, steps, stages, a worksheet.

Plain typed records (msgspec): shown on screen, printed, written as JSON and kept in a session's first line.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, cast, get_args

import msgspec

from studio.plan.errors import KeyPath
from studio.quantity.kinds import Quantity
from studio.quantity.showing import show

Origin = Literal[
    "estimate", "house rule", "from memory", "common practice", "published", "yours", "plan", "measured"
]  # fmt: skip
"""Where a number comes from, the weakest first; `plan` is what the dyer wrote, taken as it is, `measured` what was
measured or worked out from measurements in this very session."""

Allowed = Literal["lose steam", "packets", "top up", "more acid"]
"""What may be done beside the steps of a set: steam lost, packets with clocks of their own, water or acid added."""

Place = Literal["packet", "lid", "bath", "room"]
"""Where a temperature is read."""

Level = Literal["stop", "warn", "note"]
StepKind = Literal["do", "check", "measure", "wait", "gate"]
StageId = Literal["ready", "presoak", "stocks", "colour", "heat", "cool", "rinse", "record"]
"""Stages of a plan. What is done while colour is put on and set, a way of dyeing calls by a name of its own."""

Role = Literal[
    "sound", "accept cautions", "dry weight", "soak water", "acid", "pH", "into the soak", "end pH",
    "weigh dye", "make up", "count drops",
    "squeeze", "mix", "paint", "turn over",
    "bath water", "salt", "dye in", "into the bath",
    "pot water", "heat on", "steam rolling", "acid draws on", "ramp", "at the top",
    "hold", "look", "heat off", "out",
    "cooling", "goods temperature", "unwrap",
    "rinse water", "rinse rounds", "dry", "unravel",
    "leftovers", "dyed weight", "rating", "close",
]  # fmt: skip
"""What a step is for, in whichever stage of whichever method, where a rule asks for it."""

ClockRole = Literal[
    "soak", "pot look", "ramp", "ramp look", "acid", "dye", "hold", "turn", "hold on", "burst", "rest",
    "stand", "cool", "packet", "swell",
]  # fmt: skip
"""What a clock is for; `hold` is the one a set is held by."""

STAGE_ORDER: tuple[StageId, ...] = get_args(StageId)


# Which figures a kitchen measures, so that they are told in ounces and spoons where those are read.

_IN_A_KITCHEN = {
    "g": re.compile(r"(fibre\.weight|paint\.squeezed|paint\.[^.]+\.fibre)(-\d+)?"),
    "mL": re.compile(
        r"[^.]+\.(water|acid|bound|bath|evaporation|steamed|pot_water|pot_needed)(\.(spread|first|rest))?(-\d+)?"
    ),
}
"""By the unit, the figures of what a kitchen measures: fibre on its scale, water and vinegar with its cups and spoons.
Dye, stock, paint and gum are what a fine scale and a syringe show."""


def in_a_kitchen(figure_id: str, unit: str) -> bool:
    """Whether grams or millilitres of that figure are told in ounces or in spoons where those are read.

    >>> in_a_kitchen("fibre.weight", "g"), in_a_kitchen("presoak.acid", "mL"), in_a_kitchen("paint.rust.water", "mL")
    (True, True, False)
    """
    return unit in _IN_A_KITCHEN and _IN_A_KITCHEN[unit].fullmatch(figure_id) is not None


class Known(msgspec.Struct, frozen=True):
    """A value with where it came from."""

    value: float
    origin: Origin
    source: str


class Figure(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One computed number with its unit, its reason and its origin."""

    id: str
    """Stable, dotted: `paint.rust.liquid`; made where the figure is."""
    part: str = ""
    """Of the worksheet: `fibre`, `stocks`, `paint` and so on."""
    of: tuple[str, ...] = ()
    """Slugs of the colours it is about; none where it is about no colour of its own."""
    value: float
    unit: str
    """One of g, mL, min, degC, degC/min, %, 1, cm, m, mL/min, W, Wh, pH."""
    label: str
    """What the number is, in a few words: `paint to mix for rust`."""
    because: str
    """The equation with its numbers in it."""
    origin: Origin
    source: str = ""
    """The publication, or the standing (`common practice`, `house rule`, `from memory`)."""
    low: float | None = None
    high: float | None = None
    """The ends of the interval, where the number is one of a range."""
    chosen: float | None = None
    """Where the interval is a spread of what is published: the plan's own value, within it or not."""
    currency: str = ""
    """Of an amount of money, whose unit is 1."""
    instead_of: str = ""
    """Of a figure of the bench: the id of the sheet's that it is shown in place of."""

    @property
    def kitchen(self) -> bool:
        """Whether a kitchen measures it."""
        return in_a_kitchen(self.id, self.unit)


Added = Literal["acid", "thickener"]
"""What may go into a paint beside stock and water."""


class Caution(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something the dyer should know before it matters."""

    id: str = ""
    """Its row's, with what it is about."""
    level: Level
    text: str
    source: str
    stage: str = ""
    """The stage it matters to, as it is shown; empty for the whole plan."""
    role: Role | Literal[""] = ""
    """The step of that stage it is shown at; the stage's first where it is empty, or no step is for that."""
    of: tuple[str, ...] = ()
    """The subjects it is about: it is shown at the first such step of each."""
    where: KeyPath = ()
    """The key of the plan that leads to it, `colour.rust.dye`."""


class Step(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One line of the procedure."""

    id: str = ""
    """Its row's, in the stage and the set it is laid in."""
    known_by: str = msgspec.field(default="", name="role")
    """Its role, where it has one: rules ask for some, and what a value becomes may have one of its own; a file of
    another version may hold others."""
    of: str = ""
    """Slug of the colour or stock it is about, the number of a part or a burst, or what is rated."""
    set_number: int = 1
    kind: StepKind
    text: str
    """What to do, one sentence."""
    done: str
    """The same in the past tense, short: `Fibre wetted out`."""
    critical: bool = False
    after: tuple[str, ...] = ()
    """Steps that physics wants closed first, beyond the earlier steps of the same stage."""
    figures: tuple[str, ...] = ()
    """Ids of the figures to show beside the step."""
    cautions: tuple[str, ...] = ()
    """Ids of cautions that matter at this step."""
    quantity: str = ""
    """For `measure`: the kind (`mass`, `volume`, `temperature`, `ph`, `count`), `rating` or `look`, both 1 to 5."""
    unit: str = ""
    expected: float | None = None
    low: float | None = None
    high: float | None = None
    """For `measure`: outside low..high the bench asks once whether the value is meant."""
    sets: str = ""
    """Id of the figure whose value is measured here; what is asked is that figure as it stands."""
    fixes: tuple[str, ...] = ()
    """Ids of figures that are done as asked when this step closes, beside the one that is measured."""
    starts: str = ""
    """Timer that starts when this step closes."""
    stops: str = ""
    """Timer that ends when this step closes."""
    timer: str = ""
    """For `wait`: the timer that must run out."""
    limit_c: float | None = None
    """degC: a `gate` stays shut while the goods were last read above it; a `wait` ends by a reading at or below."""
    once: bool = False
    """Not done again in a second set."""
    waiting: str = ""
    """What the bench says in place of `text` while that timer, or the one a look has started, still runs."""

    @property
    def role(self) -> Role | Literal[""]:
        """What it is for, as rules ask for it."""
        return cast("Role", self.known_by)

    @property
    def kitchen(self) -> bool:
        """Whether a kitchen measures its value, as that of the figure it sets."""
        return self.role == "dyed weight" or in_a_kitchen(self.sets, self.unit)


class Timer(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """A clock the procedure needs."""

    id: str = ""
    """Its row's, in the set it is laid in."""
    role: ClockRole
    set_number: int = 1
    label: str
    minutes: float
    action: str
    """What to do when it runs out, as the alarm says it."""
    priority: Literal["high", "medium", "low"] = "medium"
    repeats: bool = False
    """Starts again each time its alarm is acknowledged, until it is stopped."""
    with_timer: str = ""
    """Starts and stops together with this other timer."""
    then: str = ""
    """Timer that starts when this one's alarm is answered."""
    needs_steam: bool = False
    """Stands still while the steam is lost."""
    once: bool = False
    """Not set again in a second set."""
    counts: str = ""
    """Id of the figure whose minutes it counts."""


class Stage(msgspec.Struct, frozen=True, kw_only=True):
    stage: str
    """As it is shown: its kind, with the number of a later set, `steam-2`."""
    kind: StageId
    steps: tuple[Step, ...]


class Worksheet(msgspec.Struct, frozen=True, kw_only=True):
    """All that was worked out from a plan."""

    format: str = "potside-worksheet/1"
    title: str
    figures: tuple[Figure, ...]
    cautions: tuple[Caution, ...]
    procedure: tuple[Stage, ...]
    timers: tuple[Timer, ...] = ()
    allows: tuple[Allowed, ...] = ()
    """What the bench lets be done beside the steps."""
    read_at: Place = "packet"
    """Where the temperature of the goods is read."""
    again: tuple[Stage, ...] = ()
    """What a second set does over, as the first one lays it, and how it begins."""

    def figure(self, figure_id: str) -> Figure | None:
        """The figure of that id, or None."""
        return next((f for f in self.figures if f.id == figure_id), None)

    def caution(self, caution_id: str) -> Caution | None:
        """The caution of that id, or None."""
        return next((c for c in self.cautions if c.id == caution_id), None)

    def step_for(self, role: Role, of: str = "", number: int | None = None) -> Step | None:
        """The step of that role and subject, in that set, else in the newest one that has it; None where none does."""
        for stage in reversed(self.procedure):  # asked some twenty times a tick: no generators
            for step in reversed(stage.steps):
                if step.known_by == role and step.of == of and number in (None, step.set_number):
                    return step
        return None

    def clock_for(self, role: ClockRole, number: int) -> Timer | None:
        """The first clock of that role in that set, or None."""
        return next((t for t in self.timers if t.role == role and t.set_number == number), None)

    def step(self, step_id: str) -> Step | None:
        """The step of that id, or None."""
        return next((s for stage in self.procedure for s in stage.steps if s.id == step_id), None)

    @property
    def stops(self) -> tuple[Caution, ...]:
        """The cautions that keep a session from beginning."""
        return tuple(c for c in self.cautions if c.level == "stop")


# Numbers as they stand in an equation, and the making of a figure.

HOUSE = "house rule"
PRACTICE = "common practice"
_WEAKEST_FIRST: tuple[Origin, ...] = get_args(Origin)
STANDINGS: tuple[Origin, ...] = ("estimate", "house rule", "from memory", "common practice")
"""What a source says of itself where it is no publication."""
DEFINED = "by definition"
"""The standing of a unit or of plain arithmetic: it weakens nothing that is worked out by it."""
ARITHMETIC = "arithmetic on the plan's own numbers"
BROADBENT = "A. D. Broadbent, Basic Principles of Textile Coloration, Society of Dyers and Colourists 2001"


def num(value: float) -> str:
    """A number in an equation: four significant digits, no exponent for what a bench meets.

    >>> num(0.5), num(1234.5), num(26.594), num(150.0), num(61480.0)
    ('0.5', '1234', '26.59', '150', '61480')
    """
    if abs(value) >= 1000:
        return f"{value:.0f}"
    return f"{value:.4g}"


def brief(value: float) -> str:
    """A number in a sentence: three significant digits.

    >>> brief(0.39268), brief(1234.5), brief(26.594)
    ('0.393', '1 230', '26.6')
    """
    return show(value, "1")


def listed(words: Sequence[str]) -> str:
    """Names in a sentence.

    >>> listed(["silk"]), listed(["wool", "silk", "nylon"])
    ('silk', 'wool, silk and nylon')
    """
    return " and ".join((", ".join(words[:-1]), words[-1])) if len(words) > 1 else words[0]


def weakest(*origins: Origin) -> Origin:
    """What is worked out is as good as the weakest of what it is worked out from.

    >>> weakest("plan", "house rule", "published")
    'house rule'
    """
    return min(origins, key=_WEAKEST_FIRST.index)


def said_by(origin: Origin, source: str) -> str:
    """Who stands for a value.

    >>> said_by("yours", "the label"), said_by("estimate", "estimate")
    ('yours: the label', 'estimate')
    """
    return origin if source in ("", origin) else f"{origin}: {source}"


def origin_of(source: str, claimed: Origin = "published") -> Origin:
    """The weakest standing that a source tells of itself; what is claimed of it, where it tells of none.

    >>> origin_of("D. M. Lewis, Wool Dyeing (from memory)"), origin_of("IAPWS R7-97(2012)"), origin_of("", "plan")
    ('from memory', 'published', 'plan')
    """
    said = source.casefold()
    return weakest(claimed, *(origin for origin in STANDINGS if origin in said))


def fig(
    figure_id: str,
    value: float,
    unit: str,
    label: str,
    because: str,
    origin: Origin,
    source: str = "",
    *,
    low: float | None = None,
    high: float | None = None,
    chosen: float | None = None,
) -> Figure:
    """A figure; its origin is no better than its source says, and is its source where none is named."""
    return Figure(
        id=figure_id,
        value=value,
        unit=unit,
        label=label,
        because=because,
        origin=origin_of(source, origin),
        source=source or (ARITHMETIC if origin == "plan" else origin),
        low=low,
        high=high,
        chosen=chosen,
    )


def as_written(
    figure_id: str,
    written: Quantity | None,
    usual: float,
    unit: str,
    label: str,
    because: str,
    origin: Origin,
    source: str = "",
) -> Figure:
    """A figure that a plan may write itself: as it was typed there, else what is usual."""
    if written is None:
        return fig(figure_id, usual, unit, label, because, origin, source)
    return fig(figure_id, written.value, unit, label, f"{written.typed} as written", "plan", "the plan")


def about(colours: Iterable[str], figures: Iterable[Figure]) -> Iterator[Figure]:
    """Figures of one colour or of those that share a jar, by their slugs."""
    slugs = tuple(colours)
    return (msgspec.structs.replace(figure, of=slugs) for figure in figures)
