"""A plan with every name looked up and every open value chosen, each with where it came from."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Literal, TypeVar

import msgspec

from studio.craft import liquor, steam
from studio.plan import materials
from studio.plan.fields import DRY_WEIGHT
from studio.plan.habits import KIND_OF, HabitId, in_use
from studio.plan.jars import StockPlan, in_shared_jars, stocks_of
from studio.plan.layout import shares
from studio.plan.materials import AcidAtHand, DyeAtHand, FibreInBlend, ThickenerAtHand
from studio.plan.model import ColourPlan, Form, Plan
from studio.plan.shapes import Added, Figure, Known, num
from studio.plan.shelf import KitItem, Shelf, ShelfBase, entry_called
from studio.quantity.kinds import Quantity
from studio.shaping import shaped
from studio.tables.rows import DyeClass

DEFAULT_PICKUP = KIND_OF["painted"].default
DEFAULT_HELD = KIND_OF["held"].default
"""Squeezed by hand in a towel. Estimate: Beech 1902 gives only shares of a saturated load."""
BEECH = (
    "F. Beech, The Dyeing of Woollen Fabrics, 1902, pp. 206-208 (Grothe: squeezing leaves 40 % of what "
    "wringing and spinning start from); per cent of dry weight is an estimate"
)

Sharing = tuple[tuple["SettledColour", StockPlan], ...]
"""One jar of stock: the colours it is for, each with its part of it."""


class SettledColour(msgspec.Struct, frozen=True, kw_only=True):
    plan: ColourPlan
    share: float
    """Of the fibre, 0 to 1."""
    fibre_g: float
    takes: float
    """Share of that fibre that takes every dye of the colour, above 0 to 1; 1 where none of it takes any."""
    stocks: tuple[StockPlan, ...]

    @property
    def dyed_g(self) -> float:
        """The fibre its depth is counted on: what takes the dye."""
        return self.fibre_g * self.takes

    def __post_init__(self) -> None:
        if not self.stocks:
            raise ValueError("A colour is made of one stock or more.")


class Settled(msgspec.Struct, frozen=True, kw_only=True):
    plan: Plan
    shelf: Shelf
    base: ShelfBase | None
    blend: tuple[FibreInBlend, ...]
    form: Form
    dry_g: float
    """Of all pieces together."""
    pieces: int
    colours: tuple[SettledColour, ...]
    acid: AcidAtHand | None
    thickener: ThickenerAtHand | None = None
    """The gum of the paints that have one."""
    kit: tuple[KitItem | str, ...]
    """Shelf items; a bare name where the shelf has none of that name."""
    scale_g: Known
    alkalinity: Known
    water_ph: Known
    altitude: Known
    hob_w: Known
    room: Known
    measured: Mapping[str, float] = {}
    """What was measured, poured or done so far, by the id of its figure, in that figure's unit."""
    scale: float = 1.0
    """Dry weight as measured, as a share of the plan's: what a plan writes in absolute amounts is held per gram."""

    def own(self, habit_id: HabitId) -> Known | None:
        """The studio's own value, learned or pinned; None where the default stands."""
        found = in_use(self.shelf.habits, habit_id)
        return None if found is None else Known(found.value, found.origin, found.source)

    @property
    def target(self) -> Known:
        """Wet pick-up to paint to, %."""
        written = self.plan.fibre.target_pickup
        if written is not None:
            return Known(written.value, "plan", "the plan")
        usual = f"estimate: painted to {num(DEFAULT_PICKUP)} % wet pick-up"
        return self.own("painted") or Known(DEFAULT_PICKUP, "estimate", usual)

    @property
    def held(self) -> Known:
        """Water held after squeezing, %: by the plan's squeezed weight, else this studio's, else the usual."""
        written = self.plan.fibre.squeezed_weight
        if written is not None:
            held = liquor.held_percent(written.value * self.pieces, self.dry_g / self.scale)
            return Known(held, "plan", "the plan's squeezed_weight")
        return self.own("held") or Known(DEFAULT_HELD, "estimate", BEECH)

    def room_ml(self, held_percent: float) -> float:
        """Room for liquid in squeezed fibre that holds so much water; 0 where that is its target already."""
        aimed = self.target.value
        return liquor.free_capacity_ml(self.dry_g, aimed, held_percent) if aimed > held_percent else 0.0

    def zone_ml(self, colour: SettledColour, room_ml: float) -> float:
        """Liquid meant for the fibre under a colour: what is written, less the reserve, else its share of the room."""
        if colour.plan.liquid is not None:
            return colour.plan.liquid.value * self.scale / (1 + self.plan.reserve_percent / 100.0)
        return liquor.share_ml(room_ml, colour.fibre_g, self.dry_g)

    @property
    def piece_g(self) -> float:
        """Dry weight of one piece."""
        return self.dry_g / self.pieces

    @property
    def jars(self) -> tuple[Sharing, ...]:
        """Every jar of stock, once."""
        found: dict[str, Sharing] = {}
        for colour in self.colours:
            for stock in colour.stocks:
                found[stock.slug] = (*found.get(stock.slug, ()), (colour, stock))
        return tuple(found.values())

    @property
    def added(self) -> dict[Added, AcidAtHand | ThickenerAtHand]:
        """What is poured beside dye and water, of what the plan has."""
        there: tuple[tuple[Added, AcidAtHand | ThickenerAtHand | None], ...]
        there = ("acid", self.acid), ("thickener", self.thickener)
        return {what: thing for what, thing in there if thing is not None}

    @property
    def dyes(self) -> tuple[DyeAtHand, ...]:
        """Every dye of the plan, once."""
        return tuple({s.dye.name: s.dye for c in self.colours for s in c.stocks}.values())

    @property
    def classes(self) -> tuple[DyeClass, ...]:
        """Every dye class of the plan, once."""
        return tuple({d.dye_class.id: d.dye_class for d in self.dyes}.values())

    @property
    def superwash(self) -> bool:
        """Whether wool in it is superwash."""
        return any("superwash" in fibre.row.name for fibre in self.blend)

    @property
    def silk(self) -> bool:
        """Whether silk is in it."""
        return any(fibre.row.family == "silk" for fibre in self.blend)

    @property
    def boil_c(self) -> float:
        """Where water boils."""
        return steam.boiling_point_c(steam.pressure_pa(self.altitude.value))

    @property
    def food_only(self) -> bool:
        """Whether every dye is a food colour."""
        return all(d.food for d in self.dyes)


