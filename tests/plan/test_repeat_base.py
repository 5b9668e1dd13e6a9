"""A repeat on another base: what is fitted to it by hand, and no figure changes without being named."""

from __future__ import annotations

import math
import tomllib

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.repeat.repeating import Done, repeat
from studio.plan.settled import settle
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF, Price, Shelf, ShelfBase
from studio.report.comparing import changes, repeat_sections
from tests.conftest import examples

FIBRE = """[fibre]
base = "old blank"  # from the attic
squeezed_weight = "180 g"
rows = 100
"""
PLAN = """format = "potside-plan/1"
title = "Harbour wall"

{fibre}
[presoak]
acid = "white vinegar"
acid_amount = "40 mL"

[[colour]]
name = "rust"
dye = "C.I. Acid Orange 7"
depth = "2 %"
stock = "4 %"

[[colour]]
name = "moss"
dye = "acid blue 9"
depth = "1 %"
stock = "2 %"
liquid = "30 mL"

[layout]
order = [ {{ colour = "rust", rows = 10 }}, {{ bare = 5 }}, {{ colour = "moss", rows = 10 }} ]
repeat = {repeat}

[set]
shape = "roll"
thickness = "5 cm"
hold = "40 min"
pot_water = "1.5 L"
"""
ALL_WOOL = (("wool", 100.0),)


def base(name, **changed):
    facts = {"blend": ALL_WOOL, "form": "blank", "dry_weight_g": 100.0, "rows": 100}
    return ShelfBase(name=name, **{**facts, **changed})


OLD = base("old blank", stitches=60, yarn_length_m=300.0, price=Price(9.0, 1.0, "1"))
DONE = {
    "fibre.weight": 100.0,
    "paint.squeezed": 180.0,
    "presoak.water": 2000.0,
    "presoak.acid": 40.0,
    "set.hold": 40.0,
}


def plan(repeated_rows='"to fill"', fibre=FIBRE):
    return PLAN.format(fibre=fibre, repeat=repeated_rows)


def was_done(text, amounts=DONE, old=OLD):
    return Done(choices=settle(read_plan(text, name="plan"), Shelf(bases=(old,))), amounts=amounts)


def made(onto, text=None, *, weight_g=None, done=DONE, named=None):
    text, shelf = text or plan(), Shelf(bases=(OLD, onto))
    return repeat(
        text,
        was_done(text, done),
        shelf,
        weight_g=weight_g,
        base=named or onto.name,
        name="plan",
        source="one.jsonl",
    )


def table(repeated):
    return tomllib.loads(repeated.text)


def value(repeated, figure_id):
    return repeated.worksheet.figure(figure_id).value


def told(repeated, words):
    return any(words in note for note in repeated.notes)


# -- what is fitted, by hand ---------------------------------------------------------------------


def test_the_base_stands_instead_of_what_was_written_of_the_old_one():
    repeated = made(base("new blank", dry_weight_g=150.0, rows=220))
    fibre = table(repeated)["fibre"]
    assert fibre == {"base": "new blank", "squeezed_weight": "270 g", "dry_weight": "150 g"}
    assert "# from the attic" in repeated.text and repeated.factor == 1.5
    assert repeated.text.splitlines()[0].endswith("on 150 g of dry fibre, on new blank.")
    assert table(made(base("new blank", dry_weight_g=150.0), weight_g=80.0))["fibre"]["dry_weight"] == "80 g"
    assert table(made(base("new blank", dry_weight_g=None)))["fibre"]["dry_weight"] == "100 g"


def test_to_fill_keeps_the_rows_of_every_band_by_hand():
    """25 rows of order on 100 rows: 4 times, 40 % rust. On 110 rows: 4 times and 10 rows of rust more, 50 / 110."""
    repeated = made(base("new blank", rows=110))
    assert table(repeated)["layout"] == tomllib.loads(plan())["layout"]
    assert value(repeated, "paint.rust.fibre") == pytest.approx(100 * 50 / 110)
    assert value(repeated, "stock.rust.dye") == pytest.approx(100 * 50 / 110 * 0.02 * 1.2)
    assert told(repeated, "fills 110 rows now, 4.4 times instead of 4")


