"""What a finished session takes off the shelf: by hand from what was weighed, once and never twice."""

from __future__ import annotations

import msgspec
import pytest

from studio.plan.shapes import Figure
from studio.plan.shelf import Shelf
from studio.plan.shelf_edit import BEFORE, Mark, edited
from studio.plan.shelf_reading import read_shelf
from studio.session import commands as c
from studio.session.drawing_down import MayNotDraw, Taking, by_file, takings
from studio.session.gate_digit import gate_digit
from studio.session.used_up import used_up

SESSION = "20260912-0704-tidewrack-stripes-63ea"
TEXTS = {
    "dyes.toml": '[[dye]]\nname = "Rust dye"\ndye = "C.I. Acid Orange 7"\non_hand = "25 g"\n'
    '[[dye]]\nname = "kelp dye"\ndye = "C.I. Acid Blue 9"\non_hand = "0.2 g"\n',
    "acids.toml": '[[acid]]\nname = "white vinegar"\nacid = "white vinegar"\non_hand = "1 L"\n',
    "bases.toml": '[[base]]\nname = "sock"\nblend = { wool = 100 }\ndry_weight = "50 g"\non_hand = 6\n',
}
PLAN = """format = "potside-plan/1"
title = "x"
method = "paint and steam"
[fibre]
base = "sock"
form = "blank"
[[colour]]
name = "rust"
dye = "rust dye"
depth = "1 %"
[set]
shape = "roll"
thickness = "5 cm"
"""


@pytest.fixture
def finished(exactly_at, walk):
    """A finished session walked with given values; `between` happens while the paint is applied."""

    def make(given=None, sheet=None, between=(), keep=()):
        session = exactly_at("paint.apply", given, sheet)
        for command in between:
            session.do(command)
        walk(session, "record.leftovers", given)
        for command in keep:
            session.do(command)
        walk(session, "record.close", given)
        session.do(c.PassGate("record.close", gate_digit(session.state, "record.close", session.missed)))
        session.do(c.Finish())
        return msgspec.structs.replace(session.state, plan_text=PLAN)

    return make


def shelf(**changes: str) -> Shelf:
    found = read_shelf({**TEXTS, **{f"{name}.toml": text for name, text in changes.items()}})
    assert not found.remarks
    return found


def by_name(found: tuple[Taking, ...]) -> dict[str, Taking]:
    return {taking.name: taking for taking in found}


def test_powder_as_weighed_not_as_planned(finished) -> None:
    """0.24 g were planned, 0.31 g weighed: 25 - 0.31 = 24.69 g."""
    rust = by_name(takings(finished({"stocks.rust.dye": "0.31 g"}), SESSION, shelf()))["Rust dye"]
    (change,) = rust.changes
    assert (change.key, change.value) == ("on_hand", "24.69 g")
    assert "0.31 g weighed, for rust" in rust.because


def test_more_used_than_the_shelf_said_leaves_nothing(finished) -> None:
    kelp = by_name(takings(finished(), SESSION, shelf()))["kelp dye"]
    assert kelp.changes[0].value == "0 g" and "more was used" in kelp.said


def test_paint_mixed_later_counts_with_its_jars_strength(worked_at) -> None:
    """0.36 g in 24 mL are 1.5 %, of which the 48 mL of paint take 16 mL for 0.24 g. 18 mL more of it hold
    18 x 16 / 48 = 6 mL of stock, 0.09 g."""
    session = worked_at("paint.apply", {"stocks.rust.dye": "0.36 g", "stocks.rust.volume": "24 mL"})
    session.do(c.MixMore("rust", "18 mL"))
    part = next(p for p in used_up(session.state) if p.id == "stock.rust")
    assert part.amount == pytest.approx(0.36 + 0.09)
    assert "0.09 g for paint mixed later" in part.because


def test_two_colours_of_one_dye_come_off_together(finished, sheet_of, facts_of, colour_of, stock_of) -> None:
    both = facts_of(
        colours=(
            colour_of("rust", stock_of("rust", dye="Rust dye")),
            colour_of("kelp", stock_of("kelp", dye="rust DYE")),
        )
    )
    rust = by_name(takings(finished({"stocks.rust.dye": "0.3 g"}, sheet_of(both)), SESSION, shelf()))[
        "Rust dye"
    ]
    assert rust.changes[0].value == "24.46 g"  # 25 - 0.3 - 0.24
    assert rust.ids == ("stock.rust", "stock.kelp")


