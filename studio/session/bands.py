"""The bands of the layout as they were painted: which coats each has, what is still to paint, and how much of the
fibre lies under each jar's colour.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator

import msgspec

from studio.plan.layout import laid_bands
from studio.plan.model import PlannedBand
from studio.plan.settled import rows_of
from studio.session.kinds.paint import BandPainted, Face, LeftoverKept
from studio.session.live.given import record_of
from studio.session.state import State, StepRecord

FACES: tuple[Face, ...] = ("front", "back")


class BandNow(msgspec.Struct, frozen=True):
    """One band to paint, as it stands."""

    number: int
    """Its place among the painted bands, from 1; what the plan leaves bare is not counted."""
    plan: PlannedBand
    jar: str
    """Slug of the jar the plan paints it from."""
    coats: tuple[BandPainted, ...]
    faces: tuple[Face, ...]
    """Those that the plan paints."""
    told: frozenset[Face]
    """Those of which all was said to be painted, whether each band was ticked or not."""

    def on(self, face: Face) -> tuple[BandPainted, ...]:
        """The coats of one face, the newest last."""
        return tuple(coat for coat in self.coats if coat.face == face)

    @property
    def to_paint(self) -> tuple[Face, ...]:
        """The faces that the plan paints and that have no coat yet."""
        return tuple(face for face in self.faces if face not in self.told and not self.on(face))

    @property
    def again(self) -> bool:
        """Whether it was painted more often than planned."""
        return len(self.coats) > max(1, len({coat.face for coat in self.coats} & {*self.faces}))

    @property
    def bare(self) -> bool:
        """Whether it has no coat yet."""
        return not self.coats

    @property
    def strange(self) -> bool:
        """Whether a coat of it came from another jar than planned."""
        return any(coat.jar != self.jar for coat in self.coats)


def bands_of(state: State) -> tuple[BandNow, ...]:
    """Every band to paint, in the order of the layout."""
    if state.worksheet.step_for("paint") is None:
        return ()
    planned = [b for b in laid_bands(state.choices.plan.layout, rows_of(state.choices)) if b.colour]
    slugs = {colour.plan.name: colour.plan.slug for colour in state.choices.colours}
    told = frozenset(face for face in FACES if _whole(state, face))
    coats = defaultdict[int, list[BandPainted]](list)
    for kept in state.coats:
        coats[kept.event.band].append(kept.event)
    return tuple(
        BandNow(
            number,
            band,
            slugs.get(band.colour, band.colour),
            tuple(coats[number]),
            FACES[: state.choices.plan.layout.sides],
            told,
        )
        for number, band in enumerate(planned, start=1)
    )


def _step(state: State, face: Face) -> StepRecord:
    """How the step stands that paints it."""
    return record_of(state, "paint", "back" if face == "back" else "")


def _whole(state: State, face: Face) -> bool:
    """Whether its step is closed without a doubt that some was left."""
    record = _step(state, face)
    return record.state == "done" and not record.flagged


def all_painted(state: State) -> bool:
    """Whether every face that the plan paints was said to be painted, whole."""
    return all(_whole(state, face) for face in FACES[: state.choices.plan.layout.sides])


# What lies under each jar's colour.


def coats_on(state: State) -> Iterator[tuple[int, str, float]]:
    """Number of its line, jar and size of every coat, half the band where two faces are painted; of a face said to be
    painted whole also of the bands that nobody ticked.
    """
    bands, sides = bands_of(state), state.choices.plan.layout.sides
    sizes = {band.number: band.plan.size / sides for band in bands}
    for coat in state.coats:
        yield coat.n, coat.event.jar, sizes.get(coat.event.band, 0.0)
    for band in bands:
        for face in band.faces:
            if face in band.told and not band.on(face):
                yield _step(state, face).n, band.jar, sizes[band.number]


def fibre_painted(state: State, dry_g: float) -> dict[str, float]:
    """Grams of fibre under each jar's colour that are not those of the layout: as it was painted, and as laid out where
    that is still to come. What has coats of two jars lies under both.
    """
    strange = any(coat.event.jar != coat.event.colour for coat in state.coats)
    bands = bands_of(state) if strange or _left_bare(state) else ()
    if not bands:  # As of a bath too, whose file was changed by hand and tells of a band.
        return {}
    laid, under = defaultdict[str, float](float), defaultdict[str, float](float)
    for band in bands:
        for face in band.faces:
            laid[band.jar] += band.plan.size / len(band.faces)
            for jar in _jars_on(state, band, face):
                under[jar] += band.plan.size / len(band.faces)
    whole = rows_of(state.choices) if bands[0].plan.rows is not None else 100
    moved = (jar for jar in {**laid, **under} if not math.isclose(laid[jar], under[jar], abs_tol=1e-9))
    return {jar: dry_g * under[jar] / (whole or 1) for jar in moved}


def _left_bare(state: State) -> bool:
    """Whether bands may have stayed bare: a face was left with a doubt, or a rest was told before all was painted."""
    faces = FACES[: state.choices.plan.layout.sides]
    left = state.kept(LeftoverKept) or any(_step(state, face).closed for face in faces)
    return bool(state.coats and left) and not all_painted(state)


def _jars_on(state: State, band: BandNow, face: Face) -> set[str]:
    """The jars a face was painted from; that of the layout where nobody ticked it, unless it stayed bare."""
    if coats := band.on(face):
        return {coat.jar for coat in coats}
    rest_told = any(kept.event.colour == band.jar for kept in state.kept(LeftoverKept))
    stays_bare = face not in band.told and (rest_told or _step(state, face).closed)
    return set() if stays_bare else {band.jar}


# What is still to paint.


def painted_with(state: State, *faces: Face) -> dict[int, str]:
    """The colour of each band that has a coat on these faces (of none said, on any), by its number: that of the jar of
    its newest one.
    """
    names = {colour.plan.slug: colour.plan.name for colour in state.choices.colours}
    coats = (kept.event for kept in state.coats)
    return {
        coat.band: names[coat.jar] for coat in coats if coat.jar in names and coat.face in (faces or FACES)
    }


def face_up(state: State) -> Face:
    """Which face lies up: the back once turning over is behind, also where that was left out."""
    return "back" if record_of(state, "turn over").closed else "front"


def next_band(state: State, after: int = 0, face: Face | None = None) -> int | None:
    """The first band after that one that is to be painted on the face (of none said, the one that lies up), else the
    first of all; None where there is none.
    """
    up = face or face_up(state)
    bare = [band.number for band in bands_of(state) if up in band.to_paint]
    return next((number for number in bare if number > after), next(iter(bare), None))


def still_bare(state: State, *faces: Face) -> str:
    """Numbers of the bands to be painted, `2, 4 to 11`, on these faces (of none said, on any, and it is said which
    where the plan paints both); empty where there are none.
    """
    bands = bands_of(state)
    runs = [
        (face, _in_runs([band.number for band in bands if face in band.to_paint])) for face in faces or FACES
    ]
    both = not faces and state.choices.plan.layout.sides > 1
    return ", ".join(f"{face} of {run}" if both else run for face, run in runs if run)


def _in_runs(numbers: list[int]) -> str:
    """Rising numbers, three and more in a row as a span.

    >>> _in_runs([2, 4, 5, 6, 8, 9])
    '2, 4 to 6, 8, 9'
    """
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    parts = [f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(parts)
