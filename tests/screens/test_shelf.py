"""The shelf by keys, on a real studio folder: look, change, add, take away, draw down, shop."""

from __future__ import annotations

import asyncio
import shutil
import threading
from pathlib import Path

import pytest
from rich.cells import cell_len
from textual.widgets import Input, OptionList

from studio.screens.app import PotsideApp
from studio.screens.rows import Rows
from studio.screens.shelf.shelf import ShelfScreen
from studio.services.studio import Services
from studio.session.clock import NS, Reading, SteppedClock
from studio.store.folder import StudioFolder

ROOT = Path(__file__).resolve().parents[2]
SESSION = "20260912-0704-tidewrack-stripes-63ea"
NOVEMBER = Reading(1_795_600_000 * NS, 5_000 * NS, 4_000 * NS, "boot-a")  # 2026-11-25


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    shutil.copy(ROOT / "sessions" / f"{SESSION}.jsonl", tmp_path / "sessions")
    return tmp_path


@pytest.fixture
def app(studio: Path) -> PotsideApp:
    services = Services(StudioFolder(studio), SteppedClock(NOVEMBER))
    return PotsideApp(lambda: services, lambda: ShelfScreen(services), bounce_s=0.0)


def at(app: PotsideApp, row: str) -> None:
    """Put the bar on a row."""
    rows = app.screen.query_one(OptionList)
    rows.highlighted = rows.get_option_index(row)


async def test_a_value_is_changed_where_it_stands_and_echoed(app, studio, screen_text, wait_until) -> None:
    file = studio / "shared" / "studio.toml"
    before = file.read_text()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        at(app, "studio:alkalinity")
        await pilot.press("enter")
        await wait_until(pilot, lambda: "studio.toml, line" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "not hardness" in screen_text(app))
        await pilot.press("ctrl+u", *"8 GH", "enter")
        await wait_until(pilot, lambda: "read the pad called" in " ".join(screen_text(app).split()))
        assert file.read_text() == before
        await pilot.press("ctrl+u", *"4 dKH")
        await wait_until(pilot, lambda: "taken for 71.4 mg/L as CaCO3" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "= 71.4 mg/L" in screen_text(app))
    assert file.read_text() == before.replace('"38 mg/L"', '"4 dKH"')


async def test_what_is_low_stands_first_and_what_a_plan_needs_more_of_says_so(
    app, studio, screen_text, wait_until
) -> None:
    """A gauge is as full as the pack: of 10 cells for 25 g, 15 g fill six; a plan asks for 0.39 g of rust."""
    dyes = studio / "shared" / "dyes.toml"
    text = dyes.read_text().replace('on_hand = "21 g"', 'on_hand = "0.2 g"', 1)
    dyes.write_text(text.replace('on_hand = "9 g"', 'on_hand = "15 g"', 1))
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "▲ 0.2 g of 25" in screen_text(app))
        rows = [line for line in screen_text(app).splitlines() if " of 25" in line or " of 38" in line]
        assert "studio rust" in rows[0] and rows[0].count("▄") == 1
        blue = next(line for line in rows if "net blue" in line)
        assert blue.count("▄") == round(0.6 * (blue.count("▄") + blue.count("▁")))
        shares = [line.count("▄") for line in rows]
        assert shares == sorted(shares) and len(shares) > 8
        at(app, "dye:studio rust")
        await wait_until(
            pilot, lambda: "the plans need" in screen_text(app) and "you have 0.2 g" in screen_text(app)
        )
        await pilot.press("right", "right")
        await wait_until(
            pilot, lambda: "►acids" in screen_text(app) and "pickling vinegar" in screen_text(app)
        )
        await pilot.press("left")
        await wait_until(pilot, lambda: "►jars" in screen_text(app))


