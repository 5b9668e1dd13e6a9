"""`potside day`: one order of work, as text and as JSON, and wrong input."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from studio.cli import main

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def studio(tmp_path: Path) -> Path:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    return tmp_path


def run(studio: Path, *words: str) -> Result:
    return CliRunner().invoke(main, ["--studio", str(studio), "day", *words])


def plan(studio: Path, name: str = "tidewrack-stripes") -> str:
    return str(studio / "shared" / "plans" / f"{name}.plan.toml")


def test_json_holds_times_waits_and_reasons(studio: Path) -> None:
    plans = (plan(studio), plan(studio, "lantern-floats"))
    done = run(studio, *plans, "--pieces", "2", "--places", "2", "--start", "9:00", "--json")
    assert done.exit_code == 0, done.output
    day = json.loads(done.stdout)
    assert day["format"] == "potside-day/1" and day["start"] == "09:00"
    assert (day["pieces"], day["places"]) == (3, 2)
    tasks = {t["id"]: t for t in day["tasks"]}
    for task in tasks.values():
        assert task["because"] and task["origin"] == "estimate"
        for wait in task["after"]:
            before = tasks[wait["task"]]
            gone = task["start_min"] - before["start_min"] - before["hands_min"]
            assert gone >= wait["least_min"] - 1e-6
    assert day["finish_min"] == pytest.approx(max(t["start_min"] + t["hands_min"] for t in tasks.values()))
    assert day["finish_min"] < day["one_by_one_min"]
    hours, minutes = divmod(round(540 + day["finish_min"]), 60)
    assert day["finish"] == f"{hours:02d}:{minutes:02d}"


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_terminal(
    studio: Path, width: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    done = run(studio, plan(studio), "--pieces", "3", "--why")
    assert done.exit_code == 0
    assert all(len(line.rstrip()) <= width for line in done.stdout.splitlines())
    day = json.loads(run(studio, plan(studio), "--pieces", "3", "--json").stdout)
    order = done.stdout.partition("order of work")[2]
    free = re.findall(r"^ +(?:(\d+) h ?)?(?:(\d+) min)? free$", order, re.MULTILINE)
    pauses = [task["free_before_min"] for task in day["tasks"] if task["free_before_min"] >= 1.0]
    assert pauses and [int(h or 0) * 60 + int(m or 0) for h, m in free] == pytest.approx(pauses, abs=0.5)
    hours, minutes = divmod(round(day["finish_min"]), 60)
    assert f"finished +{hours}:{minutes:02d}" in done.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere.plan.toml",), "no such file"),
        (("PLAN", "--start", "24:00"), "no time of day"),
        (("PLAN", "--start", "9:00", "--finish-by", "17:00"), "not both"),
        (("PLAN", "--finish-by", "1:00"), "too much"),
        (("PLAN", "--pieces", "1", "--pieces", "2"), "more often"),
        (("PLAN", "--pieces", "9"), "1<=x<=8"),
        ((), "Missing argument"),
    ],
)
def test_wrong_input_is_one_sentence(studio: Path, words: tuple[str, ...], said: str) -> None:
    done = run(studio, *(plan(studio) if word == "PLAN" else word for word in words))
    assert done.exit_code == 2
    assert said in done.stderr and "Traceback" not in done.output
