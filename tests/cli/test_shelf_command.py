"""`potside shelf` and `potside shopping`, as processes."""

from __future__ import annotations

import json
from pathlib import Path


def test_what_is_there(potside, studio: Path) -> None:
    (studio / "shared" / "jars.toml").write_text(
        '[[jar]]\nname = "old rust"\ndye = "studio rust"\nstrength = "1 %"\nvolume = "85 mL"\nuse_by = 2001-01-01\n'
    )
    done = potside("shelf")
    assert (done.returncode, done.stderr) == (0, "")
    assert "studio rust" in done.stdout and "21 g" in done.stdout
    assert "OLD, use by 2001-01-01" in done.stdout
    told = json.loads(potside("shelf", "--json").stdout)
    assert told["format"] == "potside-shelf/1" and told["to_mend"] == []
    (jar,) = [entry for entry in told["entries"] if entry["table"] == "jar"]
    assert (jar["standing"], jar["file"], jar["line"], jar["on_hand"]) == ("old", "jars.toml", 1, "85 mL")
    assert told["studio"]["alkalinity"] == "38 mg/L"


def test_a_bad_file_is_named_with_its_line_and_the_rest_is_there(potside, studio: Path) -> None:
    dyes = studio / "shared" / "dyes.toml"
    dyes.write_text(dyes.read_text().replace('name = "gorse"', "name = gorse"))
    kit = studio / "shared" / "kit.toml"
    kit.write_text('[[kit]]\nname = "[red]pot[/]\\u001b[2J"\nkept_for = "both"\n' + kit.read_text())
    done = potside("shelf")
    assert done.returncode == 1
    said = " ".join(done.stdout.split())
    assert "dyes.toml: line 21 is not valid TOML" in said
    assert "kit.toml: line 3, kit[1].kept_for cannot be" in said
    assert "harbour sock blank" in said and "steamer pot" in said
    assert "\x1b" not in done.stdout


def test_shopping_for_two_plans(potside, studio: Path) -> None:
    plans = studio / "shared" / "plans"
    bases = studio / "shared" / "bases.toml"
    bases.write_text(bases.read_text().replace("on_hand = 6", "on_hand = 0"))
    both = (plans / "tidewrack-stripes.plan.toml", plans / "kelp-forest.plan.toml")
    done = potside("shopping", *both, "--json")
    assert done.returncode == 1
    told = json.loads(done.stdout)
    needs = {need["name"]: need for need in told["needs"]}
    assert told["plans"] == ["Tidewrack stripes", "Kelp forest"]
    assert (needs["harbour sock blank"]["short"], needs["harbour sock blank"]["packs"]) == (1.0, 1)
    assert told["cost"] == 11.5
    printed = potside("shopping", both[0]).stdout
    assert "of 0 pieces, 1 piece short: 1, 11.50 EUR" in printed


def test_shopping_for_no_plan(potside, tmp_path: Path) -> None:
    done = potside("shopping", tmp_path / "none.plan.toml")
    assert done.returncode == 2 and "there is no such file" in done.stderr
