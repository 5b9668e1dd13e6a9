"""What the bench's line, its clocks and its alarms say agrees, whatever is done."""

from __future__ import annotations

import pytest

from studio.lines.words import asking_lines, step_lines
from studio.report.session_page import clock_rows
from studio.report.telling import told_apart
from studio.screens.bench.view import look
from studio.screens.draw.bench import Frame, page
from studio.screens.draw.digits import big
from studio.screens.draw.keys import UNICODE
from studio.session import alarms
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import time_of_day
from studio.session.path import current_step
from studio.session.timers import clock_text, left_words, running

HEAT_OFF = "The set is over: heat off, lid away from you."


def line(session) -> str:  # type: ignore[no-untyped-def]
    """The sentence of the bench."""
    shown = look(session).shown
    assert shown is not None
    return shown.step.text


def spoken(session) -> str:  # type: ignore[no-untyped-def]
    """All that the line mode says of the step of now, with its prompt."""
    now = session.clock.now()
    step = current_step(session.state, now)
    return "\n".join((*step_lines(session.state, step, now), *asking_lines(session.state, step, now)))


def later(session, minutes: float) -> None:  # type: ignore[no-untyped-def]
    session.clock.advance(minutes * 60)
    session.tick()


def rung(session) -> list[str]:  # type: ignore[no-untyped-def]
    return [a.text for a in alarms.standing(session.state)]


def hear_all(session) -> None:  # type: ignore[no-untyped-def]
    while standing := alarms.standing(session.state):
        session.do(c.Acknowledge(standing[0].n))


@pytest.mark.parametrize(("step_id", "dye", "told"), [
    ("presoak.acid", "eosin Y", "free acid is poorly soluble"),
    ("stocks.rust.dye", "C.I. 19140", "asthma"),
    ("record.leftovers", "C.I. Acid Blue 193", "Chromium is bound"),
    ("rinse.dry", "phloxine B", "Fades fast in light"),
])  # fmt: skip
def test_a_hazard_of_a_dye_is_told_at_its_step_at_the_bench_and_by_lines(
    begin, settled_of, step_id: str, dye: str, told: str
) -> None:
    choices = settled_of(('dye = "acid orange 7"', f'dye = "{dye}"'))
    session = begin(choices=choices, to=step_id)
    view = look(session)
    assert view.shown is not None and view.shown.step.id == step_id
    assert told in " ".join(page(view, Frame(100, {}, UNICODE), 40).plain.split())
    assert told in spoken(session)


@pytest.fixture
def kettle(exactly_at, sheet_of):  # type: ignore[no-untyped-def]
    return lambda step_id: exactly_at(step_id, None, sheet_of(method="kettle"))


@pytest.fixture
def oven(exactly_at, sheet_of):  # type: ignore[no-untyped-def]
    return lambda step_id: exactly_at(step_id, None, sheet_of(method="microwave"))


# -- the line says what the alarm says -----------------------------------------------------------------


def test_the_line_never_says_keep_the_steam_rolling_under_heat_off(exactly_at) -> None:
    session = exactly_at("steam.hold")
    assert line(session).startswith("Keep the steam rolling")
    later(session, 36)
    assert HEAT_OFF in rung(session)
    assert line(session) == HEAT_OFF
    assert HEAT_OFF in spoken(session) and "Keep the steam rolling" not in spoken(session)
    hear_all(session)
    assert line(session) == HEAT_OFF, "heard is not yet done"


def test_more_time_takes_the_alarm_away_and_the_line_goes_back(exactly_at) -> None:
    session = exactly_at("steam.hold")
    later(session, 36)
    session.do(c.ExtendTimer("steam", 5, "the packet is thick"))
    assert rung(session) == [] and line(session).startswith("Keep the steam rolling")
    later(session, 5)
    assert HEAT_OFF in rung(session), "what was given more time rings again"


def test_a_clock_that_really_ran_less_takes_its_alarm_back_and_rings_again(exactly_at) -> None:
    session = exactly_at("steam.hold")
    later(session, 36)
    session.clock.change(boot="boot-b", wall_s=60)
    session.do(c.ConfirmElapsed("steam", 30))
    assert HEAT_OFF not in rung(session) and line(session).startswith("Keep the steam rolling")
    later(session, 6)
    assert HEAT_OFF in rung(session)


