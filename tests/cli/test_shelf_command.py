"""`potside shelf` and `potside shopping`, as processes."""

from __future__ import annotations

import json
import re
from pathlib import Path


def test_what_is_there(potside, studio: Path) -> None:
    (studio / "shared" / "jars.toml").write_text(
        '[[jar]]\nname = "old rust"\ndye = "studio rust"\nstrength = "1 %"\nvolume = "85 mL"\nuse_by = 2001-01-01\n'
    )
    done = potside("shelf")
    assert (done.exit_code, done.stderr) == (0, "")
    assert "studio rust" in done.stdout and "21 g" in done.stdout
    assert re.search(r"old rust +OLD, \d+ days over", done.stdout)
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
    assert done.exit_code == 1
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
    assert done.exit_code == 1
    told = json.loads(done.stdout)
    needs = {need["name"]: need for need in told["needs"]}
    assert told["plans"] == ["Tidewrack stripes", "Kelp forest"]
    assert (needs["harbour sock blank"]["short"], needs["harbour sock blank"]["packs"]) == (1.0, 1)
    assert told["cost"] == 11.5
    printed = potside("shopping", both[0]).stdout
    assert "of 0 pieces, 1 piece short: 1, 11.50 EUR" in printed
    assert "11.50 EUR in whole packs" in printed
    assert 11.5 < told["used"] < 20.5, "two pieces and a little dye; the second one is there"


def test_shopping_for_no_plan(potside, tmp_path: Path) -> None:
    done = potside("shopping", tmp_path / "none.plan.toml")
    assert done.exit_code == 2 and "there is no such file" in done.stderr


SESSION = "20260912-0704-tidewrack-stripes-63ea"


def test_draw_down_shows_then_takes_then_says_it_is_done(potside, studio: Path) -> None:
    kept = Path(__file__).resolve().parents[2] / "sessions" / f"{SESSION}.jsonl"
    (studio / "sessions" / kept.name).write_bytes(kept.read_bytes())
    dyes = studio / "shared" / "dyes.toml"
    before = dyes.read_text()
    shown = potside("shelf", "--draw-down", "20260912")
    assert shown.exit_code == 0
    assert "[ ] studio rust: 21 g, less 0.39 g, leaves 20.61 g" in shown.stdout
    assert "0.39 g weighed, for rust" in shown.stdout
    assert "nothing was changed" in shown.stderr and dyes.read_text() == before
    taken = potside("shelf", "--draw-down", SESSION, "--yes", "--json")
    assert all(change["done"] for change in json.loads(taken.stdout)["changes"])
    after = dyes.read_text()
    assert 'on_hand = "20.61 g"' in after
    again = potside("shelf", "--draw-down", SESSION, "--yes")
    assert "[x] studio rust: taken off before" in again.stdout and dyes.read_text() == after
    assert "Taken off the shelf: studio rust" in potside("show", SESSION).stdout
    assert potside("verify", studio / "sessions" / kept.name).exit_code == 0
    jars = json.loads(potside("shelf", "--json").stdout)["entries"]
    assert [e["written"]["session"] for e in jars if e["table"] == "jar" and "session" in e["written"]] == [
        SESSION
    ] * 2


def test_draw_down_of_nothing(potside) -> None:
    done = potside("shelf", "--draw-down", "2031")
    assert done.exit_code == 3 and "no session called 2031" in done.stderr
    assert potside("shelf", "--yes").exit_code == 2


def test_draw_down_asks_one_by_one(terminal, studio: Path) -> None:
    kept = Path(__file__).resolve().parents[2] / "sessions" / f"{SESSION}.jsonl"
    (studio / "sessions" / kept.name).write_bytes(kept.read_bytes())
    window = terminal("shelf", "--draw-down", SESSION, rows=40, columns=100)
    window.until("Take it off?")
    for answer, shown in (
        ("y", "deep water: 24 g, less"),
        ("n", "pickling vinegar: 700"),
        ("l", "harbour sock"),
    ):
        window.type(f"{answer}\r")
        window.until(shown)
    window.type("a\r")
    window.until("1 left for later.")
    assert window.end() == 0
    dyes = (studio / "shared" / "dyes.toml").read_text()
    assert 'on_hand = "20.61 g"' in dyes and 'on_hand = "24 g"' in dyes
    assert 'on_hand = "700 mL"' in (studio / "shared" / "acids.toml").read_text()
