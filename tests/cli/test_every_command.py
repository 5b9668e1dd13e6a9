"""Rows 20 to 27 and 30 for every command there is: evil text, names, files and numbers; no traceback, nothing run.

The commands are taken from the program itself. A new one fails here until it is given words to be run with, or a
reason why it needs none.
"""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Callable, Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any

import click
import msgspec
import pytest
from click.testing import CliRunner, Result

from studio.cli import main
from studio.session.folding import FIRST_PREV
from studio.store.line import encode
from studio.store.reading import read_session

ROOT = Path(__file__).resolve().parents[2]
SESSION, PLAN = "20260912", "tidewrack-stripes.plan.toml"

RUNS: dict[str, list[list[str]]] = {
    "begin": [["PLAN", "--plain"]],
    "compare": [["SESSION", "OTHER"], ["SESSION", "OTHER", "--json"]],
    "day": [["PLAN", "--why"], ["PLAN", "--json"]],
    "doctor": [[]],
    "export": [
        ["SESSION", "--as", kind, "-o", "OUT"] for kind in ("markdown", "html", "csv", "json", "labels")
    ],
    "follow": [["SESSION"], ["SESSION", "--json"], []],
    "forecast": [["PLAN"], ["PLAN", "--json", "-o", "OUT"]],
    "grade": [["52 40 -3.5", "50 41 -3"]],
    "habits": [[], ["--json"]],
    "logbook": [[], ["--json"], ["--find", "tide"]],
    "practices": [[], ["--json"]],
    "repeat": [["SESSION", "--same-jars"], ["SESSION", "-o", "OUT"]],
    "resume": [["LEFT OPEN", "--plain"]],
    "shelf": [[], ["--json"], ["--draw-down", "SESSION"]],
    "shopping": [["PLAN"], ["PLAN", "--json"]],
    "show": [["SESSION"], ["SESSION", "--json"]],
    "verify": [["SESSION FILE"]],
    "worksheet": [["PLAN", "--why"], ["PLAN", "--json"]],
}
"""Words to run each command with; those in capitals stand for files of the evil studio."""
LEFT_OUT = {
    "completion": "prints a script of click's own; it reads no file and takes one of three words",
    "words": "prints what is in the program; it reads no file of a studio",
    "schema": "prints what is in the program; it reads no file and takes one of three words",
    "rehearse": "walks a whole session; what it reads is the shelf, which worksheet and begin read here",
}
ALL_RUNS = [(name, words) for name, runs in RUNS.items() for words in runs]
EXPECTED = {"doctor": 1, "shelf": 1}
"""Exit codes of those that have something to tell of the evil studio."""


def test_every_command_is_run_here_or_says_why_not() -> None:
    assert RUNS.keys() | LEFT_OUT.keys() == set(main.all_commands())
    assert not RUNS.keys() & LEFT_OUT.keys() and all(LEFT_OUT.values())


@pytest.fixture(scope="module")
def evil(evil_corpus: list[str]) -> str:
    return " ".join([*evil_corpus, "[red]x", "mordant [10%]", "$HOME `id`"])


