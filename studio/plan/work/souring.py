"""A bath that acid goes into: the dose for a pH or the pH of a dose, what a strip shows, what the fibre takes."""

from __future__ import annotations

from typing import Any, Literal, NamedTuple

import msgspec

from studio.craft import acid as craft
from studio.craft.acid import Water
from studio.craft.charge import AcidDose
from studio.craft.solve import fixed_point
from studio.plan.materials import AcidAtHand, class_range
from studio.plan.practices import Spread, dose_chosen, published_spread, spread_figure
from studio.plan.settled import Settled, node
from studio.plan.shapes import Figure, Origin, brief, fig, num, weakest
from studio.plan.work.fibre import binding, uptake_source
from studio.quantity.kinds import Quantity
from studio.tables.rows import Use

DEFAULT_PH = 4.0
SHOWN = 0.005
"""mL or g of acid; the fibre's part is not told where it is less. House rule."""
LEAST_WATER_ML = 1.0
"""Less water is none. House rule."""
MOST_MOL_L = 1.0
"""More than vinegar itself holds. House rule."""
MOST_SHARE = 0.1
"""Of the water, that acid for a pH may come to; past it a stronger acid is asked for. House rule."""
PH_SLACK = 0.5
"""A strip that is further from what is worked out is asked about, and counts. House rule: read to half a unit."""
SCALE_PH = 8.5
"""Where lime scale begins to settle from hot hard water; computed with PHREEQC."""
DOUBT_ACID = 0.1
"""Of the acid in a bath or a paint: as it is measured, and as its label has it. House rule."""
DOUBT_PH: dict[str, float] = {"acetic": 0.15, "citric": 0.3}
"""How far the pH of a bath with wool in it may be off: two models of the fibre beside each other. Computed."""
Doses = tuple[AcidDose, ...]
CARBONATE = (
    "acid weighed against the water's alkalinity, taken to be calcium's (carbonate pK 6.352 and 10.329, Plummer & "
    "Busenberg 1982) and the acid's pK, at 25 °C, as a cooled sample of it reads"
)


class Soak(msgspec.Struct, frozen=True, kw_only=True):
    """What acid makes of a bath."""

    ph: float
    """pH at its end: the fibre has taken its acid, the dye gone on, and of an open bath the carbon dioxide left."""
    bound: float
    """Acid that the fibre holds then, in its mL or g."""
    filled: float
    """What part of the charge it can take that is."""
    bound_mol: float = 0.0
    """The same acid in mol."""
    left_mol_l: float = 0.0
    """Acid in the liquid around it."""


class Soaks(NamedTuple):
    """With the acid that was poured, as far as a strip leaves that open; all three alike where none was read."""

    least: Soak
    taken: Soak
    most: Soak


