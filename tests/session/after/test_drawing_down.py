"""What a finished session takes off the shelf: by hand from what was weighed, once and never twice."""

from __future__ import annotations

import msgspec
import pytest

from studio.plan.reading import read_plan
from studio.plan.settled import Settled, settle
from studio.plan.shelf import Shelf
from studio.session import commands as c
from studio.session.after.drawing_down import Taking, by_file, takings
from studio.session.after.real_cost import used_up
from studio.session.kinds.paint import LeftoverKept
from studio.session.step_rules import gate_digit
from studio.shelf.editing import BEFORE, Add, Mark, edited
from studio.shelf.reading import read_shelf
from studio.trouble import Trouble

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
dry_weight = "100 g"
squeezed_weight = "180 g"
target_pickup = "180 %"
form = "blank"
[presoak]
acid = "white vinegar"
acid_amount = "40 mL"
[[colour]]
name = "rust"
dye = "Rust dye"
depth = "0.5 %"
stock = "1 %"
[[colour]]
name = "kelp"
dye = "kelp dye"
depth = "0.5 %"
stock = "1 %"
[layout]
order = [ { colour = "rust", share = "40 %" }, { colour = "kelp", share = "40 %" }, { bare = "20 %" } ]
[set]
shape = "roll"
thickness = "5 cm"
hold = "36 min"
pot_water = "3 L"
"""


KETTLE = """format = "potside-plan/1"
title = "x"
method = "kettle"
[fibre]
base = "sock"
dry_weight = "100 g"
form = "skein"
[[colour]]
name = "rust"
dye = "Rust dye"
depth = "0.5 %"
[kettle]
acid = "white vinegar"
acid_amount = "60 mL"
acid_added = "HOW"
"""


def settled(text: str = PLAN, **files: str) -> Settled:
    return settle(read_plan(text, name="x.plan.toml"), shelf(**files))


@pytest.fixture
def finished(worked_at, walk):
    """A finished session walked with given values; `between` happens while the paint is applied."""

    def make(given=None, choices=None, between=(), keep=()):
        session = worked_at("paint.apply", given, choices or settled())
        for command in between:
            session.do(command)
        walk(session, "record.leftovers", given)
        for command in keep:
            session.do(command)
        walk(session, "record.close", given)
        session.do(c.PassGate("record.close", gate_digit(session.state, "record.close", session.missed)))
        session.do(c.Finish())
        return session.state

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


def test_stock_that_was_made_up_in_a_round_amount_is_offered_to_the_shelf(finished) -> None:
    """24 mL of 1 % were asked for: 0.5 g make 50 mL of it, and 26 mL go into nothing. As planned, none is left."""
    assert not [t for t in takings(finished(), SESSION, shelf()) if t.ids[0].startswith("leftover.of-")]
    state = finished({"stocks.rust.dye": "0.5 g"})
    (rest,) = (t for t in takings(state, SESSION, shelf()) if t.ids == ("leftover.of-rust",))
    (new,) = rest.changes
    assert isinstance(new, Add) and "26 mL" in rest.because
    told = {key: new.values[key] for key in ("dye", "strength", "volume", "kind")}
    assert told == {"dye": "Rust dye", "strength": "1 %", "volume": "26 mL", "kind": "stock"}
    known = msgspec.structs.replace(shelf(), drawn={SESSION: ("leftover.of-rust",)})
    assert [t.done for t in takings(state, SESSION, known) if t.ids == ("leftover.of-rust",)] == [True]


def test_paint_mixed_later_leaves_what_it_did_not_take_of_the_stock(finished) -> None:
    """Of 50 mL 24 were poured, and 12 mL more of a paint that is half stock take 6: 20 mL are left. Of stock of another
    strength none of it was taken.
    """
    for more in (("12 mL",), ("12 mL", "12 mL at 2 %")):
        state = finished({"stocks.rust.dye": "0.5 g"}, between=[c.MixMore("rust", text) for text in more])
        (rest,) = (t for t in takings(state, SESSION, shelf()) if t.ids == ("leftover.of-rust",))
        assert "20 mL" in rest.because


def test_more_used_than_the_shelf_said_leaves_nothing(finished) -> None:
    kelp = by_name(takings(finished(), SESSION, shelf()))["kelp dye"]
    assert kelp.changes[0].value == "0 g" and "more was used" in kelp.said


def test_paint_mixed_later_takes_of_its_jar_first(worked_at) -> None:
    """0.36 g in 24 mL are 1.5 %, of which the 48 mL of paint take 16 mL for 0.24 g. 18 mL more of it hold
    18 x 16 / 48 = 6 mL of the 8 mL that are left, weighed already; 12 mL more 4 mL, of which 2 made up anew: 0.03 g."""
    session = worked_at(
        "paint.apply", {"stocks.rust.dye": "0.36 g", "stocks.rust.volume": "24 mL"}, settled()
    )
    session.do(c.MixMore("rust", "18 mL", meant=True))
    assert next(p for p in used_up(session.state) if p.id == "stock.rust").amount == pytest.approx(0.36)
    session.do(c.MixMore("rust", "12 mL", meant=True))
    part = next(p for p in used_up(session.state) if p.id == "stock.rust")
    assert part.amount == pytest.approx(0.36 + 0.03) and "0.03 g more later" in part.because


@pytest.mark.parametrize("added", ["staged", "at the start"])
def test_the_acid_of_a_bath_is_all_that_went_into_it(worked_at, added) -> None:
    """60 mL as written, of which 33 mL went in for the first half of 30 and what is left of them later; 10 mL more."""
    session = worked_at("heat.clear", {"bath.acid": "33 mL"}, settled(KETTLE.replace("HOW", added)))
    session.do(c.DoseAcid("10 mL"))
    acid = next(part for part in used_up(session.state) if part.id == "acid")
    assert acid.amount == pytest.approx({"staged": 60.0, "at the start": 33.0}[added] + 10.0)
    assert "10 mL more later, for the bath" in acid.because


def test_two_colours_of_one_dye_come_off_together(finished) -> None:
    both = settled(PLAN.replace('dye = "kelp dye"', 'dye = "rust DYE"'))
    apart = settled(
        PLAN.replace('dye = "kelp dye"', 'dye = "rust DYE"').replace('stock = "1 %"', 'stock = "2 %"', 1)
    )
    for choices, grams, left, ids in (
        (both, "0.6 g", "24.4 g", ("stock.rust",)),
        (apart, "0.3 g", "24.46 g", ("stock.rust", "stock.kelp")),  # 25 - 0.3 - 0.24
    ):
        found = by_name(takings(finished({"stocks.rust.dye": grams}, choices), SESSION, shelf()))
        assert found["Rust dye"].changes[0].value == left
        assert found["Rust dye"].ids == ids


def test_acid_and_pieces(finished) -> None:
    """1 L less 38 mL; 101 g are two pieces of 50 g, 112 g would be three."""
    found = by_name(takings(finished({"presoak.acid": "38 mL", "ready.weight": "101 g"}), SESSION, shelf()))
    assert found["white vinegar"].changes[0].value == "962 mL"
    assert found["sock"].changes[0].value == 4
    more = by_name(takings(finished({"ready.weight": "112 g"}), SESSION, shelf()))
    assert more["sock"].changes[0].value == 3


BOTTLE = '[[dye]]\nname = "bottle"\ndye = "food red"\nform = "liquid"\nstrength = "2 %"\non_hand = "38 mL"\n'
JAR = '[[jar]]\nname = "old rust"\ndye = "Rust dye"\nstrength = "2 %"\nvolume = "MLS mL"\n'


def rust_from(name: str, plan: str = PLAN, **files: str) -> Settled:
    """24 mL of 1 % stock for rust, made of 12 mL of a 2 % liquid."""
    return settled(plan.replace('"Rust dye"', f'"{name}"'), **files)


def test_a_ready_liquid_by_what_was_poured_of_it(finished) -> None:
    """26 mL of stock were made instead of 24: 26 x 1 / 2 = 13 mL of the bottle."""
    dyes = TEXTS["dyes.toml"] + BOTTLE
    state = finished({"stocks.rust.volume": "26 mL"}, rust_from("bottle", dyes=dyes))
    bottle = by_name(takings(state, SESSION, shelf(dyes=dyes)))["bottle"]
    assert bottle.changes[0].value == "25 mL"


@pytest.mark.parametrize(("there", "left"), [("80", "68 mL"), ("12.3", None), ("9", None)])
def test_a_jar_is_used_and_an_empty_one_goes(finished, there, left) -> None:
    state = finished(None, rust_from("old rust", jars=JAR.replace("MLS", "80")))
    jar = by_name(takings(state, SESSION, shelf(jars=JAR.replace("MLS", there))))["old rust"]
    assert getattr(jar.changes[0], "value", None) == left
    assert ("goes off the shelf" in jar.said) == (left is None)
    assert ("more was used" in jar.said) == (there == "9")


def test_drops_by_the_droppers_own_size(finished) -> None:
    """20 drops are 1 mL; 24 were counted: 1.2 mL of 38."""
    dyes = TEXTS["dyes.toml"] + BOTTLE
    counted = PLAN.replace('depth = "0.5 %"\nstock = "1 %"', 'drops = 20\nin = "48 mL"', 1)
    state = finished({"stocks.rust.drops": "24"}, rust_from("bottle", counted, dyes=dyes))
    bottle = by_name(takings(state, SESSION, shelf(dyes=dyes)))["bottle"]
    assert bottle.changes[0].value == "36.8 mL"


def test_what_was_kept_becomes_a_jar(finished) -> None:
    """Paint of 24 mL of 1 % stock in 48 mL is 0.5 %; it is kept like the shortest-lived stock, for seven days."""
    state = finished(None, None, (), [c.KeepLeftover("rust", "12 mL"), c.KeepLeftover("kelp", "3 mL out")])
    (new,) = [t for t in takings(state, SESSION, shelf()) if t.table == "jar"]
    values = new.changes[0].values
    assert (values["dye"], values["strength"], values["volume"]) == ("Rust dye", "0.5 %", "12 mL")
    assert (values["kind"], values["session"]) == ("paint", SESSION)
    assert values["use_by"] == next(k.event.use_by for k in state.kept(LeftoverKept) if k.event.to == "jar")
    texts = edited(TEXTS, new.changes)
    (jar,) = read_shelf({**TEXTS, **texts}).jars
    assert (jar.volume_ml, jar.use_by) == (12.0, values["use_by"])


@pytest.mark.parametrize(("weighed", "strength"), [("0 g", None), ("0.000001 g", 0.0)])
def test_paint_of_no_strength_becomes_no_jar(finished, weighed, strength) -> None:
    """Nothing can be worked out from 0 g; 1 ug in 12 mL or more is none to the fifth digit of a per cent."""
    state = finished({"stocks.rust.dye": weighed}, None, (), [c.KeepLeftover("rust", "12 mL")])
    assert [kept.event.strength_percent for kept in state.kept(LeftoverKept) if kept.event.ml] == [strength]
    (left,) = [t for t in takings(state, SESSION, shelf()) if t.table == "jar"]
    assert "no known strength" in left.hindrance and not left.changes and not left.open


HINDERED = {
    "not on the shelf": (TEXTS["dyes.toml"].replace("Rust dye", "other"), "The shelf has no dye"),
    "nobody wrote it": (TEXTS["dyes.toml"].replace('on_hand = "25 g"\n', ""), "amount on hand first"),
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
    with pytest.raises(Trouble, match="still open"):
        takings(exactly_at("paint.apply").state, SESSION, shelf())
    rehearsed = msgspec.structs.replace(finished(), rehearsal_speed=60.0)
    with pytest.raises(Trouble, match="rehearsal"):
        takings(rehearsed, SESSION, shelf())


def test_given_up_before_anything_was_weighed(worked_at) -> None:
    session = worked_at("ready.kit", None, settled())
    session.do(c.Abandon("the gas ran out"))
    assert takings(session.state, SESSION, shelf()) == ()


def test_a_dye_poured_as_it_stands_is_told_once(finished) -> None:
    """24 mL poured are 24 mL off the shelf: there is no other amount to tell."""
    jar = JAR.replace("2 %", "1 %").replace("MLS", "80")
    state = finished(None, rust_from("old rust", jars=jar))
    rust = next(p for p in used_up(state) if p.id == "stock.rust")
    assert rust.because == "24 mL measured, for rust"


def test_a_leftover_of_a_dye_the_shelf_does_not_know_keeps_its_name(finished) -> None:
    state = finished(None, None, (), [c.KeepLeftover("rust", "12 mL")])
    unknown = shelf(dyes=TEXTS["dyes.toml"].replace("Rust dye", "other"))
    (new,) = [t for t in takings(state, SESSION, unknown) if t.table == "jar"]
    assert new.changes[0].values["dye"] == "Rust dye"


def test_what_was_not_weighed_is_told_as_asked(worked_at) -> None:
    session = worked_at("stocks.rust.dye", None, settled())
    session.do(c.NotMeasured("stocks.rust.dye", "the scale was flat"))
    rust = next(p for p in used_up(session.state) if p.id == "stock.rust")
    assert rust.because == "0.24 g as asked, for rust"
