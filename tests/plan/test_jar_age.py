"""Old jars: by the label's day, else by what is published for stock; on the worksheet of a plan that uses one."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import Jar, age_of, read_day, use_by_of
from studio.shelf.reading import read_shelf

TODAY = date(2026, 11, 25)


def jar(**changes: str) -> Jar:
    return Jar(**{"name": "old rust", "dye": "rust", "strength_percent": 1.0, "volume_ml": 80.0, **changes})


# Gaywool: stock mostly keeps 3 to 6 months, some only 1 to 2 weeks; Weil: about 6 months. The shorter figures,
# a month as 30 days; paint has no published figure and is kept like the shortest-lived stock.
KEPT = [("", 90), ("stock", 90), ("short-lived stock", 7), ("paint", 7)]


@pytest.mark.parametrize(("kind", "days"), KEPT)
def test_by_the_day_it_was_made(kind: str, days: int) -> None:
    last = TODAY - timedelta(days=days)
    assert age_of(jar(made=last.isoformat(), kind=kind), TODAY).standing == "good"
    over = age_of(jar(made=(last - timedelta(days=1)).isoformat(), kind=kind), TODAY)
    assert over.standing == "old" and "1 day over" in over.told
    assert over.origin == ("house rule" if kind == "paint" else "published")


def test_the_label_comes_before_what_is_published() -> None:
    labelled = jar(made="2020-01-01", use_by="2026-11-25")
    assert use_by_of(labelled) == (TODAY, "yours", "the jar's label")
    assert age_of(labelled, TODAY).standing == "good"
    assert age_of(labelled, date(2026, 11, 26)).standing == "old"


@pytest.mark.parametrize("made", ["", "spring", "2026-02-30", "2026-W01-1"])
def test_without_a_day_nothing_is_claimed(made: str) -> None:
    assert age_of(jar(made=made), TODAY).standing == "unknown"
    assert read_day(made) is None
    assert age_of(jar(made="2026-09-30"), None).standing == "unknown"


def test_the_last_day_there_is() -> None:
    assert age_of(jar(made="9999-12-30"), TODAY).standing == "good"


SHELF = '[[dye]]\nname = "rust"\ndye = "C.I. Acid Orange 7"\n'
PLAN = """format = "potside-plan/1"
title = "x"
method = "paint and steam"
[fibre]
blend = { wool = 100 }
dry_weight = "20 g"
form = "skein"
[[colour]]
name = "red"
dye = "old rust"
depth = "0.5 %"
[set]
shape = "flat packet"
thickness = "3 cm"
pot_water = "2 L"
[kit]
use = ["pot"]
"""


def sheet_for(jar_text: str, kit: str = "") -> Worksheet:
    files = {"jars.toml": jar_text, "dyes.toml": SHELF, "kit.toml": kit}
    return work_out(read_plan(PLAN, name="p"), read_shelf(files, read_on=TODAY.isoformat()))


def ids(jar_text: str, kit: str = "") -> dict[str, str]:
    return {c.id: c.text for c in sheet_for(jar_text, kit).cautions}


JAR = '[[jar]]\nname = "old rust"\ndye = "rust"\nstrength = "2 %"\nvolume = "80 mL"\n'


def test_a_plan_that_uses_an_old_jar_is_warned() -> None:
    assert "jar.old.old-rust" not in ids(f"{JAR}made = 2026-09-30\n")
    warned = ids(f'{JAR}use_by = "2026-11-20"\n')
    assert "5 days over" in warned["jar.old.old-rust"]


def test_a_pot_smaller_than_its_water_and_the_own_steam_time() -> None:
    pot = (
        '[[kit]]\nname = "pot"\nkept_for = "dye only"\nvolume = "1.5 L"\nsteam_time = "5 h"\npower = "2 kW"\n'
    )
    told = ids(f"{JAR}made = 2026-09-30\n", pot)
    assert "1 500 mL to the brim" in told["kit.pot-small"] and "steam 5 h in pot" in told["kit.steam-time"]
    large = ids(f"{JAR}made = 2026-09-30\n", pot.replace("1.5 L", "5 L").replace("5 h", "10 min"))
    assert not {"kit.pot-small", "kit.steam-time"} & set(large)


def test_the_pots_own_power_counts_before_the_studios() -> None:
    """Twice the power boils off twice the water: Q = m x h_fg, the latent heat of IAPWS-IF97 being the same."""
    jar_text = f"{JAR}made = 2026-09-30\n"
    rates = []
    for power in ("1 kW", "2000 W"):
        pot = f'[[kit]]\nname = "pot"\nkept_for = "dye only"\npower = "{power}"\n'
        boiled = sheet_for(jar_text, pot).figure("set.boil_off")
        assert boiled is not None and "the shelf's kit" in boiled.source
        rates.append(boiled.value)
    assert rates[1] == pytest.approx(2 * rates[0])
