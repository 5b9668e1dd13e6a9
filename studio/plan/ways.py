"""The two families that make a way of dyeing: ways to put colour on and ways to set it.

What a plan does is one coat: one way of each. Here stands what a way must answer; `studio.methods` holds the ways
themselves. The services announce them here, so that nothing below knows one by name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TYPE_CHECKING, Any, Literal, Protocol, TypeVar

import msgspec

from studio.plan.errors import PlanError
from studio.plan.shapes import Added, Origin
from studio.quantity.showing import show

if TYPE_CHECKING:
    from studio.plan.errors import Term
    from studio.plan.fields import Field, FieldSection, Wants
    from studio.plan.keys import Keys
    from studio.plan.model import ColourPlan
    from studio.plan.settled import Settled, SettledColour
    from studio.plan.shapes import Allowed, Caution, Figure, Place, StageId, Step, Timer
    from studio.plan.steps.stages import Cooling
    from studio.plan.work.energy import CoolWork, EnergyUse
    from studio.plan.work.fibre import RoomWork
    from studio.plan.work.presoak import PresoakWork
    from studio.plan.work.souring import Soured
    from studio.plan.work.stocks import StocksWork
    from studio.plan.work.worked import Worked


SOME_WATER = 1e-6
"""Share of a liquid, below which its water is what is left of a sum."""


class Addition(msgspec.Struct, frozen=True, kw_only=True):
    """What goes into a paint beside stock and water."""

    what: Added
    name: str
    unit: Literal["mL", "g"]
    amount: float
    ml: float
    """What of the liquid it is."""

    @property
    def said(self) -> str:
        """`5 mL of white vinegar`."""
        return f"{show(self.amount, self.unit)} of {self.name}"


class ColourLiquid(msgspec.Struct, frozen=True, kw_only=True):
    """What one colour comes to."""

    colour: SettledColour
    zone_ml: float
    """Liquid meant for its fibre."""
    applied_ml: float
    """Liquid to put on: what gives the depth, as far as fibre and jar allow."""
    mixed_ml: float
    """In the jar, reserve included."""
    stocks_ml: tuple[float, ...]
    """Poured into it, one for each stock of the colour."""
    least_percent: float | None
    """The least strength of stock that gives the depth in the liquid; None for drops."""
    depth_percent: float | None = None
    """On its fibre, once it is put on; None for drops of unknown strength."""
    mixed_for_zone_ml: float = 0.0
    """What would be mixed if the stocks left room for it."""
    in_jar_ml: float = 0.0
    """All that was mixed, later batches included."""
    dye_g: float = 0.0
    """In all of it; 0 for drops of unknown strength."""
    additions: tuple[Addition, ...] = ()
    """In what was mixed first."""
    added_by: Mapping[Added, Origin] = {}
    """How sure the amount of each of them is."""

    @property
    def dye_on_g(self) -> float:
        """Dye in what is put on."""
        return (
            self.dye_g * self.applied_ml / max(self.applied_ml, self.in_jar_ml)
            if self.applied_ml > 0
            else 0.0
        )

    @property
    def stock_ml(self) -> float:
        """All stocks together, reserve included."""
        return sum(self.stocks_ml)

    @property
    def added_ml(self) -> float:
        """What of it is neither stock nor water."""
        return sum(added.ml for added in self.additions)

    def added(self, what: Added) -> float:
        """mL or g of it; 0 without."""
        return sum(added.amount for added in self.additions if added.what == what)

    @property
    def water_ml(self) -> float:
        """Water to add; 0 where all else is the liquid."""
        water_ml = self.mixed_ml - self.stock_ml - self.added_ml
        return water_ml if water_ml > SOME_WATER * self.mixed_ml else 0.0

    @property
    def stock_room_ml(self) -> float:
        """What the fibre's liquid and its reserve leave for stock beside what is added."""
        return self.mixed_for_zone_ml * (1.0 - (self.added_ml / self.mixed_ml if self.mixed_ml > 0 else 0.0))

    @property
    def too_weak(self) -> bool:
        """Whether the stocks alone are more than the fibre's liquid and its reserve."""
        return self.zone_ml > 0 and self.stock_ml > self.stock_room_ml * 1.0001


class Goods(Protocol):
    """The goods as they come to the heat."""

    @property
    def colours(self) -> tuple[ColourLiquid, ...]:
        """Each colour as it is put on."""

    @property
    def figures(self) -> tuple[Figure, ...]:
        """In the order of work."""

    @property
    def soured(self) -> Soured | None:
        """Where the acid goes in; None where that was the soak."""


class Heat(Protocol):
    """What a way to set comes to."""

    @property
    def figures(self) -> tuple[Figure, ...]:
        """In the order of work."""


P = TypeVar("P", bound=Goods)
H = TypeVar("H", bound=Heat)
P_in = TypeVar("P_in", bound=Goods, contravariant=True)


