"""What the README and the pages it links say: links lead somewhere, commands are there, its plan can be dyed."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import get_args

import click
import pytest

from studio.cli import main
from studio.plan.reading import read_plan
from studio.plan.shapes import Origin
from studio.plan.sheet import work_out
from studio.shelf.reading import load_shelf
from studio.words.glossary import find

ROOT = Path(__file__).parents[2]
PAGES = [path for room in (".", "sessions", "studio") for path in sorted((ROOT / room).glob("*.md"))]
README = (ROOT / "README.md").read_text()
LINK = re.compile(r"\]\((?:<([^>]+)>|([^)\s]+))\)")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_leads_to_a_file(page: Path) -> None:
    links = ["".join(found).partition("#")[0] for found in LINK.findall(page.read_text())]
    assert [link for link in links if not link.startswith("http") and not (page.parent / link).exists()] == []


PICTURES = [path for room in ("studio", "tests") for path in sorted((ROOT / room).rglob("*.svg*"))]


@pytest.mark.parametrize("picture", PICTURES, ids=lambda picture: picture.stem[-40:])
def test_a_picture_asks_no_other_machine_for_anything(picture: Path) -> None:
    """The one address that may stand in it is the name of what it is written in."""
    assert {*re.findall(r"(?:https?:)?//[^\"'\s)>]+", picture.read_text())} <= {"http://www.w3.org/2000/svg"}


def test_every_example_is_understood_and_no_command_is_left_out() -> None:
    named = set()
    for line in re.findall(r"^\|.*?\| `potside (.*?)` \|", README, re.M):
        name, *rest = shlex.split(line)
        command = main.get_command(click.Context(main), name)
        assert command is not None, line
        command.make_context(name, rest)
        named.add(name)
    assert named == set(main.list_commands(click.Context(main)))


def test_every_origin_is_explained() -> None:
    page = (ROOT / "studio" / "NUMBERS.md").read_text()
    entry = find("origin")
    assert entry is not None
    for origin in get_args(Origin):
        assert f"`{origin}`" in page and origin in entry.means, origin


@pytest.mark.parametrize(("word", "means"), [("grade", "rinse water"), ("room", "temperature")])
def test_a_word_of_the_bench_means_what_the_bench_means_by_it(word: str, means: str) -> None:
    entry = find(word)
    assert entry is not None and entry.name == word and means in entry.means


def test_the_plan_can_be_dyed() -> None:
    (plan,) = re.findall(r"```toml\n(.*?)```", README, re.S)
    assert len(plan.splitlines()) == 12
    sheet = work_out(read_plan(plan, name="tide-line.plan.toml"), load_shelf(ROOT / "shared"))
    assert {caution.level for caution in sheet.cautions} <= {"note"}