def test_liquid_that_was_written_follows_the_fibre_under_its_colour():
    """Moss lay on 40 of 100 rows and lies on 40 of 110: 30 mL x 40 / 110 / 0.4 = 27.273 mL."""
    assert table(made(base("new blank", rows=110)))["colour"][1]["liquid"] == "27.273 mL"


def test_a_counted_repeat_is_laid_as_often_as_it_fits():
    """3 x 25 = 75 rows of 100; 60 rows hold the order twice and leave 10 bare."""
    repeated = made(base("new blank", rows=60), plan("3"))
    assert table(repeated)["layout"]["repeat"] == 2
    assert told(repeated, "laid 2 times instead of 3 and leaves 10 of 60 rows bare (25 of 100 before)")
    larger = made(base("new blank", rows=300), plan("3"))
    assert table(larger)["layout"]["repeat"] == 3
    assert told(larger, "laid 3 times as before and leaves 225 of 300")


def test_an_order_that_does_not_fit_once_is_narrowed_in_proportion():
    """10, 5 and 10 rows on 15: 6, 3 and 6; the shares stay."""
    repeated = made(base("new blank", rows=15))
    assert [b.get("rows", b.get("bare")) for b in table(repeated)["layout"]["order"]] == [6, 3, 6]
    assert "repeat" not in table(repeated)["layout"]
    assert value(repeated, "paint.rust.fibre") == pytest.approx(40.0)
    assert told(repeated, "narrowed in proportion, to 0.6 of their rows")


@pytest.mark.parametrize(
    ("form", "why"),
    [("skein", "a skein has no rows"), ("loose", "loose fibre has no rows"), ("blank", "how many")],
)
def test_where_there_are_no_rows_the_bands_become_shares_by_hand(form, why):
    """Laid four times: 40 of 100 rows rust, 40 moss, 20 bare."""
    repeated = made(base("new", form=form, rows=None))
    assert table(repeated)["layout"] == {
        "order": [{"colour": "rust", "share": "40 %"}, {"colour": "moss", "share": "40 %"}, {"bare": "20 %"}]
    }
    assert told(repeated, f"became shares of the fibre, for {why}" if form != "blank" else why)
    assert value(repeated, "paint.rust.fibre") == pytest.approx(40.0)


def test_a_smaller_part_that_takes_the_dye_is_dyed_as_deep_and_said_by_hand():
    """Half polyester: 2 % on the wool, which is half of the 40 g, and half of it stays white."""
    repeated = made(base("half", blend=(("wool", 50.0), ("polyester", 50.0))))
    assert table(repeated)["colour"][0]["depth"] == "2 %" and value(repeated, "fibre.dyeable") == 50.0
    assert value(repeated, "stock.rust.dye") == pytest.approx(20 * 0.02 * 1.2)
    assert told(repeated, "50 % of the blend instead of 100 %, as deep as before; 50 % stays")
    lines = [
        "".join(part for part, _ in row)
        for s in repeat_sections(work(plan()), repeated, 100)
        for row in s.rows
    ]
    assert any("fibre that takes the dye" in line and "100 % -> 50 %" in line for line in lines)
    assert any(line.startswith("blend") and "-> wool 50 %, polyester 50 %" in line for line in lines)


def test_a_forecast_that_is_another_or_none_is_said_by_hand():
    """300 m / (100 x 60) is 50 mm a loop and 3 m a row; 300 m in 100 rows of 30 stitches are 3 m a row as well;
    150 m of it are 1.5 m, half as long a stripe."""
    text = plan() + '\n[knit]\nstitches = 64\ngauge = "32 st / 4 in"\n'
    small = base("small", stitches=60, yarn_length_m=150.0)
    old = ShelfBase(**{f: getattr(OLD, f) for f in OLD.__struct_fields__} | {"yarn_length_m": 75.0})
    shelf = Shelf(bases=(old, small))
    repeated = repeat(text, was_done(text, old=old), shelf, base="small", name="plan", source="one.jsonl")
    assert told(repeated, "holds 2 times the yarn")
    skein = base("skein", form="skein", rows=None)
    done = was_done(text, old=old)
    none = repeat(text, done, Shelf(bases=(old, skein)), base="skein", name="plan", source="one.jsonl")
    assert told(none, "No forecast of rounds can be made of the plan on skein")


