"""What a screen may not say at once: it is looked for on every screen that came to rest."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from studio.screens.draw.digits import big

UNITS = r"(?:mL|g|°C|min)"


def heat_on_and_off(s: str) -> bool:
    """Keep it rolling, and heat off."""
    return "Keep the steam rolling" in s and bool(re.search(r"heat off|Heat off\.", s))


def saved_and_not_saved(s: str) -> bool:
    """The header, the banner and the marks of what waits; on pages beside the bench there is no header."""
    head = re.search(r"\d\d:\d\d   (saved|NOT SAVED) *$", s, re.MULTILINE)
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
    texts = (
        f"{m // 60}:{m % 60:02d}:{sec:02d}" if m >= 60 else f"{m}:{sec:02d}"
        for m in (to_go, to_go - 1)
        for sec in range(60)
    )
    return not any(drawn(s, text) for text in texts)


def drawn(s: str, text: str, unit: str = "") -> bool:
    """Whether those digits stand there in one piece, with no digit close behind them: a bar of half height may be."""
    lines = s.splitlines()
    for rows in (big(text, high, unit) for high in (10, 7, 5, 3)):
        wide = max(map(len, rows))
        for top in range(len(lines) - len(rows) + 1):
            for found in re.finditer(f"(?={re.escape(rows[0])})", lines[top]):
                parts = [line[found.start() :] for line in lines[top : top + len(rows)]]
                behind = "".join(part[wide : wide + 3] for part in parts)
                if [part[:wide].rstrip() for part in parts] == rows and "█" not in behind:
                    return True
    return False


def over_and_running(s: str) -> bool:
    """The large clock that is over ends nowhere, and one that runs was not due."""
    return bool(re.search(r"DUE  .* is over *$", s, re.MULTILINE)) and "ends " in s


def ends_twice(s: str) -> bool:
    """The notice and the clock name the same end."""
    until, ends = (set(re.findall(words + r" (\d\d:\d\d)", s)) for words in ("This clock runs until", "ends"))
    return bool(until and ends) and until != ends


def water_in_two_measures(s: str) -> bool:
    """What is left in mL, and what is left in minutes of 23.9 mL, to the two figures of the mL."""
    ml, minutes = (re.search(words, s) for words in (r"about (\d+) mL left", r"pot water left +([\d.]+) min"))
    return bool(ml and minutes) and abs(float(ml[1]) - 23.93 * float(minutes[1])) > 14


def asked_and_planned(s: str) -> bool:
    """The number asked for is drawn largest or is one of the figures above it that have its unit, and within what is
    near enough. What is typed stands in the place of what is drawn."""
    asked = re.search(rf"planned ([\d .]+) ({UNITS})", s)
    if asked is None:
        return False
    above = s[: asked.start()]
    figures = re.findall(rf"^  \S.*?  +([\d .]+?) {asked[2]}\b", above, re.MULTILINE)
    ends = re.search(rf"(?:Expected|near enough:) ([\d .]+) to ([\d .]+) {asked[2]}", s)
    number = float(asked[1].replace(" ", ""))
    inside = ends is None or all(
        float(end.replace(" ", "")) * way <= number * way for end, way in ((ends[1], 1), (ends[2], -1))
    )
    told = asked[1].strip() in figures or "Enter takes it" in s or not re.search("[█▀▄]{2}", above)
    return not inside or not (told or any(drawn(above, asked[1].strip(), unit) for unit in (asked[2], "")))


def place_in_the_stage(s: str) -> bool:
    """Where you were, and where the bench is: the stage, the place in it where it is told, the step closed before."""
    told = re.search(r"You were at (\d+ of \d+) in (\w+)\.(?: Last done: (.*?)(?:,| at |\.))?", s)
    if told is None:
        return False
    here = re.search(rf"►{told[2]}\b(?:   (\d+ of \d+))?", s)
    if here is None or (here[1] is not None and here[1] != told[1]):
        return True
    before = re.search(r"^ +[■–●] (.*?)(?:  .*)?\n *▌ ► ", s, re.MULTILINE)
    return bool(before and told[3]) and not before[1].startswith(told[3][:20])


def bands_ticked(s: str) -> bool:
    """Bands counted, bands named as bare, ticks in the list."""
    counted = re.search(r"(\d+) of 11 bands", s)
    if counted is None:
        return "every band has a coat" in s and bool(re.search(r"left: \d", s))
    ticks = len(re.findall(r"[■●] +\d+ ", s))
    bare = len(re.findall(r"□ +\d+ ", s))
    return ticks != int(counted[1]) or bare + ticks != 11


def limits(s: str) -> bool:
    """One limit for hands."""
    told = re.findall(r"limit of (\d+)|(\d+) °C is the limit|only at (\d+) °C or cooler", " ".join(s.split()))
    return len({number for found in told for number in found if number}) > 1


def digits(s: str) -> bool:
    """The digit that is shown is the one that is said to open."""
    shown, said = (re.search(words, s) for words in (r"Press (\d) (?:when|to)", r"(\d) opens this gate"))
    return bool(shown and said) and shown[1] != said[1]


def enter_goes_on_and_is_taken(s: str) -> bool:
    """A field takes Enter, so nothing says that it goes on."""
    return "Enter takes it" in s and bool(
        re.search(r"takes no value|Enter again if it is so.*Why|U again", s)
    )


@pytest.fixture
def digits_drawn() -> Callable[..., bool]:
    return drawn


CONTRADICTIONS = (
    heat_on_and_off, saved_and_not_saved, minutes_beside_the_clock, over_and_running, ends_twice, water_in_two_measures,
    asked_and_planned, place_in_the_stage, bands_ticked, limits, digits, enter_goes_on_and_is_taken,
)  # fmt: skip


@pytest.fixture
def contradictions() -> dict[str, Callable[[str], bool]]:
    """By name; each is true of a screen that says two things at once."""
    return {said.__name__: said for said in CONTRADICTIONS}
