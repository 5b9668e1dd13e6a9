"""Plans that are wrong, through `worksheet` and `begin`: one sentence, exit code 2, at once, no session."""

from __future__ import annotations

import gc
import os
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from studio.cli import main

GOOD = """format = "potside-plan/1"
title = "Tidewrack stripes"
method = "paint and steam"
[fibre]
blend = { "superwash wool" = 75, nylon = 25 }
dry_weight = "100 g"
form = "blank"
rows = 220
stitches = 60
[presoak]
acid = "white vinegar"
liquor_ratio = 20
target_ph = 4.0
[[colour]]
name = "rust"
dye = "food red"
depth = "1.5 %"
stock = "1 %"
[layout]
order = [ { colour = "rust", rows = 6 }, { bare = 5 } ]
repeat = "to fill"
[set]
shape = "roll"
thickness = "5 cm"
length = "12 cm"
pot_water = "1.5 L"
"""

# Case: (what stands in the good plan, what is put in its place, the key that is named, what else is said)
CASES = {
    "unit missing": ('"100 g"', '"100"', "fibre.dry_weight", "g"),
    "wrong kind of unit": ('"100 g"', '"100 mL"', "fibre.dry_weight", "g"),
    "number for a quantity": ('"100 g"', "100", "fibre.dry_weight", '"100 g"'),
    "negative weight": ('"100 g"', '"-100 g"', "fibre.dry_weight", ""),
    "no weight at all": ('"100 g"', '"0 g"', "fibre.dry_weight", ""),
    "not a number": ('"100 g"', '"nan g"', "fibre.dry_weight", ""),
    "thousands": ('"100 g"', '"1,234.5 g"', "fibre.dry_weight", ""),
    "too large": ('"100 g"', '"1e400 g"', "fibre.dry_weight", ""),
    "other digits": ('"100 g"', '"٣٠٠ g"', "fibre.dry_weight", ""),
    "underscore": ('"100 g"', '"1_0 g"', "fibre.dry_weight", ""),
    "empty": ('"100 g"', '""', "fibre.dry_weight", '"100 g"'),
    "unknown dye": ('"food red"', '"zzzzqq"', "zzzzqq", "food red"),
    "dye nearly right": ('"food red"', '"food rad"', "food rad", "food red"),
    "unknown fibre": ("nylon = 25", "nylong = 25", "nylong", "nylon"),
    "unknown acid": ('"white vinegar"', '"white vinegr"', "white vinegr", "white vinegar"),
    "bands exceed the rows": ("rows = 220", "rows = 8", "layout.order", "8"),
    "blend not 100": ("nylon = 25", "nylon = 20", "fibre.blend", "95"),
    "blend negative": ("nylon = 25", "nylon = -25", "nylon", ""),
    "key nearly right": ("dry_weight", "dry_wieght", "dry_wieght", "dry_weight"),
    "key like no other": ("stitches = 60", "zzzzqq = 60", "fibre", "dry_weight"),
    "key of another table": ("stitches = 60", "acid = 60", "fibre", "[presoak]"),
    "table nearly right": ("[presoak]", "[presok]", "presok", "presoak"),
    "number for a table": ('steam"\n', 'steam"\nknit = 3\n', "knit", "table"),
    "unknown colour in the layout": ('colour = "rust"', 'colour = "rusd"', "rusd", "rust"),
    "text for a number": ("rows = 220", 'rows = "many"', "fibre.rows", "220"),
    "half a row": ("rows = 220", "rows = 2.5", "fibre.rows", "whole"),
    "flag for a number": ("liquor_ratio = 20", "liquor_ratio = true", "presoak.liquor_ratio", "20"),
    "infinite": ("liquor_ratio = 20", "liquor_ratio = inf", "presoak.liquor_ratio", "20"),
    "date": ("liquor_ratio = 20", "liquor_ratio = 2026-11-25", "presoak.liquor_ratio", "20"),
    "acidity out of range": ("target_ph = 4.0", "target_ph = 14", "presoak.target_ph", "7"),
    "newer format": ("potside-plan/1", "potside-plan/9", "format", "potside-plan/1"),
    "no format": ('format = "potside-plan/1"\n', "", "format", "potside-plan/1"),
    "unknown form": ('"blank"', '"blanc"', "fibre.form", '"blank"'),
    "nul in a title": ('"Tidewrack stripes"', '"a\\u0000"', "", ""),
    "steering text": ('"food red"', '"\\u001b]0;x\\u0007\\u202e"', "dye", ""),
    "markup": ('"food red"', '"[@click=app.quit]q[/]"', "[@click=app.quit]", ""),
}
MAY_PASS = {"nul in a title"}
"""A strange title is data: it is kept, and shown escaped."""

