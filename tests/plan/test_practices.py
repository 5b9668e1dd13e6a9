"""A plan picks a published practice: the dose by weight, the hold, where each lies among the others."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.practices import where_it_lies
from studio.plan.reading import read_plan
from studio.plan.shapes import Figure, Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF, Shelf, ShelfAcid
from studio.report.worksheet import spread_bar, value_words
from studio.tables.rows import practice

PLAN = """format = "potside-plan/1"
title = "Slack water"
[fibre]
blend = {{ {blend} }}
dry_weight = "{weight}"
form = "skein"
[presoak]
{soak}
[[colour]]
name = "red"
dye = "acid red 1"
depth = "1 %"
stock = "3 %"
[set]
{packet}
"""
ROLL = 'thickness = "2 cm"'


def work(
    soak: str,
    packet: str = ROLL,
    *,
    weight: str = "100 g",
    blend: str = "wool = 100",
    shelf: Shelf = EMPTY_SHELF,
) -> Worksheet:
    text = PLAN.format(soak=soak, packet=packet, weight=weight, blend=blend)
    return work_out(read_plan(text, name="slack.plan.toml"), shelf)


def figure(worksheet: Worksheet, figure_id: str) -> Figure:
    found = worksheet.figure(figure_id)
    assert found is not None, figure_id
    return found


def vinegar(key: str) -> str:
    return f'acid = "white vinegar"\n{key}'


def test_a_cup_to_the_pound() -> None:
    """236.588 mL to 453.592 g: 52.16 mL on 100 g, 130.4 mL on 250 g."""
    dose = figure(work(vinegar('practice = "vinegar-one-cup"'), weight="250 g"), "presoak.acid")
    assert dose.value == pytest.approx(236.588 * 250 / 453.592, rel=0.001)
    assert (dose.unit, dose.origin) == ("mL", "published")
    assert "Earth Guild" in dose.source and "vinegar-one-cup" in dose.source
    assert "1 US cup" in dose.because


def test_the_middle_of_a_published_range_and_both_ends() -> None:
    """1 to 3 % on the weight of fibre is 20 to 60 mL of vinegar on 100 g; the middle is 40 mL."""
    dose = figure(work(vinegar('practice = "vinegar-textbook"')), "presoak.acid")
    assert (dose.low, dose.value, dose.high) == pytest.approx((20.0, 40.0, 60.0))
    assert value_words(dose) == "40 mL (20 to 60)"


def test_the_ph_is_worked_out_from_the_dose() -> None:
    by_practice = figure(work(vinegar('practice = "vinegar-textbook"')), "presoak.ph")
    by_amount = figure(work(vinegar('acid_amount = "40 mL"')), "presoak.ph")
    by_target = figure(work(vinegar(f"target_ph = {by_practice.value:.6f}")), "presoak.acid")
    assert by_practice.value == pytest.approx(by_amount.value)
    assert by_target.value == pytest.approx(40.0, rel=1e-4)


def test_what_another_reports_is_marked() -> None:
    dose = figure(work('acid = "citric acid"\npractice = "citric-reactive"'), "presoak.acid")
    assert dose.unit == "g" and dose.value == pytest.approx(7.7)
    assert "second-hand" in dose.source


def test_a_dose_of_vinegar_in_stronger_acetic_acid() -> None:
    """56 % holds 11.2 times the acid of 5 %; a supplier's sheet says "multiply by 11": 52.16 / 11.2 = 4.657 mL."""
    shelf = Shelf(acids=(ShelfAcid(name="harbour acetic", acid="acetic acid 56 %"),))
    dose = figure(work('acid = "harbour acetic"\npractice = "vinegar-one-cup"', shelf=shelf), "presoak.acid")
    assert dose.value == pytest.approx(52.16 / 11.2, rel=1e-6)
    assert "white vinegar" in dose.because and "harbour acetic" in dose.because


REFUSED = {
    "unknown": ('practice = "vinegar-cup"', ROLL, '"vinegar-one-cup", "vinegar-two-cups"'),
    "more than one": ('practice = "cup"', ROLL, "not one published dose"),
    "of another acid": (
        'practice = "citric-strong"',
        ROLL,
        "dose of citric acid, but the plan's acid is white",
    ),
    "and a pH": ('practice = "vinegar-one-cup"\ntarget_ph = 4.0', ROLL, "and target_ph say two things"),
    "and an amount": ('practice = "vinegar-one-cup"\nacid_amount = "9 mL"', ROLL, "and acid_amount say two"),
    "empty": ('practice = " "', ROLL, "is empty"),
    "hold and practice": (
        "",
        ROLL + '\nhold = "30 min"\npractice = "steam-packet-45"',
        "set.practice and hold say two things",
    ),
    "unknown hold": ("", ROLL + '\npractice = "steam-packet"', '"steam-packet-45"'),
    "hold of another method": ("", ROLL + '\npractice = "kettle-union"', "a time of the kettle"),
}


