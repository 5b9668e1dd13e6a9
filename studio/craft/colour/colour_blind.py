"""How a colour may look to a person whose eyes lack one kind of cone."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, get_args

from studio.craft.colour.observer import Triple
from studio.craft.colour.screen_colour import hex_of_lab, screen_colour

Kind = Literal["red-blind", "green-blind", "blue-blind"]
"""Protanopia, deuteranopia, tritanopia."""
KINDS: tuple[Kind, ...] = get_args(Kind)
Model = Literal["brettel", "vienot", "machado"]

SOURCES: dict[Model, str] = {
    "vienot": "F. Viénot, H. Brettel and J. D. Mollon, Color Research and Application 24(4), 1999, 243-252",
    "brettel": "H. Brettel, F. Viénot and J. D. Mollon, J. Opt. Soc. Am. A 14(10), 1997, 2647-2655",
    "machado": "G. M. Machado, M. M. Oliveira and L. A. F. Fernandes, IEEE Trans. Vis. Comput. Graph. 15(6), "
    "2009, 1291-1298",
}
"""Citations from memory; the matrices are the library coloraide's."""
_FILTERS: dict[Kind, tuple[str, Model]] = {
    "red-blind": ("protan", "vienot"),
    "green-blind": ("deutan", "vienot"),
    "blue-blind": ("tritan", "brettel"),
}


def as_seen(lab: Sequence[float], kind: Kind, model: Model | None = None) -> Triple:
    """A colour as a person with one kind of cone missing may see it.

    `lab`: CIELAB (D65); taken to the nearest screen colour first, since the models are for screens.
    `kind`: `red-blind`, `green-blind` or `blue-blind`. `model`: one of `SOURCES`; None for `model_for`.
    Returns CIELAB (D65).
    Refused (ValueError): another kind or model, numbers that are no Lab colour.

    >>> grey = as_seen((53.585, 0, 0), "red-blind")
    >>> round(grey[0], 1)
    53.6

    **Source:** `SOURCES`, by the library coloraide.
    Breaks for the many whose eyes only lean that way: this is the whole lack, the worst case.
    """
    name, usual = _filter_for(kind)
    if model is not None and model not in SOURCES:
        raise ValueError(f"A model of colour blindness is {', '.join(SOURCES)}; not {str(model)[:20]!r}.")
    seen = screen_colour(hex_of_lab(lab)).filter(name, method=model or usual)
    seen = seen.convert("srgb").clip("srgb").convert("lab-d65")
    lightness, a, b = seen.coords(nans=False)
    return float(lightness), float(a), float(b)


def _filter_for(kind: Kind) -> tuple[str, Model]:
    if kind not in _FILTERS:
        raise ValueError(f"A kind of colour blindness is {', '.join(KINDS)}; not {str(kind)[:20]!r}.")
    return _FILTERS[kind]