def test_acid_and_pieces(finished) -> None:
    """1 L less 38 mL; 101 g are two pieces of 50 g, 112 g would be three."""
    found = by_name(takings(finished({"presoak.acid": "38 mL", "ready.weight": "101 g"}), SESSION, shelf()))
    assert found["white vinegar"].changes[0].value == "962 mL"
    assert found["sock"].changes[0].value == 4
    more = by_name(takings(finished({"ready.weight": "112 g"}), SESSION, shelf()))
    assert more["sock"].changes[0].value == 3


def liquid(sheet_of, facts_of, colour_of, stock_of, form: str, name: str):
    """24 mL of 1 % stock, made of 12 mL of a 2 % liquid."""
    sheet = sheet_of(
        facts_of(colours=(colour_of("rust", stock_of("rust", dye=name, form=form, dye_g=None)),))
    )
    poured = Figure(id="stock.rust.from_jar", value=12.0, unit="mL", label="x", because="x", origin="yours")
    return msgspec.structs.replace(sheet, figures=(*sheet.figures, poured))


BOTTLE = '[[dye]]\nname = "bottle"\ndye = "food red"\nform = "liquid"\nstrength = "2 %"\non_hand = "38 mL"\n'
JAR = '[[jar]]\nname = "old rust"\ndye = "Rust dye"\nstrength = "2 %"\nvolume = "MLS mL"\n'


def test_a_ready_liquid_by_what_was_poured_of_it(finished, sheet_of, facts_of, colour_of, stock_of) -> None:
    """26 mL of stock were made instead of 24: 12 x 26 / 24 = 13 mL of the bottle."""
    sheet = liquid(sheet_of, facts_of, colour_of, stock_of, "liquid", "bottle")
    state = finished({"stocks.rust.volume": "26 mL"}, sheet)
    bottle = by_name(takings(state, SESSION, shelf(dyes=BOTTLE)))["bottle"]
    assert bottle.changes[0].value == "25 mL"


@pytest.mark.parametrize(("there", "left"), [("80", "68 mL"), ("12.3", None), ("9", None)])
def test_a_jar_is_used_and_an_empty_one_goes(
    finished, sheet_of, facts_of, colour_of, stock_of, there, left
) -> None:
    state = finished(None, liquid(sheet_of, facts_of, colour_of, stock_of, "jar", "old rust"))
    jar = by_name(takings(state, SESSION, shelf(jars=JAR.replace("MLS", there))))["old rust"]
    assert getattr(jar.changes[0], "value", None) == left
    assert ("goes off the shelf" in jar.said) == (left is None)
    assert ("more was used" in jar.said) == (there == "9")


def test_drops_by_the_droppers_own_size(finished, sheet_of, facts_of, colour_of, stock_of) -> None:
    """20 drops were 1 mL; 24 were counted: 1.2 mL of 38."""
    drops = stock_of(
        "rust", dye="bottle", form="drops", dye_g=None, drops=20.0, volume_ml=1.0, strength_percent=None
    )
    sheet = sheet_of(facts_of(colours=(colour_of("rust", drops),)))
    bottle = by_name(takings(finished({"stocks.rust.drops": "24"}, sheet), SESSION, shelf(dyes=BOTTLE)))[
        "bottle"
    ]
    assert bottle.changes[0].value == "36.8 mL"


def test_what_was_kept_becomes_a_jar(finished) -> None:
    """Paint of 24 mL of 1 % stock in 48 mL is 0.5 %; it is kept like the shortest-lived stock, for seven days."""
    state = finished(None, None, (), [c.KeepLeftover("rust", "12 mL"), c.KeepLeftover("kelp", "3 mL out")])
    (new,) = [t for t in takings(state, SESSION, shelf()) if t.table == "jar"]
    values = new.changes[0].values
    assert (values["dye"], values["strength"], values["volume"]) == ("rust dye", "0.5 %", "12 mL")
    assert (values["kind"], values["session"]) == ("paint", SESSION)
    assert values["use_by"] == next(k.use_by for k in state.leftovers if k.to == "jar")
    texts = edited(TEXTS, new.changes)
    (jar,) = read_shelf({**TEXTS, **texts}).jars
    assert (jar.volume_ml, jar.use_by) == (12.0, values["use_by"])