async def test_a_jar_is_added_and_a_wrong_answer_costs_nothing(app, studio, screen_text, wait_until) -> None:
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        at(app, "jar:rust from the spring lot")
        await pilot.press("a", *"gorse, thin", "enter", *"gorse", "enter", *"0.5", "enter")
        await wait_until(pilot, lambda: "number without a unit" in " ".join(screen_text(app).split()))
        await pilot.press(*" %", "enter", *"60 mL", "enter", "enter")
        await wait_until(pilot, lambda: "gorse, thin" in screen_text(app) and "60 mL" in screen_text(app))
    text = (studio / "shared" / "jars.toml").read_text()
    assert text.endswith(
        '[[jar]]\nname = "gorse, thin"\ndye = "gorse"\nstrength = "0.5 %"\nvolume = "60 mL"\n'
    )
    assert text.startswith("# Stock left over")


async def test_a_dye_is_added_by_its_class(app, studio, screen_text, wait_until) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        await pilot.press("a", *"gull", "enter", *"puce", "enter")
        await wait_until(pilot, lambda: "no dye class" in " ".join(screen_text(app).split()))
        await pilot.press("ctrl+u", *"milling", "enter", "enter", *"5 g", "enter", "enter")
        await wait_until(pilot, lambda: "gull   " in screen_text(app))
    assert (
        '[[dye]]\nname = "gull"\nclass = "milling"\non_hand = "5 g"\n'
        in (studio / "shared" / "dyes.toml").read_text()
    )


async def test_a_class_that_is_not_known_is_an_answer_and_esc_keeps_what_was_answered(
    app, studio, screen_text, wait_until
) -> None:
    file = studio / "shared" / "dyes.toml"
    before = file.read_text()
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        await pilot.press("a", *"gull", "enter", *"acid dye, class unknown", "enter")
        await wait_until(pilot, lambda: "Careful both ways" in " ".join(screen_text(app).split()))
        await wait_until(pilot, lambda: "3 of 5" in screen_text(app))
        await pilot.press(*"liqid", "enter")
        await wait_until(pilot, lambda: "is not one of" in screen_text(app) and "liqid" in screen_text(app))
        assert "dye[" not in screen_text(app)
        await pilot.press("escape")
        await wait_until(pilot, lambda: "A goes on with it" in screen_text(app))
        await wait_until(pilot, lambda: "gull is unfinished" in screen_text(app))
        assert file.read_text() == before
    again = Services(StudioFolder(studio), SteppedClock(NOVEMBER))
    later = PotsideApp(lambda: again, bounce_s=0.0)
    async with later.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "S shelf" in screen_text(later))
        await pilot.press("s")
        await wait_until(pilot, lambda: "studio rust" in screen_text(later))
        await pilot.press("a")
        await wait_until(pilot, lambda: "Going on with gull" in screen_text(later))
        assert "3 of 5" in screen_text(later) and "liqid" in screen_text(later)
        await pilot.press("ctrl+u", *"liq", "enter", *"30 mL", "enter")
        await wait_until(pilot, lambda: "5 of 5" in screen_text(later))
        await pilot.press(*"peru")
        await wait_until(pilot, lambda: "taken for #cd853f at 1 %" in screen_text(later))
        await pilot.press("up")
        await wait_until(pilot, lambda: "4 of 5" in screen_text(later) and "30 mL" in screen_text(later))
        await pilot.press("ctrl+u", *"5 g", "enter")
        await wait_until(pilot, lambda: "A powder now: on hand is 5 g" in screen_text(later))
        await wait_until(pilot, lambda: "peru" in screen_text(later))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "class unknown" in screen_text(later))
        await pilot.press("escape")
        await wait_until(pilot, lambda: "  plans" in screen_text(later))
    assert (
        '[[dye]]\nname = "gull"\nclass = "acid dye, class unknown"\nform = "powder"\non_hand = "5 g"\n'
        'looks = "peru at 1 %"\n' in file.read_text()
    )
    assert not list((studio / "shared").glob(".*"))


