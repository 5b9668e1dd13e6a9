"""`potside practices`: every published practice with its source, in the acid and for the weight asked for."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from studio.cli import main
from studio.tables.rows import holds, practice


@pytest.fixture
def run(studio):
    def asked(*options: str):
        return CliRunner(env={"COLUMNS": "80"}).invoke(main, ["--studio", str(studio), "practices", *options])

    return asked


def test_all_of_them_with_their_sources(run) -> None:
    done = run()
    assert (done.exit_code, done.stderr) == (0, "")
    together = " ".join(done.stdout.split())
    for row in (*practice(), *holds()):
        assert row.id in together and " ".join(row.source.split()) in together
    assert max(map(len, done.stdout.splitlines())) <= 80


def test_in_an_acid_of_the_shelf_for_a_weight(run) -> None:
    """One cup of 5 % vinegar to the pound, 52.16 mL on 100 g, is 4.657 mL of 56 %; on 200 g 9.31 mL."""
    document = json.loads(run("--json", "--acid", "harbour acetic", "--weight", "200 g").stdout)
    assert (document["format"], document["weight_g"]) == ("potside-practices/1", 200.0)
    doses = {dose["id"]: dose for dose in document["doses"]}
    cup = doses["vinegar-one-cup"]
    assert cup["low"] == pytest.approx(2 * 52.16 * 5 / 56) and cup["acid"] == "harbour acetic"
    assert cup["converted"] is True and cup["published_acid"] == "white vinegar"
    # Citric acid is told of by weight: two suppliers' equivalents for vinegar lie twofold apart.
    assert doses["citric-strong"]["acid"] == "citric acid" and doses["citric-strong"]["low"] == 10.0
    assert {hold["method"] for hold in document["holds"]} == {"steam", "kettle"}


@pytest.mark.parametrize(
    ("options", "hint"),
    [
        (("--acid", "brine"), "white vinegar"),
        (("--weight", "0 g"), "above 0 g"),
        (("--weight", "many"), "100 g"),
        (("--weight", "2 cups"), "100 g"),
    ],
)
def test_refused_in_one_sentence(run, options, hint) -> None:
    done = run(*options)
    assert done.exit_code == 2 and done.stdout == ""
    assert done.stderr.startswith("potside: ") and hint in done.stderr and done.stderr.count("\n") == 1
