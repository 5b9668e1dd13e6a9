"""What a blend takes of a dye, and how much of its weight is moisture."""

from __future__ import annotations

import math
from collections.abc import Mapping

from studio.craft.limits import within

BLEND_SLACK_PERCENT = 0.5
"""%; a blend may miss 100 by this much, because labels are rounded to whole per cent (house rule)."""


def _checked_blend(blend: Mapping[str, float]) -> None:
    if not blend:
        raise ValueError("The blend names no fibre; give each fibre its share in per cent.")
    for name, share in blend.items():
        within(f"share of {name}", share, 0, 100, "%")
    total = math.fsum(blend.values())
    if abs(total - 100.0) > BLEND_SLACK_PERCENT:
        raise ValueError(f"The shares of the blend add up to {total:g} %, they must add up to 100 %.")


def _share_taking(blend: Mapping[str, float], takes: Mapping[str, str], words: tuple[str, ...]) -> float:
    _checked_blend(blend)
    for name in blend:
        if takes.get(name) not in ("yes", "weak", "no"):
            raise ValueError(f"It is not known whether {name} takes this dye; say yes, weak or no.")
    return min(100.0, math.fsum(share for name, share in blend.items() if takes[name] in words))


def dyeable_percent(blend: Mapping[str, float], takes: Mapping[str, str]) -> float:
    """Share of a blend that takes this class of dye, well or weakly.

    dyeable = sum of the shares whose fibre answers `yes` or `weak`; the rest stays undyed.

    `blend`: fibre name to share, % of the weight, 0 to 100, together 100 +-0.5.
    `takes`: fibre name to `yes`, `weak` or `no` for the dye class in question.
    Returns % of the weight, 0 to 100.
    Refused (ValueError): no fibre, a share outside 0 to 100, a total that is not 100, a fibre `takes` lacks.

    >>> dyeable_percent({"wool": 75, "polyester": 25}, {"wool": "yes", "polyester": "no"})
    75.0

    **Source:** arithmetic on the label; which fibre takes which dye is A. D. Broadbent, Basic Principles of
    Textile Coloration, Society of Dyers and Colourists 2001, fig. 1.9, and the fibre table.
    Breaks where two fibres take the dye unequally (nylon against wool): the share is of fibre, not of colour.
    """
    return _share_taking(blend, takes, ("yes", "weak"))
