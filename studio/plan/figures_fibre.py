"""How much of the blend takes the plan's dyes."""

from __future__ import annotations

from typing import Literal

import msgspec

from studio.craft import fibre as craft
from studio.plan.figure_text import fig, num
from studio.plan.figures_pieces import pieces_figures
from studio.plan.nodes import node
from studio.plan.settled import Settled
from studio.plan.shapes import Figure

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
    blend = {f.row.name: f.percent for f in settled.blend}
    by_kind = {kind: craft.dyeable_percent(blend, takes(settled, kind)) for kind in kinds}
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
                "of the blend takes the dye",
                f"fibres that take {dye}: {terms} = {num(by_kind[kind])} %{tail}",
                "published",
                "; ".join(dict.fromkeys(f.row.source for f in settled.blend)),
            ),
        ),
    )
