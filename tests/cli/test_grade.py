"""`potside grade` as a person starts it, against the published steps."""

from __future__ import annotations

import json

import pytest

A02 = {
    "5": 0.0, "4-5": 0.8, "4": 1.7, "3-4": 2.5, "3": 3.4, "2-3": 4.8, "2": 6.8, "1-2": 9.6, "1": 13.6,
}  # fmt: skip
"""EN 20105-A02:1994, clause 2.4: grade and CIELAB difference of its pair of chips."""


def test_every_published_step_is_its_own_grade(potside):
    """Pairs of chips that differ in lightness alone, as the standard's grey chips do."""
    for grade, delta_e in A02.items():
        told = json.loads(potside("grade", "50 0 0", f"{50 + delta_e:g} 0 0", "--json").stdout)
        assert (told["grade"], told["step"]) == (grade, delta_e)
        assert told["difference"] == pytest.approx(delta_e, abs=1e-9)
        assert told["formula"] == "CIELAB 1976" and "EN 20105-A02:1994" in told["source"]


def test_it_says_its_formula_its_source_and_the_direction(potside):
    """dL 1, da -2, db -2: root of 1 + 4 + 4 is 3, nearest to the step of 3.4."""
    done = potside("grade", "52 40 30", "53 38 28")
    assert (done.exit_code, done.stderr) == (0, "")
    assert done.stdout.startswith("grade 3\n")
    flat = " ".join(done.stdout.split())
    for words in (
        "CIELAB 1976",
        "CIEDE2000",
        "EN 20105-A02:1994",
        "lighter by 1",
        "greener by 2",
        "bluer by 2",
    ):
        assert words in flat, words
    assert all(len(line) <= 80 for line in done.stdout.splitlines())


def test_staining_has_steps_of_its_own(potside):
    """dE 8.5 is 3 on the staining scale of the AATCC and 2 to 1-2 on that for change."""
    one, other = "92 0 4", "92 8.5 4"
    assert potside("grade", one, other, "--staining").stdout.startswith("grade 3\n")
    assert potside("grade", one, other).stdout.startswith("grade 1-2\n")


@pytest.mark.parametrize("first", ["52 -3.5 10", "52,0 \u22123,5 10", "52, -3.5, 10", "52; -3.5; 10"])
def test_ways_to_write_a_colour(potside, first):
    assert json.loads(potside("grade", first, "52 -3.5 10", "--json").stdout)["first"] == [52.0, -3.5, 10.0]


@pytest.mark.parametrize(
    "first",
    [
        "",
        "52 40",
        "52 40 30 1",
        "red",
        "nan 0 0",
        "120 0 0",
        "-5 0 0",
        "50 400 0",
        "1e400 0 0",
        "\x1b[2J 1 2",
    ],
)
def test_what_is_no_colour_is_one_sentence(potside, first):
    done = potside("grade", "--", first, "52 40 30")
    assert (done.exit_code, done.stdout) == (2, "") and done.stderr.count("\n") == 1
    assert (
        done.stderr.startswith("potside: ") and "Traceback" not in done.stderr and "\x1b" not in done.stderr
    )
