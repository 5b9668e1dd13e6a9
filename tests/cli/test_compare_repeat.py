"""`potside compare` and `potside repeat` as a person starts them, on the sample sessions."""

from __future__ import annotations

import json
import shutil
import tomllib
from pathlib import Path

import pytest

SAMPLES = Path(__file__).resolve().parents[2] / "sessions"


@pytest.fixture
def tidewrack(studio: Path) -> list[str]:
    """Names of the sample sessions on the striped blank, oldest first; all samples are in the studio."""
    for path in SAMPLES.glob("*.jsonl"):
        shutil.copy(path, studio / "sessions" / path.name)
    return sorted(path.name for path in SAMPLES.glob("*tidewrack*.jsonl"))


@pytest.fixture
def kelp(tidewrack: list[str]) -> str:
    (path,) = SAMPLES.glob("*kelp-forest*.jsonl")
    return path.name


def weighed(potside, session: str) -> float:
    """The dry weight of a session, as `potside show` tells it."""
    told = json.loads(potside("show", session, "--json").stdout)
    return next(v["actual"] for v in told["values"] if v["step"] == "ready.weight")


def test_compare_prints_only_what_differs(potside, tidewrack):
    done = potside("compare", *tidewrack)
    assert (done.exit_code, done.stderr) == (0, "")
    assert "Dry fibre weighed, g" in done.stdout and "steam lost, min" in done.stdout
    assert "boils at" not in done.stdout
    assert all(line == line.rstrip() for line in done.stdout.splitlines())


def test_money_and_degrees_say_what_they_are(potside, tidewrack):
    first, second = tidewrack[:2]
    printed = potside("compare", first, second).stdout
    assert "cost of the lot, EUR" in printed and ", °C " in printed and "degC" not in printed


def test_compare_as_json_agrees_with_show(potside, tidewrack):
    told = json.loads(potside("compare", *tidewrack, "--json").stdout)
    assert told["format"] == "potside-compare/1"
    row = next(r for r in told["rows"] if (r["part"], r["id"]) == ("measured", "fibre.weight"))
    first, second = (weighed(potside, name) for name in tidewrack)
    assert row["values"] == [first, second]
    assert row["differences_percent"][1] == pytest.approx(100 * (second - first) / first)


def test_a_session_against_itself(potside, tidewrack):
    done = potside("compare", tidewrack[0], tidewrack[0])
    assert done.exit_code == 0 and "Nothing differs." in done.stdout


def test_four_side_by_side(potside, tidewrack):
    done = potside("compare", *sorted(p.name for p in SAMPLES.glob("*.jsonl"))[:4])
    assert done.exit_code == 0 and "\nD  " in done.stdout
    lines = done.stdout.splitlines()
    assert max(map(len, lines)) <= 80
    # A long label has a line of its own, its figures below; sessions that say the same share a line.
    place = lines.index("  deep water stock ready, mL")
    # 13.1 mL were poured in the first of them, where 0.26 g of deep water at 2 % asked for 13.
    assert lines[place + 1].split()[0] == "13.1" and "…" not in done.stdout
    assert any(line.split() == ["A", "C", "D", "blank"] for line in lines)
    assert any(line.split() == ["B", "skein"] for line in lines)


def test_four_as_json_agree_with_show_in_every_value(potside, tidewrack):
    """Each number of each session as `potside show` tells it, the difference from the first worked out anew."""
    names = sorted(p.name for p in SAMPLES.glob("*.jsonl"))[:4]
    told = json.loads(potside("compare", *names, "--json").stdout)
    assert [s["session"] for s in told["sessions"]] == names
    shown = [
        {v["step"]: v["actual"] for v in json.loads(potside("show", n, "--json").stdout)["values"]}
        for n in names
    ]
    rows = [r for r in told["rows"] if r["part"] == "measured" and not r["words"]]
    steps = {step for one in shown for step in one}
    assert len(rows) > 10
    for r in rows:
        assert any(r["values"] == [one.get(step) for one in shown] for step in steps), r["id"]
        assert len(set(r["values"])) > 1
        first, per_cent = r["values"][0], r["differences_percent"][1:]
        for value, off in zip(r["values"][1:], per_cent, strict=True):
            if first and value is not None and r["unit"] not in ("degC", "pH", "rounds"):
                assert off == pytest.approx(100 * (value - first) / first)
            else:
                assert off is None


@pytest.mark.parametrize(("count", "code"), [(1, 2), (5, 2)])
def test_too_few_or_too_many(potside, tidewrack, count, code):
    done = potside("compare", *[tidewrack[0]] * count)
    assert (done.exit_code, done.stdout) == (code, "")
    assert "Two to four sessions" in done.stderr and "Traceback" not in done.stderr


def test_a_session_that_is_not_there(potside, tidewrack):
    for words in (("compare", tidewrack[0], "1999"), ("repeat", "1999")):
        done = potside(*words)
        assert done.exit_code == 3 and done.stdout == ""
        assert "There is no session called 1999" in done.stderr


def test_a_damaged_session_is_compared_and_told(potside, studio, tidewrack):
    path = studio / "sessions" / tidewrack[0]
    lines = path.read_bytes().split(b"\n")
    lines[40] = lines[40].replace(b'"', b"'", 1)
    path.write_bytes(b"\n".join(lines))
    done = potside("compare", *tidewrack)
    assert done.exit_code == 3 and tidewrack[0] in done.stderr and "Traceback" not in done.stderr