class Souring(msgspec.Struct, frozen=True, kw_only=True):
    """A bath that acid goes into: its water, its fibre and its air."""

    settled: Settled
    water_ml: float
    open: bool
    """Whether it stands or simmers long enough to come to rest with the air."""
    water_origin: Origin = "plan"
    """Of `water_ml`."""
    dye_mmol: float = 0.0
    """Equivalents of dye that go onto the fibre."""

    @property
    def table(self) -> str:
        """Of the plan; its figures are named by it."""
        return self.settled.plan.sour.table

    def counted_on(self, use: Use) -> Origin:
        """Of what a practice's dose is counted on: a soak's water, a bath's fibre."""
        return self.water_origin if use == "soak" else "plan"

    @property
    def use(self) -> Literal["soak", "bath"]:
        """Whether a practice's dose is for it; and what it is called in a sentence."""
        return "soak" if self.table == "presoak" else "bath"

    def _litres(self, acid: AcidAtHand | None, amount: float) -> float:
        """In all: the acid's own volume counts."""
        litres = (self.water_ml + (amount if acid and acid.liquid else 0.0)) / 1000.0
        if litres * 1000.0 < LEAST_WATER_ML:
            raise ValueError("There must be water to put acid into; write how much was poured.")
        return litres

    def _water(self, litres: float) -> Water:
        """As the acid thins it."""
        met = craft.alkalinity_meq_l(self.settled.alkalinity.value) * self.water_ml / 1000.0 / litres
        return Water(met, self.settled.water_ph.value)

    def _how(self, litres: float) -> dict[str, Any]:
        """Air, fibre and dye at the end."""
        fibre = binding(self.settled, self.settled.dry_g / litres)
        if fibre is None:
            return {"open_to_air": self.open}
        return {"open_to_air": self.open, "fibre": fibre, "dye_mol_l": self.dye_mmol / 1000.0 / litres}

    def _poured(self, acid: AcidAtHand | None, amount: float, strength: float) -> tuple[float, Water, Doses]:
        """Litres, the water and the acid in it, of so many times what its label says. ValueError without water."""
        litres = self._litres(acid, amount)
        if acid is None or amount <= 0:
            return litres, self._water(litres), ()
        mol_l = min(MOST_MOL_L, amount * acid.mol_per_unit * strength / litres)
        return litres, self._water(litres), (dosed(acid, mol_l),)

    def strip(self, acid: AcidAtHand | None, amount: float, strength: float = 1.0) -> float:
        """pH that a strip shows once the acid is in: no fibre yet, its carbon dioxide kept."""
        _, water, doses = self._poured(acid, amount, strength)
        return craft.ph(doses, water)

    def with_acid(self, acid: AcidAtHand | None, amount: float, strength: float = 1.0) -> Soak:
        """So much acid in it, of so many times what its label says. ValueError without water."""
        litres, water, doses = self._poured(acid, amount, strength)
        if acid is None or not doses:
            return Soak(ph=craft.ph((), water, open_to_air=self.open), bound=0.0, filled=0.0)
        how = self._how(litres)
        fibre = how.get("fibre")
        rest = craft.bath_at_rest(doses, water, **how)
        return Soak(
            ph=rest.ph,
            bound=rest.held_mol_l * litres / acid.mol_per_unit,
            filled=rest.bound_mol_l / (fibre.g_l * fibre.sites_mol_g) if fibre else 0.0,
            bound_mol=rest.held_mol_l * litres,
            left_mol_l=doses[0].mol_l - rest.held_mol_l,
        )

    def strengths(self, acid: AcidAtHand, amount: float, strip: float) -> tuple[float, float, float]:
        """How strong the acid is for what its label says, by a strip: at least, as it is taken, and at most.

        1 each where the strip shows about what it should, or tells nothing that could be: the pH of water without any
        acid, or one that no dose brings. Taken is no more than acid sold under that name holds, and no less.
        """
        litres = self._litres(acid, amount)
        poured = amount * acid.mol_per_unit / litres
        if poured <= 0 or abs(self.strip(acid, amount) - strip) <= PH_SLACK:
            return 1.0, 1.0, 1.0
        try:
            shown = craft.dose_for_ph(strip, dosed(acid, 0.0), self._water(litres)) / poured
        except ValueError:
            return 1.0, 1.0, 1.0
        if not 0 < shown * poured <= MOST_MOL_L:
            return 1.0, 1.0, 1.0
        weakest_sold, strongest_sold = acid.sold
        return min(1.0, shown), min(max(shown, weakest_sold), strongest_sold), max(1.0, shown)

    def amount_for(self, acid: AcidAtHand, ph: float) -> float:
        """mL or g that bring it to that pH at its end; ValueError where the acid cannot, TooMuch past `MOST_SHARE`."""

        def work(amount: float) -> tuple[float, float]:
            if acid.liquid and amount > MOST_SHARE * self.water_ml:
                raise TooMuch(amount)
            litres = self._litres(acid, amount)
            mol_l = craft.dose_for_ph(ph, dosed(acid, 0.0), self._water(litres), **self._how(litres))
            found = mol_l * litres / acid.mol_per_unit
            return found, found

        return fixed_point(work, 0.0, 1e-7 * self.water_ml)


