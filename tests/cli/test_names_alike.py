"""One way to name a plan or a session for every command: a path, a file name, the beginning of it or its title."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

SESSION = "20260912-0704-tidewrack-stripes-63ea"
KEPT = Path(__file__).resolve().parents[2] / "sessions" / f"{SESSION}.jsonl"


@pytest.mark.parametrize("named", ["Tidewrack stripes", "tidew"])
@pytest.mark.one_in(2)
def test_a_session_is_named_alike_for_every_command(potside, studio, named) -> None:
    shutil.copy(KEPT, studio / "sessions")
    for command in (("show",), ("repeat",), ("follow",), ("shelf", "--draw-down")):
        done = potside(*command, named)
        assert "no session called" not in done.stderr and done.exit_code in (0, 1), (command, done.stderr)


@pytest.mark.parametrize("named", ["Tidewrack stripes", "tidewrack-stripes.plan.toml"])
@pytest.mark.one_in(2)
def test_a_plan_is_named_as_a_session_is(potside, studio, named) -> None:
    whole = potside("worksheet", studio / "shared/plans/tidewrack-stripes.plan.toml", "--json").stdout
    assert json.loads(potside("worksheet", named, "--json").stdout) == json.loads(whole)
    for command in (("rehearse", "--unattended"), ("forecast",), ("shopping",), ("day",)):
        done = potside(*command, named)
        assert done.exit_code in (0, 1), (command, done.stderr)
    assert len(list((studio / "sessions").glob("*tidewrack-stripes*.jsonl"))) == 1


def test_a_name_of_two_is_asked_for_more_of_and_a_name_of_none_is_refused(potside, studio) -> None:
    plans = studio / "shared" / "plans"
    shutil.copy(plans / "tidewrack-stripes.plan.toml", plans / "tidewrack-two.plan.toml")
    for number in "ab":
        shutil.copy(KEPT, studio / "sessions" / f"{SESSION[:-1]}{number}.jsonl")
    assert "2 plans begin with tidewrack" in potside("rehearse", "--unattended", "tidewrack").stderr
    for command in ("repeat", "follow", "show"):
        assert "2 sessions begin with tidewrack" in potside(command, "tidewrack").stderr
    assert potside("rehearse", "--unattended", "kelp-foreign").exit_code == 2
    assert potside("repeat", "kelp-foreign").exit_code == 3


def test_of_one_open_and_one_finished_session_the_open_one_is_resumed(potside, studio) -> None:
    shutil.copy(KEPT, studio / "sessions")
    lines = KEPT.read_bytes().splitlines(keepends=True)
    (studio / "sessions" / f"{SESSION[:-1]}b.jsonl").write_bytes(b"".join(lines[:40]))
    done = potside("resume", "--plain", "tidewrack")
    assert "sessions begin with" not in done.stderr and done.exit_code in (0, 1), done.stderr
    assert f"{SESSION[:-1]}b.jsonl" in done.stdout