@pytest.fixture(scope="module")
def bad_studio(
    tmp_path_factory: pytest.TempPathFactory,
    evil: str,
    evil_corpus: list[str],
    injected: Callable[[Any, str], Any],
) -> Path:
    """The sample studio as someone else may hand it over: every text in it is evil, and whole by its check sums."""
    root = tmp_path_factory.mktemp("bad")
    (root / "sessions").mkdir()
    shutil.copytree(ROOT / "shared", root / "shared")
    for path in sorted((ROOT / "sessions").glob("*.jsonl")):
        prev, lines = FIRST_PREV, []
        for record in read_session(path).records:
            data = injected(record.data, evil)
            if record.n == 1:  # a plan that can be read, so that it can be repeated
                data["plan"] = record.data["plan"].replace('"Tidewrack stripes"', toml(evil[:60]))
                data["choices"]["shelf"] = record.data["choices"]["shelf"]  # the plan names what is on it
            if record.kind == "session.finished":
                data["sha256"] = sha256(b"".join(lines)).hexdigest()
            line = encode(msgspec.structs.replace(record, data=data), prev)
            prev = line[-11:-3].decode()
            lines.append(line)
        (root / "sessions" / path.name).write_bytes(b"".join(lines))
        if path.name.startswith(SESSION):
            (root / "sessions" / "20261101-0900-left-open-0000.jsonl").write_bytes(b"".join(lines[:40]))
    (root / "sessions" / "20260911-0704-tide-63ea (\x1b]0;owned\x07 copy).jsonl").write_bytes(b"{}\n")
    for number, text in enumerate(evil_corpus):
        plan = (ROOT / "shared" / "plans" / PLAN).read_text()
        plan = plan.replace('"Tidewrack stripes"', toml(text)).replace('"rust"', toml(text), 1)
        (root / "shared" / "plans" / f"evil-{number}.plan.toml").write_text(
            plan.replace('"rust"', toml(text))
        )
    with (root / "shared" / "dyes.toml").open("a") as file:
        file.write(f'\n[[dye]]\nname = {toml(evil[:200])}\nform = "powder"\nnote = {toml(evil)}\n')
    return root


def toml(text: str) -> str:
    """A basic string of TOML: JSON's escapes are among its own, for text of the basic plane."""
    return json.dumps(text)


@pytest.fixture(scope="module")
def as_it_was(bad_studio: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in bad_studio.rglob("*") if path.is_file()}


@pytest.fixture
def studio(bad_studio: Path, as_it_was: dict[Path, bytes]) -> Iterator[Path]:
    """The evil studio, which is put back as it was: what is indexed once stays indexed."""
    yield bad_studio
    for path in [path for path in bad_studio.rglob("*") if path.is_file() and path not in as_it_was]:
        path.unlink()
    for path, content in as_it_was.items():
        if not path.exists() or path.read_bytes() != content:
            path.write_bytes(content)


def run(studio: Path, words: list[str], **stand_ins: str) -> Result:
    files = {
        "SESSION": SESSION,
        "OTHER": "20261031",
        "LEFT OPEN": "20261101",
        "SESSION FILE": str(next((studio / "sessions").glob(f"{SESSION}*-63ea.jsonl"))),
        "PLAN": str(studio / "shared" / "plans" / PLAN),
        "OUT": str(studio / "out.txt"),
        **stand_ins,
    }
    told = [files.get(word, word) for word in words]
    return CliRunner().invoke(main, ["--studio", str(studio), *told], input="")


def well_told(done: Result) -> None:
    """An exit code of the list, no traceback, no fault of the program, and nothing that steers a terminal."""
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        raise done.exception
    assert done.exit_code in (0, 1, 2, 3, 4), done.output
    assert "fault of the program" not in done.stderr and "Traceback" not in done.output, done.stderr
    for stream in (done.stdout, done.stderr):
        odd = {c for c in stream.replace("\n", "") if not c.isprintable() and c != "\u0301"}
        assert not odd, f"{odd!r} in {stream[:2000]}"


def sessions_of(studio: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in (studio / "sessions").iterdir() if path.is_file()}


@pytest.mark.parametrize(("name", "words"), ALL_RUNS, ids=lambda x: x if isinstance(x, str) else " ".join(x))
@pytest.mark.one_in(14)
def test_rows_20_and_21_evil_text_is_shown_and_never_obeyed(
    studio: Path, name: str, words: list[str]
) -> None:
    before = sessions_of(studio)
    done = run(studio, [name, *words])
    well_told(done)
    assert done.exit_code == EXPECTED.get(name, 0), done.stderr
    after = sessions_of(studio)
    assert all(after[key].startswith(content) for key, content in before.items()), "files only ever grow"
    for made in studio.glob("out*"):
        text = made.read_text(encoding="utf-8")
        assert not {c for c in text.replace("\n", "").replace("\r", "") if not c.isprintable()} - {
            "\u0301",
            "\t",
        }


