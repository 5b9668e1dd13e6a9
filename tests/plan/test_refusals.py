"""What a plan may not say: one sentence with the file, the key and what to write instead."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF
from studio.plan.toml import read_text

GOOD = """format = "potside-plan/1"
title = "Slipway"
method = "paint and steam"
salt = "none"
reserve = "20 %"

[fibre]
blend = { wool = 75, nylon = 25 }
dry_weight = "100 g"
squeezed_weight = "180 g"
form = "blank"
rows = 220

[water]
alkalinity = "80 mg/L"
altitude = "350 m"

[presoak]
acid = "white vinegar"
liquor_ratio = 20
target_ph = 4.0

[[colour]]
name = "rust"
dye = "C.I. Acid Orange 7"
depth = "1.5 %"
stock = "4 %"

[[colour]]
name = "kelp"
dye = "food green"
drops = 10
in = "3/4 cup"

[layout]
order = [ { colour = "rust", rows = 6 }, { bare = 5 }, { colour = "kelp", rows = 6 }, { bare = 5 } ]
repeat = "to fill"

[set]
shape = "roll"
thickness = "5 cm"
length = "12 cm"
hob = "1000 W"
pot_water = "1.5 L"

[kit]
use = ["steamer pot", "foam brushes"]

[knit]
stitches = 64
gauge = "32 st / 4 in"
"""

WRONG = {
    "no unit": ('dry_weight = "100 g"', 'dry_weight = "100"', "fibre.dry_weight", "100 g"),
    "number for a weight": ('dry_weight = "100 g"', "dry_weight = 100", "fibre.dry_weight", "unit in quotes"),
    "negative weight": ('dry_weight = "100 g"', 'dry_weight = "-100 g"', "fibre.dry_weight", "write"),
    "more reserve than paint": ('reserve = "20 %"', 'reserve = "200 %"', "reserve", "at 0 to 100 %"),
    "no weight at all": ('dry_weight = "100 g"', 'dry_weight = "0 g"', "fibre.dry_weight", "above 0"),
    "wrong dimension": ('dry_weight = "100 g"', 'dry_weight = "100 mL"', "fibre.dry_weight", "100 g"),
    "wet below dry": ('"180 g"', '"80 g"', "fibre.squeezed_weight", "wet"),
    "unknown dye": (
        '"C.I. Acid Orange 7"',
        '"acid orenge 7"',
        "colour.rust.dye",
        'did you mean "C.I. Acid Orange 7"',
    ),
    "unknown fibre": ("nylon = 25", "nylonn = 25", "fibre.blend", 'did you mean "nylon"'),
    "unknown acid": ('"white vinegar"', '"wite vinegar"', "presoak.acid", 'did you mean "white vinegar"'),
    "blend short of 100": ("nylon = 25", "nylon = 20", "fibre.blend", "not to 100"),
    "blend as text": ("{ wool = 75, nylon = 25 }", '"wool"', "fibre.blend", "table"),
    "bands exceed rows": ("rows = 220", "rows = 12", "layout.order", "the blank has 12 (fibre.rows)"),
    "repeats exceed rows": (
        'repeat = "to fill"',
        "repeat = 11",
        "layout.order",
        "the blank has 220 (fibre.rows)",
    ),
    "no rows": ("rows = 220\n", "", "fibre.rows", "rows = 220"),
    "unknown key": ("dry_weight", "dry_wieght", "fibre", 'did you mean "dry_weight"'),
    "key in the wrong table": ("[knit]", "[knit]\nthickness = '5 cm'", "knit", "it belongs in [set]"),
    "unknown table": ("[layout]", "[layuot]", "the top of the file", 'did you mean "layout"'),
    "unknown method": ('"paint and steam"', '"paint and stem"', "method", 'did you mean "paint and steam"'),
    "unknown form": ('form = "blank"', 'form = "blnk"', "fibre.form", '"blank"'),
    "wrong type": ("rows = 220", 'rows = "many"', "fibre.rows", "number without quotes"),
    "half a row": ("rows = 220", "rows = 2.5", "fibre.rows", "whole number"),
    "true for a number": ("liquor_ratio = 20", "liquor_ratio = true", "presoak.liquor_ratio", "number"),
    "nan": ("liquor_ratio = 20", "liquor_ratio = nan", "presoak.liquor_ratio", "between"),
    "infinite": ("liquor_ratio = 20", "liquor_ratio = inf", "presoak.liquor_ratio", "between"),
    "a date": ("liquor_ratio = 20", "liquor_ratio = 2026-11-25", "presoak.liquor_ratio", "number"),
    "huge number": ("liquor_ratio = 20", "liquor_ratio = " + "9" * 400, "presoak.liquor_ratio", "between"),
    "missing title": ('title = "Slipway"\n', "", "title", "is missing"),
    "other format": ("potside-plan/1", "potside-plan/9", "format", '"potside-plan/1"'),
    "no colour": (
        '[[colour]]\nname = "rust"\ndye = "C.I. Acid Orange 7"\ndepth = "1.5 %"\nstock = "4 %"\n\n[[colour]]\n'
        'name = "kelp"\ndye = "food green"\ndrops = 10\nin = "3/4 cup"\n',
        "",
        "colour",
        "[[colour]]",
    ),
    "one name twice": ('name = "kelp"', 'name = "Rust"', "colour.Rust.name", "second time"),
    "colour not used": ('{ colour = "kelp", rows = 6 }', "{ bare = 6 }", "layout.order", '"kelp"'),
    "colour not there": (
        'colour = "kelp"',
        'colour = "klep"',
        "layout.order[3].colour",
        'did you mean "kelp"',
    ),
    "rows and shares": ("{ bare = 5 } ]", '{ bare = "5 %" } ]', "layout.order", "mixes rows and shares"),
    "band without width": (
        'colour = "kelp", rows = 6',
        'colour = "kelp"',
        "layout.order[3].rows",
        "rows = 6",
    ),
    "drops without a measure": ('in = "3/4 cup"\n', "", "colour.kelp.in", "3/4 cup"),
    "drops and depth": ("drops = 10", 'drops = 10\ndepth = "1 %"', "colour.kelp.depth", "leave one"),
    "no depth": ('depth = "1.5 %"\n', "", "colour.rust.depth", "1 %"),
    "too deep": ('depth = "1.5 %"', 'depth = "150 %"', "colour.rust.depth", "up to 20 %"),
    "two ways to dose": (
        "target_ph = 4.0",
        'target_ph = 4.0\nacid_amount = "20 mL"',
        "presoak.acid_amount",
        "two things",
    ),
    "vinegar by weight": ("target_ph = 4.0", 'acid_amount = "20 g"', "presoak.acid_amount", "60 mL"),
    "acid without end": ("target_ph = 4.0", 'acid_amount = "19 L"\n', "presoak.acid_amount", "less acid"),
    "pH without acid": ('acid = "white vinegar"\n', "", "presoak.acid", "white vinegar"),
    "pH out of reach": ("target_ph = 4.0", "target_ph = 2.05", "presoak.target_ph", "4.0"),
    "pH not sour": ("target_ph = 4.0", "target_ph = 9.0", "presoak.target_ph", "between 2 and 7"),
    "too high to steam": ('"350 m"', '"5000 m"', "water.altitude", "to 4000 m"),
    "kit as text": ('["steamer pot", "foam brushes"]', '"steamer pot"', "kit.use", "list"),
    "unknown base": ("[fibre]", '[fibre]\nbase = "harbour sock"', "fibre.base", "no base of the shelf"),
    "no thickness": (
        'thickness = "5 cm"\nlength = "12 cm"\n',
        "",
        "set.thickness",
        "or the length, and it is worked out",
    ),
    "layers of a roll": (
        'thickness = "5 cm"\n',
        'thickness = "5 cm"\nlayers = 8\n',
        "set.layers",
        "this is a roll",
    ),
    "empty text": ('title = "Slipway"', 'title = "  "', "title", "empty"),
    "not TOML": ("[fibre]", "[fibre", "TOML", "correct"),
    "one key twice": ('form = "blank"', 'form = "blank"\nform = "skein"', "TOML", "correct"),
}


def read_and_work(text: str) -> None:
    work_out(read_plan(text, name="slip.plan.toml"), EMPTY_SHELF)


def test_the_good_plan_is_good() -> None:
    read_and_work(GOOD)


@pytest.mark.parametrize(("old", "new", "key", "hint"), WRONG.values(), ids=WRONG)
def test_one_sentence(old: str, new: str, key: str, hint: str) -> None:
    assert old in GOOD
    with pytest.raises(PlanError) as caught:
        read_and_work(GOOD.replace(old, new, 1))
    sentence = str(caught.value)
    assert sentence.startswith("slip.plan.toml: ")
    assert key in sentence
    assert hint in sentence
    one_sentence(sentence)


def one_sentence(text: str) -> None:
    """Short, on one line, ends like a sentence, and nothing in it steers a terminal."""
    assert len(text) < 420
    assert text.isprintable()
    assert re.search(r"[.?!]\)?$", text)
    assert "Traceback" not in text and "msgspec" not in text and "<class" not in text


HOSTILE = {
    "100 KB key": "a" * 100_000 + " = 1",
    "100 KB dotted key": ".".join("a" * 50_000) + " = 1",
    "60 KB dotted key": ".".join("a" * 30_000) + " = 1",
    "100k brackets": "a = " + "[" * 100_000,
    "60k brackets on lines": "a = " + "[\n" * 30_000,
    "30k tables deep": "a = " + "{b=\n" * 9_000,
    "4300 digits": "rows = " + "9" * 1_900,
    "5 KB value": 'title = "' + "x" * 5_000 + '"',
    "NUL": "title = \x00",
    "lone surrogate": 'title = "\ud800"',
    "empty": "",
    "escape in a key": '"\\u001b]0;owned\\u0007" = 1\nformat = "potside-plan/1"',
    "escape in a value": 'format = "\\u001b[2J\\u202e"',
}


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE)
def test_hostile_text_is_refused(text: str, no_hang) -> None:
    with no_hang(), pytest.raises(PlanError) as caught:
        read_and_work(text)
    one_sentence(str(caught.value))


class TestFiles:
    def test_not_there(self, tmp_path: Path) -> None:
        with pytest.raises(PlanError, match="no such file"):
            read_text(tmp_path / "gone.plan.toml")

    def test_folder(self, tmp_path: Path) -> None:
        with pytest.raises(PlanError, match="is a folder"):
            read_text(tmp_path)

    def test_not_utf8(self, tmp_path: Path) -> None:
        path = tmp_path / "old.plan.toml"
        path.write_bytes(b'title = "ok"\ntitle2 = "K\xfcste"\n')
        with pytest.raises(PlanError, match="line 2 is not UTF-8"):
            read_text(path)

    def test_too_big(self, tmp_path: Path) -> None:
        path = tmp_path / "big.plan.toml"
        path.write_text("# rope\n" * 20_000)
        with pytest.raises(PlanError, match="larger than 64 KiB"):
            read_text(path)

    @pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no named pipes on this system")
    def test_pipe_answers_at_once(self, tmp_path: Path) -> None:
        path = tmp_path / "pipe.plan.toml"
        os.mkfifo(path)
        with pytest.raises(PlanError, match="not an ordinary file"):
            read_text(path)

    def test_name_with_nul(self) -> None:
        with pytest.raises(PlanError, match="cannot be opened"):
            read_text(Path("a\0b"))

    def test_byte_order_mark_and_windows_lines_are_read(self, tmp_path: Path) -> None:
        path = tmp_path / "win.plan.toml"
        path.write_bytes(b"\xef\xbb\xbf" + GOOD.replace("\n", "\r\n").encode())
        assert read_plan(read_text(path), name=path.name).title == "Slipway"
