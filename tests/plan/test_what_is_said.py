"""What cautions, steps and clocks say stands in tables: each row is asked for, by one name, and says its source."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import get_args

import pytest

from studio.plan.shapes import Role
from studio.session import heat_rules  # noqa: F401 - so that its answers are there
from studio.session.commands import ANSWERS

STUDIO = Path(__file__).parents[2] / "studio"
SAID = {
    ("caution", "plan"): json.loads((STUDIO / "plan" / "work" / "cautions.json").read_text("utf-8")),
    ("step", "plan"): json.loads((STUDIO / "plan" / "steps" / "steps.json").read_text("utf-8")),
} | {
    (kind.removesuffix("s"), f"{path.parent.name} {path.stem}"): rows
    for path in (STUDIO / "methods").glob("*/*.json")
    for kind, rows in json.loads(path.read_text("utf-8")).items()
}
"""Rows by kind and table."""
CODE = "".join(path.read_text("utf-8") for path in STUDIO.rglob("*.py"))


@pytest.mark.parametrize("kind, table", SAID)
def test_every_row_of_what_is_said_is_asked_for(kind: str, table: str) -> None:
    asked = re.findall(rf'\b(?:acid_)?{kind}\(\s*f?"([^"]+)"(?: if [^"]* else "([^"]+)")?', CODE)
    names = [re.sub(r"{[^}]*}", ".*", name) for pair in asked for name in pair if name]
    assert [row for row in SAID[kind, table] if not any(re.fullmatch(name, row) for name in names)] == []


def test_no_two_ways_say_a_row_of_one_name() -> None:
    names = [(kind, row) for (kind, _), rows in SAID.items() for row in rows]
    assert sorted(names) == sorted(set(names))


def test_a_role_is_what_some_rule_asks_for_or_what_a_value_becomes() -> None:
    """Held here and not where a row is read: a file of another version may hold roles of its own."""
    rows = [row for (kind, _), rows in SAID.items() if kind == "step" for row in rows.values()]
    roles = {row["role"] for row in rows if "role" in row}
    assert roles == {*get_args(Role), *ANSWERS}
    assert not [row["done"] for row in rows if row.get("role") in ANSWERS and "sets" in row]


def test_every_caution_says_who_stands_for_it() -> None:
    rows = {name: row for (kind, _), said in SAID.items() if kind == "caution" for name, row in said.items()}
    by_its_code = {name for name, row in rows.items() if not row["source"]}
    of_a_table = {"kettle.ratio", "microwave.schedule", "microwave.wet", "method.microwave", "set.pot-dry"}
    of_the_heat = {"hob-cannot", "hob-slow", "superwash-hot", "silk-hot", "hold-short"}
    of_the_heat = {f"kettle.{name}" for name in of_the_heat}
    assert by_its_code == {"jar.old", "fibre.weak", "set.pot-dry soon", *of_a_table, *of_the_heat}


def test_no_caution_writes_minutes_but_as_their_figure_stands() -> None:
    """46.5 in a caution beside 47 min in the row of the same set is two figures for one thing."""
    told = [row["text"] for (kind, _), rows in SAID.items() if kind == "caution" for row in rows.values()]
    assert any("{heat.hold_min:min}" in text for text in told)
    assert [text for text in told if re.search(r"{[^}:]*} min\b", text)] == []
