"""The painting page by its keys: any band, any order, more coats, other jars."""

from __future__ import annotations

from collections import Counter

import pytest

from studio.plan.preview import StripBand
from studio.screens.draw import goods
from studio.screens.draw.keys import UNICODE
from studio.session import commands as c


@pytest.fixture
def painting(bench_at, settled_of):  # type: ignore[no-untyped-def]
    """Twelve bands of 3 rows, rust and kelp in turn."""
    bands = settled_of((", { bare = 5 }", ""), ("rows = 20", "rows = 3"), ("repeat = 2", "repeat = 6"))
    return bench_at("paint.apply", choices=bands, bounce_s=0.25)


def painted(session) -> list[tuple[int, str]]:  # type: ignore[no-untyped-def]
    return [(coat.event.band, coat.event.jar) for coat in session.state.coats]


async def test_bands_are_gone_to_and_painted_in_any_order(painting, screen_text, wait_until) -> None:
    app, session = painting
    async with app.run_test(size=(80, 24)) as pilot:

        async def sees(*words: str) -> None:
            for told in words:
                await wait_until(pilot, lambda told=told: told in " ".join(screen_text(app).split()), told)

        await pilot.press("p")
        await sees("0 of 12 bands still to paint: 1 to 12", "▌ □ 1 rust")
        await pilot.press("1", "1")
        await sees("▌ □ 11 rust")
        await pilot.press("enter")
        await sees("1 of 12 bands still to paint: 1 to 10, 12", "▌ □ 12 kelp")
        await pilot.press("7", "enter")
        await sees("still to paint: 1 to 6, 8 to 10, 12", "▌ □ 8 kelp")
        await pilot.press("right", "right", "right", "right", "space")
        await sees("still to paint: 1 to 6, 8 to 10", "▌ □ 1 rust")
        await pilot.press("down", "right", "left", "up", "enter")
        await sees("4 of 12 bands", "▌ □ 2 kelp")
        assert painted(session) == [(11, "rust"), (7, "rust"), (12, "kelp"), (1, "rust")]
        await pilot.press("9", "9", "0")
        await sees("▌ □ 9 rust")
        await pilot.press("1", "2", "5")
        await sees("▌ □ 5 rust")


async def test_enters_that_come_too_fast_count_once_and_that_is_said(
    painting, screen_text, wait_until, burst
) -> None:
    app, session = painting
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("p")
        await wait_until(pilot, lambda: "0 of 12 bands" in screen_text(app))
        burst(app, *["enter"] * 9)
        await wait_until(pilot, lambda: "Enter again so soon counts once" in screen_text(app))
        assert painted(session) == [(1, "rust")]
        app._last_key = ("", 0.0)
        await pilot.press("enter")
        await wait_until(pilot, lambda: painted(session) == [(1, "rust"), (2, "kelp")])
        assert "so soon" not in screen_text(app)


async def test_enter_coats_no_band_twice_and_plus_does(painting, screen_text, wait_until) -> None:
    app, session = painting
    async with app.run_test(size=(80, 24)) as pilot:

        async def sees(told: str) -> None:
            await wait_until(pilot, lambda: told in " ".join(screen_text(app).split()), told)

        await pilot.press("p", "3", "enter")
        await sees("▌ □ 4 kelp")
        await pilot.press("3", "enter")
        await sees("Band 3 has a coat from the rust jar already")
        await sees("▌ □ 4 kelp")
        assert painted(session) == [(3, "rust")]
        await pilot.press("3", "plus")
        await sees("3 rust 2 coats")
        await sees("▌ ■ 3 rust")
        assert painted(session) == [(3, "rust"), (3, "rust")]
        await pilot.press("equals_sign")  # the same key without Shift
        await sees("3 rust 3 coats")


async def test_the_other_side_is_turned_to_and_painted(bench_at, settled_of, screen_text, wait_until) -> None:
    """Drawn as it lies then: the first band at the right."""
    both = settled_of(("repeat = 2", "repeat = 2\nsides = 2"))
    app, session = bench_at("paint.apply", choices=both)
    async with app.run_test(size=(80, 24)) as pilot:

        async def sees(*words: str) -> None:
            for told in words:
                await wait_until(pilot, lambda told=told: told in " ".join(screen_text(app).split()), told)

        def marked() -> int:
            return next(line.find("▼") for line in screen_text(app).splitlines() if "▼" in line)

        await pilot.press("p")
        await sees("Painting, front 0 of 4 bands still to paint: front of 1 to 4", "band 1, front, rust")
        first = marked()
        await pilot.press("enter", "t")
        await sees("Painting, back 0 of 4 bands still to paint: front of 2 to 4", "band 1, back, rust")
        assert first < 40 < marked() and first + marked() == pytest.approx(79, abs=1)
        await pilot.press("enter")
        await sees("1 of 4 bands", "▌ □ 2 kelp", "back of 2 to 4")
        await pilot.press("t")
        await sees("Painting, front 1 of 4 bands", "▌ □ 2 kelp")
        assert [(c.event.band, c.event.face) for c in session.state.coats] == [(1, "front"), (1, "back")]
        await pilot.press("enter", "enter", "enter")
        await sees("Painting, front 4 of 4 bands", "still to paint: back of 2 to 4")
        await pilot.press("enter")
        await sees("Every band has a coat on this side; T turns it over.")


