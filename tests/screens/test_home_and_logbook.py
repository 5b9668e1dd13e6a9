"""Home, worksheet, logbook and one session's page, driven by keys; foreign text is shown, never obeyed."""

from __future__ import annotations

import os
import re
import shutil
from functools import partial
from pathlib import Path

import msgspec
import pytest
from rich.cells import cell_len

from studio.logbook.entry import LogbookRow
from studio.plan.shapes import Caution
from studio.screens.app import PotsideApp
from studio.screens.bench.view import look
from studio.screens.draw.bench import left_text
from studio.screens.home import HomeScreen
from studio.screens.logbook.session import SessionScreen
from studio.screens.plan.opening import NewPlanScreen
from studio.services.plans import ShelfMatter
from studio.services.studio import Services, starter_shelf
from studio.session import commands as c
from studio.session.alarms import standing
from studio.session.kinds.fastness import WaitingTest
from studio.session.step_rules import gate_digit
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock

ROOT = Path(__file__).resolve().parents[2]

EVIL = [
    "rust\x1b]0;owned\x07",
    "clear\x1b[2Jscreen",
    "c1\u009b31m",
    "bidi\u202etxt",
    "nul\x00byte",
    "[/nope]",
    "[red]x",
    "mordant [10%]",
    "[@click=app.quit]q[/]",
    "z" + "\u0301" * 40,
    "wide 漢字" * 40,
]


def card(**changes) -> LogbookRow:  # type: ignore[no-untyped-def]
    base = {
        "key": "k1",
        "title": "Tidewrack stripes",
        "opened_ns": 1_790_000_000_000_000_000,
        "utc_offset_min": 60,
        "standing": "open",
        "about": "at paint 3 of 6",
    }
    return LogbookRow(**{**base, **changes})


async def test_a_new_studio_offers_three_ways_in(tmp_path, screen_text, wait_until) -> None:
    folder = StudioFolder(tmp_path / "studio")
    folder.make(starter_shelf)
    services = Services(folder, SystemClock())
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "A studio of your own" in screen_text(app))
        shown = screen_text(app)
        ways = [line for line in shown.splitlines() if re.match(r"[▌ ] [RFN]  ", line)]
        assert [way[2] for way in ways] == ["R", "F", "N"] and ways[0].startswith("▌")
        assert "come before anything this program says." in " ".join(shown.split())
        await pilot.press("F")
        await wait_until(
            pilot, lambda: "First skein" in screen_text(app) and "ready to begin" in screen_text(app)
        )
        await pilot.press("escape", "n")
        await wait_until(pilot, lambda: isinstance(app.screen, NewPlanScreen))
        await pilot.press("escape", "enter")
        await wait_until(pilot, lambda: "Sound the bell" in screen_text(app))
    services.let_go()


@pytest.mark.parametrize(("size", "high"), [((60, 20), 3), ((80, 24), 5), ((120, 40), 7)])
@pytest.mark.one_in(3)
async def test_the_session_that_runs_comes_first_with_its_clock(
    services, begin, walk_to, screen_text, wait_until, digits_drawn, size, high
) -> None:
    session = begin(to="steam.hold")
    services.state, services.clock, services.cards = session.state, session.clock, [card()]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=size) as pilot:
        await wait_until(pilot, lambda: "►steam" in screen_text(app))
        timer = look(session).timer
        assert timer is not None and digits_drawn(screen_text(app), left_text(timer)) == high
        assert screen_text(app).splitlines()[2].startswith("▌ Tidewrack stripes")
        session.clock.advance(60 * 60)
        await wait_until(pilot, lambda: "●" in screen_text(app) and "is over" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "You were at 1 of" in screen_text(app))


async def test_what_came_due_since_it_was_left_stands_beside_the_alarms_of_its_file(
    services, begin, screen_text, wait_until
) -> None:
    """The reminder of the pot's water was raised when the bench was left; then the set itself ran out."""
    session = begin(to="steam.hold")
    session.clock.advance(26 * 60)
    session.tick()
    (reminded,) = standing(session.state)
    assert reminded.timer == "pot-water"
    services.state, services.clock, services.cards = session.state, session.clock, [card()]
    session.clock.advance(60 * 60)
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "DUE  The set is over" in screen_text(app))


