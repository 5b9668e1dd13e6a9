"""What a screen may not say at once: it is looked for on every screen that came to rest."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from studio.screens.draw.clocks import big_text

UNITS = r"(?:mL|g|°C|min)"


def heat_on_and_off(s: str) -> bool:
    """Keep it rolling, and heat off."""
    return "Keep the steam rolling" in s and bool(re.search(r"heat off|Heat off\.", s))


def saved_and_not_saved(s: str) -> bool:
    """The header, the banner and the marks of what waits; on pages beside the bench there is no header."""
    head = re.search(r"\d\d:\d\d   (saved|NOT SAVED)$", s, re.MULTILINE)
    waits = "NOT SAVED:" in s
    marked = "waiting to be saved" in s
    return (marked and not waits) or (head is not None and (head[1] == "NOT SAVED") != waits)


def minutes_beside_the_clock(s: str) -> bool:
    """What the large clock has left, and the minutes from now to where it is said to end."""
    now, ends = (re.search(words, s) for words in (r"(\d\d):(\d\d)   (?:NOT )?[Ss]", r"ends (\d\d):(\d\d)"))
    if now is None or ends is None:
        return False
    hour, minute, to_hour, to_minute = map(int, (*now.groups(), *ends.groups()))
    to_go = (60 * (to_hour - hour) + to_minute - minute) % (24 * 60)
    lines = s.splitlines()
    texts = (
        f"{m // 60}:{m % 60:02d}:{sec:02d}" if m >= 60 else f"{m:02d}:{sec:02d}"
        for m in (to_go, to_go - 1)
        for sec in range(60)
    )
    return not any(
        all(any(row.rstrip() in x for x in lines) for row in big_text(t, block="█")) for t in texts
    )


def over_and_running(s: str) -> bool:
    """A clock that is over ends nowhere; a clock that rings is over."""
    return (" is over\n" in s and "ends " in s) or ("no clock runs yet" in s and " also " in s)


def ends_twice(s: str) -> bool:
    """The notice and the clock name the same end."""
    until, ends = (set(re.findall(words + r" (\d\d:\d\d)", s)) for words in ("This clock runs until", "ends"))
    return bool(until and ends) and until != ends


def water_in_two_measures(s: str) -> bool:
    """What is left in mL, and what is left in minutes of 26.6 mL, to the two figures of the mL."""
    ml, minutes = (re.search(words, s) for words in (r"about (\d+) mL left", r"pot water left +([\d.]+) min"))
    return bool(ml and minutes) and abs(float(ml[1]) - 26.588 * float(minutes[1])) > 14


def asked_and_planned(s: str) -> bool:
    """The number asked for is one of the figures above it that have its unit, and within what is expected."""
    asked = re.search(rf"planned ([\d .]+) ({UNITS})", s)
    if asked is None:
        return False
    above = s[: asked.start()]
    figures = re.findall(rf"^  \S.*?  +([\d .]+?) {asked[2]}\b", above, re.MULTILINE)
    ends = re.search(rf"Expected ([\d.]+) to ([\d.]+) {asked[2]}", s)
    number = float(asked[1].replace(" ", ""))
    inside = ends is None or float(ends[1]) <= number <= float(ends[2])
    return not inside or (bool(figures) and asked[1].strip() not in figures)


def place_in_the_stage(s: str) -> bool:
    """Where you were, and where the bench is."""
    told = re.search(r"You were at (\d+ of \d+) in (\w+)\.", s)
    return told is not None and not (
        re.search(rf"^ \w+ +(?:CRITICAL +)?{told[1]}", s, re.MULTILINE) and f" {told[2].upper()} " in s
    )


def bands_ticked(s: str) -> bool:
    """Bands counted, bands named as bare, ticks in the list."""
    counted = re.search(r"(\d+) of 11 bands", s)
    if counted is None:
        return "every band has a coat" in s and bool(re.search(r"bare: \d", s))
    ticks = len(re.findall(r"\[x\] +\d+ ", s))
    bare = len(re.findall(r"\[ \] +\d+ ", s))
    return ticks != int(counted[1]) or bare + ticks != 11


def limits(s: str) -> bool:
    """One limit for hands."""
    told = re.findall(r"limit of (\d+)|(\d+) °C is the limit|only at (\d+) °C or below", " ".join(s.split()))
    return len({number for found in told for number in found if number}) > 1


def digits(s: str) -> bool:
    """The digit that is shown is the one that is said to open."""
    shown, said = (re.search(words, s) for words in (r"Press (\d) (?:when|to)", r"Nothing but (\d) "))
    return bool(shown and said) and shown[1] != said[1]


def enter_goes_on_and_is_taken(s: str) -> bool:
    """A field takes Enter, so nothing says that it goes on."""
    return "Enter takes it" in s and bool(
        re.search(r"takes no value|Enter again if it is so.*Why|U again", s)
    )


CONTRADICTIONS = (
    heat_on_and_off, saved_and_not_saved, minutes_beside_the_clock, over_and_running, ends_twice, water_in_two_measures,
    asked_and_planned, place_in_the_stage, bands_ticked, limits, digits, enter_goes_on_and_is_taken,
)  # fmt: skip


@pytest.fixture
def contradictions() -> dict[str, Callable[[str], bool]]:
    """By name; each is true of a screen that says two things at once."""
    return {said.__name__: said for said in CONTRADICTIONS}
