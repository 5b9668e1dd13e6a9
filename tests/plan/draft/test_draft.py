"""A plan under way: figures follow what is typed, comments stay, wrong entries lose nothing, every step goes back."""

from __future__ import annotations

import tomllib

import msgspec
import pytest

from studio.plan.draft.draft import PlanDraft
from studio.plan.draft.edits import Place, place_of, plan_sentence
from studio.plan.draft.field_text import stand_in
from studio.plan.errors import PlanError
from studio.plan.fields import ACID_KEYS, sections
from studio.plan.forecast import foretell
from studio.plan.habits import KIND_OF, Choice, habit
from studio.plan.layout import inserted, recoloured, widened
from studio.plan.model import ColourPlan, FibrePlan, KnitPlan, PresoakPlan, WaterPlan
from studio.plan.reading import HOB, beginnings, read_plan
from studio.plan.settled import settle
from studio.plan.shelf import EMPTY_SHELF, Jar, KitItem, Shelf, ShelfAcid, ShelfBase, ShelfDye, StudioFacts
from studio.plan.ways import methods
from studio.shelf.keys import SHELF_TABLES
from studio.shelf.reading import load_shelf, read_shelf
from tests.plan.draft.conftest import BANDS, FILE_TALK, ROOT, TIDE, WEIGHT

SHELF_SHAPES = {
    "dye": ShelfDye,
    "acid": ShelfAcid,
    "base": ShelfBase,
    "kit": KitItem,
    "jar": Jar,
    "studio": StudioFacts,
}


def test_every_row_has_a_place_in_what_is_read_and_every_place_a_row() -> None:
    """The shapes are written down by hand, and so are the rows: neither has a name that the other lacks."""
    soaked = {f.into or f.key for s in sections() if s.table == "presoak" for f in s.fields}
    assert soaked - set(ACID_KEYS) == set(PresoakPlan.__struct_fields__)
    shapes = {"fibre": FibrePlan, "water": WaterPlan, "colour": ColourPlan, "knit": KnitPlan}
    shapes |= {method.set_by.table: method.set_by.own for method in methods()}
    for table, shape in shapes.items():
        rows = {f.into or f.key for s in sections() if s.table == table for f in s.fields}
        beside = {"slug"} if table == "colour" else set()
        elsewhere = set(HOB) | (set(ACID_KEYS) if "target_ph" in rows else set())
        assert rows - elsewhere == set(shape.__struct_fields__) - beside
    for table, shape in SHELF_SHAPES.items():
        rows = {f.into or f.key for f in SHELF_TABLES[table].fields}
        assert rows - {"pack"} == set(shape.__struct_fields__)


def test_kitchen_text_is_taken_and_echoed(draft: PlanDraft) -> None:
    """1 lb = 453.59237 g, 1 oz = 28.349523125 g exactly: NIST Special Publication 811, appendix B.8."""
    draft.put(Place("fibre", None, "squeezed_weight"), "2 lb 4 oz")
    read = draft.put(WEIGHT, "1 lb 4 oz")
    assert read.echo == "567 g" and not read.trouble
    assert draft.plan is not None and draft.plan.fibre.dry_weight is not None
    assert draft.plan.fibre.dry_weight.value == pytest.approx(453.59237 + 4 * 28.349523125)
    assert draft.worksheet is not None
    figure = draft.worksheet.figure("fibre.weight")
    assert figure is not None and figure.value == pytest.approx(566.990, abs=0.001)


def test_what_was_typed_in_grams_is_not_echoed_as_a_page_has_it(draft: PlanDraft) -> None:
    """101.5 g stand on a page as 102 g; beside the field they stay what was typed."""
    assert draft.put(WEIGHT, "101.5 g").echo == ""
    assert draft.put(Place("set", None, "hold"), "34.5 min").echo == ""


