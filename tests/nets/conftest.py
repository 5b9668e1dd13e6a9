"""Forty plans on the sample studio's shelf, for nets that hold over every way of dyeing."""

from __future__ import annotations

import math
import random
import tomllib
import zlib
from collections.abc import Callable, Iterator
from decimal import Decimal
from functools import cache
from pathlib import Path

import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shapes import Step
from studio.plan.shelf import Shelf
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.live.thinking import effective
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.step_rules import gate_digit, open_warnings
from studio.session.timers import ran_out, view
from studio.shelf.reading import load_shelf

HERE = Path(__file__).parent
TEXTS = [row["text"] for row in tomllib.loads((HERE / "forty_plans.toml").read_text("utf-8"))["plan"]]


QUICK_ONE_IN = 4
"""Of the plans, each test of the quick run tries so few, and not every test the same; the deep profile tries all."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that asks for `settled` is run for each of the plans."""
    if "settled" in metafunc.fixturenames:
        first = zlib.crc32(metafunc.function.__name__.encode()) % QUICK_ONE_IN
        # A snapshot that no test of a run asks for makes it fail.
        whole = "snapshot" in metafunc.fixturenames or metafunc.definition.get_closest_marker("one_in")
        plans = [
            pytest.param(
                n,
                id=tomllib.loads(text)["title"],
                marks=() if whole or n % QUICK_ONE_IN == first else pytest.mark.deep,
            )
            for n, text in enumerate(TEXTS)
        ]
        metafunc.parametrize("settled", plans, indirect=True)


@pytest.fixture
def settled(request: pytest.FixtureRequest) -> Settled:
    """One of the plans."""
    return _settled(request.param)


class Forty(list[Settled]):
    """All of them, short to print where a test fails."""

    def __repr__(self) -> str:
        return f"{len(self)} plans"


@pytest.fixture(scope="session")
def forty() -> list[Settled]:
    """All of them."""
    return Forty(map(_settled, range(len(TEXTS))))


@cache
def _shelf() -> Shelf:
    return load_shelf(HERE.parents[1] / "shared", read_on="2026-11-26")


@cache
def _settled(number: int) -> Settled:
    return settle(read_plan(TEXTS[number], name="net.plan.toml"), _shelf())


@pytest.fixture
def text_of() -> Callable[[Settled], str]:
    """The text of one of them."""
    by_title = {tomllib.loads(text)["title"]: text for text in TEXTS}
    return lambda settled: by_title[settled.plan.title]


@pytest.fixture
def walk() -> Callable[..., Iterator[Step]]:
    """Goes through a session, step by step."""
    return _walk


def _walk(session: Running, chance: random.Random, off: float) -> Iterator[Step]:
    """Every step of a session, answered by what is asked times 1 - off to 1 + off, or by what makes no sense.

    Clocks run out and the pot comes to steam at once: what is doubted is meant.
    """
    for _ in range(400):
        step = current_step(session.state, session.clock.now())
        if step is None:
            return
        step = effective(session.state, step)
        yield step
        for alarm in alarms.standing(session.state):
            session.do(c.Acknowledge(alarm.n))
        if step.kind == "wait":
            left = [view(t, session.clock.now()).left_s for t in session.state.timers.values() if t.running]
            session.clock.advance(max([0.0, *left]))  # type: ignore[attr-defined]
            session.tick()
            for alarm in alarms.standing(session.state):
                session.do(c.Acknowledge(alarm.n))
            if current_step(session.state, session.clock.now()) is not None:
                still = current_step(session.state, session.clock.now())
                if still is not None and still.id == step.id:
                    over = ran_out(session.state, step.timer, session.clock.now())
                    end = (
                        c.Close(step.id, meant=True)
                        if over
                        else c.Override(step.id, "of the test", meant=True)
                    )
                    session.do(end)
        elif step.role == "accept cautions":
            for warned in open_warnings(session.state):
                session.do(c.AcceptCaution(warned.id, "seen and meant"))
        elif step.kind == "gate":
            try:
                session.do(c.PassGate(step.id, gate_digit(session.state, step.id)))
            except Refused:
                session.do(c.Override(step.id, "read as too hot", meant=True))
        elif step.role == "rinse rounds" or step.quantity == "look":
            session.do(c.Measure(step.id, "5"))
        elif step.kind == "measure":
            try:
                session.do(c.Measure(step.id, _typed(_value(step, chance, off)), meant=True))
            except Refused:
                assert off is SENSELESS, "what no scale can show is refused, all else is taken"
                session.do(c.Measure(step.id, _typed(_value(step, chance, 0.0)), meant=True))
        else:
            session.do(c.Close(step.id, meant=True))


def _typed(value: float) -> str:
    """Six figures, no finer than a millionth, as a person writes them."""
    return format(Decimal(f"{round(value, 6):.6g}"), "f")


SENSELESS = math.inf
"""How far off: nothing at all, thirty times too much, kg or L for g or mL and the other way round, and as asked."""


def _value(step: Step, chance: random.Random, off: float) -> float:
    if step.quantity in ("rating", "count"):
        return max(1, round(step.expected or 4)) if step.quantity == "count" else 4
    if step.quantity in ("ph", "temperature"):
        return step.expected or 20.0 if off is not SENSELESS else chance.choice([1.5, 7.0, 20.0, 98.0])
    if off is SENSELESS:
        return (step.expected or 1.0) * chance.choice([0.0, 30.0, 1e-3, 1e3, 1.0, 1.0])
    return (step.expected or 1.0) * chance.uniform(1 - off, 1 + off)