def test_the_heat_stays_on_in_line_and_alarm_while_another_packet_steams(exactly_at) -> None:
    session = exactly_at("steam.hold")
    later(session, 10)
    session.do(c.PacketIn("the grey one"))
    hear_all(session)
    later(session, 26)
    (said,) = [text for text in rung(session) if "set is over" in text]
    assert "heat off" not in said and "The heat stays on for the grey one" in said and line(session) == said
    session.do(c.Close("steam.hold"))
    assert line(session).startswith("Keep the heat on. Still in the steam: the grey one.")
    with pytest.raises(Refused, match="Still in the steam"):
        session.do(c.Skip("steam.off", "it goes on anyhow"))


def test_nothing_is_said_of_topping_up_once_the_set_is_over(exactly_at) -> None:
    session = exactly_at("steam.hold", {"steam.water": "1250"})
    later(session, 15)
    assert rung(session) == ["Look at the pot water; top up with boiling water."]
    later(session, 21)
    assert rung(session) == [HEAT_OFF]
    later(session, 10)
    assert rung(session) == [HEAT_OFF]


def test_the_oven_stays_shut_in_the_line_while_its_clock_runs(oven) -> None:
    session = oven("microwave.burst-1")
    shut = "Leave the oven shut until it has stopped and rested."
    session.do(c.Close("microwave.burst-1"))
    for _ in range(2):
        assert line(session) == shut
        later(session, 3)
        hear_all(session)
    assert line(session).startswith("Look through the wrap")


def test_after_a_look_that_was_not_clear_the_line_waits_with_the_clock(kettle) -> None:
    session = kettle("heat.clear")
    assert line(session).startswith("Take a little of the bath")
    session.do(c.Measure("heat.clear", "2"))
    assert line(session).startswith("Not clear: keep it at full heat")
    later(session, 10)
    assert rung(session) == ["Look at the bath on a white spoon again."]
    assert line(session).startswith("Take a little of the bath")


# -- minutes to go -------------------------------------------------------------------------------------


@pytest.mark.parametrize("left_s", [0.4, 59.6, 570.4, 599.2, 2159.5, 3600.5, 5999.5, 6060.0, 7500.0, -61.7])
def test_a_sentence_and_the_digits_beside_it_tell_the_same_time(left_s: float) -> None:
    digits = [int(part) for part in clock_text(left_s).lstrip("+").replace(" h ", ":").split(":")]
    said = [int(word) for word in left_words(left_s).split() if word.isdigit()]
    assert said == [part for part in digits if part][: len(said)]


def test_what_is_still_to_go_is_what_the_clock_shows(exactly_at) -> None:
    session = exactly_at("steam.hold")
    later(session, 26 + 29.6 / 60)
    view = look(session).timer
    assert clock_text(view.left_s) == "9:31"
    assert "9 min 31 s to go" in spoken(session)
    ends = time_of_day(view.ends_wall_ns, session.state.utc_offset_min)
    with pytest.raises(
        Refused, match=f"^This clock runs until {ends}"
    ):  # it stays on screen: no number that ages
        session.do(c.Close("steam.hold"))


def test_what_is_left_and_what_is_gone_of_a_clock_make_its_whole(exactly_at) -> None:
    session = exactly_at("steam.hold")
    later(session, 26.51)
    view = look(session)
    shown = page(view, Frame(100, {}, UNICODE), 24).plain
    assert view.timer is not None and clock_text(view.timer.left_s) == "9:30" and "26 min gone" in shown
    assert all(row in shown for row in big("9:30", 5))


def test_the_clock_of_the_next_look_is_not_called_as_the_water_that_is_left(exactly_at, figure) -> None:
    session = exactly_at("steam.hold", {"steam.water": "1500"})
    names = {v.label for v in running(session.state, session.clock.now())}
    assert figure(session, "live.set.pot").label == "pot water lasts another"
    assert not [name for name in names if "pot water" in name], "two counts of minutes under one name"


def test_a_word_of_warning_that_came_late_tells_what_is_really_left(exactly_at) -> None:
    session = exactly_at("steam.hold")
    later(session, 35 + 20 / 60)
    (said,) = [a.text for a in session.state.alarms if a.timer == "steam"]
    assert said == "steam set: 40 s to go"


# -- the pot -------------------------------------------------------------------------------------------


def pot(session) -> list[tuple[str, str]]:  # type: ignore[no-untyped-def]
    return [(a.level, a.priority) for a in alarms.standing(session.state) if a.timer == "pot-water"]


