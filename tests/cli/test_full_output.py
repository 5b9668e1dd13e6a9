"""Every command printing to a disk that is full, and plans on a faulty one: a sentence and an exit code."""

from __future__ import annotations

import errno
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner

from studio.cli import main
from studio.plan.errors import PlanError
from studio.plan.reading import read_plan
from studio.services.plan_files import PlanFiles
from studio.store.disk import Disk
from studio.trouble import Trouble

RUNS = {
    "": ["--help"],
    "begin": ["PLAN", "--plain"],
    "compare": ["SESSION", "OTHER"],
    "completion": ["bash"],
    "day": ["PLAN"],
    "doctor": [],
    "export": ["SESSION", "--as", "json"],
    "follow": ["SESSION"],
    "forecast": ["PLAN"],
    "grade": ["52 40 -3.5", "50 41 -3"],
    "habits": [],
    "logbook": ["--json"],
    "practices": [],
    "rehearse": ["--unattended"],
    "repeat": ["SESSION"],
    "resume": ["--plain"],
    "schema": [],
    "shelf": [],
    "shopping": ["PLAN"],
    "show": ["SESSION"],
    "verify": ["SESSION FILE"],
    "words": [],
    "worksheet": ["PLAN", "--json"],
}
"""Every command with words that make it print; `begin` comes before `resume`, which takes up what it left."""

# One process that has loaded the program runs each command in a child of its own.
RUNNER = """
import json, os, sys, tempfile
from studio.cli import main
import numpy, studio.services.studio, studio.services.unattended, studio.plan.forecast, studio.report.worksheet
full = os.open("/dev/full", os.O_WRONLY)
for name, words in json.loads(sys.argv[1]):
    said = tempfile.TemporaryFile()
    child = os.fork()
    if child == 0:
        os.dup2(full, 1)
        os.dup2(said.fileno(), 2)
        try:
            main(words)
        except SystemExit as end:
            os._exit(end.code or 0)
        os._exit(99)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    said.seek(0)
    print(json.dumps([name, code, said.read().decode()]), flush=True)
"""


@pytest.mark.deep
@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no /dev/full")
@pytest.mark.parametrize(
    ("unbuffered", "names"),
    [("", list(RUNS)), ("1", ["", "worksheet", "verify"])],
)
def test_where_the_output_is_not_taken_every_command_says_so(
    studio, environ, home, finished, unbuffered, names
) -> None:
    assert RUNS.keys() - {""} == set(main.all_commands())
    other = studio / "sessions" / "20260101-0900-tidewrack-stripes-0000.jsonl"
    for path in (studio / "sessions" / finished.name, other):
        path.write_bytes(finished.read_bytes())
    plan = studio / "shared" / "plans" / "tidewrack-stripes.plan.toml"
    files = {"PLAN": plan, "SESSION": finished.stem, "OTHER": other.stem, "SESSION FILE": other}
    runs = [
        (name, [*filter(None, [name]), *(str(files.get(word, word)) for word in words)])
        for name, words in RUNS.items()
        if name in names
    ]
    ran = subprocess.run(
        [sys.executable, "-c", RUNNER, json.dumps(runs)],
        env=environ(PYTHONUNBUFFERED=unbuffered),
        cwd=home,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    told = [json.loads(line) for line in ran.stdout.splitlines()]
    assert len(told) == len(names)
    for name, code, said in told:
        last = said.splitlines()[-1] if said else ""
        assert (name, code, last) == (name, 4, "potside: cannot write the output: the disk is full."), said
        assert "fault of the program" not in said and "Traceback" not in said


def test_a_plan_the_disk_does_not_give_back_is_one_sentence_and_code_3(studio, plan, monkeypatch) -> None:
    read_really = os.read

    def read(descriptor: int, count: int) -> bytes:
        if os.path.samestat(os.fstat(descriptor), os.stat(plan)):
            raise OSError(errno.EIO, "Input/output error")
        return read_really(descriptor, count)

    monkeypatch.setattr(os, "read", read)
    for command in ("worksheet", "forecast", "begin", "shopping", "day"):
        done = CliRunner().invoke(main, ["--studio", str(studio), command, str(plan)])
        assert (done.exit_code, done.stderr) == (
            3,
            f"potside: {plan.name}: cannot be read (Input/output error); look at the disk it is on.\n",
        ), command


@pytest.mark.parametrize("call", ["write", "fsync"])
def test_a_plan_the_disk_does_not_take_is_one_sentence_and_the_old_one_is_whole(
    studio, plan, monkeypatch, call
) -> None:
    files = PlanFiles(studio / "shared" / "plans")
    file = files.read(str(studio / "shared" / "plans" / plan.name))

    def fail(*told: object) -> int:
        raise OSError(errno.EIO, "Input/output error")

    monkeypatch.setattr(Disk, call, fail)
    for save in (lambda: files.save(file, "x = 1\n"), lambda: files.save_as("Kelp", "x = 1\n")):
        with pytest.raises(
            Trouble, match=r"^Cannot write .*: the disk reported a fault; nothing there was changed\.$"
        ) as told:
            save()
        assert told.value.exit_code == 4
    assert Path(file.key).read_text() == file.text
    assert not [p.name for p in (studio / "shared" / "plans").iterdir() if p.name.endswith(".part")]


@pytest.mark.parametrize("drops", ["1e-308", "5e-324", "0", '"0.001 drops"'])
def test_next_to_no_drops_are_refused(studio, drops) -> None:
    path = studio / "shared" / "plans" / "lantern-floats.plan.toml"
    path.write_text(path.read_text().replace("drops = 100", f"drops = {drops}", 1))
    with pytest.raises(PlanError, match=r"drops must .*0\.01 ") as told:
        read_plan(path.read_text(), name=path.name)
    done = CliRunner().invoke(main, ["--studio", str(studio), "worksheet", str(path)])
    assert (done.exit_code, done.stderr) == (2, f"potside: {told.value}\n")
