"""The sample plan under way, on the sample shelf."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.plan.draft.draft import PlanDraft
from studio.plan.shelf import Shelf
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[3]
TIDE = ROOT / "shared/plans/tidewrack-stripes.plan.toml"


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    return load_shelf(ROOT / "shared")


@pytest.fixture
def draft(shelf: Shelf) -> PlanDraft:
    return PlanDraft(TIDE.read_text(), shelf, name=TIDE.name)