def test_hold_is_never_shorter_than_advised_for_the_new_fibre():
    """Two minutes were held; on its own base that is repeated, on another what a plan without a hold advises."""
    short = {"fibre.weight": 100.0, "paint.squeezed": 180.0, "set.hold": 2.0}
    advised = work(plan().replace('hold = "40 min"\n', "")).figure("set.hold").value
    assert table(made(OLD, done=short))["set"]["hold"] == f"{math.ceil(advised)} min"
    own = repeat(plan(), was_done(plan(), short), Shelf(bases=(OLD,)), name="plan", source="s")
    assert tomllib.loads(own.text)["set"]["hold"] == "2 min"


def test_its_own_base_named_gives_its_own_figures():
    shelf = Shelf(bases=(OLD,))
    plain = repeat(plan(), was_done(plan()), shelf, name="plan", source="one.jsonl")
    named = repeat(plan(), was_done(plan()), shelf, base=" OLD  Blank", name="plan", source="one.jsonl")
    assert named.base == ()
    for figure in plain.worksheet.figures:
        if not figure.id.startswith(("set.", "cool.")):  # the hold is at least as long as advised
            assert value(named, figure.id) == pytest.approx(figure.value, rel=2e-4), figure.id


WRITTEN = (
    FIBRE,
    '[fibre]\nblend = { wool = 100 }\nform = "blank"\nrows = 100\ndry_weight = "100 g"\n',
    '[fibre]\nform = "blank"\nrows = 100\ndry_weight = "100 g"\n[fibre.blend]\nwool = 100\n',
    'fibre = { blend = { wool = 100 }, form = "blank", rows = 100, dry_weight = "100 g" }\n',
    'fibre.blend.wool = 100\nfibre.form = "blank"\nfibre.rows = 100\nfibre.dry_weight = "100 g"\n',
)


@pytest.mark.parametrize("fibre", WRITTEN)
def test_every_way_of_writing_the_fibre(fibre):
    onto = base("new", form="skein", rows=None, blend=(("silk", 40.0), ("wool", 60.0)))
    written = table(made(onto, plan(fibre=fibre)))["fibre"]
    assert written["base"] == "new" and written["dry_weight"] == "100 g"
    assert not {"blend", "form", "rows"} & set(written)


def test_an_order_of_tables_becomes_shares_too():
    order = (
        'order = [ { colour = "rust", rows = 10 }, { bare = 5 }, { colour = "moss", rows = 10 } ]\nrepeat = 4'
    )
    tables = 'repeat = 4\n[[layout.order]]\ncolour = "rust"\nrows = 10\n[[layout.order]]\nbare = 5\n'
    tables += '[[layout.order]]\ncolour = "moss"\nrows = 10\n'
    text = plan("4").replace(order, tables)
    assert "[[layout.order]]" in text
    one, other = (table(made(base("new", form="skein", rows=None), t)) for t in (text, plan("4")))
    assert one["layout"] == other["layout"] and one["set"] == other["set"]


@pytest.mark.parametrize(
    ("named", "words"),
    [
        ("new blnk", 'did you mean "new blank"'),
        ("\x1b[31mzzz", 'It has "old blank", "new blank"'),
    ],
)
def test_an_unknown_base_is_one_sentence_with_the_near_ones(named, words):
    with pytest.raises(PlanError) as refused:
        made(base("new blank"), named=named)
    assert words in str(refused.value) and "\x1b" not in str(refused.value)


def test_a_shelf_without_bases():
    with pytest.raises(PlanError, match="the shelf has no bases"):
        repeat(
            plan(fibre=WRITTEN[1]),
            was_done(plan(fibre=WRITTEN[1])),
            EMPTY_SHELF,
            base="new",
            name="plan",
            source="s",
        )


# -- whatever the base -----------------------------------------------------------------------------


def work(text, *bases):
    return work_out(read_plan(text, name="plan"), Shelf(bases=(OLD, *bases)))