def test_repeat_prints_a_plan_that_works_out(potside, tidewrack, home):
    done = potside("repeat", tidewrack[0])
    assert done.exit_code == 0
    plan = tomllib.loads(done.stdout)
    assert plan["fibre"]["dry_weight"] == f"{weighed(potside, tidewrack[0]):g} g"
    assert "target_ph" not in plan["presoak"] and "# Two colours in stripes" in done.stdout
    assert "from what you did" in done.stderr and "->" in done.stderr
    (home / "again.plan.toml").write_text(done.stdout)
    assert potside("worksheet", home / "again.plan.toml").exit_code == 0


def test_three_times_the_weight_names_what_does_not_follow(potside, tidewrack, home):
    dyed_g = weighed(potside, tidewrack[0])
    target = home / "large.plan.toml"
    done = potside("repeat", tidewrack[0], "--weight", f"{3 * dyed_g:g} g", "-o", target)
    assert done.exit_code == 0 and f"wrote {target}" in done.stderr
    anew, _, rest = done.stdout.partition("\nin proportion to weight")
    for label in ("weighing error", "middle at 85 °C", "steam set", "pot water for the set", "cooling"):
        assert label in anew and label not in rest.partition("\nmind")[0]
    sheets = []
    for weight in ((), ("--weight", f"{3 * dyed_g:g} g")):
        (home / "sheet.plan.toml").write_text(potside("repeat", tidewrack[0], *weight).stdout)
        told = json.loads(potside("worksheet", home / "sheet.plan.toml", "--json").stdout)
        sheets.append({f["id"]: f["value"] for f in told["figures"]})
    for figure in (
        "paint.rust.liquid",
        "paint.rust.stock",
        "presoak.acid",
        "presoak.water",
        "stock.rust.dye",
    ):
        assert sheets[1][figure] == pytest.approx(3 * sheets[0][figure], rel=1e-3)


def test_on_another_base_of_the_shelf(potside, tidewrack, home):
    target = home / "skein.plan.toml"
    done = potside("repeat", tidewrack[0], "--base", "Slip wool skein", "--weight", "300 g", "-o", target)
    assert done.exit_code == 0 and done.stdout.startswith("another base\n")
    assert "form" in done.stdout and "blank -> skein" in done.stdout
    assert "became shares of the fibre, for a skein has no rows" in done.stdout.replace("\n", " ").replace(
        "  ", " "
    )
    plan = tomllib.loads(target.read_text())
    assert (plan["fibre"]["base"], plan["fibre"]["dry_weight"]) == ("slip wool skein", "300 g")
    # On 220 rows 12 rust, 8 bare, 12 deep water, 8 bare: 72, 60 and 88 rows.
    assert [b.get("share") or b["bare"] for b in plan["layout"]["order"]] == ["32.727 %", "27.273 %", "40 %"]
    assert potside("worksheet", target).exit_code == 0


def test_a_base_that_the_shelf_does_not_have(potside, tidewrack):
    done = potside("repeat", tidewrack[0], "--base", "slip wol skein")
    assert (done.exit_code, done.stdout) == (2, "") and done.stderr.count("\n") == 1
    assert 'did you mean "slip wool skein"? It has "harbour sock blank"' in done.stderr


def test_a_mixture_and_a_matching_second_lot(potside, kelp):
    done = potside("repeat", kelp, "--same-jars")
    assert done.exit_code == 0
    assert tomllib.loads(done.stdout)["colour"][0]["mix"][0]["dye"] == "gorse"
    assert (
        "hold equal" in done.stderr
        and "into the presoak, for 100 g of" in done.stderr
        and "strength of gorse stock" in done.stderr
    )


def test_a_file_that_is_there_is_not_written_over_without_force(potside, tidewrack, home):
    target = home / "again.plan.toml"
    target.write_text("mine")
    done = potside("repeat", tidewrack[0], "-o", target)
    assert done.exit_code == 4 and "--force" in done.stderr and target.read_text() == "mine"
    assert potside("repeat", tidewrack[0], "-o", target, "--force").exit_code == 0
    assert "format" in target.read_text()


def test_a_session_file_is_never_written_over(potside, studio, tidewrack):
    path = studio / "sessions" / tidewrack[1]
    before = path.read_bytes()
    for force in ((), ("--force",)):
        done = potside("repeat", tidewrack[0], "-o", path, *force)
        assert done.exit_code == 4 and path.read_bytes() == before
        assert "--force" not in done.stderr, "nothing writes over a session"


@pytest.mark.parametrize(
    "weight", ["0 g", "150", "150 m", "", "-3 g", "nan g", "500 kg", "1 mg", "\x1b[2J g"]
)
def test_a_weight_that_cannot_be(potside, tidewrack, weight):
    done = potside("repeat", tidewrack[0], "--weight", weight)
    assert (done.exit_code, done.stdout) == (2, "")
    assert done.stderr.startswith("potside: ") and done.stderr.count("\n") == 1
    assert "Traceback" not in done.stderr and "\x1b" not in done.stderr


def test_an_abandoned_session_can_be_repeated(potside, tidewrack):
    done = potside("repeat", tidewrack[-1])
    assert done.exit_code == 0 and tomllib.loads(done.stdout)["title"] == "Tidewrack stripes"
