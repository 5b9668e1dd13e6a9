"""Cautions about the blend: what stays white, what takes weakly, what takes faster."""

from __future__ import annotations

from collections.abc import Iterator

from studio.plaintext import slug
from studio.plan.figure_text import brief
from studio.plan.figures_fibre import takes
from studio.plan.materials import FibreInBlend
from studio.plan.settled import Settled
from studio.plan.shapes import Caution
from studio.plan.worked import Worked

MUCH_PERCENT = 5.0
"""More undyed fibre than this is asked about; less is noted. House rule."""
BROADBENT = (
    "A. D. Broadbent, Basic Principles of Textile Coloration, Society of Dyers and Colourists 2001, fig. 1.9"
)
OTHER_DYE = {
    "cellulose": "reactive or direct dye",
    "polyester": "disperse dye with its own heat",
    "acrylic": "basic or disperse dye",
}


def fibre_cautions(worked: Worked) -> Iterator[Caution]:
    """fibre.nothing-takes, fibre.undyed, fibre.white.*, fibre.weak.*, fibre.superwash."""
    settled = worked.settled
    if worked.fibre.dyeable_percent <= 0:
        yield Caution(
            id="fibre.nothing-takes",
            level="stop",
            text="No fibre of this blend takes these dyes: choose wool, another hair, silk or nylon, or "
            "another kind of "
            "dye.",
            source=f"table of fibres; {BROADBENT}",
            where="fibre.blend",
        )
    else:
        yield from _undyed(worked)
    yield from _white(worked)
    for kind in worked.fibre.kinds:
        weak = [f.row.name for f in settled.blend if takes(settled, kind)[f.row.name] == "weak"]
        if weak:
            yield Caution(
                id=f"fibre.weak.{kind}",
                level="note",
                text=f"{_list(weak)} takes {'food colour' if kind == 'food' else 'acid dye'} weakly or "
                "unevenly: "
                "expect a heathered, paler shade there.",
                source=_sources(f for f in settled.blend if f.row.name in weak),
                stage="paint",
                where="fibre.blend",
            )
    if any("superwash" in f.row.name for f in settled.blend):
        how = worked.method.put_on.superwash
        yield Caution(
            id="fibre.superwash",
            level="note",
            text="Superwash wool takes dye faster and deeper than plain wool, and long boiling harms it "
            f"more: {how}.",
            source="Cookson, Hine & McPhee, J. Soc. Dyers Colour. 1964 (abstract); chlorinated wool has "
            "more affinity: "
            "Dictionary of English textile terms",
            stage="paint",
            where="fibre.blend",
        )


def _undyed(worked: Worked) -> Iterator[Caution]:
    white = 100.0 - worked.fibre.dyeable_percent
    if white <= 0.05:
        return
    settled = worked.settled
    names = _untaken(settled, worked)
    yield Caution(
        id="fibre.undyed",
        level="warn" if white > MUCH_PERCENT else "note",
        text=f"{brief(white)} % of the blend stays undyed ({_list(names)}): the yarn comes out heathered and "
        "paler than "
        "the depth says.",
        source=f"table of fibres; level from {MUCH_PERCENT:g} % is a house rule",
        stage="paint",
        where="fibre.blend",
    )


def _untaken(settled: Settled, worked: Worked) -> list[str]:
    """Fibres that at least one kind of the plan's dyes leaves white."""
    return [
        f.row.name
        for f in settled.blend
        if any(takes(settled, k)[f.row.name] == "no" for k in worked.fibre.kinds)
    ]


def _white(worked: Worked) -> Iterator[Caution]:
    for part in worked.settled.blend:
        other = OTHER_DYE.get(part.row.family)
        if other is None:
            continue
        yield Caution(
            id=f"fibre.white.{slug(part.row.name)}",
            level="note",
            text=f"{part.row.name.capitalize()} will stay white, or near it: it needs {other}, which this "
            "session does "
            "not use.",
            source=f"{part.row.source}; {BROADBENT}",
            stage="paint",
            where="fibre.blend",
        )


def _sources(parts: Iterator[FibreInBlend]) -> str:
    return "; ".join(dict.fromkeys(part.row.source for part in parts))


def _list(names: list[str]) -> str:
    return " and ".join([", ".join(names[:-1]), names[-1]] if len(names) > 1 else names)
