"""Painting as it goes at the bench, in a real pseudo-terminal: out of order, with a wrong jar and a stray key.

The session is walked to its paint beforehand; the eleven bands of shared/plans/tidewrack-stripes are then painted by
keys, rust first and in turn with deep water, twelve rows each.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from studio.desks.desk import StudioDesk
from studio.errands.unattended import walk
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.path import current_step
from studio.session.run import Running
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.system_clock import SystemClock

AGO_NS = 2 * 3600 * NS
KEY_S = 0.8
"""Longer than a bouncing key, and than what a second key must wait for."""


@pytest.fixture
def walked_to(studio: Path) -> Callable[[str], Path]:
    """The file of a session begun two hours ago that has come to a step."""

    def make(step_id: str) -> Path:
        now = SystemClock().now()
        began = Reading(now.wall_ns - AGO_NS, max(1, now.boot_ns - AGO_NS), now.mono_ns, now.boot)
        clock = SteppedClock(began)
        desk = StudioDesk(StudioFolder(studio), clock)
        plan = studio / "shared" / "plans" / "tidewrack-stripes.plan.toml"
        running = desk.begin(desk.work_out_file(plan))

        def there(session: Running) -> bool:
            step = current_step(session.state, clock.now())
            return step is not None and step.id == step_id

        walk(running, clock, random.Random(3), lambda _: None, until=there)
        desk.let_go()
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


def events(path: Path, kind: str) -> list[dict[str, Any]]:
    return [record.data for record in read_session(path).records if record.kind == kind]


@pytest.mark.deep
def test_bands_painted_in_any_order_and_from_any_jar_are_kept_as_they_were(
    walked_to, terminal, potside
) -> None:
    at_the_paint = walked_to("paint.apply")
    k = Keys(terminal("resume", at_the_paint))
    k.sees("bare: 1 to 11")
    k.press("p", "0 of 11 bands", "still bare: 1 to 11")
    k.screen.type("11")  # the number of a band, typed fast
    k.sees(">> [ ] 11 rust")
    k.press("\r", "1 of 11 bands still bare: 1 to 10", ">> [ ] 1 rust")
    k.press("5", ">> [ ] 5 rust")
    k.press("o", "Band 5 was painted from which jar? 1 rust, 2 deep water")
    k.answer("deep water", "5 rust 12 rows 1 coat from deep water", "still bare: 1 to 4, 6 to 10")
    k.press("\x1b[D", ">> [x] 5 rust")  # left: from 6 back to 5
    k.press("\r", "Band 5 has a coat from the deep water jar already", ">> [ ] 6 deep water")
    k.press("3", ">> [ ] 3 rust")
    k.press("\r", "still bare: 1, 2, 4, 6 to 10", ">> [ ] 4 deep water")
    k.press("\x1b[A", ">> [x] 3 rust")
    k.press("+", "3 rust 12 rows 2 coats")
    k.press("\x1b", "PAINT", "bare: 1, 2, 4, 6 to 10")
    k.press("p", "3 of 11 bands", ">> [ ] 1 rust")
    for count, bare in enumerate(
        ("2, 4", "4, 6", "6 to 10", "7 to 10", "8 to 10", "9, 10", "still bare: 10"), 4
    ):
        k.press("\r", f"{count} of 11 bands", bare)
    k.press("\r", "11 of 11 bands")
    k.press("\x1b", "every band has a coat")
    k.press("k", "Which value was wrong?")
    k.press("\r", "Paint for deep water mixed", "mL: the right value in mL")
    k.press("\x1b")
    k.press("\x1b", "every band has a coat")
    k.press("\r", "Wrap")
    k.press("u", "Taken back: 'All bands painted'. It stays in the record.", "every band has a coat")

    painted = events(at_the_paint, "band.painted")
    assert [coat["band"] for coat in painted] == [11, 5, 3, 3, 1, 2, 4, 6, 7, 8, 9, 10]
    assert painted[1] == {"band": 5, "colour": "rust", "jar": "deep-water", "coat": 1}
    assert painted[3]["coat"] == 2 and all(coat["colour"] == coat["jar"] for coat in painted[2:])
    k.press("q", "Leave the bench?")
    k.press("y")
    k.screen.until("Rehearse")
    k.press("q")
    assert k.screen.end() == 0
    told = potside("show", at_the_paint.name)
    assert told.returncode == 0
    assert "11 bands painted, 1 of them more than once" in told.stdout
    assert "band 5 painted from the deep water jar (planned rust)" in told.stdout


@pytest.mark.deep
def test_one_stray_u_stops_no_clock_and_a_second_one_does(walked_to, terminal) -> None:
    soaking = walked_to("presoak.in")
    k = Keys(terminal("resume", soaking))
    k.sees("4 of 5", "PRESOAK")
    k.press("\r", "STOCKS")
    asked = "This takes back 'Fibre in the soak' and stops the clock 'presoak' of 30 min"
    k.press("u", f"{asked}. U again: take it back.")
    k.press("n", "Note")
    k.answer("a sleeve on the keys", "STOCKS")
    k.press("u", f"{asked}; what was done since stays. U again: take it back.")
    k.screen.type("uuu")  # held: it asks and asks
    k.screen.look(1.0)
    assert not events(soaking, "undone")
    k.press("u", "Taken back: 'Fibre in the soak'. It stays in the record.", "PRESOAK")
    assert [undone["step"] for undone in events(soaking, "undone")] == ["presoak.in"]
    k.press("q", "Leave the bench?", "No clock is running")
    k.press("y")
    k.screen.until("Rehearse")
    k.press("q")
    assert k.screen.end() == 0
