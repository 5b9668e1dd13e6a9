"""Small changes to the code, one at a time, to see whether a test fails for each. Run by hand, not in CI.

    python tests/bench/mutants.py studio/session tests/session --sample 60 --seed 1 --minutes 45

Places are drawn at random (the same for the same seed and code): a comparison turned or made to hold the
edge, a number made greater, plus for minus, times for divided by, `and` for `or`, `not` left out, True for
False. The tests run on a copy of the tree. A change that no test notices is printed as `survived`; a run
that takes five times as long as an unchanged one counts as noticed.
"""

from __future__ import annotations

import argparse
import ast
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SWAPS: dict[type, str] = {
    ast.Lt: "<=",
    ast.LtE: "<",
    ast.Gt: ">=",
    ast.GtE: ">",
    ast.Eq: "!=",
    ast.NotEq: "==",
    ast.Is: "is not",
    ast.IsNot: "is",
    ast.In: "not in",
    ast.NotIn: "in",
    ast.Add: "-",
    ast.Sub: "+",
    ast.Mult: "/",
    ast.Div: "*",
    ast.And: "or",
    ast.Or: "and",
}


@dataclass(frozen=True)
class Mutant:
    """One place in a file, and what stands there instead."""

    path: Path
    start: int
    """Byte offset, as for `end`."""
    end: int
    line: int
    new: str

    def text(self) -> bytes:
        whole = self.path.read_bytes()
        return whole[: self.start] + self.new.encode() + whole[self.end :]

    def __str__(self) -> str:
        whole = self.path.read_bytes()
        here = whole.splitlines()[self.line - 1].decode().strip()
        old = whole[self.start : self.end].decode().strip()
        return f"{self.path.relative_to(ROOT)}:{self.line}: {old} -> {self.new.strip()} | {here}"


def mutants_of(path: Path) -> Iterator[Mutant]:
    """Every change to one file."""
    source = path.read_bytes()
    starts = [0]
    for line in source.splitlines(keepends=True):
        starts.append(starts[-1] + len(line))

    def span(node: ast.expr) -> tuple[int, int]:
        return starts[node.lineno - 1] + node.col_offset, starts[(node.end_lineno or 1) - 1] + (
            node.end_col_offset or 0
        )

    def between(left: ast.expr, right: ast.expr, new: str) -> Iterator[Mutant]:
        """The operator lies between two operands; where brackets or comments lie there too, it is let be."""
        begin, end = span(left)[1], span(right)[0]
        if not set(source[begin:end]) & set(b"()#\n"):
            yield Mutant(path, begin, end, left.end_lineno or 1, f" {new} ")

    tree = ast.parse(source)
    beside = _beside_the_point(tree)
    for node in ast.walk(tree):
        if node in beside:
            continue
        match node:
            case ast.Compare(left=left, ops=[op], comparators=[right]) if type(op) in SWAPS:
                yield from between(left, right, SWAPS[type(op)])
            case ast.Compare(left=left, ops=[_, op], comparators=[middle, right]) if type(op) in SWAPS:
                yield from between(middle, right, SWAPS[type(op)])
            case ast.BinOp(left=left, op=op, right=right) if type(op) in SWAPS and not _text(left, right):
                yield from between(left, right, SWAPS[type(op)])
            case ast.BoolOp(op=op, values=[left, right]):
                yield from between(left, right, SWAPS[type(op)])
            case ast.UnaryOp(op=ast.Not(), operand=operand):
                begin, end = span(node)
                kept = source[slice(*span(operand))].decode()
                if b"\n" not in source[begin:end]:
                    yield Mutant(path, begin, end, node.lineno, kept)
            case ast.Constant(value=bool(value)):
                yield Mutant(path, *span(node), node.lineno, str(not value))
            case ast.Constant(value=int(value) | float(value)):
                yield Mutant(path, *span(node), node.lineno, repr(value * 2 if value > 2 else value + 1))


def _beside_the_point(tree: ast.Module) -> set[ast.AST]:
    """The figures a number is rounded to, and how a class is made."""
    made = [node for node in ast.walk(tree) if isinstance(node, ast.ClassDef)]
    wraps = [w for node in made for w in node.decorator_list if isinstance(w, ast.Call)]
    classes = (kw.value for node in [*made, *wraps] for kw in node.keywords)
    calls = (node for node in ast.walk(tree) if isinstance(node, ast.Call))
    rounded = (arg for call in calls if ast.unparse(call.func) == "round" for arg in call.args[1:])
    return {*classes, *rounded}


def _text(*operands: ast.expr) -> bool:
    """Whether an operand is a piece of text, a list or a tuple: `-` would only be a crash."""
    return any(
        isinstance(o, ast.JoinedStr | ast.List | ast.Tuple | ast.ListComp)
        or (isinstance(o, ast.Constant) and isinstance(o.value, str))
        for o in operands
    )


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawTextHelpFormatter)
    parser.add_argument("package", help="what is changed, studio/session")
    parser.add_argument("tests", nargs="+", help="what should notice, tests/session")
    parser.add_argument("--sample", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=45, help="no new change is tried after that")
    asked = parser.parse_args()
    places = [m for path in sorted((ROOT / asked.package).rglob("*.py")) for m in mutants_of(path)]
    drawn = random.Random(asked.seed).sample(places, min(asked.sample, len(places)))
    print(f"{len(places)} places in {asked.package}, {len(drawn)} drawn", flush=True)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder)
        for name in ("studio", "tests", "sessions", "shared"):
            shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        for file in ROOT.glob("*.*"):
            if file.is_file():
                shutil.copy(file, copy)
        return _run(copy, drawn, asked.tests, asked.minutes)


def _run(copy: Path, drawn: list[Mutant], tests: list[str], minutes: float) -> int:
    """Try them one by one; 1 where the tests fail on the unchanged tree."""
    began = time.monotonic()
    if _noticed(copy, tests, 3600):
        print("the tests fail before anything is changed")
        return 1
    unchanged_s = time.monotonic() - began
    print(f"unchanged: {unchanged_s:.0f} s", flush=True)
    tried, survived = 0, 0
    for mutant in drawn:
        if time.monotonic() - began > minutes * 60:
            print(f"{minutes:g} min are over")
            break
        here = copy / mutant.path.relative_to(ROOT)
        here.write_bytes(mutant.text())
        tried += 1
        if not _noticed(copy, tests, 30 + 5 * unchanged_s):
            survived += 1
            print(f"survived {mutant}", flush=True)
        here.write_bytes(mutant.path.read_bytes())
    if tried:
        print(f"{tried - survived} of {tried} noticed, {100 * (tried - survived) / tried:.0f} %")
    return 0


def _noticed(copy: Path, tests: list[str], patience_s: float) -> bool:
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-x",
        "-q",
        "-p",
        "no:cacheprovider",
        "--hypothesis-seed=0",
        *tests,
    ]
    quiet = {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1"}
    try:
        done = subprocess.run(
            command, cwd=copy, env={**os.environ, **quiet}, capture_output=True, timeout=patience_s
        )
    except subprocess.TimeoutExpired:
        return True
    return done.returncode != 0


if __name__ == "__main__":
    raise SystemExit(main())