def test_bands_may_be_typed_before_their_colour_exists(draft: PlanDraft) -> None:
    good = draft.worksheet
    draft.put(BANDS, "rust 6, seal 5, deep water 6, repeat")
    assert draft.trouble is not None and draft.trouble.place == BANDS
    assert draft.trouble.sentence == 'No colour is called "seal" yet; add it among the colours.'
    assert draft.awaited() == ("seal",) and draft.worksheet is good
    layout = draft.layout()
    assert layout is not None and [band.colour for band in layout.order] == ["rust", "seal", "deep water"]
    assert draft.shown(BANDS) == "rust 6, seal 5, deep water 6, repeat"
    place = draft.add_colour()
    assert draft.colour_names() == ["rust", "deep water", "seal"] and draft.awaited() == ()
    assert draft.shown(BANDS) == "rust 6, seal 5, deep water 6, repeat", "it has its band already"
    draft.put(place, "gorse")
    assert draft.trouble is None and draft.worksheet is not good


def test_a_colour_of_another_name_does_not_take_the_band(draft: PlanDraft) -> None:
    draft.put(BANDS, "rust 6, deep watr 5")
    assert draft.trouble is not None and 'did you mean "deep water"' in draft.trouble.sentence
    draft.put(BANDS, "rust 6, deep water 5")
    assert draft.trouble is None


def test_a_dye_that_the_shelf_hides_is_told_of_without_the_keys_of_the_file() -> None:
    dyes = '[[dye]]\nname = "studio rust"\nclass = "milling"\non_hand = "3 mL"\n'
    hidden = read_shelf({"dyes.toml": dyes, "bases.toml": (ROOT / "shared/bases.toml").read_text()})
    draft = PlanDraft(TIDE.read_text(), hidden, name=TIDE.name)
    assert draft.trouble is not None and draft.trouble.place == Place("colour", 0, "dye")
    assert draft.trouble.sentence.startswith('dyes.toml: line 4, on hand: "3 mL"')
    assert "dye[" not in draft.trouble.sentence and '"studio rust"' in draft.trouble.sentence


def test_what_keeps_the_forecast_away_is_told_in_the_fields_words(shelf: Shelf) -> None:
    text = TIDE.read_text().replace(
        'base = "harbour sock blank"', 'blend = { wool = 100 }\ndry_weight = "100 g"'
    )
    draft = PlanDraft(
        text.replace("dry_weight", 'form = "blank"\nrows = 220\ndry_weight', 1), shelf, name="t"
    )
    assert draft.plan is not None, draft.trouble
    with pytest.raises(PlanError) as caught:
        foretell(draft.plan, shelf)
    assert FILE_TALK.search(str(caught.value))
    assert plan_sentence(caught.value) == "Stitches is missing; the forecast counts them, for example 60."


def test_comments_order_and_spacing_stay(shelf: Shelf) -> None:
    text = TIDE.read_text().replace('depth = "1 %"', 'depth = "1 %"   # as in the spring lot')
    text = text.replace("[presoak]", "# The tap was soft this week.\n[presoak]")
    draft = PlanDraft(text, shelf, name="t")
    draft.put(Place("colour", 0, "depth"), "1.5 %")
    draft.put(WEIGHT, "90 g")
    draft.put(Place("presoak", None, "liquor_ratio"), "25")
    draft.put(BANDS, "rust 12, bare 8, deep water 14, bare 8, repeat")
    lines = draft.text.splitlines()
    assert 'depth = "1.5 %"   # as in the spring lot' in lines
    assert lines[lines.index("[presoak]") - 1] == "# The tap was soft this week."
    assert lines[0] == text.splitlines()[0]
    gone = [line for line in text.splitlines() if line not in lines]
    assert len(gone) == 3  # depth, ratio and order: nothing else was touched


def test_an_unknown_key_is_told_and_kept(shelf: Shelf) -> None:
    text = TIDE.read_text().replace('title = "Tidewrack', 'mood = "windy"\ntitle = "Tidewrack')
    draft = PlanDraft(text, shelf, name="t")
    assert draft.trouble is not None and '"mood"' in draft.trouble.sentence
    draft.put(Place("colour", 0, "depth"), "1.5 %")
    assert 'mood = "windy"' in draft.text and 'depth = "1.5 %"' in draft.text