@pytest.mark.parametrize("name", sorted(n for n, runs in RUNS.items() if any("PLAN" in run for run in runs)))
@pytest.mark.one_in(3)
def test_rows_20_and_21_evil_text_in_a_plan(studio: Path, name: str) -> None:
    for plan in sorted((studio / "shared" / "plans").glob("evil-*.plan.toml"))[
        :: 4 if name == "worksheet" else 15
    ]:
        well_told(run(studio, [name, *RUNS[name][0]], PLAN=str(plan)))


# A command line holds no NUL, so none is tried.
NAMES = [
    "../../etc/passwd",
    "con",
    "x" * 300,
    "",
    "\U0001f9f6",
    "-x",
    "\x1b]0;owned\x07",
    "\u202efdp",
    "[/x]",
]
WITH_FILE = [
    (n, r[0], word)
    for n, r in RUNS.items()
    for word in ("SESSION", "PLAN", "SESSION FILE", "LEFT OPEN")
    if r[0].count(word)
]


@pytest.mark.parametrize(("name", "words", "word"), WITH_FILE, ids=lambda x: x if isinstance(x, str) else "")
@pytest.mark.one_in(6)
def test_row_22_a_strange_name_is_one_sentence(studio: Path, name: str, words: list[str], word: str) -> None:
    for strange in NAMES:
        done = run(studio, [name, *words], **{word: strange})
        well_told(done)
        assert done.exit_code != 0 or (name in ("follow", "resume") and not strange), (
            "without a name both take what there is"
        )


def strange_files(folder: Path) -> Iterator[Path]:
    """A link, a pipe, a folder, a device, a sparse gigabyte, bytes that are no text, and nothing at all."""
    (folder / "link.jsonl").symlink_to("/etc/passwd")
    os.mkfifo(folder / "pipe.jsonl")
    (folder / "folder.jsonl").mkdir()
    with (folder / "sparse.jsonl").open("wb") as file:
        file.truncate(1024**3)
    (folder / "bytes.jsonl").write_bytes(b"\xff\xfe\x00\x1b]0;t\x07")
    (folder / "empty.jsonl").write_bytes(b"")
    yield from folder.iterdir()
    yield Path("/dev/zero")


@pytest.mark.skipif(os.name != "posix", reason="these files are of another system")
@pytest.mark.parametrize(("name", "words", "word"), WITH_FILE, ids=lambda x: x if isinstance(x, str) else "")
def test_row_23_a_strange_file_is_refused_at_once(
    studio: Path, tmp_path: Path, no_hang, name: str, words: list[str], word: str
) -> None:
    odd = tmp_path / "odd"
    odd.mkdir()
    for path in strange_files(odd):
        with no_hang():
            done = run(studio, [name, *words], **{word: str(path)})
        well_told(done)
        assert done.exit_code in (1, 2, 3, 4), (path.name, done.output)


def hostile_lines() -> list[bytes]:
    """Lines that are JSON, or nearly, and no events."""
    head = b'{"at":"2026-09-12T07:04:00.000Z","boot":"b","boot_ns":1,"data":'
    return [
        head + b"[" * 100_000,
        head + b'{"value":' + b"9" * 5_000 + b"}}",
        head + b'{"value":NaN}}',
        head + b'{"value":1e999}}',
        b'{"n":1,"n":2}',
        head + b'{"text":"\\ud800"}}',
        b"\xff\xfe\x80",
        b"x" * 2_000_000,
    ]