async def test_another_jar_is_named_and_put_right(bench_at, settled_of, screen_text, wait_until) -> None:
    """Where that has no room behind the band's name it goes below it, and no name gives way to a size."""
    bands = settled_of(
        ('"kelp"', '"deep sea water"'), ("rows = 20", "rows = 3"), ("repeat = 2", "repeat = 6")
    )
    app, session = bench_at("paint.apply", choices=bands, bounce_s=0.25)
    async with app.run_test(size=(60, 20)) as pilot:

        async def sees(told: str) -> None:
            await wait_until(pilot, lambda: told in " ".join(screen_text(app).split()), told)

        await pilot.press("p", "7", "o")
        await sees("Band 7 was painted from which jar? 1 rust, 2 deep sea water")
        await pilot.press("enter")
        await sees("Type the colour of the jar or its number")
        await pilot.press(*"deep sea water", "enter")
        await sees(" 1 coat from deep ")
        await sees("▌ □ 8 deep sea water")
        assert painted(session) == [(7, "deep-sea-water")]
        await sees("deep sea water left in the jar")
        assert "█d█" in screen_text(app), "the goods show what was put on them"
        await pilot.press("7", "o", "1", "enter")
        await wait_until(pilot, lambda: painted(session) == [(7, "rust")])
        assert "coat from" not in screen_text(app) and "█r█" in screen_text(app)


@pytest.mark.parametrize("size", [(80, 24), (60, 18), (120, 40)])
async def test_a_dose_of_three_figures_leaves_the_bands_their_column(
    bench_at, settled_of, screen_text, wait_until, size
) -> None:
    """Bands of 6 rows: 3.93 mL for the first; its digits are the widest there are."""
    app, session = bench_at("paint.apply", choices=settled_of(("rows = 20", "rows = 6")), bounce_s=0.25)
    async with app.run_test(size=size) as pilot:
        await pilot.press("p")
        await wait_until(pilot, lambda: "▌ □ 1 rust" in screen_text(app))
        lines = screen_text(app).splitlines()
        found = [line.find(sign) for line in lines for sign in ("▌ □ 1 ", "  □ 2 ", "  □ 3 ") if sign in line]
        assert len(found) == 3 and len(set(found)) == 1, screen_text(app)
        assert "about, for all" in screen_text(app)


@pytest.mark.parametrize("size", [(80, 24), (60, 18)], ids=lambda s: f"{s[0]}x{s[1]}")
async def test_what_is_typed_stays_in_sight_under_two_warnings(
    bench_at, screen_text, wait_until, size
) -> None:
    app, session = bench_at("paint.apply")
    session.do(c.PaintBand(1))
    session.do(c.PaintBand(2))
    for jar in ("rust 1 mL", "kelp 1 mL"):
        session.do(c.PaintLeft(*jar.split(" ", 1)))
    async with app.run_test(size=size) as pilot:
        await pilot.press("p")
        await wait_until(pilot, lambda: "WARN" in screen_text(app))
        await pilot.press("j", *"1 40")
        await wait_until(pilot, lambda: any(line.strip() == "1 40" for line in screen_text(app).splitlines()))


@pytest.mark.parametrize("rows", [14, 20, 30])
def test_of_a_skein_as_much_is_full_as_is_painted(rows: int) -> None:
    """Cells of the ring, by the hue they are drawn in; what is ahead is its outline alone."""
    sizes = {"#aa0000": 45.0, "#00aa00": 30.0, "#0000aa": 25.0}
    bands = [StripBand(f"c{n}", size, hue, "kgw"[n]) for n, (hue, size) in enumerate(sizes.items())]
    drawn = goods.loop(bands, goods.Painted(frozenset({1, 2, 3}), 0), rows, UNICODE)
    seen = Counter(span.style for line in drawn for span in line.spans for _ in range(span.end - span.start))
    whole = sum(n for style, n in seen.items() if style in sizes)
    for hue, size in sizes.items():
        assert seen[hue] / whole == pytest.approx(size / 100, abs=0.04)
    turned = goods.loop(bands, goods.Painted(frozenset({1, 2, 3}), 0, "back"), rows, UNICODE)
    middle = max(line.cell_length for line in drawn) / 2
    for side, lines in ((1, drawn), (-1, turned)):
        first = [s.start - middle for line in lines for s in line.spans if s.style == "#aa0000"]
        assert side * sum(first) > 0, "the first part lies right of the knot, and left of it once turned over"
    ahead = goods.loop(bands, goods.Painted(frozenset({1}), 2), rows, UNICODE)
    outline = sum(s.end - s.start for line in ahead for s in line.spans if "#0000aa" in str(s.style))
    assert 0 < outline < seen["#0000aa"] / 2
    assert goods.loop_rows(max(line.cell_length for line in drawn), rows) == rows


def test_bare_wool_of_a_blank_is_never_in_hand_and_is_full_with_the_band_before_it() -> None:
    """A blank that begins bare: once nothing is left to paint, no band stands between edges, and all of it is full."""
    bands = [StripBand("", 4.0), StripBand("rust", 6.0, "#aa0000", "r"), StripBand("", 5.0)]

    def cells(done: set[int], chosen: int) -> Counter[str]:
        lines = goods.blank(bands, goods.Painted(frozenset(done), chosen), 45, 3, UNICODE, "rows")[1:-1]
        return Counter(sign for line in lines for sign in line.plain)

    over, before = cells({1}, 0), cells(set(), 1)
    assert not over[UNICODE.bar] and over[UNICODE.block] == 3 * 45 - len(bands), "each band bears a sign"
    assert before[UNICODE.bar] == 3 and not before[UNICODE.block]