class Soured(msgspec.Struct, frozen=True, kw_only=True):
    """What acid makes of a soak or a bath."""

    acid_amount: float = 0.0
    """mL or g in all; 0 without acid."""
    origin: Origin = "plan"
    """Of what was asked for."""
    first_acid: float = 0.0
    """What goes in at the start."""
    soaks: Soaks
    spread: Spread | None = None
    """Lowest and highest published dose for this weight, in the acid's unit."""
    figures: tuple[Figure, ...] = ()

    @property
    def ph(self) -> float:
        """At its end."""
        return self.soaks.taken.ph


class TooMuch(ValueError):
    """An acid so thin that it would be a good part of the bath."""


def dosed(acid: AcidAtHand, mol_l: float) -> AcidDose:
    """So much of it in a bath."""
    return AcidDose(tuple(acid.row.pkas), mol_l, tuple(acid.row.calcium_log_ks))


def soured(bath: Souring, *poured: Figure, more: Figure | None = None) -> Soured:
    """.acid.spread, .ph.first, .ph and .bound beside what is `poured`: all of the acid and, where it goes in in parts,
    the first and the rest; `more`: what was added at the bench."""
    acid = bath.settled.acid
    if acid is None or not poured:
        soaks, told = ended(bath, 0.0, None)
        return Soured(soaks=soaks, figures=(strip_figure(bath, 0.0), *told))
    dose, *parts = poured
    first = parts[0] if parts else dose
    strip = strip_figure(bath, first.value, half=bool(parts))
    amount = dose.value + (more.value if more else 0.0)
    spread = published_spread(acid, bath.use, bath.settled.classes, bath.settled.dry_g, bath.water_ml)
    beside = [*([more] if more else []), *([spread_figure(bath, acid, spread, amount)] if spread else [])]
    soaks, told = ended(bath, amount, (first.value, strip))
    return Soured(
        acid_amount=amount,
        origin=dose.origin,
        first_acid=first.value,
        soaks=soaks,
        spread=spread,
        figures=(*poured, *beside, strip, *told),
    )


def _target(settled: Settled) -> tuple[float, str]:
    """The pH aimed at: the plan's, or 4.0 moved into what the dye classes share."""
    written = settled.plan.sour.target_ph
    if written is not None:
        return written.value, "the plan"
    low, high = class_range(settled.classes)
    target = DEFAULT_PH if low > high else min(max(DEFAULT_PH, low), high)
    return target, "house rule: pH 4, moved into the range of the dye classes"


def acid_figure(bath: Souring, acid: AcidAtHand) -> Figure:
    """The dose: mL or g for the pH aimed at, as a practice has it, or as written."""
    settled, table = bath.settled, bath.table
    label = f"{acid.name} into the {'presoak' if table == 'presoak' else 'bath'}"
    dose = dose_chosen(settled.plan, acid, settled.dry_g, bath.water_ml)
    if dose is not None:
        because = f"{dose.because}; {_strength(bath, acid, dose.amount)}"
        origin = weakest(dose.origin, bath.counted_on(dose.practice.use))
        asked = fig(
            f"{table}.acid", dose.amount, acid.unit, label, because, origin, dose.source,
            low=dose.low, high=dose.high,
        )  # fmt: skip
        return node(settled, asked)
    if settled.plan.sour.acid_amount is not None:
        amount, because = _written(bath, acid, settled.plan.sour.acid_amount)
        return node(settled, fig(f"{table}.acid", amount, acid.unit, label, because, "plan", "the plan"))
    amount, because, source = _for_ph(bath, acid)
    return node(settled, fig(f"{table}.acid", amount, acid.unit, label, because, _origin(bath), source))