async def test_a_session_just_left_is_chosen(services, begin, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        services.cards = [card()]
        await pilot.press("l", "escape")
        await wait_until(pilot, lambda: screen_text(app).splitlines()[2].startswith("▌ Tidewrack stripes"))


async def test_what_is_to_be_seen_to_is_at_most_four_lines(services, screen_text, wait_until) -> None:
    services.matters = [ShelfMatter(f"jar {n}: 12 mL", "good to 3 Oct") for n in range(6)]
    services.tests = [WaitingTest(key="k1", title="Lantern floats", test="wash", due="2026-10-01")]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "4 more to see to" in screen_text(app))
        lines = screen_text(app).splitlines()
        first = lines.index("  to see to") + 1
        assert [line[2] for line in lines[first : first + 4]] == [*"●▲▲▲"] and not lines[first + 4]
        assert "due today" in lines[first] and "Lantern floats" in lines[first]


async def test_a_plan_stands_with_its_last_session_and_what_is_wrong_in_full(
    services, screen_text, wait_until
) -> None:
    rated = {"even": 5, "sharp edges": 3}
    services.cards = [
        card(standing="finished", ratings=rated, plan_file="tide"),
        card(key="k0", standing="abandoned"),
    ]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "has to be mended" in screen_text(app))
        (line,) = (line for line in screen_text(app).splitlines() if "Tidewrack" in line)
        assert "100 g blank" in line and "last 21 Sep" in line and line.endswith("■■■■□")
        await pilot.press("down")
        await wait_until(pilot, lambda: "bad.plan.toml: dry_weight has no unit" in screen_text(app))


async def test_a_plan_stands_with_the_session_of_its_own_file(services, screen_text, wait_until) -> None:
    """A newer session of another plan with the same title is not its last; one begun before a new title is."""
    older_ns = 1_789_740_000_000_000_000
    own = card(key="k0", standing="finished", title="Tide", plan_file="tide", opened_ns=older_ns)
    services.cards = [card(standing="finished", plan_file="tide-2.plan.toml"), own]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "has to be mended" in screen_text(app))
        (line,) = (line for line in screen_text(app).splitlines() if "100 g blank" in line)
        assert "last 18 Sep" in line


async def test_a_copy_left_by_a_file_sync_is_a_row_that_says_what_to_do(
    services, screen_text, wait_until
) -> None:
    services.copies = {
        "20261125-1004-tide-9f3a (conflicted copy).jsonl": "It looks like a copy; keep one of the two.",
        EVIL[0]: "A file \\x1b with an evil name.",
    }
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "a copy made by a file sync?" in screen_text(app))
        assert "\x1b" not in screen_text(app)
        await pilot.press("end", "up")
        await wait_until(pilot, lambda: "keep one of the two" in screen_text(app))
        await pilot.press("enter")
        assert "keep one of the two" in screen_text(app)


async def test_the_chosen_row_has_a_sign_besides_its_ground(services, screen_text, wait_until) -> None:
    def signed() -> list[str]:
        return [line[1:].split()[0] for line in screen_text(app).splitlines() if line.startswith("▌")]

    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: signed() == ["Tidewrack"])
        await pilot.press("down")
        await wait_until(pilot, lambda: signed() == ["▲"])


