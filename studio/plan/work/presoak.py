"""The soak's water with its acid, closed or open to the air."""

from __future__ import annotations

import msgspec

from studio.craft import acid as craft
from studio.craft import liquor
from studio.craft.acid import AcidDose, Water
from studio.plan.errors import refuse
from studio.plan.materials import AcidAtHand, class_range
from studio.plan.practices import Spread, dose_chosen, mol_per_unit, published_spread
from studio.plan.settled import Settled, node
from studio.plan.shapes import PRACTICE, Figure, Origin, as_written, fig, num, where_it_lies


class Soak(msgspec.Struct, frozen=True, kw_only=True):
    """pH of a soak, and whether its carbon dioxide has left."""

    ph: float
    mol_l: float
    """Acid in it."""
    open: bool


def water_of(settled: Settled) -> Water:
    """The plan's water."""
    return Water(craft.alkalinity_meq_l(settled.alkalinity.value), settled.water_ph.value)


def soak_with(mol_l: float, pkas: tuple[float, ...], water: Water, *, open_to_air: bool) -> Soak:
    """The soak with so much acid.

    Carbon dioxide leaves only where the acid covers the alkalinity; short of that the soak counts as closed.
    ValueError where the acid is beyond what the model takes.
    """
    doses = (AcidDose(pkas, mol_l),) if mol_l > 0 else ()
    if open_to_air:
        try:
            return Soak(ph=craft.ph(doses, water, open_to_air=True), mol_l=mol_l, open=True)
        except ValueError:
            pass
    return Soak(ph=craft.ph(doses, water), mol_l=mol_l, open=False)


def soak_at(target_ph: float, pkas: tuple[float, ...], water: Water, *, open_to_air: bool) -> Soak:
    """The soak brought to a pH; ValueError where the acid cannot bring this water there."""
    if open_to_air:
        try:
            mol_l = craft.dose_for_ph(target_ph, pkas, water, open_to_air=True)
            return Soak(ph=target_ph, mol_l=mol_l, open=True)
        except ValueError:
            pass
    return Soak(ph=target_ph, mol_l=craft.dose_for_ph(target_ph, pkas, water), open=False)


# The presoak: water, acid for a pH or pH for an acid, the published spread, what wool itself can bind.

DEFAULT_RATIO = 20.0
DEFAULT_PH = 4.0
DEFAULT_MIN = 30.0
DEFAULT_C = 40.0
MOST_MOL_L = 1.0
"""More than vinegar itself holds. House rule."""
CARBONATE = (
    "charge balance over the water's alkalinity (carbonate pK 6.352 and 10.329, Martell & Smith, from "
    "memory) "
    "and the acid's pK"
)
RP1286 = (
    "Steinhardt & Harris, J. Res. Natl. Bur. Stand. 24 (1940) 335, RP1286, abstract: at most 0.82 mmol/g, "
    "an upper bound"
)
WEIL = "supplier's instruction for wetting out wool (George Weil, undated): 30 min at 40 C"


class PresoakWork(msgspec.Struct, frozen=True, kw_only=True):
    water_ml: float
    acid_amount: float
    """mL or g; 0 without acid."""
    ph: float
    minutes: float
    temperature_c: float
    spread: Spread | None
    """Lowest and highest published dose for this weight, in the acid's unit."""
    figures: tuple[Figure, ...]


def work_presoak(settled: Settled) -> PresoakWork:
    """presoak.water, .acid, .acid.spread, .ph, .bound, .time, .temperature."""
    plan = settled.plan.presoak
    ratio = plan.liquor_ratio or DEFAULT_RATIO
    asked_ml = liquor.bath_ml(settled.dry_g, ratio)
    water = water_of(settled)
    figures = [
        node(
            settled,
            fig(
                "presoak.water",
                asked_ml,
                "mL",
                "water for the presoak",
                f"{num(settled.dry_g)} g x liquor ratio {num(ratio)} = {num(asked_ml)} mL",
                "plan" if plan.liquor_ratio else "common practice",
                "" if plan.liquor_ratio else "common practice: liquor ratio 20",
            ),
        )
    ]
    water_ml = figures[0].value
    amount, spread = 0.0, None
    if settled.acid is None or settled.plan.sour.table != "presoak":
        # Wetted out in plain water; the acid goes in later.
        soak = soak_with(0.0, (), water, open_to_air=settled.plan.water.open)
    else:
        amount, soak, figure = acid_figure(settled, settled.acid, water, water_ml)
        spread = published_spread(settled.acid, settled.dry_g)
        figures.extend((figure, *beside_acid(settled, settled.acid, spread, amount)))
    ph = soak.ph
    if settled.plan.sour.table == "presoak":
        figures.append(ph_figure(settled, soak, amount, water_ml, water.alkalinity_meq_l))
        ph = figures[-1].value
    time, temperature = _soak(settled)
    figures.extend((time, temperature))
    return PresoakWork(
        water_ml=water_ml,
        acid_amount=amount,
        ph=ph,
        minutes=time.value,
        temperature_c=temperature.value,
        spread=spread,
        figures=tuple(figures),
    )


