"""The bench's page at every step of the sample plans: within its room, with sentence and hint, one thing largest; and
the strip it stands on."""

from __future__ import annotations

import random
from itertools import cycle
from pathlib import Path

import msgspec
import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from studio.plaintext import clean
from studio.plan.preview import StripBand, letters
from studio.screens.bench.view import BenchView, look
from studio.screens.draw.bench import Frame, page
from studio.screens.draw.cloth import fitting, stage_words, strip
from studio.screens.draw.keys import ASCII, UNICODE
from studio.services.studio import Services
from studio.services.unattended import walk
from studio.session import commands as c
from studio.session.path import StageProgress
from studio.session.run import Running
from studio.session.timers import clock_text
from studio.store.folder import StudioFolder
from studio.words.table import spoken
from tests.conftest import examples

ROOT = Path(__file__).parents[3]
PLANS = sorted(
    (ROOT / "shared" / "plans").glob("[!.]*.toml"), key=lambda path: (not path.match("tidewrack*"), path)
)
SIZES = ((60, 19), (80, 23), (120, 39), (160, 47))
"""Cells and rows of the page; one row below it is the keys'."""


def amiss(view: BenchView, width: int, height: int, high) -> list[str]:  # type: ignore[no-untyped-def]
    """What a page of that size does not hold. `high`: rows of drawn digits, 0 where they are not there."""
    shown = page(view, Frame(width, {}, UNICODE), height).plain
    lines = shown.split("\n")
    told = " ".join(" ".join(line.strip("▌ ") for line in lines).split())
    found = [f"{len(lines)} rows"] if len(lines) > height else []
    found += [f"{cell_len(line)} cells: {line}" for line in lines if cell_len(line) > width]
    if view.shown is not None:
        wanted = (clean(view.shown.step.text, limit=400), spoken(view.shown.hint))
        found += [f"not there: {words}" for words in wanted if " ".join(words.split()) not in told]
    if view.large is not None:
        if view.shown is not None and view.shown.step.kind == "gate" and view.large.text in view.shown.hint:
            found.append(f"said twice: {view.large.text}")
        large = max(high(shown, view.large.text, view.large.unit), high(shown, view.large.text))
        others = [
            clock_text(c.left_s)
            for c in view.timers
            if view.large.clock is None or c.id != view.large.clock.id
        ]
        found += [
            f"as large as {view.large.text}: {text}" for text in others if high(shown, text) >= max(1, large)
        ]
        found += [] if large else [f"not drawn: {view.large.text} {view.large.unit}"]
    if view.cups is not None:
        found += [f"no cup: {name}" for name in view.cups.names if name not in shown]
    return [f"{width}x{height} {telling}" for telling in found]


@pytest.mark.one_in(5)
@pytest.mark.parametrize("plan", PLANS, ids=lambda path: path.name.split(".")[0])
def test_every_page_keeps_within_its_room_and_says_all_that_is_to_be_done(
    plan: Path, begin, clock, digits_drawn
) -> None:  # type: ignore[no-untyped-def]
    """Each step at one of the sizes in turn, so that each kind of step comes to each."""
    worked = Services(StudioFolder(ROOT), clock).work_out(plan)
    running = begin(worked.worksheet, worked.choices)
    sizes, seen, found = cycle(SIZES), set[str](), list[str]()

    def look_at(session: Running) -> bool:
        view = look(session)
        if view.shown is not None and (key := f"{view.shown.step.id} {len(view.timers)}") not in seen:
            seen.add(key)
            found.extend(f"{key}: {told}" for told in amiss(view, *next(sizes), digits_drawn))
        return False

    walk(running, clock, random.Random(1), lambda told: None, until=look_at)
    assert len(seen) > 20
    assert not found, "\n".join(found)


def bands(text: str) -> list[StripBand]:
    """`r2 .1`: a band for each word, its first letter the colour's name, a point for bare, then its size."""
    return [StripBand(word[0].replace(".", ""), float(word[1:]), sign=word[0]) for word in text.split()]


@pytest.mark.parametrize(("laid", "wide", "kept"), [
    ("r2 .1 k2 .1", 60, "r2 .1 k2 .1"),
    ("r1 k1 " * 20, 120, "r1 k1 " * 20),  # three cells each
    ("r1 k1 " * 20, 119, "r1 k1 " * 19),  # narrower: whole repeats, as many as fit
    ("r1 k1 g1 " * 9, 60, "r1 k1 g1 " * 6),
    ("r9 k1", 20, "r9 k1"),  # a repeat is not cut
    ("a1 b1 c1 d1 e1 f1", 9, "a1 b1 c1"),
    ("a1 b1", 2, "a1"),
])  # fmt: skip
def test_a_strip_shows_whole_repeats_where_not_all_bands_fit(laid: str, wide: int, kept: str) -> None:
    assert list(fitting(bands(laid), wide)) == bands(kept)


