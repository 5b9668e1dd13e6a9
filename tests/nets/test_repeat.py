"""A session repeated comes to what was done in it, for every way of dyeing, and at any weight."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest

from studio.plan.repeat.decided import decided
from studio.plan.repeat.repeating import Done, Repeated, repeat
from studio.plan.settled import Settled
from studio.plan.sheet import work_sheet
from studio.services.repeats import really_done
from studio.session.after.comparing import compare
from studio.session.state import State

WHOLE_MIN = 0.6
"""Times are written in whole minutes."""


@pytest.fixture
def walked(begin: Callable[..., object], walk: Callable[..., object]) -> Callable[[Settled, float], State]:
    """A session answered by what is asked times 1 - off to 1 + off."""

    def done(settled: Settled, off: float) -> State:
        session = begin(choices=settled)
        for _ in walk(session, random.Random(f"{settled.plan.title}{off}"), off):
            pass
        return session.state

    return done


@pytest.fixture
def again(text_of: Callable[[Settled], str]) -> Callable[..., Repeated]:
    def of(settled: Settled, done: Done, weight_g: float | None = None) -> Repeated:
        return repeat(
            text_of(settled), done, settled.shelf, weight_g=weight_g, name="again", source="first.jsonl"
        )

    return of


def near(value, path):
    """As near as what reads alike: three digits, times in whole minutes."""
    clock = path.endswith((".hold", ".time"))
    return pytest.approx(value, rel=0.01, abs=WHOLE_MIN if clock else 1e-12)


@pytest.mark.one_in(6)
def test_answered_as_asked_it_is_the_plan_again(settled, walked, again, text_of) -> None:
    repeated = again(settled, really_done(walked(settled, 0.0)))
    assert repeated.text.split("\n", 1)[1] == text_of(settled)
    assert repeated.worksheet == work_sheet(settled)


@pytest.mark.one_in(20)
def test_off_by_a_fifth_it_plans_what_was_done_at_any_weight(settled, walked, again) -> None:
    """At twice the weight what goes with it doubles; ratios, depths, temperatures and times stay."""
    state = walked(settled, 0.2)
    assert compare([state, state]) == ()
    done = really_done(state)
    real = done.sheet
    dyed_g = real.figure("fibre.weight").value
    for factor in (1, 2):
        sheet = again(settled, done, factor * dyed_g).worksheet
        assert sheet.figure("fibre.weight").value == pytest.approx(factor * dyed_g, rel=1e-4)
        for row in decided(settled, real):
            now, was = sheet.figure(row.path).value, real.figure(row.path).value
            if row.field.at_least and factor != 1:
                assert now >= was - WHOLE_MIN, row.path
            else:
                assert now == near(factor * was if row.goes_with == "fibre.weight" else now, row.path)
                assert row.value(sheet) == near(row.value(real), row.path), row.path
