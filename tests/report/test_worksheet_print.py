"""The printed worksheet: everything is on it, nothing runs off it, nothing from a file steers the terminal."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from rich.console import Console

from studio.plan.reading import read_plan
from studio.plan.shapes import Caution, Figure, Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF
from studio.plan.toml import read_text
from studio.quantity import reading_in
from studio.report.printing import WIDEST, print_sections
from studio.report.worksheet import sections, value_words, worksheet_sections
from studio.shelf.reading import load_shelf

ROOT = Path(__file__).resolve().parents[2]


def printed(worksheet: Worksheet, width: int = 80, *, why: bool = False, colour: bool = False) -> str:
    out = io.StringIO()
    console = Console(
        file=out, width=width, force_terminal=colour, color_system="standard" if colour else None
    )
    print_sections(worksheet_sections(worksheet, min(width, WIDEST), why=why), console)
    return out.getvalue()


@pytest.fixture(scope="module")
def worksheet() -> Worksheet:
    shelf = load_shelf(ROOT / "shared")
    path = ROOT / "shared" / "plans" / "kelp-forest.plan.toml"
    plan = read_plan(read_text(path), name=path.name)
    return work_out(plan, shelf)


@pytest.mark.parametrize("width", [60, 80, 100, 120, 200])
@pytest.mark.parametrize("why", [False, True])
def test_fits_its_width(worksheet: Worksheet, width: int, why: bool) -> None:
    assert max(len(line.rstrip()) for line in printed(worksheet, width, why=why).splitlines()) <= width


@pytest.mark.parametrize("why", [False, True])
def test_every_figure_and_caution_is_there(worksheet: Worksheet, why: bool) -> None:
    flat = " ".join(printed(worksheet, 100, why=why).split())
    for figure in worksheet.figures:
        assert " ".join(figure.label.split()) in flat
        assert value_words(figure) in flat
    for caution in worksheet.cautions:
        assert " ".join(caution.text.split()[:4]) in flat


def test_why_adds_equation_and_source_in_full(worksheet: Worksheet) -> None:
    flat = "".join(printed(worksheet, 80, why=True).split())
    for figure in worksheet.figures:
        assert "".join(figure.because.split()) in flat, figure.id
        assert "".join(figure.source.split()) in flat, figure.id
    plain = printed(worksheet, 80)
    assert "source:" not in plain and "/ root 6" not in plain


def test_cautions_come_first_with_their_words() -> None:
    cautions = (
        Caution(id="a", level="stop", text="Halt this.", source="house rule"),
        Caution(id="b", level="warn", text="Mind that.", source="house rule", stage="steam"),
        Caution(id="c", level="note", text="Know it.", source="house rule"),
    )
    figures = (Figure(id="fibre.dyeable", value=75.0, unit="%", label="takes", because="75", origin="plan"),)
    text = printed(Worksheet(title="t", figures=figures, cautions=cautions, procedure=()))
    places = [text.index(word) for word in ("STOP  Halt", "WARN  Mind", "NOTE  Know", "75 %", "cannot begin")]
    assert places == sorted(places)
    assert "1 to stop for, 1 to accept, 1 to know" in text


def test_nothing_from_a_file_steers_the_terminal_or_is_markup() -> None:
    evil = "\x1b]0;own\x07\x1b[2J\u202e[red]x[/red][@click=app.quit]q[/]"
    cautions = (Caution(id="e", level="note", text=evil, source=evil),)
    figures = (
        Figure(id="set.hold", value=1.0, unit="min", label=evil, because=evil, origin="plan", source=evil),
    )
    for colour in (False, True):
        text = printed(
            Worksheet(title=evil, figures=figures, cautions=cautions, procedure=()), why=True, colour=colour
        )
        assert "\x1b]" not in text and "\x1b[2J" not in text and "\x07" not in text and "\u202e" not in text
        assert "[red]x[/red]" in text.replace("\n", "")


def test_a_title_of_evil_letters_goes_through_a_plan() -> None:
    text = (
        'format = "potside-plan/1"\ntitle = "a\\u202eb \\u001b[31m [bold]"\n[fibre]\nblend = { wool = 100 }\n'
        'dry_weight = "100 g"\nform = "skein"\n[[colour]]\nname = "[/x] \\u0007"\ndye = "food red"\ndepth = "1 %"\n'
        '[set]\nthickness = "4 cm"\n'
    )
    out = printed(work_out(read_plan(text, name="evil"), EMPTY_SHELF), 80, why=True)
    assert "\\u202e" in out and "[bold]" in out and "[/x]" in out
    assert not any(c in out for c in "\x1b\x07\u202e")


def test_sections_hold_each_figure_once(worksheet: Worksheet) -> None:
    ids = [f.id for figures in sections(worksheet).values() for f in figures]
    assert sorted(ids) == sorted(f.id for f in worksheet.figures)
    assert [*sections(worksheet)][:5] == ["fibre", "presoak", "stocks", "paint", "set"]


def test_colour_is_never_the_only_sign(worksheet: Worksheet) -> None:
    assert printed(worksheet, 80).split() == _without_colour(printed(worksheet, 80, colour=True)).split()


def _without_colour(text: str) -> str:
    import re

    return re.sub(r"\x1b\[[0-9;]*m", "", text)


def test_a_published_spread_from_spoons_to_ounces_names_both(monkeypatch) -> None:
    """26 mL are 5 1/4 tsp of 4.93 mL, 145 mL are 4.9 fl oz of 29.57 mL (NIST SP 811, 2008, appendix B)."""
    spread = Figure(id="presoak.acid", value=80.0, unit="mL", label="", because="", origin="published", source="",
                    low=26.0, high=145.0, chosen=80.0)  # fmt: skip
    assert value_words(spread) == "26 to 145 mL"
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    assert value_words(spread) == "5 1/4 tsp to 4.9 fl oz"
