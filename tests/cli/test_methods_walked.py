"""Kettle and microwave from the command line: the whole session without a terminal, then every command on it."""

from __future__ import annotations

import json

import pytest

SAMPLES = {
    "slack-water": (
        "bath",
        "heat",
        "clock started: ramp",
        "white spoon: 4 of 5, clear",
        "Part 2 of the dye in",
    ),
    "riding-lights": (
        "paint",
        "microwave",
        "clock started: burst 2 of 2",
        "clock started: rest",
        "Liquid clear",
    ),
}


@pytest.fixture
def walked(potside, studio):
    """Rehearse a sample plan without a terminal; its output and its file."""

    def walk(name: str):
        plan = studio / "shared" / "plans" / f"{name}.plan.toml"
        done = potside("rehearse", plan, "--unattended")
        assert done.exit_code == 0, done.stderr
        (file,) = (studio / "sessions").glob("*.jsonl")
        return done.stdout, file

    return walk


@pytest.mark.parametrize("name", SAMPLES)
@pytest.mark.one_in(2)
def test_the_whole_session_and_every_command_on_it(name, walked, potside, tmp_path) -> None:
    told, file = walked(name)
    assert all(words in told for words in SAMPLES[name][2:]), told
    assert potside("verify", file).exit_code == 0
    shown = potside("show", file.name)
    assert shown.exit_code == 0 and "white spoon" in shown.stdout
    for arguments in (
        ("show", file.name, "--json"),
        ("logbook", "--find", name.split("-")[0], "--json"),
        ("compare", file.name, file.name),
        ("repeat", file.name, "-o", tmp_path / "same.plan.toml"),
        ("repeat", file.name, "--weight", "150 g", "-o", tmp_path / "more.plan.toml"),
        *(
            ("export", file.name, "--as", kind, "-o", tmp_path / f"x-{kind}")
            for kind in ("markdown", "html", "csv", "json", "labels")
        ),
    ):
        ran = potside(*arguments)
        assert ran.exit_code == 0 and "Traceback" not in ran.stderr, (arguments, ran.stderr)
    for again in ("same", "more"):
        sheet = potside("worksheet", tmp_path / f"{again}.plan.toml", "--json")
        assert sheet.exit_code == 0, sheet.stderr
        data = json.loads(sheet.stdout)
        assert not [c for c in data["cautions"] if c["level"] == "stop"]
        assert set(SAMPLES[name][:2]) <= {stage["stage"] for stage in data["procedure"]}


@pytest.mark.parametrize("extra", [(), ("--json",)])
def test_a_kettle_has_nothing_to_forecast_and_says_so_in_one_sentence(extra, potside, studio) -> None:
    told = potside("forecast", studio / "shared" / "plans" / "slack-water.plan.toml", *extra)
    assert told.exit_code == 2 and told.stdout == ""
    assert "semi-solid" in told.stderr and len(told.stderr.splitlines()) == 1


def test_a_kettle_is_not_put_into_a_day_of_steaming(potside, studio) -> None:
    told = potside("day", studio / "shared" / "plans" / "slack-water.plan.toml")
    assert told.exit_code == 2 and len(told.stderr.splitlines()) == 1