class PutOn(Protocol[P]):
    """A way to put colour on; what it works out is of a shape of its own."""

    part: str
    """Of the worksheet its figures stand in."""
    stage: str
    """What its own stage is called."""
    acid_at: StageId
    """Where the acid goes in: the presoak, or its own stage."""
    has_bands: bool
    """Whether it leaves bands with edges between them."""
    reserve_percent: float
    """Mixed beyond what is needed, where the plan says nothing."""
    decides: Mapping[str, tuple[str, str]] = {}
    """Figures that the keys of a colour decide, each with the one it goes with, beside those of painting."""
    columns: tuple[tuple[str, str, bool], ...]
    """Of the table of colours, after the jar's own: head, figure, and whether the narrowest table has it."""
    breaks: str
    """How a mixture may break, and what to do about it."""
    superwash: str
    """How superwash wool is treated."""
    soaked: str
    """What comes after the soak."""

    foreign: Mapping[Wants, tuple[str | Term, ...]] = {}
    """Why a plan of it has no key that wants something else."""

    def refuse(self, keys: Keys) -> None:
        """Refuse a table that a plan of it cannot hold, before its colours are read."""
        return

    def refuse_colours(self, keys: Keys, colours: tuple[ColourPlan, ...]) -> None:
        """Refuse colours it cannot put on."""
        return

    def added_figures(self, settled: Settled, what: Added) -> tuple[tuple[str, str], ...]:
        """Ids of the figures that are poured of acid or gum, together all of it, each with that of what is asked."""

    def room(self, settled: Settled) -> RoomWork | None:
        """Room in the fibre; None where it takes all that is offered."""
        return None

    def work(self, settled: Settled, room: RoomWork | None, stocks: StocksWork, presoak: PresoakWork) -> P:
        """The goods as they come to the heat."""

    def with_later(self, settled: Settled, stocks: StocksWork, put: P) -> StocksWork:
        """The stocks with what was taken of them once colour had been put on."""
        return stocks

    def cautions(self, settled: Settled, put: P) -> Iterator[Caution]:
        """Those of its own that are not told with its heat."""
        return iter(())

    def steps(self, worked: Worked, put: P, last_stock: str) -> Iterable[Step | None]:
        """Of its stage; None for one it does not need. `last_stock`: id of the step that ends the stocks."""

    def clocks(self, worked: Worked) -> Iterable[Timer]:
        """Those of its stage that are not the heat's."""
        return ()

    def hands_on(self, colours: int, painted_g: float, pieces: int) -> float:
        """Minutes of hands-on work in its stage."""


class SetBy(Protocol[P_in, H]):
    """A way to set colour, on goods of the shape it takes."""

    table: str
    """Of the plan, with its keys; figures are named by it."""
    stage: str
    """What its own stage is called."""
    own: type[msgspec.Struct]
    """What its table is kept as, but for hob and acid, which a plan has a place for."""
    shade: tuple[str, ...] = ()
    """Ids of the figures that the shade hangs on beside dye and acid."""
    wet_again: Step
    """How a second set begins."""
    cooling: Cooling
    """What cooling is called where the goods lie."""
    allows: tuple[Allowed, ...] = ()
    """What the bench lets be done beside the steps; acid only where the plan has some."""
    read_at: Place = "packet"
    """Where the temperature of the goods is read."""
    job: tuple[tuple[str, ...], ...]
    """It in a line: words, and the figures that go into them."""
    hands_min: float
    """Minutes of hands-on work in its stage, for each piece that is set by itself. Estimate."""
    section: FieldSection
    """The rows of its keys."""

    def uneven(self, key: str, value: object, row: Mapping[str, object]) -> tuple[str, ...]:
        """Keys of its table that do not go with that value of another."""
        return ()

    def check(self, keys: Keys, told: Mapping[str, Any]) -> None:
        """Refuse values of its table that do not go together."""
        return

    def scaled(self, settled: Settled, factor: float) -> tuple[dict[str, str], tuple[str, ...]]:
        """Keys of its table for another weight, and what was assumed for them; most do not go with it."""
        return {}, ()

    def work(self, settled: Settled, put: P_in) -> H:
        """The heat."""

    def cool(self, settled: Settled, put: P_in, heat: H) -> CoolWork:
        """How long the goods cool from it, and how."""

    def energy(self, settled: Settled, put: P_in, heat: H) -> EnergyUse:
        """What it draws."""

    def cautions(self, settled: Settled, put: P_in, heat: H) -> Iterator[Caution]:
        """Those of its own."""

    def steps(self, settled: Settled, put: P_in, heat: H, put_on: str) -> Iterable[Step]:
        """Of its stage. `put_on`: id of the step after which the goods are ready for it."""

    def clocks(self, put: P_in, heat: H) -> Iterable[Timer]:
        """Those of its stage."""


class Method(msgspec.Struct, frozen=True, kw_only=True):
    """A sound pair, by the name a plan calls it."""

    name: str
    put_on: PutOn[Any]
    set_by: SetBy[Any, Any]

    @property
    def acid_table(self) -> str:
        """Of the plan, with the acid."""
        return "presoak" if self.put_on.acid_at == "presoak" else self.set_by.table

    def has(self, field: Field) -> bool:
        """Whether a plan of it has the key."""
        return not field.wants or field.wants not in self.put_on.foreign


MORE: Mapping[Added, str] = {"acid": "acid.more", "thickener": "thickener.more"}
"""The amount that went in beyond the plan, where it is measured."""
MORE_ACID = MORE["acid"]


def pair(name: str, put_on: PutOn[P], set_by: SetBy[P, H]) -> Method:
    """A way of dyeing, where what is put on is of the shape that is set."""
    return Method(name=name, put_on=put_on, set_by=set_by)


_announced: list[Callable[[], tuple[Method, ...]]] = []


def announce(ways: Callable[[], tuple[Method, ...]]) -> None:
    """Make ways of dyeing known, the usual one first: asked for once a plan is read, for they take long to load."""
    _announced[:] = [ways]


def methods() -> tuple[Method, ...]:
    """All ways of dyeing, the usual one first."""
    return _announced[0]()


def method_names() -> tuple[str, ...]:
    """What plans call them."""
    return tuple(method.name for method in methods())


def method_called(name: str) -> Method:
    """The way of dyeing of that name; PlanError in a file that was changed by hand."""
    found = next((method for method in methods() if method.name == name), None)
    if found is None:
        raise PlanError(f"No way of dyeing is called {name[:40]!r}.")
    return found


def method_of(settled: Settled) -> Method:
    """The way of dyeing of a plan."""
    return method_called(settled.plan.method)
