"""Arrows run one way: held by import-linter for the graph, and by fresh interpreters for what is loaded."""

from __future__ import annotations

import subprocess
import sys

import pytest

SLOW = {
    "textual",
    "rich",
    "pint",
    "numpy",
    "coloraide",
    "jinja2",
    "tomlkit",
    "CoolProp",
    "phreeqpython",
    "_hashlib",
}


def loaded_after(statement: str) -> set[str]:
    """Top-level modules in a fresh interpreter after a statement."""
    code = f"import sys\n{statement}\nprint(' '.join(sorted(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split("\n")[-2].split())


def test_contracts_of_the_import_graph_hold() -> None:
    done = subprocess.run(
        [sys.executable, "-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    "package",
    [
        "studio.quantity",
        "studio.tables",
        "studio.plan.sheet",
        "studio.session.course_rules",
        "studio.store.journal",
        "studio.services.studio",
    ],
)
def test_lower_layers_load_nothing_slow(package: str) -> None:
    assert not loaded_after(f"import {package}") & SLOW


@pytest.mark.parametrize(
    ("screen", "later"),
    [
        ("home", ["studio.session", "studio.plan", "studio.report"]),
        (
            "bench.bench",
            [
                "studio.session.course_rules",
                "studio.session.live.applies",
                "studio.alerts",
                "studio.services",
            ],
        ),
    ],
)
def test_a_screen_is_drawn_before_what_its_keys_lead_to_is_loaded(screen: str, later: list[str]) -> None:
    assert not loaded_after(f"import studio.screens.{screen}") & set(later)


def test_a_bell_and_a_glossary_load_nothing_before_they_are_wanted() -> None:
    statement = "import studio.alerts.players, studio.words.glossary"
    assert not loaded_after(statement) & {"wave", "importlib.resources"} - loaded_after("pass")


def test_craft_loads_nothing_but_the_standard_library_and_its_structs() -> None:
    import pkgutil

    import studio.craft

    names = [f"studio.craft.{m.name}" for m in pkgutil.iter_modules(studio.craft.__path__)]
    assert len(names) >= 6
    before = {name.split(".")[0] for name in loaded_after("pass")}
    after = {name.split(".")[0] for name in loaded_after("import " + ", ".join(names))}
    assert after - before - set(sys.stdlib_module_names) == {"studio", "msgspec", "typing_extensions"}


@pytest.mark.parametrize("words", [["--help"], ["--version"], ["rehearse", "--help"], ["completion", "bash"]])
def test_help_answers_without_the_slow_libraries(words: list[str]) -> None:
    statement = (
        f"import sys; sys.argv = ['potside', *{words!r}]\n"
        "from studio.cli import main\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert not end.code, end.code"
    )
    assert not loaded_after(statement) & (SLOW | {"msgspec", "studio.store"})