T = TypeVar("T")
LEAST_FIBRE_G = 0.1
"""Less dry fibre than this is a slip, not a skein. House rule."""


def own_table(settled: Settled, shape: type[T], name: str) -> T:
    """The table of its way of setting, as that way reads it; ValueError in a file that was changed by hand."""
    try:
        return shaped(settled.plan.own, shape)
    except msgspec.ValidationError as problem:
        raise ValueError(f"The plan's [{name}] does not fit the way of dyeing it is for.") from problem


def measure(settled: Settled, measured: Mapping[str, float]) -> Settled:
    """The same choices with amounts as they were measured, by the ids of their figures.

    A dry weight other than the plan's moves every amount that goes with it. What cannot be worked with (a weight
    of nothing) gives ValueError here or in `work_all`.
    """
    scale = 1.0
    if "fibre.weight" in measured:
        if not LEAST_FIBRE_G <= measured["fibre.weight"] < math.inf:
            raise ValueError("The dry fibre must weigh something; weigh it again.")
        scale = measured["fibre.weight"] / settled.dry_g
    return msgspec.structs.replace(
        settled,
        measured=measured,
        scale=scale,
        dry_g=settled.dry_g * scale,
        colours=tuple(msgspec.structs.replace(c, fibre_g=c.fibre_g * scale) for c in settled.colours),
    )


