"""Keys that a studio gives itself in `keys.toml`, and the table that they change."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from textual.widgets import Input

import studio.screens
from studio.services.studio import Services
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.words.table import ACTIONS, remap, rows_of


def test_no_two_actions_of_a_place_share_a_key_without_a_condition() -> None:
    for where in {row.where for row in ACTIONS}:
        free: dict[str, str] = {}
        for row in ACTIONS:
            if row.where == where and not row.when:
                for key in row.keys.split(","):
                    assert key not in free, f"{row.id} and {free[key]}"
                    free[key] = row.id
    assert len({row.id for row in ACTIONS}) == len(ACTIONS)


OUTRIGHT = re.compile(
    r"(?<![\w{.])(Enter|Esc|Space|Tab|Up|Down|Left|Right|[B-HJ-Z/]|[AI](?= [a-z]+s ))(?![\w}'-])"
)
NO_ACTION = re.compile(
    "Enter alone|Enter: not graded|Esc leaves it ungraded|or press Esc|ok and Enter|Degrees C$| C $|^[ °]?[CFL/]$"
)
"""Of a field and of the locked screen, whose keys nobody changes; degrees, and letters of units that are drawn."""


def test_no_sentence_of_a_screen_names_a_key_outright() -> None:
    """It takes it from the table, or tells a studio that has keys of its own the wrong one."""
    known = {row.id for row in ACTIONS}
    for path in Path(studio.screens.__file__).parent.rglob("*.py"):
        tree = ast.parse(path.read_text())
        docs = {node.value for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for text in (node for node in ast.walk(tree) if isinstance(node, ast.Constant) and node not in docs):
            if isinstance(text.value, str) and not NO_ACTION.search(text.value):
                assert not OUTRIGHT.search(text.value), f"{path.name}: {text.value}"
                assert {*re.findall(r"\{(\w+\.\w+)\}", text.value)} <= known, f"{path.name}: {text.value}"


@pytest.fixture
def keys_of(tmp_path: Path) -> Iterator[Callable[[str], list[str]]]:
    """Gives a studio a `keys.toml`; the usual keys are back afterwards."""
    (tmp_path / "shared").mkdir()
    services = Services(StudioFolder(tmp_path), SystemClock())

    def take(text: str) -> list[str]:
        (tmp_path / "shared" / "keys.toml").write_text(text)
        return services.take_keys()

    yield take
    remap({})


async def test_a_studio_has_keys_of_its_own(bench_at, keys_of, screen_text, wait_until) -> None:
    """Note on F5 and the way past a gate on Ctrl+O: pressed, at the foot, on the card and in the hint of a gate."""
    assert keys_of('[bench]\nnote = "F5"\noverride = "ctrl+o"\n') == []
    app, _ = bench_at("ready.kit")
    async with app.run_test(size=(150, 40)) as pilot:
        await wait_until(pilot, lambda: "F5 note" in screen_text(app)[-150:].rpartition("\n")[2])
        await wait_until(pilot, lambda: "Ctrl+O  pass it with a reason" in screen_text(app))
        await pilot.press("n")
        await wait_until(pilot, lambda: "? shows the keys." in screen_text(app))
        await pilot.press("question_mark")
        await wait_until(pilot, lambda: "Ctrl+O  " in screen_text(app) and " F5 " in screen_text(app))
        await pilot.press("escape", "f5")
        await wait_until(pilot, lambda: isinstance(app.focused, Input))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[bench", "keys.toml: line 1 is not valid TOML"),
        ('note = "F5"', "note is no action"),
        ('[bench]\nsing = "F5"', "bench.sing is no action"),
        ('[field]\ntake = "F5"', "field.take is no action"),
        ('[bench]\nnote = "Hammer"', "bench.note needs a key"),
        ("[bench]\nnote = 5", "bench.note needs a key"),
        ('[bench]\nnote = "U"', "U is the key of bench.undo already; it stays at N."),
        ('[bench]\nnote = "F5"\nundo = "F5"', "F5 is the key of bench.note already; it stays at U."),
        ('[bench]\nnote = "5"', "5 is the key of bench.digit_5 already"),
        ('[bench]\nnote = "?"', "? is the key of any.keys already"),
        ('[any]\ntheme = "q"', "Q is the key of home.leave already"),
    ],
)
def test_a_key_that_cannot_be_keeps_its_own_and_is_told(keys_of, text: str, told: str) -> None:
    (sentence,) = keys_of(text)
    assert sentence.startswith("keys.toml: ") and told in sentence
    usual = {"note": "n", "undo": "u"} | ({"note": "f5"} if 'undo = "F5"' in text else {})
    assert {row.name: row.keys for row in rows_of("bench") if row.name in usual} == usual
