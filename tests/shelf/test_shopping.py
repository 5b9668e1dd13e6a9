"""What plans need against what is on hand; the sums by hand."""

from __future__ import annotations

from datetime import timedelta

import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.work.worked import work_all
from studio.quantity.showing import show_day
from studio.report.shelf_rows import shopping_sections
from studio.services.studio import Services
from studio.shelf.reading import read_shelf
from studio.shelf.shopping import Need, Shopping, pieces_of, shopping
from studio.store.folder import StudioFolder

FILES = {
    "dyes.toml": '[[dye]]\nname = "rust"\ndye = "C.I. Acid Orange 7"\nprice = 8\npack = "25 g"\nHAND\n'
    '[[dye]]\nname = "pantry red"\ndye = "food red"\nform = "liquid"\nstrength = "2 %"\non_hand = "10 mL"\n'
    'price = 3\npack = "38 mL"\n',
    "acids.toml": '[[acid]]\nname = "vinegar"\nacid = "white vinegar"\nprice = 0.9\npack = "1 L"\non_hand = "1 L"\n',
    "bases.toml": '[[base]]\nname = "sock"\nblend = { wool = 100 }\nform = "skein"\ndry_weight = "100 g"\n'
    "price = 11\non_hand = 1\n",
    "jars.toml": "",
    "studio.toml": '[studio]\ncurrency = "EUR"\n',
}
PLAN = """format = "potside-plan/1"
title = "TITLE"
method = "paint and steam"
[fibre]
base = "sock"
[presoak]
acid = "vinegar"
acid_amount = "40 mL"
[[colour]]
name = "red"
dye = "DYE"
depth = "1 %"
stock = "2 %"
[set]
shape = "flat packet"
thickness = "3 cm"
"""


def listed(
    hand: str = 'on_hand = "5 g"', jars: str = "", *dyes: str, read_on: str = "2026-11-25", **more: str
) -> Shopping:
    files = {**FILES, "dyes.toml": FILES["dyes.toml"].replace("HAND", hand), "jars.toml": jars}
    files |= {f"{name}.toml": text for name, text in more.items()}
    shelf = read_shelf(files, read_on=read_on)
    assert not shelf.remarks
    texts = [PLAN.replace("DYE", dye).replace("TITLE", dye) for dye in dyes or ("rust",)]
    return shopping([work_all(settle(read_plan(text, name="p"), shelf)) for text in texts], shelf)


def need(found: Shopping, name: str) -> Need:
    return next(n for n in found.needs if n.name == name)


def test_enough() -> None:
    """100 g at 1 % is 1 g, with the reserve of 20 % it is 1.2 g (1.00 g of dye per 100 g: Broadbent 2001, p. 22)."""
    found = listed()
    rust = need(found, "rust")
    assert (rust.needed, rust.unit) == (pytest.approx(1.2), "g")
    assert (rust.short, rust.packs, rust.cost) == (0.0, 0, 0.0)
    assert need(found, "vinegar").needed == 40.0
    assert found.cost == 0.0 and not found.to_buy and not found.unknown


def test_short_in_whole_packs() -> None:
    found = listed('on_hand = "0.2 g"', "", "rust", "rust")
    rust, sock = need(found, "rust"), need(found, "sock")
    assert rust.short == pytest.approx(2.4 - 0.2)
    assert (rust.packs, rust.cost) == (1, 8.0)
    assert (sock.needed, sock.short, sock.packs, sock.cost) == (2.0, 1.0, 1, 11.0)
    assert found.cost == pytest.approx(19.0)


def test_what_nobody_wrote_down_is_not_taken_for_nothing() -> None:
    found = listed("")
    assert [n.name for n in found.unknown] == ["rust"]
    assert need(found, "rust").short is None and found.cost is None


def test_an_acid_asked_for_by_its_kind_is_met_by_the_bottle_of_that_kind() -> None:
    """The bottle is called otherwise, and is stronger than the table has it: half of it is as much acid."""
    cellar = (
        FILES["acids.toml"].replace('"vinegar"', '"cellar"').replace("on_hand", 'strength = "10 %"\non_hand')
    )
    text = PLAN.replace('acid = "vinegar"', 'acid = "white vinegar"').replace("DYE", "rust")
    shelf = read_shelf({**FILES, "dyes.toml": FILES["dyes.toml"].replace("HAND", ""), "acids.toml": cellar})
    worked = work_all(settle(read_plan(text, name="p"), shelf))
    found = need(shopping([worked], shelf), "cellar")
    assert (found.on_shelf, found.on_hand, found.short) == (True, 1000.0, 0.0)
    assert worked.settled.acid is not None and worked.settled.acid.strength_percent == 10.0


