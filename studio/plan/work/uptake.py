"""Acid that fibre and dye take out of a bath or a paint."""

from __future__ import annotations

from studio.craft.donnan import WOOL_SITES_MOL_G, BindingFibre
from studio.plan.settled import Settled, SettledColour
from studio.tables.rows import Family

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