async def test_leaving_by_ctrl_q_keeps_what_was_answered_and_what_was_half_typed(
    app, screen_text, wait_until
) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        ShelfScreen(app.services).keep_typed()  # Stopped before there is a line on it.
        await pilot.press("a", *"gull", "enter", *"mil", "ctrl+q")
        await wait_until(pilot, lambda: not isinstance(app.screen, ShelfScreen))
        await pilot.press("s")
        await wait_until(pilot, lambda: "gull is unfinished" in screen_text(app))
        await pilot.press("a")
        await wait_until(pilot, lambda: "2 of 5" in screen_text(app))
        assert app.screen.query_one(Input).value == "mil"


async def test_a_value_that_takes_the_place_of_another_says_so(app, studio, screen_text, wait_until) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        at(app, "dye:studio rust")
        await pilot.press("enter")
        await wait_until(pilot, lambda: "dyes.toml, line 3" in screen_text(app))
        at(app, "strength")
        await pilot.press("enter", *"2 %", "enter")
        await wait_until(pilot, lambda: "A liquid now" in screen_text(app))
        at(app, "on_hand")
        await pilot.press("enter", *"-3 mL", "enter")
        await wait_until(pilot, lambda: "On hand:" in screen_text(app))
        assert "dye[" not in screen_text(app) and "on_hand" not in screen_text(app)
    text = (studio / "shared" / "dyes.toml").read_text()
    assert 'strength = "2 %"' in text and "21 g" not in text


async def test_taking_away_asks_and_tells_who_uses_it(app, studio, screen_text, wait_until) -> None:
    dyes = studio / "shared" / "dyes.toml"
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        at(app, "dye:studio rust")
        await pilot.press("enter")
        await wait_until(pilot, lambda: "dyes.toml, line 3" in screen_text(app))
        await pilot.press("d")
        await wait_until(pilot, lambda: "Used by" in screen_text(app))
        said = " ".join(screen_text(app).split())
        assert "Tidewrack stripes" in said and "rust from the spring lot" in said
        await pilot.press("enter")
        await wait_until(pilot, lambda: "Used by" not in screen_text(app))
        assert 'name = "studio rust"' in dyes.read_text()
        await pilot.press("d", *"yes", "enter")
        await wait_until(pilot, lambda: "buoy orange" in screen_text(app))
    assert 'name = "studio rust"' not in dyes.read_text()


async def test_what_a_session_used_is_taken_off_after_a_word(app, studio, screen_text, wait_until) -> None:
    dyes = studio / "shared" / "dyes.toml"
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "Tidewrack stripes used 6 things: U" in screen_text(app))
        await pilot.press("u")
        await wait_until(pilot, lambda: "6 to decide" in screen_text(app))
        await pilot.press("enter")
        await wait_until(pilot, lambda: "Type y to take it off" in " ".join(screen_text(app).split()))
        assert screen_text(app).splitlines()[-1].startswith("  y or n;")
        assert 'on_hand = "21 g"' in dyes.read_text()
        await pilot.press("y", "enter")
        await wait_until(pilot, lambda: "5 to decide" in screen_text(app))
        assert 'on_hand = "20.61 g"' in dyes.read_text()
        await pilot.press("a", "y", "enter")
        await wait_until(pilot, lambda: "nothing left to decide" in screen_text(app))
        await pilot.press("escape")
        await wait_until(pilot, lambda: "rust of 2026-09-12" in screen_text(app))
        await wait_until(pilot, lambda: ": U" not in screen_text(app))
        (drawn,) = (row for row in app.screen.services.sessions() if row.key.startswith("20260912"))
        assert drawn.remark.startswith("Ring went out"), "what came off the shelf is no remark on the piece"
    assert dyes.read_text().count('on_hand = "20.61 g"') == 1


