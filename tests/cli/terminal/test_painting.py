"""Painting as it goes at the bench, in a real pseudo-terminal: out of order, with a wrong jar and a stray key.

The session is walked to its paint beforehand; the eleven bands of shared/plans/tidewrack-stripes are then painted by
keys, rust first and in turn with deep water, twelve rows each.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from studio.store.reading import read_session


def events(path: Path, kind: str) -> list[dict[str, Any]]:
    return [record.data for record in read_session(path).records if record.kind == kind]


@pytest.mark.deep
def test_bands_painted_in_any_order_and_from_any_jar_are_kept_as_they_were(
    walked_to, terminal, keys, potside
) -> None:
    at_the_paint = walked_to("paint.apply")
    k = keys(terminal("resume", at_the_paint))
    k.sees("left: 1 to 11")
    k.press("p", "0 of 11 bands", "still to paint: 1 to 11")
    k.screen.type("11")  # the number of a band, typed fast
    k.sees("▌ □ 11 rust")
    k.press("\r", "1 of 11 bands still to paint: 1 to 10", "▌ □ 1 rust")
    k.press("5", "▌ □ 5 rust")
    k.press("o", "Band 5 was painted from which jar? 1 rust, 2 deep water")
    k.answer("deep water", "5 rust 1 coat from deep water", "still to paint: 1 to 4, 6 to 10")
    k.press("\x1b[D", "▌ ■ 5 rust")  # left: from 6 back to 5
    k.press("\r", "Band 5 has a coat from the deep water jar already", "▌ □ 6 deep water")
    k.press("3", "▌ □ 3 rust")
    k.press("\r", "still to paint: 1, 2, 4, 6 to 10", "▌ □ 4 deep water")
    k.press("\x1b[A", "▌ ■ 3 rust")
    k.press("+", "3 rust 2 coats")
    k.press("\x1b", "►paint", "left: 1, 2, 4, 6 to 10")
    k.press("p", "3 of 11 bands", "▌ □ 1 rust")
    for count, bare in enumerate(
        ("2, 4", "4, 6", "6 to 10", "7 to 10", "8 to 10", "9, 10", "still to paint: 10"), 4
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
    k.screen.until("  plans")
    k.press("q")
    assert k.screen.end() == 0
    told = potside("show", at_the_paint.name)
    assert told.exit_code == 0
    assert "11 bands painted, 1 of them more than once" in told.stdout
    assert "band 5 painted from the deep water jar (planned rust)" in told.stdout


@pytest.mark.deep
def test_one_stray_u_stops_no_clock_and_a_second_one_does(walked_to, terminal, keys) -> None:
    soaking = walked_to("presoak.in")
    k = keys(terminal("resume", soaking))
    k.sees("► Fibre in the soak", "►presoak")
    k.press("\r", "►stocks")
    asked = "This takes back 'Fibre in the soak' and stops the clock 'presoak' of 30 min"
    k.press("u", f"{asked}. U again: take it back.")
    k.press("n", "Note")
    k.answer("a sleeve on the keys", "►stocks")
    k.press("u", "Taken back: 'note: a sleeve on the keys'. It stays in the record.")
    k.press("u", f"{asked}. U again: take it back.")
    k.screen.type("uuu")  # held: it asks and asks
    k.screen.look(1.0)
    assert [undone["undone"] for undone in events(soaking, "undone")] == ["noted"]
    k.press("u", "Taken back: 'Fibre in the soak'. It stays in the record.", "►presoak")
    assert [undone["undone"] for undone in events(soaking, "undone")] == ["noted", "step.done"]
    k.press("q", "Leave the bench?", "No clock is running")
    k.press("y")
    k.screen.until("  plans")
    k.press("q")
    assert k.screen.end() == 0
