"""What a screen may not say at once: it is looked for on every screen that came to rest."""

from __future__ import annotations

import os
import random
import re
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from studio.services.studio import Services
from studio.services.unattended import walk
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.path import current_step
from studio.session.run import Running
from studio.session.timers import clock_text
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from tests.cli.conftest import digit_drawn, drawn

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
    texts = {clock_text(60 * m + sec) for m in (to_go, to_go - 1) for sec in range(60)}
    return not any(drawn(s, text) for text in texts)


def over_and_running(s: str) -> bool:
    """The large clock that is over ends nowhere, and one that runs was not due."""
    return bool(re.search(r"DUE  .* is over *$", s, re.MULTILINE)) and "ends " in s


def ends_twice(s: str) -> bool:
    """The notice and the clock name the same end."""
    until, ends = (set(re.findall(words + r" (\d\d:\d\d)", s)) for words in ("This clock runs until", "ends"))
    return bool(until and ends) and until != ends


def water_in_two_measures(s: str) -> bool:
    """What is left in mL, and what is left in minutes of 23.9 mL, to the two figures of the mL."""
    ml, minutes = (
        re.search(words, s) for words in (r"about (\d+) mL left", r"pot water lasts another +([\d.]+) min")
    )
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
    to_close, said = (re.search(words, s) for words in (r"Press (\d) to", r"(\d) opens this gate"))
    shown = to_close[1] if to_close else digit_drawn(s)
    return bool(shown and said) and shown != said[1]


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


AGO_NS = 2 * 3600 * NS
"""How long ago a session began that is resumed in a terminal."""
MOVED = """
import errno, os, pathlib
from studio.session.clock import NS, Reading
from studio.store import disk, system_clock
really = system_clock.SystemClock.now
ahead, full = (pathlib.Path(os.environ.get(name, os.devnull)) for name in ("AHEAD", "FULL"))
def now(self):
    r, ns = really(self), int(float(ahead.read_text()) * 60) * NS
    return Reading(r.wall_ns + ns, r.boot_ns + ns, r.mono_ns + ns, r.boot)
system_clock.SystemClock.now = now
opened, wrote, files = disk.Disk.open, disk.Disk.write, {}
def open_(self, path, flags, mode=0o600):
    descriptor = opened(self, path, flags, mode)
    files[descriptor] = path.parent.name
    return descriptor
def write(self, descriptor, data):
    told = full.read_text()
    if told == "all" or told == "studio" and files[descriptor] == "sessions":
        raise OSError(errno.ENOSPC, "No space left on device")
    return wrote(self, descriptor, data)
disk.Disk.open, disk.Disk.write = open_, write
from studio.cli import main
main()
"""
"""The program as it is, but for two things read from files: how many minutes its clock is ahead, and what of
the disk is full (`all`, `studio` or nothing)."""
KEY_S = 0.8
"""Longer than a bouncing key, and than what a second key must wait for."""


@pytest.fixture
def moved() -> str:
    """`MOVED`, for the `code` of a terminal; AHEAD and FULL name its two files."""
    return MOVED


@pytest.fixture
def put() -> Callable[[Path, str], None]:
    """Swaps the content of a file in one go, so that a program never reads half of it, or none."""

    def swap(path: Path, text: str) -> None:
        fresh = path.with_suffix(".new")
        fresh.write_text(text)
        os.replace(fresh, path)

    return swap


@pytest.fixture
def walked_to(studio: Path) -> Callable[[str], Path]:
    """The file of a session begun two hours ago that has come to a step."""

    def make(step_id: str) -> Path:
        now = SystemClock().now()
        began = Reading(now.wall_ns - AGO_NS, max(1, now.boot_ns - AGO_NS), now.mono_ns, now.boot)
        clock = SteppedClock(began)
        services = Services(StudioFolder(studio), clock)
        plan = studio / "shared" / "plans" / "tidewrack-stripes.plan.toml"
        running = services.begin(services.work_out(plan))

        def there(session: Running) -> bool:
            step = current_step(session.state, clock.now())
            return step is not None and step.id == step_id

        walk(running, clock, random.Random(3), lambda _: None, until=there)
        services.let_go()
        return studio / "sessions" / running.name

    return make


class Keys:
    """One key after the other, each answered by the screen before the next."""

    def __init__(self, screen: Any) -> None:
        self.screen = screen

    def shown(self) -> str:
        return " ".join(self.screen.text.split())

    def sees(self, *wanted: str) -> None:
        end = time.monotonic() + 15
        for words in wanted:
            while words not in self.shown():
                assert self.screen.look() and time.monotonic() < end, f"no {words!r} in\n{self.screen.text}"

    def press(self, key: str, *then: str) -> None:
        self.screen.look(KEY_S)
        self.screen.type(key)
        self.sees(*then)

    def answer(self, text: str, *then: str) -> None:
        self.screen.type(text)
        self.sees(text)
        self.press("\r", *then)

    def leave(self) -> None:
        """The bench, and the program."""
        self.press("q", "Leave the bench?")
        self.press("y")
        self.screen.until("  plans")
        self.press("q")
        assert self.screen.end() == 0


@pytest.fixture
def keys() -> type[Keys]:
    """Types on a terminal as a hand does that looks."""
    return Keys