async def test_shopping_for_the_plans_that_are_marked(app, screen_text, wait_until) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        await pilot.press("p")
        await wait_until(
            pilot, lambda: "for which plans" in screen_text(app) and "Kelp forest" in screen_text(app)
        )
        await pilot.press("enter")
        await wait_until(
            pilot, lambda: "lemon crystals" in screen_text(app) or "tarred rope" in screen_text(app)
        )


EVIL = (
    "rust\\u001b]0;owned\\u0007",
    "bidi\\u202etxt",
    "[red]x[/]",
    "[@click=app.quit]q[/]",
    "wide 漢字漢字漢字漢字漢字漢字漢字",
)


async def test_what_is_worked_out_while_the_program_ends_is_drawn_nowhere(
    app, monkeypatch, wait_until
) -> None:
    asked, ended = threading.Event(), threading.Event()

    def short_of(_: Services) -> dict[tuple[str, str], str]:
        asked.set()
        ended.wait(5)
        return {}

    async def left(_: Rows) -> None:
        ended.set()
        await asyncio.sleep(0.05)  # The rows are gone and the screen is not: it is now that the answer comes.

    monkeypatch.setattr(Services, "short_of", short_of)
    monkeypatch.setattr(Rows, "on_unmount", left, raising=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, asked.is_set)
    assert ended.is_set()


@pytest.mark.deep
async def test_evil_text_of_the_shelf_is_shown_and_never_obeyed(app, studio, screen_text, wait_until) -> None:
    (studio / "shared" / "dyes.toml").write_text(
        "".join(
            f'[[dye]]\nname = "{evil}"\nclass = "milling"\nsheet = "{evil}"\ncomponents = ["{evil}"]\n'
            for evil in EVIL
        )
        + f'[[dye]]\nname = "bad"\nclass = "{EVIL[0]}"\n'
    )
    seen = []
    async with app.run_test(size=(60, 20)) as pilot:
        await wait_until(
            pilot, lambda: "dyes.toml: line 28" in screen_text(app) and "[red]" in screen_text(app)
        )
        seen.append(screen_text(app))
        for number in range(len(EVIL)):
            app.screen.query_one(OptionList).highlighted = 1 + number
            await pilot.press("enter")
            await wait_until(pilot, lambda: "maker's sheet" in screen_text(app))
            await pilot.press("d")
            await wait_until(pilot, lambda: "No plan uses it" in " ".join(screen_text(app).split()))
            seen.append(screen_text(app))
            await pilot.press("escape", "escape")
            await wait_until(pilot, lambda: "►dyes" in screen_text(app))
    for shown in seen:
        assert all(character.isprintable() for character in shown.replace("\n", ""))
        assert all(cell_len(line) <= 60 for line in shown.splitlines())
    for evil in EVIL:
        if evil.startswith("["):
            assert evil[:12] in seen[0]


async def test_a_file_changed_by_hand_meanwhile_wins_and_the_next_enter_counts(
    app, studio, screen_text, wait_until
) -> None:
    dyes = studio / "shared" / "dyes.toml"
    async with app.run_test(size=(80, 24)) as pilot:
        await wait_until(pilot, lambda: "studio rust" in screen_text(app))
        at(app, "dye:studio rust")
        await pilot.press("enter")
        await wait_until(pilot, lambda: "dyes.toml, line 3" in screen_text(app))
        at(app, "on_hand")
        await pilot.press("enter", "ctrl+u", *"19 g")
        by_hand = dyes.read_text().replace('form = "powder"', 'form = "powder"  # sealed', 1)
        dyes.write_text(by_hand)
        await pilot.press("enter")
        await wait_until(pilot, lambda: "changed meanwhile" in " ".join(screen_text(app).split()))
        assert dyes.read_text() == by_hand
        await pilot.press("enter")
        await wait_until(pilot, lambda: "Enter change" in screen_text(app) and "19 g" in screen_text(app))
        await wait_until(pilot, lambda: dyes.read_text() == by_hand.replace('"21 g"', '"19 g"'))
