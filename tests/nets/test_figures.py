"""The figures of forty plans stay what they are when the code that works them out is moved.

A net, not a check of truth: `tests/outside` and the hand calculations hold the numbers themselves. A changed
line is looked at, and its reason written into the commit, before it is accepted. And no figure is told as
better founded than what it is worked out from.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from msgspec.structs import replace
from syrupy.assertion import SnapshotAssertion

from studio.plan.settled import Settled
from studio.plan.shapes import Figure, Known
from studio.plan.work.worked import work_all

WEAKEST_FIRST = (
    "estimate", "house rule", "from memory", "common practice", "published", "yours", "plan", "measured",
)  # fmt: skip
ADMITTED = {word: WEAKEST_FIRST.index(word) for word in WEAKEST_FIRST[:4]}
ADMITTED |= {word: WEAKEST_FIRST.index("common practice") for word in ("second-hand", "second hand")}
LOOKED_UP = ("scale_g", "alkalinity", "water_ph", "altitude", "hob_w", "room")


def test_the_figures_of_forty_plans_are_equal(settled: Settled, snapshot: SnapshotAssertion) -> None:
    assert "\n".join(map(_told, work_all(settled).figures)) == snapshot


def _told(figure: Figure) -> str:
    ends = "" if figure.low is None or figure.high is None else f" ({figure.low:.6g} to {figure.high:.6g})"
    return f"{figure.id} {figure.value:.6g}{ends} {figure.unit}"


def test_no_figure_is_better_than_its_source_says(settled: Settled) -> None:
    """And what is called published names a publication."""
    for figure in work_all(settled).figures:
        said = [rank for word, rank in ADMITTED.items() if word in figure.source.casefold()]
        assert WEAKEST_FIRST.index(figure.origin) <= min(said, default=7), f"{figure.id}: {figure.source}"
        assert figure.origin != "published" or figure.source != "published", figure.id


@pytest.mark.one_in(4)
def test_no_figure_is_better_than_what_it_is_worked_out_from(settled: Settled) -> None:
    """Whatever moves with a value that is only guessed is a guess, and with a house rule no better than one."""
    wrong = []
    for named, origin, before, after in _pairs(settled):
        moved = {figure.id: figure.value for figure in work_all(after).figures}
        for figure in work_all(before).figures:
            same = moved.get(figure.id, figure.value) == pytest.approx(figure.value, rel=1e-9, abs=1e-12)
            if not same and not _as_weak(figure, origin):
                wrong.append(f"{figure.id} moves with {named} and is {figure.origin}")
    assert not wrong


def _as_weak(figure: Figure, origin: str) -> bool:
    return WEAKEST_FIRST.index(figure.origin) <= WEAKEST_FIRST.index(origin)


def _pairs(settled: Settled) -> Iterator[tuple[str, str, Settled, Settled]]:
    """The plan with one value guessed, and the same with another value for it."""
    for name in LOOKED_UP:
        value = getattr(settled, name).value or 100.0
        low, high = (
            replace(settled, **{name: Known(each, "estimate", "estimate")}) for each in (value, value * 1.05)
        )
        yield name, "estimate", low, high
    weak, strong = (_stocks(settled, times) for times in (0.51, 0.509))
    yield "the strength of its stocks", "estimate", weak, strong
    plan = settled.plan
    if plan.reserve_percent and not plan.reserve_typed:
        more = replace(plan, reserve_percent=plan.reserve_percent + 5.0)
        yield "the reserve", "house rule", settled, replace(settled, plan=more)


def _stocks(settled: Settled, times: float) -> Settled:
    """Every stock that is not counted in drops as much weaker, by a guess."""
    colours = []
    for colour in settled.colours:
        stocks = [
            stock
            if stock.strength is None
            else replace(stock, strength=Known(stock.strength.value * times, "estimate", "estimate"))
            for stock in colour.stocks
        ]
        colours.append(replace(colour, stocks=tuple(stocks)))
    return replace(settled, colours=tuple(colours))