BASES = st.builds(
    base,
    st.just("new"),
    blend=st.sampled_from(
        (ALL_WOOL, (("wool", 60.0), ("silk", 40.0)), (("superwash wool", 75.0), ("polyester", 25.0)))
    ),
    form=st.sampled_from(("blank", "skein", "loose", "cloth")),
    dry_weight_g=st.one_of(st.none(), st.floats(20, 900)),
    rows=st.one_of(st.none(), st.integers(3, 400)),
    price=st.one_of(st.none(), st.just(Price(5.0, 1.0, "1"))),
)


@examples(15)
@given(
    onto=BASES,
    weight=st.one_of(st.none(), st.floats(20, 900)),
    times=st.sampled_from(('"to fill"', "1", "4")),
)
def test_no_figure_changes_without_being_named(onto, weight, times):
    """Every figure follows the weight, is as before, or is told by name; and none disappears in silence."""
    repeated = made(onto, plan(times), weight_g=weight)
    same, how = repeated.at_same_weight, {c.figure.id: c.how for c in changes(work(plan(times)), repeated)}
    lines = "\n".join(
        "".join(part for part, _ in row)
        for section in repeat_sections(work(plan(times)), repeated, 120)
        if section.name.startswith("worked out anew")
        for row in section.rows
    )
    for figure in repeated.worksheet.figures:
        before = same.figure(figure.id)
        if before is not None and figure.value == pytest.approx(before.value, rel=2e-4):
            continue
        in_proportion = before is not None and figure.value == pytest.approx(
            before.value * repeated.factor, rel=2e-4
        )
        assert in_proportion or how[figure.id] == "worked out anew", figure.id
        assert how[figure.id] != "worked out anew" or figure.label[:40] in lines, figure.id
    for figure in same.figures:
        assert repeated.worksheet.figure(figure.id) is not None or figure.label[:40] in lines, figure.id


@examples(15)
@given(onto=BASES, factor=st.floats(0.2, 8))
@example(onto=base("new", dry_weight_g=None, rows=None), factor=1.04296875)
def test_the_figures_are_those_of_a_plan_written_by_hand_for_that_base(onto, factor):
    """The same plan with the facts of the base spelled out, and the layout, packet, hold and pot that were written."""
    weight = 100 * factor
    repeated = made(onto, weight_g=weight)
    written = table(repeated)
    blend = ", ".join(f'"{name}" = {percent}' for name, percent in onto.blend)
    fibre = (
        f'[fibre]\nblend = {{ {blend} }}\nform = "{onto.form}"\ndry_weight = "{weight} g"\n'
        f'squeezed_weight = "{1.8 * weight} g"\n' + (f"rows = {onto.rows}\n" if onto.rows else "")
    )
    text = plan(fibre=fibre).replace('"40 mL"', f'"{40 * factor} mL"')
    for key in ("thickness", "hold", "pot_water"):
        old = tomllib.loads(plan())["set"][key]
        text = text.replace(f'{key} = "{old}"', f'{key} = "{written["set"][key]}"')
    text = text.replace('"30 mL"', f'"{written["colour"][1]["liquid"]}"')
    head, _, rest = text.partition("[layout]\n")
    order = ", ".join(
        "{ "
        + ", ".join(f'{k} = "{v}"' if isinstance(v, str) else f"{k} = {v}" for k, v in band.items())
        + " }"
        for band in written["layout"]["order"]
    )
    fill = 'repeat = "to fill"\n' if "repeat" in written["layout"] else ""
    by_hand = work(f"{head}[layout]\norder = [ {order} ]\n{fill}\n[set]{rest.partition('[set]')[2]}")
    for figure in by_hand.figures:
        if not figure.id.startswith("cost."):  # the price is a fact of the base itself
            # Water is what is left of two numbers that were written to five digits: as near as those are.
            liquid = (
                value(repeated, figure.id[:-6] + ".liquid")
                if figure.id.startswith("paint.") and figure.id.endswith(".water")
                else 0.0
            )
            near = pytest.approx(figure.value, rel=5e-4, abs=5e-4 * liquid)
            assert value(repeated, figure.id) == near, figure.id