def test_a_dye_asked_for_by_its_kind_is_met_by_the_powder_of_that_kind() -> None:
    assert need(listed('on_hand = "5 g"', "", "acid orange 7"), "rust").short == 0.0
    assert not need(listed('on_hand = "5 g"', "", "food red"), "food red").on_shelf, "a liquid is no powder"


def test_what_is_not_on_the_shelf_is_to_buy_and_no_amount_of_it_is_not_set() -> None:
    found = listed("", acids="")
    rows = ["".join(text for text, _ in row) for s in shopping_sections(found, 80) for row in s.rows]
    assert any(row.startswith("white vinegar") and row.endswith("not on the shelf") for row in rows)
    assert "not on the shelf: white vinegar" in rows and "amount not set on the shelf: rust" in rows
    assert [n.name for n in found.to_buy] == ["white vinegar"] and found.cost is None


def test_a_ready_liquid_by_volume() -> None:
    """1.2 g of dye in a 2 % liquid is 60 mL; 10 mL are there, so 50 mL are short: two bottles of 38 mL."""
    red = need(listed('on_hand = "5 g"', "", "pantry red"), "pantry red")
    assert (red.needed, red.unit) == (pytest.approx(60.0), "mL")
    assert red.short == pytest.approx(50.0)
    assert (red.packs, red.cost) == (2, 6.0)


def jar(name: str, strength: str, volume: str, more: str = "") -> str:
    return f'[[jar]]\nname = "{name}"\ndye = "rust"\nstrength = "{strength}"\nvolume = "{volume}"\n{more}\n'


def test_jars_come_first() -> None:
    """10 mL of 4 % hold 0.4 g of the 1.2 g; 0.8 g of powder are left to weigh."""
    found = listed('on_hand = "5 g"', jar("kept", "4 %", "10 mL"))
    assert need(found, "kept").needed == pytest.approx(10.0)
    assert need(found, "rust").needed == pytest.approx(0.8)


def test_one_jar_serves_two_plans_once() -> None:
    found = listed('on_hand = "5 g"', jar("kept", "4 %", "40 mL"), "rust", "rust")
    assert need(found, "kept").needed == pytest.approx(40.0)
    assert need(found, "rust").needed == pytest.approx(2.4 - 1.6)


@pytest.mark.parametrize(
    "jars",
    [jar("weak", "1 %", "100 mL"), jar("old", "4 %", "100 mL", 'use_by = "2026-11-24"')],
    ids=["weak", "old"],
)
def test_a_jar_too_weak_or_too_old_is_left(jars: str) -> None:
    found = listed('on_hand = "5 g"', jars)
    assert [n.kind for n in found.needs] == ["dye", "acid", "base"]
    assert need(found, "rust").needed == pytest.approx(1.2)


def test_a_plan_that_names_its_jar() -> None:
    found = listed('on_hand = "5 g"', jar("kept", "2 %", "50 mL"), "kept")
    kept = need(found, "kept")
    assert kept.needed == pytest.approx(60.0)
    assert (kept.short, kept.packs) == (pytest.approx(10.0), None)
    assert found.cost is None


def test_the_acid_of_a_bath_is_bought_too() -> None:
    bath = PLAN.replace("paint and steam", "kettle").replace(
        '[presoak]\nacid = "vinegar"\nacid_amount = "40 mL"\n', ""
    )
    head, _, _ = bath.partition("[set]")
    shelf = read_shelf({**FILES, "dyes.toml": FILES["dyes.toml"].replace("HAND", "")}, read_on="2026-11-25")
    text = head.replace("DYE", "rust") + '[kettle]\nacid = "vinegar"\nacid_amount = "60 mL"\n'
    found = shopping([work_all(settle(read_plan(text, name="p"), shelf))], shelf)
    assert need(found, "vinegar").needed == pytest.approx(60.0)


def test_pieces() -> None:
    assert [pieces_of(g, 100.0) for g in (20.0, 100.0, 109.0, 111.0, 250.0)] == [1, 1, 1, 2, 3]


def test_a_jar_is_good_to_its_last_day_before_it_and_after(tmp_path, clock) -> None:
    """One was to be used up by yesterday, the other keeps to today: each names its own last day."""
    (tmp_path / "shared").mkdir()
    services = Services(StudioFolder(tmp_path), clock)
    today = services.here().date()
    days = (today - timedelta(days=1), today)
    jars = (
        f'[[jar]]\nname = "{day}"\ndye = "acid blue 9"\nstrength = "1 %"\nvolume = "20 mL"\nuse_by = "{day}"\n'
        for day in days
    )
    (tmp_path / "shared" / "jars.toml").write_text("".join(jars))
    matters = services.shelf_matters(())
    assert [matter.why.partition("good to ")[2] for matter in matters] == [show_day(day) for day in days]
