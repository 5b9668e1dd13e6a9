"""What the ways of dyeing say: what is done at the bench, the clocks of it, and what is to be minded."""

from __future__ import annotations

from pathlib import Path

from studio.plan.said import Sayings
from studio.plan.shapes import Caution, Step, Timer

step = Sayings(Path(__file__).with_name("steps.json"), Step)
"""What is done, by the stage of each way."""
clock = Sayings(Path(__file__).with_name("clocks.json"), Timer)
"""The clocks; the minutes of each follow from the plan."""
caution = Sayings(Path(__file__).with_name("cautions.json"), Caution)
"""What is to be minded, by what it is about."""
