"""`potside forecast`: print, JSON, picture, wrong input."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

from studio.cli import main

ROOT = Path(__file__).resolve().parents[2]
PLAN = "shared/plans/tidewrack-stripes.plan.toml"
HAND = 'blend = { wool = 100 }\ndry_weight = "100 g"\nform = "blank"\nrows = 220'


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    return tmp_path


def run(studio: Path, *words: str):  # type: ignore[no-untyped-def]
    return CliRunner().invoke(main, ["--studio", str(studio), "forecast", *words])


def test_json_is_the_contract_and_exact_geometry_is_exact(studio: Path) -> None:
    """By hand: 420 m / (2 x 220 x 60) = 15.909 mm a loop; a strand of 210 m; 64 stitches of
    Kw 4.1 / (32 / 101.6 mm) = 13.0175 mm make a round of 0.83312 m; 210 / 0.83312 = 252.06 rounds.
    A band of 12 rows: 12 x 60 x 15.909 / (64 x 13.0175) = 13.749 rounds: 13 solid and 1 mixed, or 12 and 2.
    Source of Kw: D. J. Spencer, Knitting Technology, p. 281, read second-hand."""
    done = run(studio, str(studio / PLAN), "--json", "--spread", "0", "--tilt", "0", "--wander", "0")
    assert done.exit_code == 0
    found = json.loads(done.stdout)
    assert found["format"] == "potside-forecast/1"
    assert found["yarn_m"] == pytest.approx(210.0)
    assert found["rounds"] == pytest.approx(252.06, abs=0.01)
    assert set(found) == {"format", "yarn_m", "rounds", "bands"}
    assert set(found["bands"][0]) == {"colour", "rows", "solid", "mixed", "odds_solid"}
    for band in found["bands"]:
        if band["colour"] == "rust":
            assert band["rows"] == 12 and band["odds_solid"] == 1.0
            assert band["solid"][1] in (12, 13) and band["solid"][1] + band["mixed"][1] in (14, 15)
    assert sum(b["rows"] for b in found["bands"]) == 220


def test_the_picture_is_clean_scalable_and_not_written_over(studio: Path) -> None:
    target = studio / "stripes.svg"
    done = run(studio, str(studio / PLAN), "-o", str(target))
    assert done.exit_code == 0 and "wrote" in done.stderr
    root = ElementTree.parse(target).getroot()
    tags = {element.tag.rpartition("}")[2] for element in root.iter()}
    assert tags <= {"svg", "rect", "text", "g"} and root.get("viewBox")
    before = target.read_bytes()
    again = run(studio, str(studio / PLAN), "-o", str(target))
    assert again.exit_code == 4 and "--force" in again.stderr and target.read_bytes() == before
    assert run(studio, str(studio / PLAN), "-o", str(target), "--force").exit_code == 0


def test_an_evil_title_stays_text_in_the_picture(studio: Path) -> None:
    plan = studio / PLAN
    plan.write_text(
        plan.read_text().replace('title = "Tidewrack stripes"', 'title = "</text><script>x</script>"')
    )
    target = studio / "evil.svg"
    assert run(studio, str(plan), "-o", str(target)).exit_code == 0
    tags = {element.tag.rpartition("}")[2] for element in ElementTree.parse(target).getroot().iter()}
    assert "script" not in tags


def test_how_wide_for_four_solid_rounds(studio: Path) -> None:
    """Without any straying four rounds of the blank's own stitches and loop need five rows: wherever a round
    begins, five rows hold four whole rounds (arithmetic). Here a round takes 64 x 13.0175 / (60 x 15.909) =
    0.8728 of a row, so five whole rounds, which always hold four, are 4.36 rows: five."""
    done = run(studio, str(studio / PLAN), "--solid", "4", "--spread", "0", "--tilt", "0", "--wander", "0")
    assert "For 4 solid rounds, with a chance of 90 %, paint 5 rows" in done.stdout


def test_a_skein_tells_its_runs(studio: Path) -> None:
    """150 cm round / 13.0175 mm = 115.23 stitches; kelp on 45 % of it is 51.9 stitches."""
    done = run(studio, str(studio / "shared/plans/kelp-forest.plan.toml"))
    assert done.exit_code == 0 and "115.2 stitches" in done.stdout and "51.9 stitches" in done.stdout


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (("stitches = 64", "stitches = 0"), "knit.stitches"),
        (('gauge = "32 st / 4 in"', 'gauge = "0 st / 4 in"'), "knit.gauge"),
        (('base = "harbour sock blank"', HAND), "fibre.stitches"),
        (('base = "harbour sock blank"', HAND + "\nstitches = 60"), "fibre.yarn_length"),
        (('base = "harbour sock blank"', HAND.replace("220", "10")), "layout.order"),
        (('base = "harbour sock blank"', HAND.replace("220", "0")), "fibre.rows"),
    ],
)
def test_wrong_input_gives_one_sentence(studio: Path, change: tuple[str, str], words: str) -> None:
    plan = studio / PLAN
    assert change[0] in plan.read_text()
    plan.write_text(plan.read_text().replace(*change))
    done = run(studio, str(plan))
    assert done.exit_code == 2 and words in done.stderr and done.stderr.count("\n") == 1, done.stderr


@pytest.mark.parametrize("option", [("--spread", "-1"), ("--tilt", "999"), ("--wander", "nan")])
def test_a_painting_that_cannot_be_is_refused(studio: Path, option: tuple[str, str]) -> None:
    done = run(studio, str(studio / PLAN), *option)
    assert done.exit_code == 2 and done.stderr.count("\n") == 1, done.stderr
