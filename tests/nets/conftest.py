"""Forty plans on the sample studio's shelf, for nets that hold over every way of dyeing."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shelf_reading import load_shelf

HERE = Path(__file__).parent
TEXTS = [row["text"] for row in tomllib.loads((HERE / "forty_plans.toml").read_text("utf-8"))["plan"]]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """A test that asks for `settled` is run for each of the plans."""
    if "settled" in metafunc.fixturenames:
        shelf = load_shelf(HERE.parents[1] / "shared", read_on="2026-11-26")
        plans = [settle(read_plan(text, name="net.plan.toml"), shelf) for text in TEXTS]
        metafunc.parametrize("settled", plans, ids=[plan.plan.title for plan in plans])


class Forty(list[Settled]):
    """All of them, short to print where a test fails."""

    def __repr__(self) -> str:
        return f"{len(self)} plans"


@pytest.fixture(scope="session")
def forty() -> list[Settled]:
    """All of them."""
    shelf = load_shelf(HERE.parents[1] / "shared", read_on="2026-11-26")
    return Forty(settle(read_plan(text, name="net.plan.toml"), shelf) for text in TEXTS)