def soaked_c(settled: Settled) -> float:
    """How warm the soak is."""
    written = settled.plan.presoak.temperature
    return written.value if written else DEFAULT_C


def _target(settled: Settled) -> tuple[float, Origin, str]:
    """The pH aimed at: the plan's, or 4.0 moved into what the dye classes share."""
    written = settled.plan.sour.target_ph
    if written is not None:
        return written.value, "plan", "the plan"
    low, high = class_range(settled.classes)
    target = DEFAULT_PH if low > high else min(max(DEFAULT_PH, low), high)
    return target, "house rule", "house rule: pH 4, moved into the range of the dye classes"


def acid_figure(
    settled: Settled, acid: AcidAtHand, water: Water, water_ml: float
) -> tuple[float, Soak, Figure]:
    """The dose: mL or g for the pH aimed at, or as written; and what pH it gives."""
    asked, wanted = _acid_asked(settled, acid, water, water_ml)
    figure = node(settled, asked)
    if figure.value == asked.value:
        return figure.value, wanted, figure
    mol_l = figure.value * mol_per_unit(acid) * 1000.0 / water_ml
    soak = soak_with(mol_l, tuple(acid.row.pkas), water, open_to_air=settled.plan.water.open)
    return figure.value, soak, figure


def _acid_asked(settled: Settled, acid: AcidAtHand, water: Water, water_ml: float) -> tuple[Figure, Soak]:
    """The dose that is asked for, and the bath it makes."""
    table = settled.plan.sour.table
    litres = water_ml / 1000.0
    if litres <= 0:
        raise ValueError("There must be water to put acid into; write how much was poured.")
    per_unit = mol_per_unit(acid)
    pkas, is_open = tuple(acid.row.pkas), settled.plan.water.open
    strength = f"{acid.name} {num(acid.strength_percent)} %"
    written = settled.plan.sour.acid_amount
    label = f"{acid.name} into the {'presoak' if table == 'presoak' else 'bath'}"
    dose = dose_chosen(settled.plan, acid, settled.dry_g)
    if dose is not None:
        soak = soak_with(dose.amount * per_unit / litres, pkas, water, open_to_air=is_open)
        figure = fig(
            f"{table}.acid",
            dose.amount,
            acid.unit,
            label,
            f"{dose.because}; {num(soak.mol_l * 1000)} mmol/L in {num(litres)} L",
            dose.origin,
            dose.source,
            low=dose.low,
            high=dose.high,
        )
        return figure, soak
    if written is not None:
        amount, origin, source = written.value * settled.scale, "plan", "the plan"
        mol_l = amount * per_unit / litres
        if mol_l > MOST_MOL_L:
            raise refuse(
                settled.plan.file,
                (table, "acid_amount"),
                f"is {written.typed} in {num(litres)} L of water, far beyond any bath; write less acid.",
            )
        soak = soak_with(mol_l, pkas, water, open_to_air=is_open)
        because = f"{written.typed} as written, {num(mol_l * 1000)} mmol/L in {num(litres)} L"
        if settled.scale != 1:
            because += f"; for {num(settled.dry_g)} g of dry fibre {num(amount)} {acid.unit}"
    else:
        target, _, source = _target(settled)
        try:
            soak = soak_at(target, pkas, water, open_to_air=is_open)
        except ValueError:
            raise refuse(
                settled.plan.file,
                (table, "target_ph"),
                f"is {num(target)}, which {acid.name} cannot bring this water to; write a value such as 4.0.",
            ) from None
        mol_l = soak.mol_l
        amount, origin = mol_l * litres / per_unit, "published"
        because = (
            f"pH {num(target)} in {num(litres)} L needs {num(mol_l * 1000)} mmol/L; {strength} holds "
            f"{num(per_unit * 1000)} mmol in 1 {acid.unit}: {num(mol_l * 1000)} x {num(litres)} / "
            f"{num(per_unit * 1000)} = {num(amount)} {acid.unit}"
        )
        source = f"{CARBONATE} ({acid.row.pka_source}); pH aimed at: {source}"
    return fig(f"{table}.acid", amount, acid.unit, label, because, _origin(origin), source), soak


