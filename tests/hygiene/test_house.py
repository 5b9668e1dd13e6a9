"""Rules of the house that a machine can check."""

from __future__ import annotations

import ast
import importlib.util
import re
import subprocess
from collections.abc import Callable
from functools import cache
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


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text())


@cache
def _nodes(path: Path) -> tuple[ast.AST, ...]:
    return tuple(ast.walk(_tree(path)))


def of_every_module(rule: Callable[[Path], None]) -> Callable[[], None]:
    """One test of a rule over all modules, which are too many to be a test each; it names those that break it."""

    def over_all() -> None:
        told = []
        for path in SOURCES:
            try:
                rule(path)
            except AssertionError as broken:
                told.append(f"{path.relative_to(ROOT)}: {broken}")
        assert not told, "\n".join(told)

    over_all.__name__, over_all.__doc__ = rule.__name__, rule.__doc__
    return over_all


@of_every_module
def test_every_module_says_what_it_is_and_is_one_thing(path: Path) -> None:
    text = path.read_text()
    assert ast.get_docstring(_tree(path)), "a module begins with a sentence"
    assert len(text.splitlines()) <= 400
    assert path.stem not in {"utils", "helpers", "manager", "common"}


@of_every_module
def test_data_are_read_into_a_shape_in_one_place(path: Path) -> None:
    """Where two threads may meet a shape for the first time, the one that has the lock looks into it."""
    if path.stem != "shaping":
        met = re.search(r"msgspec\.(convert|json\.decode)\(", path.read_text())
        assert met is None, f"{met and met[0]} reads past the lock"


@of_every_module
def test_no_piece_of_a_sentence_stands_alone(path: Path) -> None:
    """A statement that is only a string is a docstring, in three quotes; else it was cut off the line above."""
    lines = path.read_text().splitlines()
    alone = [
        node.lineno
        for node in _nodes(path)
        if isinstance(node, ast.Expr)
        and isinstance(node.value, ast.Constant | ast.JoinedStr)
        and isinstance(getattr(node.value, "value", ""), str)
        and not lines[node.lineno - 1].lstrip().startswith(('"""', 'r"""'))
    ]
    assert not alone, f"{path}: put brackets around the string that goes on in line {alone}"


LIBRARIES_WORDS = {
    "studio/plan/toml.py": "the standard library's TOML reader tells the line in its sentence alone",
    "studio/session/folding.py": "msgspec tells what does not fit in its sentence alone",
}
"""Where the sentence of another library is read, because it tells what is wrong in no other way."""
SENTENCE = re.compile(
    r" in str\((problem|error|refused|why)\)"
    r"|str\((problem|error|refused|why)\)\.(startswith|endswith|removeprefix|removesuffix|r?partition|r?split)\("
    r"|(?<!command)\.(done|text|because|label|sentence|what|remark|source)\.(startswith|endswith|removeprefix|removesuffix|r?partition|r?split)\("
    r"|\bsource\.(startswith|endswith)\("
    r"|(search|match|fullmatch|sub|split)\((.*, )?str\((problem|error|refused|why)\)"
)


@of_every_module
def test_no_fact_is_taken_out_of_a_sentence(path: Path) -> None:
    """A refusal, a step or a figure carries what others want to know of it; what it says is for people to read."""
    found = [line for line in path.read_text().splitlines() if SENTENCE.search(line)]
    assert bool(found) == (str(path.relative_to(ROOT)) in LIBRARIES_WORDS), found


@of_every_module
def test_nothing_but_the_clock_reads_the_time(path: Path) -> None:
    if path.name == "system_clock.py":
        return
    text = path.read_text()
    assert not re.search(r"\btime\.(time|monotonic|perf_counter|time_ns|clock_gettime)\b", text)
    assert not re.search(r"datetime\.(now|utcnow|today)\(", text)


@of_every_module
def test_no_code_is_loaded_from_data(path: Path) -> None:
    names = {
        node.func.id
        for node in _nodes(path)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    }
    assert not names & {"eval", "exec"}
    modules = {a.name for node in _nodes(path) if isinstance(node, ast.Import) for a in node.names}
    assert not modules & {"pickle", "marshal", "shelve", "yaml"}


def test_a_screen_is_one_class_made_of_widgets() -> None:
    """No screen or widget stands on another of the house, but on what all screens share and on the line that asks."""
    classes = {
        node.name: [base.value if isinstance(base, ast.Subscript) else base for base in node.bases]
        for path in (ROOT / "studio" / "screens").rglob("*.py")
        for node in _nodes(path)
        if isinstance(node, ast.ClassDef)
    }
    bases = {base.id for found in classes.values() for base in found if isinstance(base, ast.Name)}
    assert bases & classes.keys() == {"Keyed", "Entry"}
    assert all(
        not {b.id for b in classes[name] if isinstance(b, ast.Name)} & classes.keys()
        for name in ("Keyed", "Entry")
    )


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


