"""The fibre: how much of the blend takes the plan's dyes, how many pieces there are, the room the squeezed fibre has
for liquid, and the acid it takes up.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Literal

import msgspec

from studio.craft import liquor
from studio.craft.ions import WOOL_SITES_MOL_G, BindingFibre
from studio.plan.settled import Settled, SettledColour, node
from studio.plan.shapes import Figure, Known, Origin, fig, num, weakest
from studio.tables.rows import Family

# Several pieces alike in one session: how many, and what each gets.


def pieces_figures(settled: Settled) -> tuple[Figure, ...]:
    """fibre.pieces; nothing for a single piece."""
    if settled.pieces == 1:
        return ()
    because = (
        f"{settled.pieces} x {num(settled.piece_g)} g = {num(settled.dry_g)} g; presoak and jars are for all"
    )
    return (fig("fibre.pieces", settled.pieces, "1", "pieces alike", because, "plan", "the plan"),)


def each_figure(
    settled: Settled, slug: str, name: str, applied_ml: float, origin: Origin
) -> tuple[Figure, ...]:
    """paint.<colour>.each: what goes onto one piece; nothing for a single piece."""
    if settled.pieces == 1 or applied_ml <= 0:
        return ()
    each_ml = applied_ml / settled.pieces
    because = (
        f"{num(applied_ml)} mL onto the fibre / {settled.pieces} pieces = {num(each_ml)} mL; the reserve stays "
        "in the jar"
    )
    return (fig(f"paint.{slug}.each", each_ml, "mL", f"{name} onto each piece", because, origin),)


# How much of the blend takes the plan's dyes.

Kind = Literal["acid", "food"]
KINDS: tuple[Kind, ...] = ("acid", "food")


class FibreWork(msgspec.Struct, frozen=True, kw_only=True):
    dyeable_percent: float
    """Of the blend, for the dye of the plan that takes on least of it."""
    kinds: tuple[Kind, ...]
    """The kinds of dye the plan uses."""
    taken: tuple[str, ...]
    """Fibres of the blend that take that dye."""
    figures: tuple[Figure, ...]


def takes(settled: Settled, kind: Kind) -> dict[str, str]:
    """Fibre name to `yes`, `weak` or `no` for a kind of dye."""
    return {f.row.name: f.row.takes_food if kind == "food" else f.row.takes_acid for f in settled.blend}


def _what(settled: Settled) -> str:
    if settled.form not in ("blank", "skein"):
        return "dry fibre"
    return (
        f"dry fibre, {settled.pieces} {settled.form}s"
        if settled.pieces > 1
        else f"dry fibre, a {settled.form}"
    )


def work_fibre(settled: Settled) -> FibreWork:
    """fibre.weight and fibre.dyeable."""
    kinds = tuple(k for k in KINDS if any(d.food == (k == "food") for d in settled.dyes))
    blend = defaultdict[str, float](float)
    for fibre in settled.blend:  # a foreign file may name two of them alike
        blend[fibre.row.name] += fibre.percent
    by_kind = {kind: liquor.dyeable_percent(blend, takes(settled, kind)) for kind in kinds}
    kind = min(by_kind, key=lambda k: by_kind[k])
    taken = [f for f in settled.blend if takes(settled, kind)[f.row.name] != "no"]
    terms = " + ".join(f"{f.row.name} {num(f.percent)} %" for f in taken) or "no fibre of the blend"
    weak = [f.row.name for f in taken if takes(settled, kind)[f.row.name] == "weak"]
    tail = f"; {', '.join(weak)} only weakly" if weak else ""
    dye = "food colour" if kind == "food" else "acid dye"
    return FibreWork(
        dyeable_percent=by_kind[kind],
        kinds=kinds,
        taken=tuple(f.row.name for f in taken),
        figures=(
            node(
                settled,
                fig(
                    "fibre.weight",
                    settled.dry_g,
                    "g",
                    _what(settled),
                    f"{settled.pieces} x {num(settled.piece_g)} g, air-dry, as the trade weighs"
                    if settled.pieces > 1
                    else "air-dry, as the trade weighs",
                    "plan" if settled.plan.fibre.dry_weight is not None else "yours",
                    "the plan" if settled.plan.fibre.dry_weight is not None else "the base on the shelf",
                ),
            ),
            *pieces_figures(settled),
            fig(
                "fibre.dyeable",
                by_kind[kind],
                "%",
                "fibre that takes the dye",
                f"fibres that take {dye}: {terms} = {num(by_kind[kind])} %{tail}",
                "published",
                "; ".join(dict.fromkeys(f.row.source for f in settled.blend)),
            ),
        ),
    )


# How wet the squeezed fibre is, and the room that leaves for dye liquid.


class RoomWork(msgspec.Struct, frozen=True, kw_only=True):
    squeezed_g: float
    held_percent: float
    target_percent: float
    capacity_ml: float
    """0 where the squeezed fibre already holds its target."""
    figures: tuple[Figure, ...]

    @property
    def origin(self) -> Origin:
        """Of the capacity."""
        return self.figures[-1].origin


def work_room(settled: Settled) -> RoomWork:
    """paint.squeezed, paint.held and paint.capacity; ValueError where it weighs less wet than dry."""
    dry, aimed, holds = settled.dry_g, settled.target, settled.held
    squeezed = node(settled, _squeezed(settled, holds))
    held = liquor.held_percent(squeezed.value, dry)
    capacity = settled.room_ml(held)
    figures = (
        squeezed,
        fig(
            "paint.held",
            held,
            "%",
            "water held after squeezing",
            f"({num(squeezed.value)} g wet - {num(dry)} g dry) / {num(dry)} g x 100 = {num(held)} %",
            holds.origin,
            holds.source,
        ),
        fig(
            "paint.capacity",
            capacity,
            "mL",
            "room left for dye",
            f"{num(dry)} g x ({num(aimed.value)} % - {num(held)} % held) / 100 = {num(capacity)} mL",
            weakest(holds.origin, aimed.origin),
            f"wet pick-up as in Broadbent 2001, p. 193; target: {aimed.source}",
        ),
    )
    return RoomWork(
        squeezed_g=squeezed.value,
        held_percent=held,
        target_percent=aimed.value,
        capacity_ml=capacity,
        figures=figures,
    )


def _squeezed(settled: Settled, holds: Known) -> Figure:
    written, dry = settled.plan.fibre.squeezed_weight, settled.dry_g
    if written is not None:
        value = written.value * settled.pieces * settled.scale
        because = f"{written.typed} as written" + ("" if settled.pieces == 1 else f" x {settled.pieces}")
        if settled.scale != 1:
            because += f", for {num(dry)} g of dry fibre = {num(value)} g"
    else:
        value = dry * (1 + holds.value / 100.0)
        because = f"{num(dry)} g x (100 % + {num(holds.value)} % of water) = {num(value)} g"
    return fig("paint.squeezed", value, "g", "squeezed fibre weighs", because, holds.origin, holds.source)


# Acid that fibre and dye take out of a bath or a paint.

SITES_MMOL_G: dict[Family, float] = {
    "wool": WOOL_SITES_MOL_G * 1000.0, "hair": WOOL_SITES_MOL_G * 1000.0, "silk": 0.13, "polyamide": 0.04,
}  # fmt: skip
"""Acid that a fibre can bind, see `FIBRE_SOURCES`."""
FIBRE_SOURCES: dict[Family, str] = {
    "wool": "wool binds at most 0.82 mmol/g (Steinhardt & Harris, J. Res. Natl. Bur. Stand. 24 (1940) 335, RP1286, "
    "abstract)",
    "hair": "hair taken as wool, estimate",
    "silk": "silk at most 0.13 mmol/g (Gleysteen & Harris, J. Res. Natl. Bur. Stand. 26 (1941), abstract; volume and "
    "year from memory)",
    "polyamide": "nylon 0.04 mmol/g, the amine ends of nylon 6.6 (from memory)",
}
DONNAN = (
    "nothing appreciable above pH 5 without salt (Steinhardt & Harris 1940, abstract), half of it at pH 2.3 (Sen-i "
    "Gakkaishi 15(4), 292, abstract), or at 2.0 (4.15 to 4.35 inside the fibre: R. H. Peters & J. B. Speakman, J. "
    "Soc. Dyers Colour. 65 (1949), abstract); Gibbs-Donnan through these, an estimate never tested against a table"
)
DYE_MEQ_G = 3.0
"""Acid that goes onto the fibre with a gram of dye of unknown formula: of those that are known 1.2 to 5.6. Estimate."""
METAL_COMPLEX_MEQ_G = 1.5
"""The same of a 1:2 metal complex: 1 to 2. From memory."""


def binding(settled: Settled, g_l: float) -> BindingFibre | None:
    """What of so much of the plan's fibre to a litre of liquid binds acid; None where nothing of it does."""
    sites = [(f.percent / 100.0, SITES_MMOL_G.get(f.row.family, 0.0)) for f in settled.blend]
    share = sum(part for part, mmol in sites if mmol)
    if not share:
        return None
    return BindingFibre(g_l * share, sum(part * mmol for part, mmol in sites) / share / 1000.0)


def taken_mmol_g(colour: SettledColour) -> float:
    """Acid that goes onto the fibre with a gram of a colour's dye: one for each charge of an ion, dye of full strength.

    1000 x charge / molar mass, by the share of each dye; an estimate where its formula is not known.
    """
    found = 0.0
    for stock in colour.stocks:
        row, complexed = stock.dye.row, stock.dye.dye_class.id == "1:2 premetallised"
        each = METAL_COMPLEX_MEQ_G if complexed else DYE_MEQ_G
        if row is not None and row.charge is not None and row.molar_mass_g is not None:
            each = 1000.0 * row.charge / row.molar_mass_g
        found += stock.share * each
    return found


def uptake_source(settled: Settled) -> str:
    """Of what the plan's fibres bind."""
    there = {f.row.family for f in settled.blend}
    told = [FIBRE_SOURCES[family] for family in FIBRE_SOURCES if family in there]
    if there & {"silk", "polyamide"}:
        told.append("how firmly these hold it: taken as wool, estimate")
    return "; ".join((*told, DONNAN))
