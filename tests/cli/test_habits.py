"""`potside habits` on the sample studio with its finished sessions."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from studio.cli import main

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def lived_in(studio: Path) -> Path:
    """The sample studio with its painted sessions."""
    for path in (
        path for month in ("202609", "202610") for path in (ROOT / "sessions").glob(f"{month}*.jsonl")
    ):
        shutil.copy(path, studio / "sessions")
    return studio


@pytest.fixture
def potside(studio: Path):  # type: ignore[no-untyped-def]
    """Runs `potside ARGUMENTS` in this process."""
    return lambda *words: CliRunner().invoke(main, ["--studio", str(studio), *words])


def habits_of(potside) -> dict[str, dict]:  # type: ignore[no-untyped-def, type-arg]
    told = json.loads(potside("habits", "--json").stdout)
    assert told["format"] == "potside-habits/1"
    return {row["id"]: row for row in told["habits"]}


def test_learned_pinned_off_and_on_again(lived_in, potside) -> None:
    before = habits_of(potside)
    held = before["held"]
    # Three sessions, each given beside it, and a default of 100 % that counts as two.
    values = [row["value"] for row in held["measurements"]]
    assert len(values) == 3
    assert held["value"] == pytest.approx((sum(values) + 200) / 5)
    assert (held["standing"], held["origin"], before["drops"]["standing"]) == ("yours", "yours", "default")
    assert "held" in potside("habits").stdout

    done = potside("habits", "pin", "held", "110 %")
    assert (done.exit_code, done.stderr) == (0, "")
    assert "held: 110 %, pinned" in done.stdout
    assert habits_of(potside)["held"]["value"] == 110
    told = json.loads(potside("worksheet", str(plan_without_weight(lived_in)), "--json").stdout)
    figure = next(f for f in told["figures"] if f["id"] == "paint.held")
    assert (figure["value"], figure["origin"]) == (pytest.approx(110), "yours")
    assert "pinned by you" in figure["source"] and "default 100 %" in figure["source"]

    assert "off" in potside("habits", "off", "held").stdout
    assert habits_of(potside)["held"]["value"] == 100
    assert potside("habits", "on", "held").exit_code == 0
    assert habits_of(potside) == before
    assert "nine in ten" in " ".join(potside("habits", "why", "held").stdout.split())


def plan_without_weight(studio: Path) -> Path:
    """The sample plan without its own squeezed weight, so that the habit is asked."""
    text = (studio / "shared" / "plans" / "tidewrack-stripes.plan.toml").read_text(encoding="utf-8")
    path = studio / "own.plan.toml"
    path.write_text(
        "\n".join(line for line in text.splitlines() if not line.startswith("squeezed_weight")),
        encoding="utf-8",
    )
    return path


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pin", "heeld", "9"), 'did you mean "held"?'),
        (("pin", "held", "wet"), "write for example 100 %"),
        (("pin", "boil-off", "900"), "lies from 5 to 120 %"),
        (("off", "zzz"), "the habits are held"),
    ],
)
def test_what_cannot_be_is_one_sentence(studio, potside, words, said) -> None:
    done = potside("habits", *words)
    assert done.exit_code == 2 and said in done.stderr
    assert done.stderr.count("\n") == 1 and "Traceback" not in done.stderr
    assert not (studio / "shared" / "habits.toml").exists()


def test_a_shelf_that_cannot_be_edited_stays_as_it_is(studio, potside) -> None:
    path = studio / "shared" / "habits.toml"
    path.write_text("[[habit\n", encoding="utf-8")
    done = potside("habits", "off", "held")
    assert done.exit_code == 2 and "habits.toml" in done.stderr
    assert path.read_text(encoding="utf-8") == "[[habit\n"
    listed = potside("habits")
    assert listed.exit_code == 0 and "habits.toml" in listed.stderr