async def test_a_click_on_the_foot_is_its_key_and_a_second_one_on_a_row_opens_it(
    services, screen_text, wait_until
) -> None:
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack stripes" in screen_text(app))

        def at(word: str) -> tuple[int, int]:
            line = next(n for n, line in enumerate(screen_text(app).splitlines()) if word in line)
            return screen_text(app).splitlines()[line].index(word), line

        foot = app.screen.query_one("#keys")
        for cell in range(3):  # as a pointer comes: over more than one
            await pilot.hover(offset=(at("new plan")[0] + cell, at("new plan")[1]))
        await wait_until(pilot, lambda: foot.tooltip == "a new plan")
        await pilot.hover(offset=at("Tidewrack"))
        await pilot.click(offset=at("keys"))
        await wait_until(pilot, lambda: "open what is under" in screen_text(app))
        await pilot.click(offset=at("back"))
        await wait_until(pilot, lambda: "Tidewrack stripes" in screen_text(app))
        for row in ("bad.plan.toml", "Tidewrack stripes"):
            await pilot.click(offset=at(row))
            await wait_until(pilot, lambda row=row: "▌" in screen_text(app).splitlines()[at(row)[1]])
        await pilot.click(offset=at("Tidewrack stripes"))
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))


async def test_every_action_plan_and_session_is_found_by_its_name(
    services, screen_text, wait_until, monkeypatch
) -> None:
    services.cards = [card(key="k7", title="Kelp forest", standing="finished")]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 40)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack stripes" in screen_text(app))
        for typed, then in (("shelf", "shelf"), ("tidewr", "plan, 100 g"), ("kelp", "session, finished")):
            await pilot.press("ctrl+p", *typed)
            await wait_until(pilot, lambda then=then: then in screen_text(app))
            await pilot.press("escape")
        offered: list[str] = []
        with monkeypatch.context() as kept:
            kept.setattr(app, "search_commands", lambda found, _: offered.extend(name for name, *_ in found))
            await app.action_find_by_name()
        assert "Quit" in offered and not any(name.startswith("Find an action") for name in offered)
        await pilot.press("ctrl+p", *"tidewr", "down", "enter", "enter")
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))


async def test_a_plan_is_read_before_it_begins(services, screen_text, wait_until) -> None:
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "ready to begin" in screen_text(app))
        await pilot.press("w")
        await wait_until(pilot, lambda: "100 g x liquor ratio 20 = 2000 mL" in screen_text(app))
        await pilot.press("b", "b")
        await wait_until(pilot, lambda: "Sound the bell" in screen_text(app))


async def test_a_stop_says_what_to_change(services, sheet_of, screen_text, wait_until) -> None:
    services.sheet = sheet_of(Caution(id="s", level="stop", text="Nothing here takes acid dye.", source="x"))
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "STOP" in screen_text(app))
        await pilot.press("b", "b")
        await pilot.pause(0.2)
        assert services.begun is None


async def test_the_logbook_shows_the_chosen_one_in_full_what_was_abandoned_and_what_waits(
    services, screen_text, wait_until
) -> None:
    why = "The gas ran out eight minutes into the set and the shop is shut until Monday morning."
    services.cards = [
        card(
            key="a",
            standing="finished",
            ratings={"even": 4, "sharp edges": 3},
            dry_g=98.0,
            remark="pale at the core",
        ),
        card(key="b", standing="abandoned", about=why, dry_g=200.0),
    ]
    due = ["2026-11-20", "2026-12-01", "2026-12-02", "2026-12-03"]
    services.tests = [
        WaitingTest(key="a", title=f"Float {n}", test="wash", due=day) for n, day in enumerate(due)
    ]
    for width, height, listed in ((80, 24, 3), (60, 20, 1)):
        async with PotsideApp(lambda: services, bounce_s=0.0).run_test(size=(width, height)) as pilot:
            seen = partial(screen_text, pilot.app)
            await wait_until(pilot, lambda seen=seen: "  plans" in seen())
            await pilot.press("l")
            await wait_until(pilot, lambda seen=seen: "even 4, sharp edges 3" in seen())
            rows = seen().splitlines()
            assert any(row.rstrip().endswith("98 g  ■■■■□") for row in rows), "a remark that would be cut"
            assert any(row.rstrip().endswith("200 g  –     abandoned") for row in rows)
            assert sum("wash test" in row for row in rows) == listed
            assert any(f"and {4 - listed} more that wait; F shows them" in row for row in rows)
            await pilot.press("down")
            await wait_until(pilot, lambda seen=seen: f"abandoned: {why}" in " ".join(seen().split()))