def test_a_new_colour_has_a_band_and_asks_for_its_dye(draft: PlanDraft) -> None:
    place = draft.add_colour()
    assert place == Place("colour", 2, "dye")
    assert draft.trouble is not None and draft.trouble.place == place and "missing" in draft.trouble.sentence
    draft.put(place, "gorse")
    assert draft.trouble is None and draft.plan is not None
    assert draft.plan.layout.order[-1].colour == draft.plan.colours[2].name
    draft.put(Place("colour", 2, "name"), "gorse bush")
    assert draft.trouble is None and draft.plan.layout.order[-1].colour == "gorse bush"
    assert draft.remove_colour(2) and draft.trouble is None
    assert draft.plan.layout.order[-1].colour == ""


def test_the_last_colour_stays(shelf: Shelf) -> None:
    draft = PlanDraft(TIDE.read_text(), shelf, name="t")
    assert draft.remove_colour(0) and not draft.remove_colour(0)


def test_a_mix_keeps_the_strengths_of_the_dyes_that_stay(draft: PlanDraft) -> None:
    mix = Place("colour", 0, "mix")
    draft.put(Place("colour", 0, "dye"), "")
    draft.put(mix, "gorse 70, deep water 30")
    text = draft.text.replace('share = "70 %"}', 'share = "70 %", stock = "4 %"}')
    draft = PlanDraft(text, draft.shelf, name="t")
    draft.put(mix, "gorse 60, net blue 40")
    assert draft.plan is not None and draft.trouble is None
    (gorse, blue) = draft.plan.colours[0].mix
    assert gorse.stock is not None and gorse.stock.typed == "4 %" and blue.stock is None


def test_what_stands_in_is_told_with_its_origin(draft: PlanDraft) -> None:
    told = {}
    for section in sections():
        for field in section.fields:
            told[f"{section.table}.{field.key}"] = stand_in(field, draft.settled, draft.worksheet, "rust")
    assert told["fibre.target_pickup"] == ("150 %", "estimate")
    assert told["fibre.yarn_length"] == ("420 m", "base") and told["fibre.rows"] == ("220", "base")
    assert told["water.alkalinity"] == ("38 mg/L", "shelf") and told["presoak.time"] == (
        "30 min",
        "common practice",
    )
    assert told["set.hold"][1] == "estimate" and told["knit.gauge"] == ("", "")


def test_every_caution_leads_to_a_field(shelf: Shelf) -> None:
    data = tomllib.loads(TIDE.read_text())
    for where in (
        ("colour",), ("colour", "liquid"), ("fibre", "blend"), ("kit", "use"), ("method",), ("presoak", "target_ph"),
        ("salt",), ("set", "pot_water"), ("water", "alkalinity"), ("colour", "rust"), ("colour", "rust", "mix"),
        ("colour", "deep water", "depth"), ("colour", "rust", "mix", 2, "dye"), ("layout", "order", 3, "rows"),
        ("colour", 2, "name"),
    ):  # fmt: skip
        place = place_of(where, data)
        assert place is not None, where
        assert any(s.table == place.table and place.key in {f.key for f in s.fields} for s in sections()), (
            where
        )
    assert place_of(("colour", "deep water", "depth"), data) == Place("colour", 1, "depth")
    assert place_of(("colour", 2, "name"), data) == Place("colour", 1, "name")
    assert place_of((), data) is None and place_of(("moon", "phase"), data) is None


def test_bands_by_keys(draft: PlanDraft) -> None:
    layout = draft.layout()
    assert layout is not None
    draft.set_layout(recoloured(inserted(widened(layout, 0, 2), 0), 1, draft.colour_names()))
    assert draft.shown(BANDS) == "rust 14, deep water 14, bare 8, deep water 12, bare 8, repeat"
    assert draft.trouble is None and 'repeat = "to fill"' in draft.text


def test_bands_typed_anew_leave_the_sides_that_are_painted(draft: PlanDraft) -> None:
    draft.type(Place("layout", None, "sides"), "2")
    assert draft.keep()
    draft.type(BANDS, "rust 5, deep water 7, repeat 3")
    assert draft.keep() and draft.plan is not None and draft.plan.layout.sides == 2
    draft.type(Place("layout", None, "sides"), "3")
    assert draft.trouble is not None and "1 and 2" in str(draft.trouble)
    assert draft.trouble.place == Place("layout", None, "sides")