def self_contained(settled: Settled) -> Settled:
    """The same choices with no more of the shelf than they stand on, to be kept in a session file; those that are so
    already are the very same."""
    shelf = settled.shelf
    dyes = {stock.dye.name for colour in settled.colours for stock in colour.stocks}
    jars = {stock.dye.jar.dye for colour in settled.colours for stock in colour.stocks if stock.dye.jar}
    kept = msgspec.structs.replace(
        shelf,
        dyes=tuple(d for d in shelf.dyes if d.name in dyes | jars),
        jars=tuple(j for j in shelf.jars if j.name in dyes),
        acids=tuple(a for a in shelf.acids if settled.acid and a.name == settled.acid.name),
        thickeners=tuple(
            t for t in shelf.thickeners if settled.thickener and t.name == settled.thickener.name
        ),
        bases=() if settled.base is None else (settled.base,),
        kit=(),
        left_out=(),
        drawn={},
    )
    return settled if kept == shelf else msgspec.structs.replace(settled, shelf=kept)


DEFAULT_ROOM = Known(20.0, "estimate", "estimate of a room at 20 °C")


def settle(plan: Plan, shelf: Shelf) -> Settled:
    """Look everything up; PlanError where a name is unknown or two facts do not fit together."""
    base = materials.find_base(plan, shelf)
    pieces = plan.fibre.pieces or 1
    dry_g = _dry_g(plan, base) * pieces
    form: Form | Literal[""] = plan.fibre.form or (base.form if base else "")
    if not form:
        raise plan.wrong(
            ("fibre", "form"), "is missing and the base has none; write for example ", instead="blank"
        )
    kit = tuple(entry_called(shelf.kit, name) or name for name in plan.kit)
    facts = shelf.studio
    blend = materials.blend_of(plan, shelf, base)
    settled = Settled(
        plan=plan,
        shelf=shelf,
        base=base,
        blend=blend,
        form=form,
        dry_g=dry_g,
        pieces=pieces,
        colours=_colours(plan, shelf, base, blend, dry_g),
        acid=materials.find_acid_at_hand(plan, shelf),
        thickener=materials.find_thickener_at_hand(plan, shelf),
        kit=kit,
        scale_g=_scale(kit, shelf),
        alkalinity=_chosen(
            plan.water.alkalinity, facts.alkalinity_mg_l, 100.0, "a moderate tap water of 100 mg/L"
        ),
        water_ph=_chosen(plan.water.ph, facts.water_ph, 7.5, "tap water at pH 7.5"),
        altitude=_chosen(plan.water.altitude, facts.altitude_m, 0.0, "sea level"),
        hob_w=_hob(plan, kit, shelf),
        room=DEFAULT_ROOM
        if facts.room_c is None
        else Known(facts.room_c, "yours", "the shelf's studio facts"),
    )
    return msgspec.structs.replace(settled, colours=_in_jars(settled))


def _in_jars(settled: Settled) -> tuple[SettledColour, ...]:
    """The colours, each made of the jars that it has room for."""
    colours, least = settled.colours, []
    room_ml = settled.room_ml(settled.held.value)
    for colour in colours:
        depth, zone = colour.plan.depth, settled.zone_ml(colour, room_ml)
        wants = depth.value * colour.dyed_g if depth else 0.0
        least.append(wants / zone if zone > 0 else 0.0)
    stocks = in_shared_jars(settled.plan, [colour.stocks for colour in colours], least)
    return tuple(
        msgspec.structs.replace(colour, stocks=own) for colour, own in zip(colours, stocks, strict=True)
    )


def _chosen(written: Quantity | None, on_shelf: float | None, otherwise: float, what: str) -> Known:
    if written is not None:
        return Known(written.value, "plan", "the plan")
    if on_shelf is not None:
        return Known(on_shelf, "yours", "the shelf's studio facts")
    return Known(otherwise, "estimate", f"estimate: {what}, as nothing else is written")


def _hob(plan: Plan, kit: tuple[KitItem | str, ...], shelf: Shelf) -> Known:
    """The plan's hob, else that of the kit it uses, else the studio's."""
    powers = [item.power_w for item in kit if isinstance(item, KitItem) and item.power_w and not item.oven]
    if plan.hob is None and powers:
        return Known(max(powers), "yours", "the shelf's kit")
    return _chosen(plan.hob, shelf.studio.hob_w, 1000.0, "a hob ring of 1000 W")