def _strength(bath: Souring, acid: AcidAtHand, amount: float) -> str:
    litres = (bath.water_ml + (amount if acid.liquid else 0.0)) / 1000.0
    told = num(amount * acid.mol_per_unit / litres * 1000.0) if litres > 0 else "no"
    return f"{told} mmol/L in {num(litres)} L"


def _written(bath: Souring, acid: AcidAtHand, written: Quantity) -> tuple[float, str]:
    amount = written.value * bath.settled.scale
    litres = (bath.water_ml + (amount if acid.liquid else 0.0)) / 1000.0
    beyond = amount > bath.water_ml if acid.liquid else amount * acid.mol_per_unit > MOST_MOL_L * litres
    if bath.water_ml >= LEAST_WATER_ML and beyond:
        raise bath.settled.plan.wrong(
            (bath.table, "acid_amount"),
            f"is {written.typed} in {num(litres)} L of water, far beyond any bath; write less acid.",
        )
    because = f"{written.typed} as written, {_strength(bath, acid, amount)}"
    if bath.settled.scale != 1:
        because += f"; for {num(bath.settled.dry_g)} g of dry fibre {num(amount)} {acid.unit}"
    return amount, because


def _for_ph(bath: Souring, acid: AcidAtHand) -> tuple[float, str, str]:
    """The amount, its reason and its source."""
    target, source = _target(bath.settled)
    where = (bath.table, "target_ph")
    try:
        amount = bath.amount_for(acid, target)
    except TooMuch:
        raise bath.settled.plan.wrong(
            where,
            f"is {num(target)}, for which {acid.name} would be more than a tenth of the {bath.use}; "
            "take a stronger acid such as citric acid, or softer water, or write a higher pH.",
        ) from None
    except ValueError:
        raise bath.settled.plan.wrong(
            where, f"is {num(target)}, which {acid.name} cannot bring this water to; write for example 4.0."
        ) from None
    per_unit = acid.mol_per_unit * 1000.0
    because = (
        f"pH {num(target)} with the fibre in the {bath.use} needs {num(amount * per_unit)} mmol; {acid.name} "
        f"{num(acid.strength_percent)} % holds {num(per_unit)} mmol in 1 {acid.unit}: {num(amount)} {acid.unit}"
    )
    taken = f"; {uptake_source(bath.settled)}" if binding(bath.settled, 1.0) else ""
    return amount, because, f"{_source(bath)}{taken}; pH aimed at: {source}"


def strip_figure(bath: Souring, amount: float, *, half: bool = False) -> Figure:
    """.ph.first: what a strip shows once the acid is in, before the fibre is; `half`: with half of the acid."""
    acid = bath.settled.acid
    shown = bath.strip(acid, amount)
    poured = f"with {num(amount)} {acid.unit} of {acid.name}" if acid else "without acid"
    because = f"{_told(bath)}, {poured}, carbon dioxide kept, no fibre yet: pH {shown:.2f}"
    label = f"pH of the {bath.use}, {'half the acid in' if half else 'before the fibre'}"
    return node(
        bath.settled,
        fig(f"{bath.table}.ph.first", shown, "pH", label, because, _origin(bath), _source(bath)),
    )