@pytest.mark.deep
def test_row_24_hostile_lines_are_named_and_the_rest_is_read(studio: Path, no_hang, sampled) -> None:
    path = next((studio / "sessions").glob(f"{SESSION}*-63ea.jsonl"))
    whole = path.read_bytes()
    path.write_bytes(whole + b"\n".join(hostile_lines()) + b"\n")
    for name, words in sampled(ALL_RUNS, 8):
        if {"SESSION", "SESSION FILE"} & set(words) or name in ("logbook", "doctor", "habits"):
            with no_hang():
                well_told(run(studio, [name, *words]))
    assert run(studio, ["verify", "SESSION FILE"]).exit_code == 3
    assert f"line {len(whole.splitlines()) + 1}" in run(studio, ["verify", "SESSION FILE"]).stdout
    assert run(studio, ["show", SESSION]).exit_code == 3


@pytest.mark.parametrize(
    "text",
    [
        "a." * 50_000 + "a = 1",
        "a = " + "[" * 100_000,
        'format = "potside-plan/9"',
        "title = 5",
        "x = nan",
        "\x00",
        "",
    ],
    ids=["dotted", "brackets", "newer", "wrong type", "unknown key", "nul", "empty"],
)
def test_row_25_a_hostile_plan_is_refused_in_a_sentence(studio: Path, no_hang, text: str) -> None:
    plan = studio / "hostile.plan.toml"
    plan.write_text(text)
    for name, words in ALL_RUNS:
        if "PLAN" in words and words == RUNS[name][0]:
            with no_hang():
                done = run(studio, [name, *words], PLAN=str(plan))
            well_told(done)
            assert done.exit_code in (1, 2, 3), (name, done.output)
    assert plan.read_text() == text


NUMBERS = ["nan", "1e400", "\u0663", "-5", "1,234.5\n\x1b[2J"]
WITH_VALUE = [
    (name, option.opts[-1])
    for name in RUNS
    for option in main.all_commands()[name].params
    if isinstance(option, click.Option) and not option.is_flag and option.name != "target"
]


@pytest.mark.parametrize(("name", "option"), WITH_VALUE, ids=lambda x: x)
@pytest.mark.one_in(12)
def test_row_26_an_odd_value_of_an_option_is_answered(studio: Path, name: str, option: str) -> None:
    for value in NUMBERS:
        well_told(run(studio, [name, *RUNS[name][0], option, value]))


@pytest.mark.deep
@pytest.mark.parametrize("count", [1_000, pytest.param(10_000, marks=pytest.mark.deep)])
def test_row_30_a_corrected_undone_and_long_session_is_read_by_all(studio: Path, count: int) -> None:
    """One value corrected at every tenth event, the last one taken back; all are still told."""
    path = next((ROOT / "sessions").glob(f"{SESSION}*-63ea.jsonl"))
    records = list(read_session(path).records)
    first = next(record for record in records if record.kind == "corrected")
    assert first.data["step"] == "ready.weight"
    del records[first.n :]
    prev, lines = FIRST_PREV, []
    while len(records) < count:
        n = len(records) + 1
        data = {**first.data, "value": float(n), "typed": f"{n}", "why": f"time {n}"}
        undo = {"ref": n - 1, "undone": "corrected"}
        kind, data = ("undone", undo) if n % 100 == 0 else ("corrected", data)
        if n % 100 < 90 and n % 100:
            kind, data = "noted", {"text": f"note {n}", "step": ""}
        records.append(msgspec.structs.replace(first, n=n, kind=kind, data=data))
    for record in records:
        lines.append(encode(record, prev))
        prev = lines[-1][-11:-3].decode()
    (studio / "sessions" / path.name).write_bytes(b"".join(lines))
    for name, runs in RUNS.items():
        if {"SESSION", "SESSION FILE"} & set(runs[0]) and (count < 10_000 or name == "verify"):
            well_told(run(studio, [name, *runs[0]]))
    shown = json.loads(run(studio, ["show", SESSION, "--json"]).stdout)
    (weight,) = [row for row in shown["values"] if row["step"] == "ready.weight"]
    assert weight["actual"] == count - 2 and len(weight["earlier"]) > count / 10
