"""The pH of the soak, or of a kettle's bath, with the acid that was really poured."""

from __future__ import annotations

from studio.craft.acid import Water
from studio.plan.facts import ProcedureFacts
from studio.plan.shapes import Figure
from studio.plan.soak import soak_with
from studio.quantity import show
from studio.session.live.bath import acid_in_bath
from studio.session.live.given import NOTHING, Thought, measured
from studio.session.state import State

SOURCE = "charge balance over the water's alkalinity and the acid's pK, with the acid and water as measured"


def _poured(state: State, facts: ProcedureFacts) -> tuple[float, float] | None:
    """Acid in its unit and water in mL that are in; None before the acid."""
    if facts.kettle is not None:
        acid = acid_in_bath(state, facts)
        water_ml = (measured(state, "bath.water") or facts.kettle.fill_ml) + facts.kettle.dye_ml
    else:
        acid, water_ml = (
            measured(state, "presoak.acid"),
            measured(state, "presoak.water") or facts.presoak_water_ml,
        )
    return None if acid is None or water_ml <= 0 else (acid, water_ml)


def ph_as_poured(state: State) -> float | None:
    """None before the acid is in, and where the plan's water or acid is not known or beyond what can be worked out."""
    facts = state.worksheet.facts
    poured = _poured(state, facts) if facts is not None else None
    if facts is None or facts.soak is None or poured is None:
        return None
    acid, water_ml = poured
    soak, mol_l = facts.soak, acid * facts.soak.mol_per_unit / (water_ml / 1000)
    try:
        water = Water(soak.alkalinity_meq_l, soak.water_ph)
        return soak_with(mol_l, soak.pkas, water, open_to_air=soak.open_to_air).ph
    except ValueError:
        return None


def think_ph(state: State) -> Thought:
    """The pH with what was poured, in the place of the planned one."""
    facts, ph = state.worksheet.facts, ph_as_poured(state)
    poured = _poured(state, facts) if facts is not None else None
    if facts is None or ph is None or poured is None:
        return NOTHING
    acid, water_ml = poured
    unit, what = ("mL" if facts.acid_state == "liquid" else "g"), ("soak" if facts.kettle is None else "bath")
    figure = Figure(
        id=f"live.{'presoak' if facts.kettle is None else 'kettle'}.ph",
        value=ph,
        unit="pH",
        label=f"pH of the {what}, as poured",
        because=f"{show(acid, unit)} of {facts.acid_name} in {show(water_ml, 'mL')}: pH {ph:.2f} of the water; wool "
        "binds acid too",
        origin="measured",
        source=SOURCE,
    )
    return Thought((figure,))