@pytest.mark.parametrize("beginning", beginnings(), ids=lambda b: b.title)
@pytest.mark.parametrize("studio", ["shared", "studio/starter", ""])
def test_a_beginning_begins_in_any_studio(beginning, studio) -> None:
    where = load_shelf(ROOT / studio) if studio else EMPTY_SHELF
    draft = PlanDraft(beginning.text, where, name="t")
    assert draft.trouble is None and draft.worksheet is not None
    assert not [c for c in draft.worksheet.cautions if c.level != "note"]
    assert beginning.about and beginning.title in beginning.text


def test_text_that_is_no_toml_is_refused_in_one_sentence(shelf: Shelf) -> None:
    with pytest.raises(PlanError, match=r"^x: .*\.$"):
        PlanDraft("[fibre\n", shelf, name="x")


def test_what_is_learned_stands_in_for_what_is_left_out() -> None:
    """Held 88 % by habit: 100 g of dry fibre weigh 188 g squeezed; two pieces are told as one."""
    own = habit(KIND_OF["held"], choice=Choice(pinned=88.0))
    shelf = msgspec.structs.replace(EMPTY_SHELF, habits=(own,))
    text = """format = "potside-plan/1"
title = "Two floats"
[fibre]
blend = { wool = 100 }
dry_weight = "100 g"
form = "blank"
rows = 10
pieces = 2
[[colour]]
name = "rust"
dye = "C.I. Acid Orange 7"
depth = "1 %"
[layout]
order = [ { colour = "rust", rows = 10 } ]
[set]
thickness = "5 cm"
"""
    settled = settle(read_plan(text, name="x"), shelf)
    fields = {f.key: f for s in sections() for f in s.fields if s.table == "fibre"}
    assert stand_in(fields["squeezed_weight"], settled, None) == ("188 g", "yours")
    assert stand_in(fields["target_pickup"], settled, None) == ("150 %", "estimate")


def test_a_number_alone_takes_the_unit_of_its_field_and_the_file_stays_strict(draft) -> None:
    """While it is typed, too: the unit is that of what stood there before the first key."""
    depth, soak = Place("colour", 0, "depth"), Place("presoak", None, "time")
    for place, typed, kept in ((depth, "2", "2 %"), (WEIGHT, "120", "120 g"), (soak, "20", "20 min")):
        draft.put(place, typed)
        assert (draft.value(place), draft.trouble) == (kept, None)
    draft.put(WEIGHT, "4 oz")
    for typed in ("1", "1 x", "12"):
        draft.type(WEIGHT, typed)
    draft.keep()
    assert draft.value(WEIGHT) == "12 oz"
    draft.put(soak, "2 h")
    draft.put(soak, "30")
    assert draft.trouble is not None and "without a unit" in draft.trouble.sentence, (
        "30 h is not what was meant"
    )
    draft.put(soak, "30 minutes")
    draft.put(soak, "45")
    assert draft.value(soak) == "45 minutes"
    draft.put(Place("fibre", None, "rows"), "240")
    assert draft.value(Place("fibre", None, "rows")) == 240
    draft.take_up(draft.text.replace('"12 oz"', '"12"'))
    assert draft.trouble is not None and draft.trouble.place == WEIGHT


def test_a_blend_without_its_comma_and_a_base_that_is_not_there_are_told_what_to_do(draft) -> None:
    read = draft.type(Place("fibre", None, "blend"), "superwash wool 75 nylon 25")
    assert read.trouble.startswith('A comma is missing in "superwash wool 75 nylon"; write for example')
    draft.drop()
    draft.put(Place("fibre", None, "base"), "no such base")
    assert draft.trouble is not None and "{plan.new_entry} in its field makes it" in draft.trouble.sentence
    draft.put(Place("fibre", None, "base"), "")
    draft.put(Place("fibre", None, "form"), "blank")
    draft.type(Place("fibre", None, "base"), "harbour sock blank")
    assert draft.notice == "Base harbour sock blank is used now; form comes from it."
