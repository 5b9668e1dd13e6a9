"""Shelf files: what is read, and what is left out with a sentence that names file and key."""

from __future__ import annotations

from pathlib import Path

import pytest

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF, Price
from studio.shelf.reading import load_shelf, read_shelf

GOOD = {
    "dyes.toml": '[[dye]]\nname = "rust"\ndye = "C.I. Acid Orange 7"\nprice = 8\npack = "25 g"\n'
    '[[dye]]\nname = "house grey"\nclass = "milling"\n'
    '[[dye]]\nname = "pantry red"\ndye = "food red"\nform = "liquid"\nstrength = "2 %"\n',
    "acids.toml": '[[acid]]\nname = "pickling"\nacid = "white vinegar"\nstrength = "6 %"\nprice = 1\npack = "1 L"\n',
    "kit.toml": '[[kit]]\nname = "scale"\nkept_for = "dye only"\nresolution = "0.01 g"\n',
    "jars.toml": '[[jar]]\nname = "old"\ndye = "rust"\nstrength = "1 %"\nvolume = "1 cup"\n',
    "bases.toml": '[[base]]\nname = "sock"\nblend = { wool = 75, nylon = 25 }\ndry_weight = "4 oz"\n',
    "studio.toml": '[studio]\nname = "Skerry"\nhob = "1.8 kW"\naltitude = "-3 m"\nalkalinity = "4 dH"\n',
}


def test_all_of_it() -> None:
    shelf = read_shelf(GOOD)
    assert shelf.remarks == ()
    assert [d.name for d in shelf.dyes] == ["rust", "house grey", "pantry red"]
    assert shelf.dyes[0].price == Price(8.0, 25.0, "g")
    assert shelf.dyes[0].price.per_unit == pytest.approx(0.32)
    assert shelf.acids[0].strength_percent == pytest.approx(6.0)
    assert shelf.acids[0].price == Price(1.0, 1000.0, "mL")
    assert shelf.kit[0].resolution_g == pytest.approx(0.01)
    assert shelf.jars[0].volume_ml == pytest.approx(236.5882, abs=1e-3)  # US cup, NIST SP 811 B.8
    assert shelf.bases[0].dry_weight_g == pytest.approx(113.398, abs=1e-3)  # 4 x 28.34952 g
    assert shelf.studio.hob_w == pytest.approx(1800.0)
    assert shelf.studio.altitude_m == pytest.approx(-3.0)
    assert shelf.studio.alkalinity_mg_l == pytest.approx(71.4, abs=0.1)  # 4 x 17.848 mg/L


BAD = {
    "dye of no table": ("dyes.toml", '[[dye]]\nname = "x"\ndye = "acid puce 9"\n', "dye[1].dye"),
    "dye of no class": ("dyes.toml", '[[dye]]\nname = "x"\n', "dye[1].dye"),
    "price without pack": ("dyes.toml", '[[dye]]\nname = "x"\nclass = "food"\nprice = 3\n', "dye[1].pack"),
    "acid of no table": ("acids.toml", '[[acid]]\nname = "x"\nacid = "vitriol"\n', "acid[1].acid"),
    "kit for both": ("kit.toml", '[[kit]]\nname = "x"\nkept_for = "both"\n', "kit[1].kept_for"),
    "jar without volume": (
        "jars.toml",
        '[[jar]]\nname = "x"\ndye = "rust"\nstrength = "1 %"\n',
        "jar[1].volume",
    ),
    "blend of 90": ("bases.toml", '[[base]]\nname = "x"\nblend = { wool = 90 }\n', "base[1].blend"),
    "unknown key": ("kit.toml", '[[kit]]\nname = "x"\nkept_fro = "dye only"\n', 'mean "kept_for"'),
    "unknown table": ("kit.toml", '[[pot]]\nname = "x"\n', '"pot"'),
    "not a table": ("kit.toml", "kit = 3\n", "kit[1]"),
    "no TOML": ("kit.toml", "[[kit", "TOML"),
    "room too hot": ("studio.toml", '[studio]\nroom = "60 C"\n', "studio.room"),
}


@pytest.mark.parametrize(("file", "text", "key"), BAD.values(), ids=BAD)
def test_a_bad_entry_is_named_and_the_rest_loads(file: str, text: str, key: str) -> None:
    rest = {name: toml for name, toml in GOOD.items() if name != file}
    shelf = read_shelf({**rest, file: text})
    assert len(shelf.remarks) == 1
    assert shelf.remarks[0].startswith(f"{file}: ")
    assert key in shelf.remarks[0]
    kept = {
        "dyes.toml": shelf.dyes,
        "acids.toml": shelf.acids,
        "kit.toml": shelf.kit,
        "jars.toml": shelf.jars,
    }
    assert all(entries for name, entries in kept.items() if name != file)
    assert not kept.get(file)


def test_a_good_entry_beside_a_bad_one_in_one_file() -> None:
    shelf = read_shelf({"kit.toml": '[[kit]]\nname = "a"\n' + GOOD["kit.toml"]})
    assert [item.name for item in shelf.kit] == ["scale"]
    assert len(shelf.remarks) == 1


def test_one_name_twice_keeps_the_first() -> None:
    twice = GOOD["kit.toml"] + '[[kit]]\nname = "Scale"\nkept_for = "kitchen"\n'
    shelf = read_shelf({"kit.toml": twice})
    assert [item.kept_for for item in shelf.kit] == ["dye only"]
    assert "second time" in shelf.remarks[0]


def test_folder(tmp_path: Path) -> None:
    (tmp_path / "kit.toml").write_text(GOOD["kit.toml"])
    (tmp_path / "dyes.toml").write_bytes(b"\xff\xfe")
    (tmp_path / "plans").mkdir()
    shelf = load_shelf(tmp_path)
    assert [item.name for item in shelf.kit] == ["scale"]
    assert "dyes.toml" in shelf.remarks[0] and "UTF-8" in shelf.remarks[0]
    assert load_shelf(tmp_path / "not-there") == EMPTY_SHELF


def test_a_liquid_of_unknown_strength_is_good_for_drops_and_for_nothing_else() -> None:
    """A bottle of food colour seldom says how strong it is; drops need not know."""
    shelf = read_shelf({"dyes.toml": '[[dye]]\nname = "red drops"\ndye = "food red"\nform = "liquid"\n'})
    assert not shelf.remarks
    drops = 'drops = 10\nin = "3/4 cup"'
    depth = 'depth = "1 %"'
    plan = """format = "potside-plan/1"
title = "x"
method = "paint and steam"
[fibre]
blend = { wool = 100 }
dry_weight = "50 g"
form = "skein"
[[colour]]
name = "red"
dye = "red drops"
HOW
[set]
shape = "flat packet"
thickness = "3 cm"
"""
    work_out(read_plan(plan.replace("HOW", drops), name="p"), shelf)
    with pytest.raises(PlanError, match=r"strength of red drops is not known"):
        work_out(read_plan(plan.replace("HOW", depth), name="p"), shelf)