@pytest.mark.parametrize(("names", "told"), [
    (["rust", "kelp", "", "rust"], "rk.r"),
    (["rust", "red", "ruddy", "u"], "reu1"),
    (["Grün", "漢字", "42"], "g12"),
    ([f"r{n}" for n in range(12)], "r123456789??"),
])  # fmt: skip
def test_each_colour_has_a_letter_of_its_own(names: list[str], told: str) -> None:
    found = letters(names)
    assert "".join(found[name] for name in names) == told


@pytest.mark.parametrize(("done", "rows"), [
    (0.0, [" r     k    ", "____________"]),
    (0.5, ["rrrrrr k    ", "rrrrrr______"]),
    (0.75, ["rrrrrrkkk   ", "rrrrrrkkk___"]),
    (1.0, ["rrrrrrkkkkkk", "rrrrrrkkkkkk"]),
])  # fmt: skip
def test_a_strip_is_full_as_far_as_it_is_done_and_a_line_beyond(done: float, rows: list[str]) -> None:
    drawn = strip(bands("r3 k3"), 12, 2, ASCII, done=done)
    assert [line.plain for line in drawn] == rows


STRANDS = st.builds(StripBand, st.sampled_from(["", "rust", "kelp", "red", "漢字"]), st.floats(0.01, 400))


@given(st.lists(STRANDS, min_size=1, max_size=40), st.integers(3, 200), st.integers(1, 5), st.floats(0, 1))
@examples(25)
def test_a_strip_is_as_wide_and_as_high_as_asked_whatever_is_laid_out(
    laid: list[StripBand], wide: int, rows: int, done: float
) -> None:
    for glyphs in (UNICODE, ASCII):
        drawn = strip(laid, wide, rows, glyphs, done=done)
        assert len(drawn) == rows
        assert {line.cell_length for line in drawn} == {wide}


@pytest.mark.parametrize("step", ["stocks.rust.dye", "paint.rust.mix"])
def test_a_jar_that_colours_share_stands_in_the_colour_it_is_named_by(bench_at, settled_of, step) -> None:
    _, session = bench_at(step, choices=settled_of(("acid blue 9", "acid orange 7")))
    large = look(session).large
    assert large is not None and large.colour == "rust"


@pytest.mark.parametrize("size", SIZES[2:], ids=str)
def test_what_was_passed_and_why_stands_whole_where_there_is_room(begin, size: tuple[int, int]) -> None:
    """The steps have a column there; what is longer than it goes on below."""
    session = begin(to="cool.unwrap")
    session.do(c.Override("cool.unwrap", "the bus leaves, and the wrap feels hardly warm to the hand"))
    drawn = page(look(session), Frame(size[0], {}, UNICODE), size[1]).plain
    for words in ("Unwrapped cool", "passed with a reason: the bus", "wrap feels hardly", "warm to the"):
        assert words in drawn
    assert "…" not in drawn


def test_a_hint_longer_than_a_line_is_wrapped(begin) -> None:
    """Of forty bands every second one is bare still."""
    view = look(begin(to="paint.apply"))
    assert view.shown is not None
    bare = ", ".join(str(n) for n in range(1, 40, 2))
    shown = msgspec.structs.replace(view.shown, hint=f"{{bench.bands}}  tick the bands   left: {bare}")
    view = msgspec.structs.replace(view, shown=shown)
    for width, height in SIZES:
        drawn = page(view, Frame(width, {}, UNICODE), height).plain
        assert bare in " ".join(drawn.split())
        assert all(cell_len(line) <= width for line in drawn.split("\n"))


@pytest.mark.parametrize("wide", [72, 76, 116])
@pytest.mark.parametrize("now", range(8))
def test_names_of_stages_stand_apart(now: int, wide: int) -> None:
    names = ["ready", "presoak", "stocks", "paint", "microwave", "cool", "rinse", "record"]
    stages = [StageProgress(name, 0, 5, "now" if n == now else "ahead") for n, name in enumerate(names)]
    assert stage_words(stages, wide, UNICODE).plain.replace(UNICODE.now, " ").split() == names
    assert stage_words(stages, wide, UNICODE).cell_length <= wide