def test_a_pot_that_is_low_and_then_dry_rings_with_what_to_do(exactly_at) -> None:
    # 625 mL at 25 mL a minute: low with ten minutes left, 250 mL, after 15 min; dry after 25.
    session = exactly_at("steam.hold", {"steam.water": "625"})
    later(session, 12)  # the look that the water is planned for
    hear_all(session)
    later(session, 2.9)
    assert pot(session) == []
    later(session, 0.1)
    assert pot(session) == [("low", "medium")]
    assert rung(session) == ["Fill up the pot with boiling water: about 250 mL left."]
    hear_all(session)
    later(session, 9.9)
    assert ("dry", "high") not in pot(session)
    later(session, 0.2)
    assert ("dry", "high") in pot(session)
    assert alarms.standing(session.state)[0].text.startswith("The pot should have boiled dry: heat off")
    assert line(session).startswith("The pot should have boiled dry: heat off"), "no line against the alarm"


def test_a_dry_pot_is_not_said_to_hold_water_beside_it(exactly_at) -> None:
    """Nobody heard that it was low, 250 mL; once it is dry that is not so any more."""
    session = exactly_at("steam.hold", {"steam.water": "625"})
    later(session, 15)
    assert pot(session) == [("low", "medium")]
    later(session, 10.1)
    assert pot(session) == [("dry", "high")] and not any("mL left" in text for text in rung(session))
    (low,) = (a for a in session.state.alarms if a.level == "low")
    assert low.ended_by == "dry pot"


def test_pouring_water_ends_the_alarm_and_starts_the_look_anew(exactly_at, keeper) -> None:
    session = exactly_at("steam.hold", {"steam.water": "500"})
    later(session, 21)
    hear_all(session)
    later(session, 0.1)
    session.clock.advance(20)
    session.do(c.Refill("450 mL"))
    assert pot(session) == [] and line(session).startswith("Keep the steam rolling")
    timer = next(v for v in running(session.state, session.clock.now()) if v.id == "pot-water")
    # The line of 250 mL comes after (450 - 250) / 25 = 8 min.
    assert timer.elapsed_s == 0 and timer.left_s == 8 * 60
    later(session, 8)
    assert pot(session) == [("low", "medium")], "a new filling rings anew"
    session.do(c.Refill("200 mL"))
    (event,) = session.last_events
    assert event.kind == "pot.refilled" and event.data["ends"][0]["by"] == "refill"
    told = told_apart(event, session.state)
    assert told[0] == "pot filled up with 200 mL" and "alarm ended after 0 s: water went in" in told
    rows = ["".join(text for text, _ in row) for row in clock_rows(session.state)]
    looks = [row.partition("set for ")[2] for row in rows if row.startswith("look at the pot")]
    assert [look.split(", ")[1] for look in looks] == [
        "ran 21 min",
        "ran 26 s",
        "ran 8 min",
        "not stopped",
    ], "each round: to the first alarm heard, to the first pouring, to the second, and the one that goes"


def test_water_that_outlasts_the_set_asks_for_no_filling_up(exactly_at) -> None:
    # 1050 mL come to the line, 262.5 mL, after 31.5 min, with 10.5 min in them and 4.5 min of the set to go.
    session = exactly_at("steam.hold", {"steam.water": "1050"})
    for _ in range(35):
        later(session, 1)
        assert ("low", "medium") not in pot(session)
        hear_all(session)
    session.do(c.PacketIn("a late one"))
    session.tick()
    assert pot(session) == [("low", "medium")], "another packet needs more"


def test_a_look_so_near_the_line_is_one_alarm_with_it(exactly_at) -> None:
    # (635 - 250) / 25 = 15.4 min: the look comes at 15 min, the line 24 s later.
    session = exactly_at("steam.hold", {"steam.water": "635"})
    later(session, 15)
    assert pot(session) == [("low", "medium")]
    hear_all(session)
    later(session, 1)
    assert pot(session) == []


def test_a_pot_left_on_the_heat_after_the_set_still_rings_when_it_is_dry(exactly_at) -> None:
    session = exactly_at("steam.hold", {"steam.water": "1000"})
    later(session, 36)
    session.do(c.Close("steam.hold"))
    hear_all(session)
    later(session, 4.01)
    assert pot(session) == [("dry", "high")]
    session.do(c.Close("steam.off"))
    assert pot(session) == [], "the heat is off"
    assert session.state.alarms[-1].ended_by == "steam.off"


def test_no_pot_rings_while_nobody_knows_how_long_it_boiled(exactly_at) -> None:
    session = exactly_at("steam.hold", {"steam.water": "500"})
    session.clock.change(boot="boot-b", wall_s=3600)
    session.tick()
    assert pot(session) == []
    session.do(c.ConfirmElapsed("steam", 25))
    session.do(c.ConfirmElapsed("pot-water", 5))
    session.tick()
    assert pot(session) == [("dry", "high")]