def ended(
    bath: Souring, amount: float, strip: tuple[float, Figure] | None
) -> tuple[Soaks, tuple[Figure, ...]]:
    """How the bath ends, as .ph and .bound; `strip`: the acid that was in when a strip was read, and what it showed."""
    acid = bath.settled.acid
    strengths = 1.0, 1.0, 1.0
    if acid is not None and strip is not None and strip[1].origin == "measured":
        strengths = bath.strengths(acid, strip[0], strip[1].value)
    by_strength = {each: bath.with_acid(acid, amount, each) for each in strengths}
    soaks = Soaks(*(by_strength[each] for each in strengths))
    soak = soaks.taken
    poured = f"with {num(amount)} {acid.unit} of {acid.name}" if acid else "without acid"
    told = [_told(bath), poured]
    if len(by_strength) > 1 and acid and strip:
        taken = f"{num(strengths[1] * amount)} {acid.unit}"
        told.append(f"by the strip's pH {num(strip[1].value)} taken as {taken}")
    if soak.bound:
        told.append("the fibre has taken up its share")
    if bath.dye_mmol and soak.bound:
        told.append(f"{brief(bath.dye_mmol)} mmol of dye are on it")
    air = "carbon dioxide kept"
    if bath.open:
        closed = msgspec.structs.replace(bath, open=False).with_acid(acid, amount, strengths[1]).ph
        air = f"open to the air (pH {closed:.2f} while its carbon dioxide is kept)"
    because = f"{', '.join(told)}, {air}: pH {soak.ph:.2f}"
    if bath.open and soak.ph > SCALE_PH:
        because += "; lime scale that settles holds hard water to about pH 8.5"
    shown = soak.ph + (above := _above(bath, strip, strengths))
    if above:
        because += f"; the strip was {above:.2f} above that at first: pH {shown:.2f}"
    source = f"{_source(bath)}; {uptake_source(bath.settled)}" if soak.bound else _source(bath)
    label = f"pH of the {bath.use}, fibre in it" if soak.bound else f"pH of the {bath.use}"
    low, high = None, None
    if acid and soak.bound:
        doubt = DOUBT_PH[acid.row.kind]
        most, least = strengths[2] * (1 + DOUBT_ACID), strengths[0] * (1 - DOUBT_ACID)
        low = min(soak.ph - doubt, bath.with_acid(acid, amount, most).ph)
        high = max(shown + doubt, bath.with_acid(acid, amount, least).ph)
    at_end = fig(f"{bath.table}.ph", shown, "pH", label, because, _origin(bath), source, low=low, high=high)
    return soaks, (node(bath.settled, at_end), *_bound(bath, acid, soak))


def _above(bath: Souring, strip: tuple[float, Figure] | None, strengths: tuple[float, float, float]) -> float:
    """How far a strip was above what acid of that strength comes to, as of harder water; 0 where it told nothing."""
    if strip is None or strip[1].origin != "measured":
        return 0.0
    above = strip[1].value - bath.strip(bath.settled.acid, strip[0], strengths[1])
    told_nothing = strengths == (1.0, 1.0, 1.0) and above > PH_SLACK
    return 0.0 if told_nothing else max(0.0, above)


def _bound(bath: Souring, acid: AcidAtHand | None, soak: Soak) -> list[Figure]:
    if acid is None or soak.bound < SHOWN:
        return []
    because = (
        f"at pH {soak.ph:.2f} the fibre takes {brief(100.0 * soak.filled)} % of the acid it could hold: "
        f"{num(soak.bound)} {acid.unit}; the dose counts it"
    )
    path, source = f"{bath.table}.bound", uptake_source(bath.settled)
    return [fig(path, soak.bound, acid.unit, "acid the fibre takes", because, "estimate", source)]


def _told(bath: Souring) -> str:
    settled = bath.settled
    met = craft.alkalinity_meq_l(settled.alkalinity.value)
    return (
        f"{brief(bath.water_ml)} mL of water, alkalinity {num(settled.alkalinity.value)} mg/L, "
        f"{brief(met)} meq/L, pH {num(settled.water_ph.value)} at first"
    )


def _origin(bath: Souring) -> Origin:
    settled = bath.settled
    return weakest("published", bath.water_origin, settled.alkalinity.origin, settled.water_ph.origin)


def _source(bath: Souring) -> str:
    settled, told = bath.settled, CARBONATE
    if settled.acid is not None:
        row = settled.acid.row
        told += f"; pK of the acid: {row.pka_source}; what calcium holds of it: {row.calcium_source or 'not counted'}"
    return f"{told}; alkalinity: {settled.alkalinity.source}; pH at first: {settled.water_ph.source}"