def _origin(word: str) -> Origin:
    return "plan" if word == "plan" else "published"


def ph_figure(
    settled: Settled, soak: Soak, amount: float, water_ml: float, meq_l: float, figure_id: str = ""
) -> Figure:
    """The pH where the acid is, or the one that is named: of the first half."""
    acid = settled.acid
    with_acid = f" with {num(amount)} {acid.unit} of {acid.name}" if acid else " without acid"
    air = "open to the air, carbon dioxide lost" if soak.open else "carbon dioxide kept"
    because = (
        f"{num(water_ml)} mL of water, alkalinity {num(settled.alkalinity.value)} mg/L / 50.04 = "
        f"{num(meq_l)} meq/L, "
        f"pH {num(settled.water_ph.value)} at first,{with_acid}, {air}: pH {soak.ph:.2f} (of the water; wool "
        "binds acid too)"
    )
    guessed = "estimate" in (settled.alkalinity.origin, settled.water_ph.origin)
    source = f"{CARBONATE}; alkalinity: {settled.alkalinity.source}; pH at first: {settled.water_ph.source}"
    table = settled.plan.sour.table
    label = "pH of the soak" if table == "presoak" else "pH of the bath"
    if figure_id:
        label += ", half the acid in"
    origin: Origin = "estimate" if guessed else "published"
    figure = fig(figure_id or f"{table}.ph", soak.ph, "pH", label, because, origin, source)
    return node(settled, figure)


def beside_acid(settled: Settled, acid: AcidAtHand, spread: Spread | None, amount: float) -> list[Figure]:
    """What stands beside the computed dose: what is published, and what wool could bind."""
    figures = []
    table = settled.plan.sour.table
    dry = settled.dry_g
    if spread is not None:
        low, high = spread.low, spread.high
        figures.append(
            fig(
                f"{table}.acid.spread",
                low,
                acid.unit,
                "published doses, low to high",
                f"{num(low * 100 / dry)} to {num(high * 100 / dry)} {acid.unit} of {acid.name} on 100 g x "
                f"{num(dry)} g / 100 "
                f"= {num(low)} to {num(high)} {acid.unit}; the {num(amount)} {acid.unit} of this plan: "
                f"{where_it_lies(amount, low, high)}, nearest to {spread.nearest(amount)}",
                "published",
                f"least: {spread.low_source}; most: {spread.high_source}; none of them is the right one",
                low=low,
                high=high,
                chosen=amount,
            )
        )
    percent = sum(f.percent for f in settled.blend if f.row.family in ("wool", "hair"))
    if percent > 0:
        wool_g = dry * percent / 100.0
        mmol = craft.wool_acid_capacity_mmol(wool_g)
        # One proton of each molecule counts: the others leave only far above the pH of a dye soak.
        bound = mmol / 1000.0 / mol_per_unit(acid)
        figures.append(
            fig(
                f"{table}.bound",
                bound,
                acid.unit,
                "wool could bind at most",
                f"{num(dry)} g x {num(percent)} % wool x 0.82 mmol/g = {num(mmol)} mmol; / "
                f"{num(mol_per_unit(acid) * 1000)} mmol in 1 {acid.unit} = {num(bound)} {acid.unit}: never "
                "the dose",
                "published",
                RP1286,
            )
        )
    return figures


def _soak(settled: Settled) -> tuple[Figure, Figure]:
    """How long, and how warm."""
    plan, source = settled.plan.presoak, f"{PRACTICE}; {WEIL}"
    how_long = f"{num(DEFAULT_MIN)} min, the usual soak for wetting out"
    how_warm = f"{num(DEFAULT_C)} degC, lukewarm"
    return (
        as_written(
            "presoak.time", plan.time, DEFAULT_MIN, "min", "presoak time", how_long, "common practice", source
        ),
        as_written(
            "presoak.temperature",
            plan.temperature,
            DEFAULT_C,
            "degC",
            "presoak temperature",
            how_warm,
            "common practice",
            source,
        ),
    )
