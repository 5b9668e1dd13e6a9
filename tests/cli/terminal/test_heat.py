"""Gates and heat in a real pseudo-terminal: what is too hot stays shut, what can hardly be so is doubted once.

The session is walked there beforehand, on shared/plans/tidewrack-stripes: 13.4 mL of pickling vinegar, 1.6 L in the pot
over 1 000 W, a set of 49 min and 34 at the earliest, 40 °C the limit for hands.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from studio.session.folding import replay
from studio.store.reading import read_session


def events(path: Path, kind: str) -> list[dict[str, Any]]:
    return [record.data for record in read_session(path).records if record.kind == kind]


@pytest.mark.deep
def test_a_hot_packet_stays_shut_until_it_is_read_cool_or_passed_with_a_reason(
    walked_to, terminal, keys, potside
) -> None:
    path = walked_to("steam.on")
    k = keys(terminal("resume", path))
    k.sees("Packet on the rack")
    k.press("\r", "Wait until steam rolls", "49 min (34 at the earliest)")
    k.press("\r", "after the pot went on, where", "from cold take", "Enter again if it is so")
    k.screen.look(0.8)
    k.press("\r", "Keep the steam rolling", "49 min (34 at the earliest)")
    k.press("o", "Why pass it")
    k.answer("the gas ran out", "End it after", "of 49 min, with the middle hardly warm?")
    k.press("\r", "Heat off.")
    k.press("\r", "Lift the packet out")
    k.press("\r", "let it cool in the air")
    k.press("r", "Temperature")
    k.answer("41", "read at the packet: 41 °C", "let it cool in the air")
    k.press("r", "Temperature")
    k.answer("40", "40 °C after", "the middle takes", "at the earliest?")
    k.press("\r", "ended by the reading of 40 °C", "Push the probe into")
    k.press("\r", "Middle of the packet read")
    k.answer("91", "Really 91 °C?")
    k.press("\r", "STOP", "Last read at 91 °C, and 40 °C is the limit", "R read it again")
    for digit in "159":
        k.screen.look(0.8)
        k.press(digit, "Last read at 91 °C")
    k.press("\r", "Open the packet only at 40 °C or cooler")
    k.press("o", "Why pass it")
    k.answer(
        "the child wants to see it",
        "STOP",
        "Still at 91 °C, above the limit of 40 °C",
        "planned 40 °C",
    )
    k.press("\r", "Rinse water as warm as the fibre")
    k.answer("91", "Really 91 °C? Expected 30 to 50 °C")
    k.press("\x1b", "STOP")
    k.press("\r", "Rinse water as warm as the fibre")
    k.answer("38", "Rinse in fresh water", "STOP")
    k.press("r", "Temperature")
    k.answer("39", "read at the packet: 39 °C")
    assert "STOP" not in k.shown()

    closed = {data["step"]: data for data in events(path, "step.done")}
    assert closed["steam.rolling"]["flagged"]
    assert replay(read_session(path).records).step("cool.wait").read_c == 40.0, (
        "the record says by which reading"
    )
    ended, opened = events(path, "step.overridden")
    assert ended["step"] == "steam.hold" and ended["flagged"]
    assert (opened["step"], opened["read_c"], opened["limit_c"]) == ("cool.unwrap", 91.0, 40.0)
    rinse = events(path, "step.measured")[-1]
    assert (rinse["step"], rinse["value"], rinse["flagged"]) == ("rinse.water", 38.0, False)
    k.leave()
    told = potside("show", path.name).stdout
    assert "passed with a reason: the child wants to see it read at 91 °C" in " ".join(told.split())
    assert told.count("doubted, confirmed") == 3


@pytest.mark.deep
def test_acid_and_paint_far_beyond_the_plan_are_doubted_once_and_counted_on(
    walked_to, terminal, keys
) -> None:
    """60 mL of 0.8326 mol/L in about 2 L are 25 mmol/L; the water takes 0.76: 4.76 + log(1.14 / 23.8) = pH 3.4.

    And 0.39 g of dye in 200 mL of paint, 23 mL of it on 33 g of fibre: 0.14 % in the place of 1 %.
    """
    path = walked_to("presoak.acid")
    k = keys(terminal("resume", path))
    k.sees("Pour pickling vinegar")
    k.press("\r", "Acid in the water")
    k.answer("60", "Really 60 mL? Expected", "it brings the soak to pH 3.4")
    k.press("\r", "Read the pH", "pH 3.4")
    k.leave()
    (acid,) = (data for data in events(path, "step.measured") if data["step"] == "presoak.acid")
    assert acid["value"] == 60.0 and acid["flagged"]

    path = walked_to("paint.rust.mix")
    k = keys(terminal("resume", path))
    k.sees("Mix the paint for rust")
    k.press("\r", "Paint for rust mixed")
    k.answer("200", "Really 200 mL?", "the depth comes to 0.1", "%, not 1 %")
    k.press("\r", "Mix the paint for deep water")
    k.press("\r", "Paint for deep water mixed")
    k.answer("22.9", "flat on film", "WARN", "0.14 %")
    k.press("p", "0 of 11 bands")
    k.press("\r", "1 of 11 bands")
    k.press("\x1b", "left: 2 to 11")
    k.press("\r", "All painted, with 2 to 11 still to paint?")
    k.screen.look(0.8)
    k.press("\r", "Blot, turn the fibre over")
    k.leave()
    assert events(path, "step.done")[-1] == {"step": "paint.apply", "flagged": True}
