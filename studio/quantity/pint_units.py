"""Factors between units, asked of pint; the registry is built at first use and cached on disk."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pint

CACO3_EQUIVALENT_MG = 50.043
"""mg of CaCO3 that neutralise one milliequivalent of acid: half of 100.087 g/mol.

**Source:** IUPAC standard atomic weights (Ca 40.078, C 12.011, O 15.999)."""
GERMAN_DEGREE_MG_L = 17.848
"""mg/L as CaCO3 in one German degree, 10 mg/L of CaO: 10 x 100.087 / 56.077. **Source:** the definition."""
CLARK_DEGREE_MG_L = 14.2538
"""mg/L as CaCO3 in one Clark (English) degree, a grain in an imperial gallon: 64.79891 mg / 4.54609 L.

**Source:** Weights and Measures Act 1985 (UK), schedule 1, for the gallon and the grain (1/7000 lb)."""

_OURS = (
    "metric_cup = 250 * milliliter",
    "kitchen_dash = teaspoon / 8",  # common practice: the measuring spoon sold under that name
    "permille_wv = 0.1 * percent",  # g/L as g/100 mL
    f"meq_per_litre = {CACO3_EQUIVALENT_MG} * mg / L",
    f"german_degree = {GERMAN_DEGREE_MG_L} * mg / L",
    "grain_per_gallon = grain / gallon",
    "french_degree = 10 * mg / L",  # 10 mg/L of CaCO3 by its definition, from memory
    f"clark_degree = {CLARK_DEGREE_MG_L} * mg / L",
)
EVERYDAY = {
    ("L", "mL"): 1000.0,
    ("dL", "mL"): 100.0,
    ("cL", "mL"): 10.0,
    ("kg", "g"): 1000.0,
    ("mg", "g"): 0.001,
    ("m", "cm"): 100.0,
    ("mm", "cm"): 0.1,
    ("cm", "m"): 0.01,
    ("mm", "m"): 0.001,
    ("km", "m"): 1000.0,
    ("kW", "W"): 1000.0,
    ("hour", "min"): 60.0,
    ("inch", "cm"): 2.54,
    ("inch", "m"): 0.0254,
    ("foot", "m"): 0.3048,
    ("yard", "m"): 0.9144,
    ("ounce", "g"): 28.349523125,
    ("pound", "g"): 453.59237,
    ("cup", "mL"): 236.5882365,
}
"""Exact by definition: the everyday units of a studio, so that it starts without loading pint; a test holds
each against pint. **Source:** SI Brochure, 9th ed., tables 7 and 8; the rest NIST Special Publication 811."""
EXACT_DIGITS = 14
"""Digits kept of a factor: one more than the longest exact US unit needs, two fewer than float noise."""


@cache
def registry() -> pint.UnitRegistry[Any]:
    """pint's registry with our few units added.

    The cache on disk halves the start; where it cannot be written or read, pint works without it.
    """
    import pint
    import platformdirs

    try:
        folder = platformdirs.user_cache_path("potside", appauthor=False) / "units"
        built: pint.UnitRegistry[Any] = pint.UnitRegistry(cache_folder=folder)
    except Exception:  # a read-only home, or a cache file cut short (any unpickling error)
        built = pint.UnitRegistry()
    for line in _OURS:
        built.define(line)
    return built


@cache
def factor(unit: str, base: str) -> float:
    """How many `base` units one `unit` is; 1 without asking pint where they are the same.

    >>> factor("cup", "mL")
    236.5882365

    **Source:** pint's definitions, which carry the exact values of NIST Special Publication 811.
    """
    if unit == base:
        return 1.0
    if (unit, base) in EVERYDAY:
        return EVERYDAY[unit, base]
    found = registry().Quantity(1, unit).to("percent" if base == "%" else base).magnitude
    return float(f"{float(found):.{EXACT_DIGITS}g}")


def to_celsius(value: float, unit: str) -> float:
    """Temperature in degC from degC, degF or kelvin, rounded to 1e-10 so that 212 F is 100 C.

    >>> to_celsius(212.0, "degF")
    100.0
    """
    if unit == "degC":
        return value
    return round(float(registry().Quantity(value, unit).to("degC").magnitude), 10)