HINDERED = {
    "not on the shelf": (TEXTS["dyes.toml"].replace("Rust dye", "other"), "The shelf has no dye"),
    "nobody wrote it": (TEXTS["dyes.toml"].replace('on_hand = "25 g"\n', ""), "write its on_hand first"),
    "another unit": (
        TEXTS["dyes.toml"].replace('"25 g"', '"25 mL"\nform = "liquid"'),
        "in mL and the session in g",
    ),
}


@pytest.mark.parametrize(("dyes", "why"), HINDERED.values(), ids=HINDERED)
def test_what_cannot_be_counted_says_why(finished, dyes, why) -> None:
    found = takings(finished(), SESSION, shelf(dyes=dyes))
    rust = next(t for t in found if t.ids == ("stock.rust",))
    assert why in rust.hindrance and not rust.changes and not rust.open


def taken(state, texts: dict[str, str], only=lambda taking: True) -> dict[str, str]:
    """The files after what is open was carried out."""
    chosen = [t for t in takings(state, SESSION, read_shelf(texts)) if t.open and only(t)]
    changes = []
    for file, group in by_file(chosen, {}).items():
        changes.extend(change for t in group for change in t.changes)
        changes.append(Mark(file=file, session=SESSION, ids=tuple(i for t in group for i in t.ids)))
    return {**texts, **edited(texts, changes)}


def test_twice_is_once_and_in_any_order(finished) -> None:
    state = finished(None, None, (), [c.KeepLeftover("rust", "12 mL")])
    once = taken(state, TEXTS)
    assert taken(state, once) == once
    assert all(t.done for t in takings(state, SESSION, read_shelf(once)))
    halves = taken(state, taken(state, TEXTS, lambda t: t.table == "dye"), lambda t: t.table != "dye")
    assert halves == once
    other = "20260913-0704-tidewrack-stripes-63ea"
    assert all(t.open for t in takings(state, other, read_shelf(once)))


def test_a_session_from_before_what_is_remembered_is_done(finished) -> None:
    texts = {**TEXTS, "kit.toml": f'[drawn]\n{BEFORE} = ["{SESSION}"]\n'}
    assert all(t.done for t in takings(finished(), SESSION, read_shelf(texts)))


def test_what_takes_nothing(finished, exactly_at) -> None:
    with pytest.raises(MayNotDraw, match="still open"):
        takings(exactly_at("paint.apply").state, SESSION, shelf())
    rehearsed = msgspec.structs.replace(finished(), rehearsal_speed=60.0)
    with pytest.raises(MayNotDraw, match="rehearsal"):
        takings(rehearsed, SESSION, shelf())


def test_given_up_before_anything_was_weighed(exactly_at) -> None:
    session = exactly_at("ready.kit")
    session.do(c.Abandon("the gas ran out"))
    assert takings(session.state, SESSION, shelf()) == ()


def test_a_dye_poured_as_it_stands_is_told_once(finished, sheet_of, facts_of, colour_of, stock_of) -> None:
    """24 mL poured are 24 mL off the shelf: there is no other amount to tell."""
    liquid = stock_of("rust", form="liquid", dye_g=None)
    sheet = sheet_of(facts_of(colours=(colour_of("rust", liquid), colour_of("kelp"))))
    rust = next(p for p in used_up(finished(None, sheet)) if p.id == "stock.rust")
    assert rust.because == "24 mL poured, for rust"


def test_a_leftover_of_a_dye_the_shelf_does_not_know_keeps_its_name(finished) -> None:
    state = finished(None, None, (), [c.KeepLeftover("rust", "12 mL")])
    unknown = shelf(dyes=TEXTS["dyes.toml"].replace("Rust dye", "other"))
    (new,) = [t for t in takings(state, SESSION, unknown) if t.table == "jar"]
    assert new.changes[0].values["dye"] == "rust dye"


def test_what_was_not_weighed_is_told_as_planned(exactly_at) -> None:
    session = exactly_at("stocks.rust.dye")
    session.do(c.NotMeasured("stocks.rust.dye", "the scale was flat"))
    rust = next(p for p in used_up(session.state) if p.id == "stock.rust")
    assert rust.because == "0.24 g as planned, for rust"