async def test_logbook_and_page_and_remark(services, begin, screen_text, wait_until) -> None:
    session = begin(to="record.close")
    session.do(c.PassGate("record.close", gate_digit(session.state, "record.close", session.missed)))
    session.do(c.Finish())
    services.state = session.state
    services.cards = [card(standing="finished", about="rinsed clear 4")]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        await pilot.press("l")
        await wait_until(pilot, lambda: "▌" in screen_text(app) and "F fastness tests" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "planned" in screen_text(app) and "by hand" in screen_text(app))
        await pilot.press("n", *"faded in June", "enter")
        await wait_until(pilot, lambda: services.remarks == ["faded in June"])


def test_before_a_screen_is_drawn_none_of_its_keys_holds() -> None:
    """A key may come between two screens."""
    assert HomeScreen().check_action("edit_plan", ()) is False


@pytest.mark.parametrize("evil", EVIL)
@pytest.mark.one_in(20)
async def test_row_20_and_21_foreign_text_is_shown_and_never_obeyed(
    evil, services, begin, sheet_of, walk_to, screen_text, wait_until
) -> None:
    sheet = msgspec.structs.replace(
        sheet_of(Caution(id="e", level="note", text=evil, source=evil)), title=evil
    )
    session = begin(sheet)
    session.do(c.AddNote(evil))
    walk_to(session, "presoak.acid")
    services.state, services.sheet, services.studio_name = session.state, sheet, evil
    services.cards = [card(title=evil, about=evil)]
    app = PotsideApp(lambda: services, bounce_s=0.0)
    seen = []
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        seen.append(screen_text(app))
        await pilot.press("l")
        await wait_until(pilot, lambda: "▌ " in screen_text(app) and "Logbook" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "notes" in screen_text(app))
        seen.append(screen_text(app))
        await pilot.press("escape", "escape")
        await wait_until(pilot, lambda: "  plans" in screen_text(app))
        await pilot.press("down", "enter")
        await wait_until(pilot, lambda: "begin" in screen_text(app))
        seen.append(screen_text(app))
        await pilot.press("b", "b")
        await wait_until(pilot, lambda: "►ready" in screen_text(app))
        seen.append(screen_text(app))
    for shown in seen:
        for character in shown.replace("\n", ""):
            assert character.isprintable() or character == " ", repr(character)
        assert all(cell_len(line) <= 80 for line in shown.splitlines())
    if "[" in evil and "\x1b" not in evil:
        assert evil[:10] in seen[0]


async def test_labels_are_written_from_the_page_which_says_where(tmp_path, screen_text, wait_until) -> None:
    for part in ("shared", "sessions"):
        shutil.copytree(ROOT / part, tmp_path / part)
    services = Services(StudioFolder(tmp_path), SystemClock())
    key = next(name for name in os.listdir(tmp_path / "sessions") if name.startswith("20260912"))
    app = PotsideApp(lambda: services, lambda: SessionScreen(services, key, services.read(key)), bounce_s=0.0)
    labels = tmp_path / "exports" / key.replace(".jsonl", "-labels.html")
    async with app.run_test(size=(80, 24)) as pilot:
        (tmp_path / "exports").write_text("in the way")
        await wait_until(pilot, lambda: "file whole" in screen_text(app))
        await pilot.press("x", "l")
        await wait_until(pilot, lambda: "Cannot make" in screen_text(app))
        (tmp_path / "exports").unlink()
        await pilot.press("x", "l")
        await wait_until(pilot, lambda: f"Written: {labels.name}, in" in " ".join(screen_text(app).split()))
        assert "Tidewrack stripes" in labels.read_text()
        labels.write_text("an older one")
        await pilot.press("x", "l")
        await wait_until(pilot, lambda: "Tidewrack stripes" in labels.read_text())