def _dry_g(plan: Plan, base: ShelfBase | None) -> float:
    """Of one piece."""
    written, squeezed = plan.fibre.dry_weight, plan.fibre.squeezed_weight
    dry_g = written.value if written is not None else base.dry_weight_g if base is not None else None
    if dry_g is None:
        raise plan.wrong(
            ("fibre", DRY_WEIGHT.key),
            f'is missing and the base has none; write for example "{DRY_WEIGHT.example}".',
        )
    if squeezed is not None and squeezed.value < dry_g:
        raise plan.wrong(
            ("fibre", "squeezed_weight"),
            f"is less than the {num(dry_g)} g that the fibre weighs dry; write the weight of the wet, squeezed fibre.",
        )
    return dry_g


def _scale(kit: tuple[KitItem | str, ...], shelf: Shelf) -> Known:
    """The finest scale the plan uses, else the studio's, else an assumed 0.1 g."""
    used = [item.resolution_g for item in kit if isinstance(item, KitItem) and item.resolution_g]
    if used:
        return Known(min(used), "yours", "the shelf's scale")
    if shelf.studio.scale_resolution_g:
        return Known(shelf.studio.scale_resolution_g, "yours", "the shelf's studio facts")
    return Known(0.1, "estimate", "estimate: a scale that shows 0.1 g, as nothing else is written")


def _colours(
    plan: Plan, shelf: Shelf, base: ShelfBase | None, blend: tuple[FibreInBlend, ...], dry_g: float
) -> tuple[SettledColour, ...]:
    rows = _rows(plan, base)
    share_of = shares(plan.layout, rows, file=plan.file)
    found = []
    for colour in plan.colours:
        share, stocks = share_of.get(colour.name, 0.0), stocks_of(plan, shelf, colour)
        takes = _takes(blend, stocks)
        found.append(
            SettledColour(plan=colour, share=share, fibre_g=dry_g * share, takes=takes, stocks=stocks)
        )
    return tuple(found)


def _takes(blend: tuple[FibreInBlend, ...], stocks: tuple[StockPlan, ...]) -> float:
    """Share of a blend that takes the dye that takes on least of it; 1 where that is none."""
    kinds = {stock.dye.food for stock in stocks}
    answers = [[(f.row.takes_food if food else f.row.takes_acid, f.percent) for f in blend] for food in kinds]
    percent = min(sum(share for answer, share in each if answer != "no") for each in answers)
    return percent / 100.0 if percent > 0 else 1.0


def _rows(plan: Plan, base: ShelfBase | None) -> int | None:
    return plan.fibre.rows or (base.rows if base else None)


def rows_of(settled: Settled) -> int | None:
    """Rows of the blank, by the plan or its base; None where it has none."""
    return _rows(settled.plan, settled.base)


def of_piece(settled: Settled, key: Literal["stitches", "strands"]) -> int | None:
    """What the plan counts of one piece, else its base; None where neither does."""
    counted: int | None = getattr(settled.plan.fibre, key) or getattr(settled.base, key, None)
    return counted


def yarn_m_of(settled: Settled) -> float | None:
    """Yarn in one piece, by the plan or its base; None where neither says."""
    written = settled.plan.fibre.yarn_length
    return written.value if written else settled.base.yarn_length_m if settled.base else None


# A figure and the value it stands at: what was measured, else what is asked for.

BY_HAND = "as measured or done in this session"


def node(settled: Settled, asked: Figure) -> Figure:
    """The figure at its measured value, with what was asked for in its reason; as asked where nothing was measured."""
    value = settled.measured.get(asked.id)
    if value is None:
        return asked
    return msgspec.structs.replace(
        asked,
        value=value,
        because=f"{num(value)} {asked.unit}, {BY_HAND}; asked for: {asked.because}",
        origin="measured",
        source=BY_HAND,
        low=None,
        high=None,
    )
