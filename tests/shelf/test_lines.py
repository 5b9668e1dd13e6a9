"""A sentence about a shelf file names the line, and what is right beside it still loads."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.plan.settled import settle
from studio.plan.toml import entry_spans, lines_of
from studio.report.shelf_rows import shelf_row
from studio.shelf.reading import load_shelf, read_shelf
from studio.shelf.telling import lines_of_shelf

KIT = '[[kit]]\nname = "scale"\nkept_for = "dye only"\n'

WRONG = {
    "a value": (
        '[[dye]]\nname = "a"\nclass = "milling"\n\n[[dye]]\nname = "b"\nclass = "miling"\n',
        7,
        "dye[2].class",
    ),
    "a quantity": (
        '# c\n\n[[dye]]\nname = "a"\nclass = "milling"\non_hand = "25"\n',
        6,
        "number without a unit",
    ),
    "a missing key": ('\n[[dye]]\nname = "a"\n', 2, "dye[1].dye or class is missing"),
    "an unknown key": ('[[dye]]\nname = "a"\nclass = "milling"\n# x\ncolor = "red"\n', 5, '"color"'),
    "an unknown table": ('\n\n[[dyes]]\nname = "a"\n', 3, '(did you mean "dye"?)'),
    "a key over lines": (
        '[[dye]]\nname = "a"\ncomponents = [\n  "x",\n  3,\n]\nclass = "milling"\n',
        3,
        "components",
    ),
    "a name in many lines": (
        '[[dye]]\nname = """a\n[[dye]]\nprice = 3\n"""\nclass = "milling"\nprice = 3\n',
        1,
        "pack",
    ),
    "a second name": (
        '[[dye]]\nname = "a"\nclass = "food"\n[[dye]]\nname = "A"\nclass = "food"\n',
        5,
        "second time",
    ),
    "syntax": ('[[dye]]\nname = "a"\nclass = milling\n', 3, "not valid TOML"),
    "the end": ('[[dye]]\nname = "a"\nclass = "milling"\nswatch = ', 4, "not valid TOML"),
    "one table": ('[dye]\nname = "a"\nstrength = "2 %"\nclass = "milling"\n', 3, 'goes with form = "liquid"'),
}


@pytest.mark.parametrize(("text", "line", "said"), WRONG.values(), ids=WRONG)
def test_the_sentence_names_file_and_line(text: str, line: int, said: str) -> None:
    shelf = read_shelf({"dyes.toml": text, "kit.toml": KIT})
    assert len(shelf.remarks) == 1
    assert shelf.remarks[0].startswith(f"dyes.toml: line {line}"), shelf.remarks
    assert said in shelf.remarks[0]
    assert [item.name for item in shelf.kit] == ["scale"]


def test_a_file_with_an_unknown_table_still_gives_its_entries() -> None:
    shelf = read_shelf({"dyes.toml": '[[dye]]\nname = "a"\nclass = "milling"\n[[pot]]\nname = "b"\n'})
    assert [dye.name for dye in shelf.dyes] == ["a"]
    assert "line 4" in shelf.remarks[0]


def test_a_file_of_another_encoding_names_its_line(tmp_path: Path) -> None:
    (tmp_path / "dyes.toml").write_bytes(b'[[dye]]\nname = "caf\xe9"\n')
    (tmp_path / "kit.toml").write_text(KIT)
    shelf = load_shelf(tmp_path)
    assert "dyes.toml: line 2 is not UTF-8" in shelf.remarks[0]
    assert shelf.kit


EVIL = ["\x1b]0;owned\x07", "a\u202eb", "[red]x[/]", "\x00", "\u009b31m", "z" + "\u0301" * 40]


@pytest.mark.parametrize("evil", EVIL)
def test_evil_text_is_told_and_never_obeyed(evil: str) -> None:
    escaped = "".join(f"\\U{ord(c):08x}" for c in evil)
    text = f'[[dye]]\nname = "{escaped}"\nclass = "{escaped}"\n"{escaped}" = 1\n'
    (remark,) = read_shelf({f"{evil}.toml": text}).remarks
    assert all(c.isprintable() for c in remark)


SIMPLE = st.sampled_from(
    ['"x"', "'#'", "3", "true", '"a # b"', "[1, 2]", '["[", "]"]', "{ a = 1 }", '"""q"""']
)
OVER_LINES = st.sampled_from(
    ['"""\n[[dye]]\nx = 1\n"""', "[\n 1, # ]\n 2,\n]", "'''\n# '\n'''", '"""a\\\n  b"""']
)
NAMES = st.sampled_from(["a", "b-2", '"c d"', "'e'", "f_"])


@given(
    st.lists(
        st.tuples(
            st.sampled_from(["dye", "jar"]),
            st.lists(st.tuples(NAMES, SIMPLE | OVER_LINES), unique_by=lambda pair: pair[0], max_size=4),
        ),
        max_size=5,
    )
)
def test_every_key_stands_where_it_is_said_to(tables: list[tuple[str, list[tuple[str, str]]]]) -> None:
    """Oracle: tomllib reads the text up to the end of each span as it reads the whole of it."""
    text = "# top\n" + "".join(
        f"[[{table}]]  # h\n" + "".join(f"{k} = {v} # c\n" for k, v in keys) + "\n# after\n"
        for table, keys in tables
    )
    whole = tomllib.loads(text)
    lines, spans = text.split("\n"), entry_spans(text)
    found = lines_of(text)
    assert len(spans) == sum(len(rows) for rows in whole.values())
    for (table, number), span in spans.items():
        assert lines[span.first - 1].startswith(f"[[{table}]]")
        part = tomllib.loads("\n".join(lines[span.first - 1 : span.last]))
        assert part == {table: [whole[table][number - 1]]}
        for key in whole[table][number - 1]:
            at = found[f"{table}[{number}].{key}"]
            assert span.first < at <= span.last and key in lines[at - 1].split("=")[0]


PLAN = """format = "potside-plan/1"
title = "t"
[fibre]
blend = { wool = 100 }
dry_weight = "100 g"
form = "skein"
[[colour]]
name = "rust"
dye = "sea holly"
depth = "1 %"
[set]
thickness = "3 cm"
"""
HOLLY = '[[dye]]\nname = "Sea holly"\nclass = "milling"\n'


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (HOLLY + "on_hand = 3 g\n", "dyes.toml: line 4 is not valid TOML"),
        (HOLLY + 'on_hand = "3 mL"\n', "dyes.toml: line 4, dye[1].on_hand"),
    ],
    ids=["no TOML", "a bad entry"],
)
def test_a_shelf_file_that_cannot_be_read_is_blamed_and_not_the_plan(text: str, said: str) -> None:
    with pytest.raises(PlanError) as caught:
        settle(read_plan(PLAN, name="t.plan.toml"), read_shelf({"dyes.toml": text}))
    assert str(caught.value).startswith(said) and '"sea holly"' in str(caught.value)
    assert "no dye of the shelf" not in str(caught.value) and caught.value.path == ("colour", "rust", "dye")


def test_a_reactive_dye_is_refused_with_what_to_do() -> None:
    """By its name in a plan, and by its class on a shelf."""
    with pytest.raises(PlanError, match=r"a reactive dye is fixed .* write an acid or a metal-complex dye"):
        settle(
            read_plan(PLAN.replace("sea holly", "C.I. Reactive Red 84"), name="t.plan.toml"), read_shelf({})
        )
    left_out = read_shelf({"dyes.toml": HOLLY.replace("milling", "reactive")}).left_out
    assert [each for each in left_out if "a reactive dye is fixed" in each.sentence]


def test_a_shelf_file_that_cannot_be_opened_is_blamed_too(tmp_path: Path) -> None:
    (tmp_path / "dyes.toml").mkdir()
    with pytest.raises(PlanError, match=r"^dyes\.toml: this is a folder.*sea holly"):
        settle(read_plan(PLAN, name="t.plan.toml"), load_shelf(tmp_path))


def test_a_name_that_no_file_hides_is_still_the_plans_own_fault() -> None:
    shelf = read_shelf({"dyes.toml": HOLLY.replace("Sea holly", "kelp"), "kit.toml": "[[kit]]\n"})
    with pytest.raises(PlanError, match="no dye of the shelf"):
        settle(read_plan(PLAN, name="t.plan.toml"), shelf)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_an_amount_that_nobody_set_is_left_blank(width: int) -> None:
    """Beside every entry of a starter shelf it said "not set", and not what."""
    shelf = read_shelf({"acids.toml": '[[acid]]\nname = "vinegar"\nacid = "white vinegar"\n'})
    (row,) = (
        "".join(text for text, _ in shelf_row(line, width))
        for line in lines_of_shelf(shelf, {})
        if line.table == "acid"
    )
    assert row.startswith("vinegar") and "set" not in row
