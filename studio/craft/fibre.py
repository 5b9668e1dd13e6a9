"""What a blend takes of a dye, and how much of its weight is moisture."""

from __future__ import annotations

import math
from collections.abc import Mapping

from studio.craft.limits import MOST_FIBRE_G, within

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


def weakly_dyeable_percent(blend: Mapping[str, float], takes: Mapping[str, str]) -> float:
    """Share of a blend that takes the dye only weakly, and so comes out paler than the rest.

    weak = sum of the shares whose fibre answers `weak`.

    Parameters and refusals as for `dyeable_percent`. Returns % of the weight, 0 to 100.

    >>> weakly_dyeable_percent({"wool": 75, "nylon": 25}, {"wool": "yes", "nylon": "weak"})
    25.0

    **Source:** arithmetic on the label.
    Breaks where `weak` depends on the depth: a pale shade may still look even.
    """
    return _share_taking(blend, takes, ("weak",))


def regain_percent_from_content(content_percent: float) -> float:
    """Moisture regain (water on bone-dry fibre) from moisture content (water on the moist weight).

    regain = 100 content / (100 - content)

    `content_percent`: g water per 100 g moist fibre, 0 to 90 %.
    Returns g water per 100 g bone-dry fibre.
    Refused (ValueError): outside that range.

    >>> regain_percent_from_content(12.0)
    13.636

    **Source:** definition in ASTM D2118, which gives 12.0 % content for scoured wool (regain 13.6) and
    13.04 % for dry-spun worsted yarn (regain 15.0).
    Breaks if the content was taken from fibre that also held oil or size: scour before weighing.
    """
    within("moisture content", content_percent, 0, 90, "%")
    return 100.0 * content_percent / (100.0 - content_percent)


def bone_dry_g(conditioned_g: float, regain_percent: float) -> float:
    """Bone-dry weight of fibre that was weighed air-dry.

    bone dry = conditioned / (1 + regain / 100)

    `conditioned_g`: g as weighed, 0 to 100 000. `regain_percent`: water on bone-dry fibre, 0 to 900 %.
    Returns g.
    Refused (ValueError): outside those ranges.

    >>> bone_dry_g(113.6, 13.6)
    100.0

    **Source:** definition of regain, Broadbent 2001, p. 22, table 2.1 (wool 13 to 15 % at 20 C and 65 % RH).
    Breaks when the room is damp or dry: regain follows the humidity, so weigh always in the same place.
    """
    within("weight of fibre", conditioned_g, 0, MOST_FIBRE_G, "g")
    within("regain", regain_percent, 0, 900, "%")
    return conditioned_g / (1.0 + regain_percent / 100.0)


def blend_regain_percent(blend: Mapping[str, float], regains: Mapping[str, float]) -> float:
    """Regain of a blend from the regains of its fibres.

    regain = 100 (1 / sum(w / (1 + r)) - 1), w and r as fractions: the shares w are of conditioned weight.

    `blend`: as in `dyeable_percent`. `regains`: fibre name to regain, 0 to 900 %.
    Returns g water per 100 g bone-dry fibre.
    Refused (ValueError): a bad blend, a fibre without a regain.

    >>> blend_regain_percent({"wool": 75, "nylon": 25}, {"wool": 13.6, "nylon": 4.5})
    11.18

    **Source:** arithmetic; regains as agreed in ASTM D1909 (wool 13.6, nylon 4.5, the latter from memory).
    Breaks as `bone_dry_g` does.
    """
    _checked_blend(blend)
    missing = [name for name in blend if name not in regains]
    if missing:
        raise ValueError(f"No regain is known for {missing[0]}; give it in per cent.")
    total = math.fsum(blend.values())
    dry_g = math.fsum(bone_dry_g(share, regains[name]) for name, share in blend.items())
    return 100.0 * (total / dry_g - 1.0)
