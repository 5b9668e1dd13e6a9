"""Jar labels and the yarn card: what they say, by hand, and that they lie on the paper side by side."""

from __future__ import annotations

import re

import msgspec
import pytest

from studio.report.labels import (
    FOOD,
    NOT_FOR_FOOD,
    PAGE_MM,
    SUPERWASH,
    TO_FILL_IN,
    YarnFacts,
    grid,
    jar_labels,
    label_sheet,
    yarn_card,
)
from studio.session.kinds.heat import RinseRound
from studio.session.kinds.paint import LeftoverKept

SOCK = YarnFacts((("superwash wool", 75.0), ("nylon", 25.0)), "420 m on 100 g, undyed", True)


def test_a_stock_is_labelled_with_what_is_really_in_it(source_of) -> None:
    """0.39 g in 13 mL: 0.39 / 13 x 100 = 3 %. Made on 12 September, and 90 days on (18 in September,
    31, 30, 11 in December) is 11 December. Source of 90 days: Gaywool Dyes sheet, the shorter of 3 to 6 months."""
    source = source_of("20260912")
    rust = jar_labels(source.state, source.name)[0]
    assert (rust.contents, rust.what, rust.strength) == ("studio rust", "stock for rust", "3 %")
    assert (rust.volume, rust.made, rust.use_by) == ("13 mL", "2026-09-12", "2026-12-11")
    assert rust.lot == "20260912-63ea" and "Gaywool" in rust.use_by_source
    assert rust.hazard.startswith("Textile dye.") and "safety data sheet" in rust.hazard


def test_a_leftover_is_labelled_as_the_session_kept_it(source_of, lines_of) -> None:
    """0.39 g in 13.1 mL of stock, 13.09 mL of it in 23.4 mL of paint: 2.977 x 13.09 / 23.4 = 1.67 %."""
    source = source_of("20260912")
    kept = [x["data"] for x in lines_of("20260912") if x["kind"] == "leftover.kept"]
    labels = [x for x in jar_labels(source.state, source.name) if x.what.startswith("paint")]
    assert [x.use_by for x in labels] == [k["use_by"] for k in kept] == ["2026-09-19"] * 2
    assert (labels[0].contents, labels[0].strength, labels[0].volume) == ("rust", "1.7 %", "4 mL")


def test_a_mixed_paint_of_unknown_strength_says_so(source_of) -> None:
    source = source_of("20260926")
    (kelp,) = [x for x in jar_labels(source.state, source.name) if x.contents == "kelp"]
    assert kelp.strength == "strength not known" and kelp.what == "paint left over, of gorse, deep water"


def test_a_jar_not_made_yet_has_lines_to_fill_in(source_of) -> None:
    source = source_of("20260912")
    early = msgspec.structs.replace(source.state, steps={}, things=[])
    labels = jar_labels(early, source.name)
    assert len(labels) == 2 and {x.made for x in labels} == {x.use_by for x in labels} == {TO_FILL_IN}
    assert labels[0].strength == "3 %"


def test_food_colour_is_not_for_food_either(source_of) -> None:
    source = source_of("20261010")
    labels = jar_labels(source.state, source.name)
    assert len(labels) == 3 and all(x.hazard.startswith("Food colour") for x in labels)
    html = label_sheet(source, YarnFacts())
    assert html.count(f">{NOT_FOR_FOOD}<") == 2 * 3


def test_what_was_thrown_away_gets_no_label(source_of) -> None:
    source = source_of("20260912")
    out = tuple(
        msgspec.structs.replace(k, event=msgspec.structs.replace(k.event, to="disposed"))
        for k in source.state.kept(LeftoverKept)
    )
    labels = jar_labels(msgspec.structs.replace(source.state, things=out), source.name)
    assert out and all(x.what.startswith("stock") for x in labels)


def test_the_card_claims_only_what_the_session_holds(source_of) -> None:
    source = source_of("20260912")
    card = yarn_card(source.state, source.name, SOCK)
    assert (card.fibre, card.weight) == ("75 % superwash wool, 25 % nylon", "101 g dry, before dyeing")
    assert card.length == "420 m on 100 g, undyed" and card.dyed == "2026-09-12" and card.note
    assert card.colours == ("rust (studio rust)", "deep water (deep water)")
    assert card.tested[0] == "rinsed 3 rounds, until the water stayed clear"
    assert "rinsed clear, by eye: 4 of 5" in card.tested and SUPERWASH in card.care and FOOD not in card.care
    assert any("light" in line for line in card.not_tested)
    assert not any("rinse" in line for line in card.not_tested)


def test_a_session_given_up_has_tested_nothing(source_of) -> None:
    source = source_of("20261031")
    card = yarn_card(source.state, source.name, YarnFacts())
    assert card.tested == () and "whether the rinse water runs clear" in card.not_tested
    assert card.fibre == card.length == TO_FILL_IN
    assert "<p>nothing</p>" in label_sheet(source, YarnFacts())


def test_water_that_was_not_clear_is_not_called_clear(source_of) -> None:
    source = source_of("20260912")
    state = msgspec.structs.replace(source.state, things=source.state.kept(RinseRound)[:2])
    told = yarn_card(state, source.name, SOCK).tested[0]
    assert told == "rinsed 2 rounds, the water still at 4 of 5 (5 is clear)"


def test_food_colour_on_silk_is_cared_for(source_of) -> None:
    source = source_of("20261010")
    card = yarn_card(source.state, source.name, YarnFacts((("wool", 60.0), ("silk", 40.0))))
    assert FOOD in card.care and any(line.startswith("Silk") for line in card.care)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_labels_lie_on_the_paper_side_by_side(source_of, paper) -> None:
    source = source_of("20260926")
    many = tuple(k for k in source.state.kept(LeftoverKept) for _ in range(12))
    state = msgspec.structs.replace(source.state, things=many)
    crowded = msgspec.structs.replace(source, state=state)
    html = label_sheet(crowded, YarnFacts(), paper=paper)
    width, height = PAGE_MM[paper]
    total = {"small": 0, "large": 0}
    for page in html.split('<section class="page">')[1:]:
        for size, (wide, high) in (("small", (63.5, 38.1)), ("large", (96.0, 67.7))):
            found = re.findall(rf'class="label {size}" style="left: ([\d.]+)mm; top: ([\d.]+)mm"', page)
            places = [(float(x), float(y)) for x, y in found]
            total[size] += len(places)
            for index, (x, y) in enumerate(places):
                assert x >= 6 and y >= 8 and x + wide <= width - 6 and y + high <= height - 8
                for a, b in places[:index]:
                    assert abs(a - x) >= wide - 0.02 or abs(b - y) >= high - 0.02
    assert total == {"small": 39, "large": 39}


def test_the_a4_grid_of_small_labels_is_three_by_seven() -> None:
    """(210 - 3 x 63.5 - 2 x 2.5) / 2 = 7.25 mm at each side, (297 - 7 x 38.1) / 2 = 15.15 mm above."""
    found = grid("A4", 63.5, 38.1)
    assert (found.columns, found.rows, found.left) == (3, 7, 7.25) and found.top == pytest.approx(15.15)
