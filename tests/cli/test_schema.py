"""`potside schema`: three JSON Schemas, and the documents that the program prints are valid by them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from jsonschema import Draft202012Validator

from studio.cli import main

ROOT = Path(__file__).resolve().parents[2]
PLANS = sorted((ROOT / "shared" / "plans").glob("*.plan.toml"))


def printed(*words: object) -> str:
    done = CliRunner().invoke(main, ["--studio", str(ROOT), *map(str, words)])
    assert done.exit_code == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("name", ["session", "worksheet", "forecast"])
@pytest.mark.one_in(3)
def test_each_is_a_schema_of_the_draft_it_names(name: str) -> None:
    """Held against the metaschema of JSON Schema draft 2020-12, as the jsonschema package ships it."""
    text = printed("schema", name)
    assert text.isascii() and text.endswith("}\n")
    schema = json.loads(text)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)


def test_without_a_name_it_is_the_session_file() -> None:
    assert printed("schema") == printed("schema", "session")


@pytest.mark.parametrize("plan", PLANS, ids=lambda p: p.name)
def test_a_worksheet_is_valid_and_names_no_other_key(plan: Path, closed) -> None:
    schema = closed(json.loads(printed("schema", "worksheet")))
    document = json.loads(printed("worksheet", plan, "--json"))
    Draft202012Validator(schema).validate(document)
    document["figures"][0]["value"] = "100 g"
    assert not Draft202012Validator(schema).is_valid(document)


def test_a_forecast_is_valid_and_names_no_other_key(closed) -> None:
    validator = Draft202012Validator(closed(json.loads(printed("schema", "forecast"))))
    plan = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"
    document = json.loads(printed("forecast", plan, "--json"))
    validator.validate(document)
    document["bands"][0]["solid"].pop()
    assert not validator.is_valid(document)
