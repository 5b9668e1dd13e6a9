"""Rules of the house that a machine can check."""

from __future__ import annotations

import ast
import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted((ROOT / "studio").rglob("*.py"))
EVERYTHING = [
    path
    for name in subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    ).stdout.splitlines()
    if (path := ROOT / name).is_file()
]


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_every_module_says_what_it_is_and_is_one_thing(path: Path) -> None:
    text = path.read_text()
    assert ast.get_docstring(ast.parse(text)), "a module begins with a sentence"
    assert len(text.splitlines()) <= 400
    assert path.stem not in {"utils", "helpers", "manager", "common"}


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_piece_of_a_sentence_stands_alone(path: Path) -> None:
    """A statement that is only a string is a docstring, in three quotes; else it was cut off the line above."""
    text = path.read_text()
    alone = [
        node.lineno
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant | ast.JoinedStr)
        and isinstance(getattr(node.value, "value", ""), str)
        and not (ast.get_source_segment(text, node) or "").startswith(('"""', 'r"""'))
    ]
    assert not alone, f"{path}: put brackets around the string that goes on in line {alone}"


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_nothing_but_the_clock_reads_the_time(path: Path) -> None:
    if path.name == "system_clock.py":
        return
    text = path.read_text()
    assert not re.search(r"\btime\.(time|monotonic|perf_counter|time_ns|clock_gettime)\b", text)
    assert not re.search(r"datetime\.(now|utcnow|today)\(", text)


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT)))
def test_no_code_is_loaded_from_data(path: Path) -> None:
    tree = ast.parse(path.read_text())
    names = {
        node.func.id
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not names & {"eval", "exec"}
    modules = {a.name for node in ast.walk(tree) if isinstance(node, ast.Import) for a in node.names}
    assert not modules & {"pickle", "marshal", "shelve", "yaml"}


def test_text_from_files_is_never_parsed_as_markup() -> None:
    """Every Static is told not to parse, and notices are too; Content is built from parts."""
    for path in (ROOT / "studio" / "screens").rglob("*.py"):
        text = path.read_text()
        assert "from_markup" not in text
        for call in re.findall(r"\.notify\([^)]*\)+", text):
            assert "markup=False" in call, path
        for call in re.findall(r"Static\((?:[^()]|\([^()]*\))*\)", text):
            if call not in ("Static()",):
                assert "markup=False" in call or "Content" in call, f"{path}: {call}"


def test_every_list_marks_the_chosen_row_by_a_sign() -> None:
    """Lists are `Rows`; a bare one would show what is chosen by colour alone."""
    for path in (ROOT / "studio" / "screens").rglob("*.py"):
        if path.name != "rows.py":
            assert not re.search(r"(?<!query_one\()\bOptionList\(", path.read_text()), path


def test_the_tree_holds_no_path_of_a_machine() -> None:
    assert len(EVERYTHING) > 50
    for path in EVERYTHING:
        if path.suffix in {".png", ".svg"} or path == Path(__file__):
            continue
        text = path.read_text(errors="replace")
        assert not re.search(r"/(root|home|" + "wo" + r"rk)/\w|\.\./shared", text), path
