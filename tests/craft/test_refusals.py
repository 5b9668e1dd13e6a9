"""Every value outside its range is refused in one sentence, nan and infinity among them."""

from __future__ import annotations

import math

import pytest

from studio.craft import acid, conduction, heat, liquor, packet, shade, steam
from studio.craft import liquor as fibre
from studio.craft import shade as weighing
from studio.craft.acid import AcidDose, Water
from studio.craft.steam import latent_heat_j_g
from studio.tables.rows import acids

ACETIC_PKAS = acids()["white vinegar"].pkas

WATER = Water(2.0, 7.5)
NAN, INF = math.nan, math.inf

REFUSED = {
    "negative fibre": lambda: shade.dye_g(-1, 1),
    "fibre nan": lambda: shade.dye_g(NAN, 1),
    "fibre infinite": lambda: shade.stock_ml(INF, 1, 1),
    "depth": lambda: shade.dye_g(100, 25),
    "stock of nothing": lambda: shade.stock_ml(100, 1, 0),
    "no liquid": lambda: shade.least_stock_percent(100, 1, 0),
    "upwards dilution": lambda: shade.dilution_ml(5, 56, 100),
    "recipe for nothing": lambda: shade.scaled_drops(10, 0, 100),
    "dropper": lambda: shade.drops_ml(10, 0),
    "depth on no fibre": lambda: shade.depth_percent(1, 0),
    "empty blend": lambda: fibre.dyeable_percent({}, {}),
    "blend of 90": lambda: fibre.dyeable_percent({"wool": 90}, {"wool": "yes"}),
    "blend of 110": lambda: fibre.dyeable_percent({"wool": 60, "silk": 50}, {"wool": "yes", "silk": "yes"}),
    "negative share": lambda: fibre.dyeable_percent(
        {"wool": 120, "silk": -20}, {"wool": "yes", "silk": "yes"}
    ),
    "unknown fibre": lambda: fibre.dyeable_percent({"wool": 100}, {}),
    "unknown answer": lambda: fibre.dyeable_percent({"wool": 100}, {"wool": "perhaps"}),
    "scale of nothing": lambda: weighing.weighing_doubt(0),
    "round stock of nothing": lambda: weighing.round_stock_ml(0.1, 0, 10),
    "wet lighter than dry": lambda: liquor.held_percent(90, 100),
    "zone larger than piece": lambda: liquor.share_ml(100, 120, 100),
    "liquor ratio": lambda: liquor.bath_ml(100, 0),
    "alkalinity": lambda: Water(-1.0),
    "tap at pH 3": lambda: Water(2.0, 3.0),
    "too much acid": lambda: acid.ph([AcidDose(ACETIC_PKAS, 5.0)], WATER),
    "acid without pKa": lambda: acid.ph([AcidDose((), 0.1)], WATER),
    "pKa falling": lambda: acid.ph([AcidDose((6.4, 3.1), 0.1)], WATER),
    "pH out of reach": lambda: acid.dose_for_ph(1.5, AcidDose(ACETIC_PKAS, 0.0), WATER),
    "pH nan": lambda: acid.dose_for_ph(NAN, AcidDose(ACETIC_PKAS, 0.0), WATER),
    "no molar mass": lambda: acid.liquid_acid_mol(10, 5, 0),
    "purity": lambda: acid.powder_acid_mol(10, 120, 192),
    "higher than the sky": lambda: steam.pressure_pa(20_000),
    "vacuum": lambda: steam.boiling_point_c(0),
    "cold steam": lambda: latent_heat_j_g(20),
    "efficiency": lambda: steam.boil_off_ml_min(1000, 100, 1.5),
    "shape": lambda: steam.heat_through("ball", 0.05),
    "shape of a long name": lambda: steam.heat_through("b\n" * 5000, 0.05),
    "thickness": lambda: steam.heat_through("roll", 0),
    "steam cooler than the target": lambda: steam.heat_through("roll", 0.05, steam_c=84),
    "Fourier number": lambda: conduction.centre_theta_cylinder(-0.1),
    "hold": lambda: steam.hold_min(NAN, 20),
    "never that cold": lambda: heat.newton_minutes(90, 20, 0.1, 20),
    "readings out of order": lambda: heat.minutes_at_or_above([(10, 90), (0, 90)], 85),
    "packet of nothing": lambda: packet.centre_cool_min(packet.HotBody("roll", 0, 3e6), 98, 20, 40),
    "packet in a hot room": lambda: packet.centre_cool_min(packet.HotBody("roll", 0.05, 3e6), 98, 41, 40),
    "packet of another shape": lambda: packet.centre_cool_min(packet.HotBody("ball", 0.05, 3e6), 98, 20, 40),
}


@pytest.mark.parametrize("call", REFUSED.values(), ids=REFUSED.keys())
def test_refused_in_one_sentence(call):
    with pytest.raises(ValueError) as refusal:
        call()
    sentence = str(refusal.value)
    assert sentence[0].isupper() and sentence.endswith("."), sentence
    assert "\n" not in sentence and len(sentence) < 200, sentence