@pytest.mark.parametrize(("soak", "packet", "hint"), REFUSED.values(), ids=REFUSED)
def test_refused_in_one_sentence(soak: str, packet: str, hint: str) -> None:
    with pytest.raises(PlanError) as caught:
        work(vinegar(soak), packet)
    said = str(caught.value)
    assert said.startswith("slack.plan.toml: ") and hint in said
    assert "practice" in said and said.isprintable() and len(said) < 420 and said.endswith(".")


def test_a_practice_without_an_acid() -> None:
    with pytest.raises(PlanError, match=r"presoak\.acid is missing"):
        work('practice = "vinegar-one-cup"')


def test_a_published_hold() -> None:
    hold = figure(work("", ROLL + '\npractice = "steam-packet-30-45"'), "set.hold")
    assert hold.value == pytest.approx(37.5) and hold.origin == "common practice"
    assert "30 and 45 min" in hold.because and "hobby page" in hold.source
    textbook = figure(work("", ROLL + '\npractice = "steam-packet-turned"'), "set.hold")
    assert (textbook.value, textbook.origin) == (45.0, "published")


def test_heat_through_stays_the_floor() -> None:
    """A roll of 8 cm takes over an hour to its middle: half an hour is cautioned against, 45 for 2 cm is not."""
    short = work("", 'thickness = "8 cm"\npractice = "steam-packet-least"')
    caution = short.caution("set.hold-short")
    assert caution is not None and caution.level == "warn" and caution.where == ("set", "practice")
    assert figure(short, "set.hold").value == 30.0, "the dyer's choice stands; the caution says what it risks"
    assert work("", ROLL + '\npractice = "steam-packet-45"').caution("set.hold-short") is None


def test_the_spread_of_holds_and_where_the_plan_lies() -> None:
    """For wool 30 to 60 min are published; 45 min lie in the middle. Heavy silk is steamed for 3 h."""
    spread = figure(work("", ROLL + '\nhold = "45 min"'), "set.hold.spread")
    assert (spread.low, spread.high, spread.chosen) == (30.0, 60.0, 45.0)
    assert "50 % of the way" in spread.because
    silk = figure(work("", ROLL, blend="wool = 50, silk = 50"), "set.hold.spread")
    assert silk.high == 180.0


@given(
    practice=st.sampled_from([row for row in practice() if row.acid == "white vinegar"]),
    grams=st.floats(5, 2000),
)
def test_a_dose_is_by_weight_or_of_the_soak_within_its_spread(practice, grams: float) -> None:
    worksheet = work(vinegar(f'practice = "{practice.id}"'), weight=f"{grams:.3f} g")
    dose, spread = figure(worksheet, "presoak.acid"), figure(worksheet, "presoak.acid.spread")
    middle = (practice.low + practice.high) / 2
    if practice.use == "bath":
        assert dose.value == pytest.approx(middle * round(grams, 3) / 100, rel=1e-9)
        return
    # A soak of 20 L to the kilogram.
    assert dose.value == pytest.approx(middle * round(grams, 3) * 20 / 1000, rel=1e-9)
    assert spread.low is not None and spread.high is not None
    assert spread.low * (1 - 1e-9) <= dose.value <= spread.high * (1 + 1e-9)
    assert worksheet.caution("acid.beyond-published") is None
    bar = spread_bar(spread)
    assert bar.count("o") == 1 and bar.index("|") < bar.index("o") < bar.rindex("|")


@given(low=st.floats(0.1, 1e4), wide=st.floats(0.01, 1e4), share=st.floats(-1, 2))
def test_the_bar_shows_which_side_of_an_end(low: float, wide: float, share: float) -> None:
    high, value = low + wide, low + share * wide
    told = Figure(
        id="x",
        value=low,
        unit="min",
        label="",
        because="",
        origin="published",
        low=low,
        high=high,
        chosen=value,
    )
    bar, words = spread_bar(told), where_it_lies(value, low, high)
    inside = bar.index("|") < bar.index("o") < bar.rindex("|")
    assert inside == ("of the way" in words)
    if not inside:
        assert bar.startswith("o ") == (words == "below the least")


def test_least_and_most_of_the_published_doses_name_who_published_them() -> None:
    told = [f.source for f in work(vinegar('acid_amount = "5 mL"')).figures if "least: " in f.source]
    sources = {dose.source for dose in practice()}
    assert told
    for text in told:
        least, _, rest = text.partition("least: ")[2].partition("; most: ")
        assert least in sources and any(rest.startswith(source) for source in sources)
