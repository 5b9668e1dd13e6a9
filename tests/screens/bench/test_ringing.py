"""The bell rope in a real app without a terminal."""

from __future__ import annotations

import re
import sys

import pytest

from studio.alerts.awake import MAY_SLEEP, KeptAwake
from studio.alerts.players import Sound
from studio.alerts.ringer import Ringer
from studio.screens.bench.clock import BenchRinging, terminal_writer
from studio.screens.bench.view import look
from studio.screens.draw.bench import Frame, page
from studio.screens.draw.keys import UNICODE
from studio.session import alarms
from studio.session import commands as c


class ListPlayer:
    told = "sound player: a list"

    def __init__(self) -> None:
        self.played: list[object] = []

    def play(self, sound: Sound) -> None:
        self.played.append(sound)

    def hush(self) -> None:
        self.played.append("hush")


@pytest.fixture
def rope(bench_at):
    """The rope of a session whose set of steam has begun, its player and what it writes."""
    app, session = bench_at("steam.hold")
    player, written = ListPlayer(), []

    def no_hold():
        raise OSError("no desktop here")

    ringer = Ringer(written.append, {"TERM": "foot"}, player)
    return BenchRinging(app, session, ringer, KeptAwake({}, no_hold)), session, player, written


def test_rings_until_answered_then_falls_silent_at_once(rope) -> None:
    ringing, session, player, written = rope
    assert ringing.tick() is None and written == []
    session.clock.advance(15 * 60)
    session.tick()
    ring = ringing.tick()
    assert ring is not None and ring.sound == "medium" and ring.alarm
    assert written[0] == "\a" and "pot water" in written[1]
    assert ringing.tick() is None
    session.do(c.Acknowledge(alarms.standing(session.state)[0].n))
    assert ringing.tick() is None
    assert player.played == [Sound("medium"), "hush"]
    assert ringing.tick() is None and player.played[-1] == "hush" and len(player.played) == 2


def test_signs_tell_sound_off_and_that_the_laptop_may_sleep(rope) -> None:
    ringing, session, player, written = rope
    ringing.tick()
    assert ringing.awake is not None
    ringing.awake.wait(10)
    assert ringing.signs() == (MAY_SLEEP,)
    ringing.ringer.quiet = True
    assert ringing.signs() == ("SOUND OFF", MAY_SLEEP)
    ringing.leave()
    assert ringing.signs() == ("SOUND OFF",)
    assert player.played == ["hush"]


@pytest.mark.parametrize("width", [60, 80, 120])
def test_that_the_laptop_may_sleep_is_said_whole_beside_any_number_of_clocks(bench_at, width: int) -> None:
    _, still = bench_at("ready.room")
    _, session = bench_at("steam.hold")
    for label in ("the grey skein for the market", "lantern floats, second piece", "swatch"):
        session.do(c.PacketIn(label))
    four = ("15:00 look", "36:00 the", "36:00 lantern", "36:00 swatch")
    for shown, clocks in ((session, four), (still, ())):
        lines = page(look(shown), Frame(width, {}, UNICODE, signs=(MAY_SLEEP,)), 23).plain.split("\n")
        assert all(len(line) <= width for line in lines)
        assert all(any(clock in line for line in lines) for clock in clocks)
        left = next(line.index(MAY_SLEEP[:6]) for line in lines if MAY_SLEEP[:6] in line)
        assert MAY_SLEEP in " ".join(line[left:].strip() for line in lines)


async def test_without_a_terminal_only_the_bell_is_asked_for(bench_at) -> None:
    app, session = bench_at("steam.hold")
    async with app.run_test(size=(80, 24)):
        rung = []
        app.bell = lambda: rung.append(1)  # type: ignore[method-assign]
        ringing = BenchRinging(app, session)
        assert ringing.awake is None and ringing.signs() == ()
        told = ringing.sound_check()
        assert rung == [1]
        assert "not used without a terminal" in told[2]
        ringing.leave()


def test_the_writer_bears_a_driver_that_has_stopped(bench_at) -> None:
    app, _ = bench_at("steam.hold")
    write = terminal_writer(app)
    write("\a")
    write("\x1b]9;x\x07")


ON_A_TERMINAL = """
from textual.app import App
from studio.alerts.players import NoPlayer
from studio.alerts.ringer import Ringer
from studio.screens.bench.clock import terminal_writer

class Small(App):
    def on_mount(self):
        Ringer(terminal_writer(self), {"TERM": "foot"}, NoPlayer("none")).ring("high", "heat off", False)
        self.set_timer(0.1, self.exit)

Small().run()
"""


def test_on_a_real_terminal_bell_and_notice_are_written_once_and_whole() -> None:
    pexpect = pytest.importorskip("pexpect")
    child = pexpect.spawn(sys.executable, ["-c", ON_A_TERMINAL], dimensions=(24, 80), timeout=20)
    child.expect(pexpect.EOF)
    raw = child.before
    child.close()
    assert child.exitstatus == 0
    assert raw.count(b"\x1b]777;notify;Potside;heat off\x07") == 1
    assert re.sub(rb"\x1b\][^\x07]*\x07", b"", raw).count(b"\x07") == 1, "a bell that ends no sequence"
