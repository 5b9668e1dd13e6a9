"""The sample plan under way, on the sample shelf."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place
from studio.plan.shelf import Shelf
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[3]
TIDE = ROOT / "shared/plans/tidewrack-stripes.plan.toml"
WEIGHT = Place("fibre", None, "dry_weight")
BANDS = Place("layout", None, "order")
FILE_TALK = re.compile(
    r"\w\[|\[\[|\w_\w| = |\.toml|without quotes|in quotes"
    r"|\b(?:fibre|water|presoak|colour|layout|set|kettle|microwave|kit|knit)\.[a-z]"
)
"""What belongs to a file and not on a screen: `dye[1].on_hand`, `rows = 220`, `[[colour]]`."""


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    return load_shelf(ROOT / "shared")


@pytest.fixture
def draft(shelf: Shelf) -> PlanDraft:
    return PlanDraft(TIDE.read_text(), shelf, name=TIDE.name)