NAMED = {"id", "step", "timer", "sets", "stage"}
READING = {
    "split",
    "rsplit",
    "partition",
    "rpartition",
    "startswith",
    "endswith",
    "removeprefix",
    "removesuffix",
}
NAME = re.compile(
    r"^(ready|presoak|stocks?|paint|bath|steam|heat|microwave|cool|rinse|record|set|kettle|burst|rest|part|pot-water)[.-]"
)
MAKES = {"warning", "_figure", "fig", "_danger"}


def _reads_a_name(node: ast.AST) -> bool:
    """Whether a name of a step, clock, stage or figure is taken apart, or held against one that is written out."""
    if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
        read, method = node.func.value, node.func.attr
        named = isinstance(read, ast.Attribute) and read.attr in NAMED
        named |= isinstance(read, ast.Name) and read.id in {f"{one}_id" for one in (*NAMED, "figure")}
        if method in READING and named:
            return True
        literal = bool(node.args) and isinstance(node.args[0], ast.Constant)
        return literal and method in {"step", "find_step"} and isinstance(node.args[0].value, str)  # type: ignore[attr-defined]
    if isinstance(node, ast.Compare) and isinstance(node.left, ast.Attribute) and node.left.attr == "id":
        return any(isinstance(c, ast.Constant) and NAME.match(str(c.value)) for c in node.comparators)
    return False


def _makes_a_name(node: ast.AST, parents: dict[ast.AST, ast.AST]) -> bool:
    """Whether a name is put together, but for that of a figure or warning at the place that makes it."""
    if not isinstance(node, ast.JoinedStr) or not node.values or not isinstance(node.values[0], ast.Constant):
        return False
    if not NAME.match(str(node.values[0].value)) or " " in str(node.values[0].value):
        return False
    above = parents.get(node)
    if isinstance(above, ast.Call) and isinstance(above.func, ast.Name) and above.func.id in MAKES:
        return False
    return not (isinstance(above, ast.keyword) and above.arg == "id")


@pytest.mark.parametrize(
    "room", ["session", "report", "screens", "lines", "services", "cli", "words", "store"]
)
def test_no_name_of_a_step_a_clock_or_a_figure_is_read_or_built(room: str) -> None:
    """Each carries its role, its subject and its set; where it is laid it has the name of its row."""
    found = []
    for path in sorted((ROOT / "studio" / room).rglob("*.py")):
        parents = {child: node for node in _nodes(path) for child in ast.iter_child_nodes(node)}
        for node in _nodes(path):
            if _reads_a_name(node) or _makes_a_name(node, parents):
                found.append(f"{path.relative_to(ROOT)}:{node.lineno}")  # type: ignore[attr-defined]
    assert not found


BELONGS = {"methods", "tables", "starter", "craft"}
KNOWS = {"plan/shelf.py", "shelf/keys.py"}
"""An oven stands on the shelf as a piece of kit, whatever it is used for."""


def test_no_way_of_dyeing_is_named_outside_the_ways() -> None:
    """A method's name stands in `methods`, in the tables and in what plans begin with; all else is data."""
    ways = re.compile(r"\b(kettle|microwave|paint and steam)\b")
    found = []
    for path in SOURCES:
        room = path.relative_to(ROOT / "studio")
        if room.parts[0] in BELONGS or str(room) in KNOWS:
            continue
        docs = {id(n.value) for n in _nodes(path) if isinstance(n, ast.Expr)}
        for node in _nodes(path):
            name = getattr(node, "id", getattr(node, "attr", getattr(node, "arg", None)))
            text = node.value if isinstance(node, ast.Constant) and id(node) not in docs else name
            if isinstance(text, str) and ways.search(text):
                found.append(f"{room}:{node.lineno}: {text[:60]}")  # type: ignore[attr-defined]
    assert not found


NO_SOURCE = re.compile(
    r"general reference|any (analytical )?text|another program|elsewhere|teaching material|handbook sum|"
    r"engineering handbook|own figures|common practice|by hand\b|https?:|www\.|\w\.(com|org|net)\b",
    re.I,
)


def test_every_outside_check_says_what_it_compares_and_names_a_work() -> None:
    spec = importlib.util.spec_from_file_location(
        "list_checks", ROOT / "tests" / "outside" / "list_checks.py"
    )
    assert spec is not None and spec.loader is not None
    listed = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(listed)
    told = [
        f"{check.file}: {check.name}" for check in listed.checks() if not (check.works and check.compares)
    ]
    assert not told, (
        f"say in the docstring what it compares, and name a work of tests/outside/works.toml: {told}"
    )
    page = listed.page()
    assert not NO_SOURCE.findall(page)
    listing = "run: python tests/outside/list_checks.py"
    assert listed.PAGE.read_text() == page, listing
    assert listed.count_told() in listed.README.read_text(), listing


def test_the_name_of_a_class_means_one_thing() -> None:
    homes: dict[str, list[Path]] = {}
    for path in SOURCES:
        for node in _nodes(path):
            if isinstance(node, ast.ClassDef):
                homes.setdefault(node.name, []).append(path)
    assert not {name: where for name, where in homes.items() if len(where) > 1}
