"""A gate opens by the digit it shows: another one at each gate, after each wrong press, in each session."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.plan.shapes import Caution
from studio.session import commands as c
from studio.session.asked import Refused, WrongDigit
from studio.session.step_rules import digit_asked, gate_digit

KIT, POWDER = "ready.kit", "ready.powder"


def pressed(session, digit: int) -> None:  # type: ignore[no-untyped-def]
    session.do(c.PassGate(KIT, digit, session.missed))


def test_a_gate_opens_by_its_digit_and_by_no_other(exactly_at, keeper) -> None:
    session = exactly_at(KIT)
    shown = gate_digit(session.state, KIT, session.missed)
    assert shown in range(1, 10)
    before = len(keeper.events)
    for wrong in [d for d in range(10) if d != shown]:
        with pytest.raises(WrongDigit):
            session.do(c.PassGate(KIT, wrong))
    assert len(keeper.events) == before, "a wrong press leaves nothing in the file"
    session.do(c.PassGate(KIT, gate_digit(session.state, KIT, session.missed), session.missed))
    assert session.state.step(KIT).state == "passed"
    assert keeper.events[-1].data == {"step": KIT, "digit": session.state.gate_digit}


def test_each_wrong_press_asks_for_another_digit_and_a_held_key_never_opens_it(exactly_at) -> None:
    session = exactly_at(KIT)
    held = gate_digit(session.state, KIT, session.missed) % 9 + 1
    shown = [gate_digit(session.state, KIT, session.missed)]
    for _ in range(60):
        with pytest.raises(WrongDigit):
            pressed(session, held)
        shown.append(gate_digit(session.state, KIT, session.missed))
    assert all(a != b for a, b in itertools.pairwise(shown))
    assert held not in shown
    with pytest.raises(WrongDigit):
        session.do(c.PassGate(KIT, shown[0], session.missed))  # what was shown before counts no more


def test_the_digit_of_one_gate_is_not_that_of_the_next_nor_of_the_same_taken_back(exactly_at) -> None:
    session = exactly_at(KIT)
    for _ in range(30):
        first = gate_digit(session.state, KIT, session.missed)
        pressed(session, first)
        assert gate_digit(session.state, POWDER, session.missed) != first
        session.do(c.Undo())
        assert gate_digit(session.state, KIT, session.missed) != first


def test_the_digit_stays_while_time_passes_and_notes_are_written(exactly_at, clock) -> None:
    session = exactly_at("steam.safe")
    shown = gate_digit(session.state, "steam.safe", session.missed)
    session.do(c.AddNote("lid rattles"))
    for _ in range(40):
        clock.advance(60)
        session.tick()
        assert gate_digit(session.state, "steam.safe", session.missed) == shown


def test_two_sessions_ask_for_different_digits(exactly_at, clock) -> None:
    """One key learnt in one session opens hardly more gates of the next than chance would."""
    shown = []
    for _ in range(40):
        shown.append(gate_digit(exactly_at(KIT).state, KIT))
        clock.advance(3600)
    assert len(set(shown)) >= 6


def test_what_is_no_gate_or_asks_something_else_shows_no_digit(exactly_at, sheet_of) -> None:
    session = exactly_at("record.leftovers")
    assert digit_asked(session.state, session.state.find_step("record.leftovers")) is None
    for colour in ("rust", "kelp"):
        session.do(c.KeepLeftover(colour, "0"))
    assert digit_asked(session.state, session.state.find_step("record.leftovers")) in range(1, 10)
    assert digit_asked(session.state, session.state.find_step("ready.weight")) is None
    warned = sheet_of(Caution(id="w", level="warn", text="a warning", source="house rule"))
    gate = next(s for g in warned.procedure for s in g.steps if s.id == "ready.cautions")
    assert digit_asked(session.state, gate) is None


@given(st.integers())
def test_any_number_is_either_the_digit_or_refused(begin, number: int) -> None:
    session = begin()
    session.do(c.Close("ready.sound"))
    asked = gate_digit(session.state, KIT)
    try:
        session.do(c.PassGate(KIT, number))
    except Refused as refused:
        assert number != asked and str(refused)
    else:
        assert number == asked and session.state.step(KIT).closed


def test_a_tick_at_a_gate_is_refused_in_words_that_name_the_digit(exactly_at) -> None:
    with pytest.raises(Refused, match="the digit it shows"):
        exactly_at(KIT).do(c.Close(KIT))
