"""The page of outside checks: what each compares, and with which work; and their count in the README.

Run from the repository: `python tests/outside/list_checks.py`. A check is a test function of this folder. What it
compares is its docstring; its source is a work of `works.toml`, by one of the names that it has there, in the
docstring, in what the check calls or reads of its module, or in the docstring of the module. A docstring that begins
with `Calibration:` (the figure is what a constant of ours was set by, or follows from the model) or `Solver:` (our own
model, worked again by another solver) says that it is none, and it is listed but not counted.
"""

from __future__ import annotations

import ast
import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
PAGE = HERE / "CHECKS.md"
README = HERE.parents[1] / "README.md"
COUNTED = re.compile(r"\d+ checks against [^(\n]*(?=\(\[each with its source\])")


class Work(NamedTuple):
    """A source: `names` as checks name it, `cite` in full, its `kind`, and how its figures were `seen`."""

    names: list[str]
    cite: str
    kind: str
    seen: str


class Check(NamedTuple):
    """A test function of this folder: its `file` and `name`, what it `compares`, and the `works` it names."""

    file: str
    name: str
    compares: str
    works: tuple[Work, ...]

    @property
    def counted(self) -> bool:
        """Whether it holds the program against what is not its own."""
        return not self.compares.startswith(("Calibration:", "Solver:"))


@cache
def works() -> tuple[Work, ...]:
    return tuple(Work(**row) for row in tomllib.loads((HERE / "works.toml").read_text())["work"])


@cache
def checks() -> tuple[Check, ...]:
    """Every check, in the order of files and lines."""
    return tuple(check for path in sorted(HERE.glob("test_*.py")) for check in _of_file(path))


def _of_file(path: Path) -> Iterator[Check]:
    module = ast.parse(path.read_text())
    parts = _parts(ast.parse((HERE / "conftest.py").read_text())) | _parts(module)
    for node in module.body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            compares = " ".join((ast.get_docstring(node) or "").split())
            for text in (compares, _text(node, parts), ast.get_docstring(module) or ""):
                if found := _named_in(text):
                    break
            yield Check(path.stem.removeprefix("test_"), node.name, compares, found)


def _parts(module: ast.Module) -> dict[str, list[ast.AST]]:
    """What stands in a module under each name: a function, or a value and the docstring below it."""
    found: dict[str, list[ast.AST]] = {}
    for node, after in zip(module.body, [*module.body[1:], None], strict=True):
        if isinstance(node, ast.FunctionDef):
            found[node.name] = [node]
        elif isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
            found[node.targets[0].id] = [node.value, *([after] if isinstance(after, ast.Expr) else [])]
    return found


def _text(node: ast.AST, parts: dict[str, list[ast.AST]], seen: frozenset[str] = frozenset()) -> str:
    """Every string in a check, and in the functions, fixtures and values of its module that it leads to."""
    told = []
    for inner in ast.walk(node):
        if isinstance(inner, ast.Constant) and isinstance(inner.value, str):
            told.append(" ".join(inner.value.split()))
        name = inner.id if isinstance(inner, ast.Name) else inner.arg if isinstance(inner, ast.arg) else ""
        if name in parts and name not in seen:
            seen |= {name}
            told += [_text(part, parts, seen) for part in parts[name]]
    return "\n".join(told)


def _named_in(text: str) -> tuple[Work, ...]:
    text = " ".join(text.split())
    return tuple(work for work in works() if any(name in text for name in work.names))


def count_told() -> str:
    """The README's count."""
    counted = [one for one in checks() if one.counted]
    kinds = Counter(work.kind for work in {work.cite: work for one in counted for work in one.works}.values())
    of = {name: kinds[name.removesuffix("s")] for name in ("publications", "standards", "data sets")}
    told = ", ".join(f"{number} {name}" for name, number in of.items())
    return f"{len(counted)} checks against {told} and {kinds['library']} libraries "


def page() -> str:
    """The page, whole."""
    lines = [
        "# What the program is held against",
        "",
        f"{count_told().strip()}. A check is a test function of this folder, often of many rows. This page is written "
        "by `python tests/outside/list_checks.py` from the checks themselves and from `works.toml`. In the list of "
        "works, at the end, the last column is how the figures came here: read in the work itself, second hand, from "
        "memory, or computed by the library; what is less than that of its work says so in its row. Not counted, "
        f"{sum(not one.counted for one in checks())}: what says Calibration, for a constant of ours was set by it or "
        "it follows from the model, and Solver, for it is our own model worked again.",
    ]
    for file, of_file in groupby(checks(), key=lambda check: check.file):
        lines += ["", f"## {file.replace('_', ' ')}", "", "| check | compares | source |", "|---|---|---|"]
        for check in of_file:
            title = check.name.removeprefix("test_").replace("_", " ")
            sources = "; ".join(_short(work) for work in check.works)
            lines.append(f"| {title} | {check.compares.replace('|', '/')} | {sources} |")
    lines += ["", "## Works", "", "| named | work | kind | figures |", "|---|---|---|---|"]
    used = {work.cite for check in checks() for work in check.works}
    lines += [
        f"| {_short(work)} | {work.cite} | {work.kind} | {work.seen} |"
        for work in works()
        if work.cite in used
    ]
    return "\n".join(lines) + "\n"


def _short(work: Work) -> str:
    return re.sub(
        r"^(the |of |data set |numpy's)", lambda m: "numpy" if m[0] == "numpy's" else "", work.names[0]
    )


def main() -> None:
    PAGE.write_text(page())
    README.write_text(COUNTED.sub(count_told(), README.read_text()))


if __name__ == "__main__":
    main()