WHOLE_FILES = {
    "empty": b"",
    "no TOML": b"this is no plan",
    "not UTF-8": GOOD.encode().replace(b"Tidewrack", b"Tid\xff"),
    "key of 100 KB": b"a" * 100_000 + b" = 1\n",
    "dotted key of 100 KB": b"a." * 50_000 + b"a = 1\n",
    "dotted key in lines": b"a." * 900 + b"a = 1\n",
    "100k brackets": b"a = " + b"[" * 100_000,
    "2k brackets": b"a = " + b"[" * 1_900 + b"\n",
    "brackets over lines": b"a = " + b"[\n" * 30_000,
    "inline tables": b"a = " + b"{a=" * 600,
    "number of 5000 digits": b"a = " + b"9" * 1_999 + b"\n",
    "10 MB": b"# x\n" * 2_500_000,
    "nul bytes": b"\0" * 4096,
    "byte order mark only": b"\xef\xbb\xbf",
    "a session file": b'{"at":"2026-11-25T06:36:38.123Z"}\n',
    "duplicate key": b"a = 1\na = 2\n",
}


def one_sentence(text: str) -> bool:
    """One line, ended by a full stop or a "did you mean?", with no second sentence in it."""
    inside = re.sub(r'"[^"]*"', '""', text.strip())
    return text.count("\n") == 1 and inside.endswith((".", "?")) and not re.search(r"[.!?] [A-Z]", inside)


def refused(command: str, path: Path, studio: Path) -> str:
    """What the command said on standard error, once all that holds for every refusal was checked."""
    done = CliRunner().invoke(main, ["--studio", str(studio), command, str(path)])
    assert done.exit_code == 2, (done.exit_code, done.output)
    assert done.stdout == ""
    assert one_sentence(done.stderr), done.stderr
    assert done.stderr.rstrip("\n").isprintable()
    assert len(done.stderr) < 500
    assert gc.isenabled(), "no screen came that would have looked for garbage again"
    assert done.stderr.startswith(f"potside: {path.name}")
    assert list((studio / "sessions").iterdir()) == []
    return done.stderr


def test_the_good_plan_is_good(tmp_path, studio):
    path = tmp_path / "tide.plan.toml"
    path.write_text(GOOD, encoding="utf-8")
    done = CliRunner().invoke(main, ["--studio", str(studio), "worksheet", str(path)])
    assert (done.exit_code, done.stderr) == (0, "")


@pytest.mark.parametrize("case", CASES)
@pytest.mark.one_in(3)
def test_one_thing_wrong(tmp_path, studio, case):
    old, new, key, hint = CASES[case]
    assert GOOD.count(old) >= 1
    path = tmp_path / "tide.plan.toml"
    path.write_text(GOOD.replace(old, new, 1), encoding="utf-8")
    if case in MAY_PASS:
        done = CliRunner().invoke(main, ["--studio", str(studio), "worksheet", str(path)])
        assert "\0" not in done.output and done.exit_code in (0, 2)
        return
    told = refused("worksheet", path, studio)
    assert key in told and hint in told, told
    assert refused("begin", path, studio) == told


@pytest.mark.parametrize("case", WHOLE_FILES)
def test_no_plan_at_all(tmp_path, studio, case):
    path = tmp_path / "tide.plan.toml"
    path.write_bytes(WHOLE_FILES[case])
    assert refused("worksheet", path, studio) == refused("begin", path, studio)
    assert path.read_bytes() == WHOLE_FILES[case]


@pytest.mark.parametrize(
    "kind", ["missing", "folder", "pipe", "long name", "link to nowhere", "below a file"]
)
def test_no_file_at_all(tmp_path, studio, kind):
    path = tmp_path / "tide.plan.toml"
    if kind == "folder":
        path.mkdir()
    elif kind == "pipe":
        os.mkfifo(path)
    elif kind == "long name":
        path = tmp_path / ("x" * 300)
    elif kind == "link to nowhere":
        path.symlink_to(tmp_path / "nowhere")
    elif kind == "below a file":
        (tmp_path / "file").write_text("")
        path = tmp_path / "file" / "tide.plan.toml"
    for command in ("worksheet", "begin"):
        if kind == "long name":
            done = CliRunner().invoke(main, ["--studio", str(studio), command, str(path)])
            assert done.exit_code == 2 and one_sentence(done.stderr) and "too long" in done.stderr
        else:
            refused(command, path, studio)


def test_a_plan_with_a_stop_prints_and_does_not_begin(tmp_path, studio):
    """Polyester alone takes no dye: the worksheet says so and ends with 1; a session cannot begin."""
    path = tmp_path / "tide.plan.toml"
    path.write_text(
        GOOD.replace('{ "superwash wool" = 75, nylon = 25 }', "{ polyester = 100 }"), encoding="utf-8"
    )
    done = CliRunner().invoke(main, ["--studio", str(studio), "worksheet", str(path)])
    assert (done.exit_code, done.stderr) == (1, "")
    assert "STOP" in done.stdout


def test_a_process_comes_to_an_end_with_the_worst(tmp_path, potside, no_hang):
    """The whole program, started anew, with the hardest file."""
    path = tmp_path / "tide.plan.toml"
    path.write_bytes(WHOLE_FILES["dotted key in lines"])
    with no_hang():
        done = potside("worksheet", path)
    assert done.exit_code == 2 and one_sentence(done.stderr)
