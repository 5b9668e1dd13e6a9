"""Ringing on every means at once, and saying which means there are."""

from __future__ import annotations

import threading

import pytest

from studio.alerts.players import NoPlayer, Sound, find_player
from studio.alerts.ringer import NOTICE_EVERY, Ringer, make_ringer

FOOT = {"TERM": "foot"}
DUE = "\x1b]777;notify;Potside;heat off\x07"


def test_a_ring_is_bell_notice_and_sound(player, desktop) -> None:
    written: list[str] = []
    ringer = Ringer(written.append, FOOT, player, desktop)
    ringer.ring("medium", "heat off", False)
    assert written == ["\a", DUE]
    assert player.played == [Sound("medium")]
    assert desktop.sent == []


@pytest.mark.parametrize(("sound", "escalated"), [("high", False), ("medium", True), ("low", True)])
def test_the_desktop_hears_of_urgent_and_unanswered_alarms(player, desktop, sound, escalated) -> None:
    Ringer(lambda text: None, FOOT, player, desktop).ring(sound, "heat off", escalated)
    assert desktop.sent == [("Potside", "heat off", True)]
    assert player.played == [Sound(sound, escalated)]


def test_the_bell_rings_every_time_and_the_notice_is_not_piled_up(player, desktop) -> None:
    written: list[str] = []
    ringer = Ringer(written.append, FOOT, player, desktop)
    for _ in range(2 * NOTICE_EVERY):
        ringer.ring("high", "heat off", False)
    assert written.count("\a") == 2 * NOTICE_EVERY == len(player.played)
    assert written.count(DUE) == 2 == len(desktop.sent)
    ringer.ring("high", "heat off", True)
    assert written.count(DUE) == 3, "growing stronger is news"


def test_an_answer_ends_sound_and_notice(player, desktop) -> None:
    ringer = Ringer(lambda text: None, FOOT, player, desktop)
    ringer.ring("high", "heat off", False)
    ringer.hush()
    assert (player.hushed, desktop.cleared) == (1, 1)
    ringer.close()
    assert desktop.closed and player.hushed == 2


def test_quiet_is_never_without_a_sign(player, desktop) -> None:
    written: list[str] = []
    ringer = Ringer(written.append, FOOT, player, desktop)
    assert ringer.sign == "" and len(ringer.channels()) == 4
    ringer.quiet = True
    ringer.ring("high", "heat off", False)
    assert written == [DUE] and player.played == [] and desktop.sent
    assert ringer.sign == "SOUND OFF"
    assert ringer.channels()[0].startswith("SOUND OFF")
    assert len(ringer.channels()) == 5


def test_the_sound_check_rings_everything_and_says_what_there_is(player, desktop) -> None:
    written: list[str] = []
    told = Ringer(written.append, FOOT, player, desktop).sound_check()
    assert written[0] == "\a" and "Sound check" in written[1]
    assert player.played == [Sound("medium")] and len(desktop.sent) == 1
    assert told == (
        "terminal bell: rung at every alarm, heard if the terminal lets it sound",
        "terminal notice: used (OSC 777)",
        "sound player: a list",
        "desktop notice: a list",
    )


def test_nothing_raises_when_the_terminal_is_gone(player) -> None:
    def broken(text: str) -> None:
        raise OSError("gone")

    Ringer(broken, FOOT, player).ring("high", "heat off", True)
    assert player.played == [Sound("high", True)]


def test_tmux_is_waited_for_by_nobody(player) -> None:
    answer = threading.Event()
    asked: list[str] = []

    def ask(environment) -> bool:
        asked.append(environment["TMUX"])
        return answer.wait(10)

    written: list[str] = []
    inside = {**FOOT, "TMUX": "x,1,0"}
    ringer = Ringer(written.append, inside, player, ask=ask)
    ringer.ring("high", "heat off", False)
    assert written == ["\a"], "until tmux has answered only the bell is sure to be clean"
    assert "tmux has not answered" in ringer.channels()[1]
    answer.set()
    if ringer._asking is not None:
        ringer._asking.join(10)
    ringer.hush()
    ringer.ring("high", "heat off", False)
    ringer.ring("high", "stir", False)
    assert written[2] == "\x1bPtmux;\x1b" + DUE + "\x1b\\"
    assert asked == ["x,1,0"], "asked once"


@pytest.mark.parametrize(
    ("environment", "notice", "sound"),
    [
        ({}, "not known to show one", "none found"),
        ({"TERM": "foot", "SSH_CONNECTION": "a b c d"}, "used (OSC 777)", "over ssh the local sound player"),
        (
            {"TERM": "tmux-256color", "TMUX": "nowhere,1,0", "LC_TERMINAL": "iTerm2"},
            "tmux without",
            "none found",
        ),
        ({"TERM": "screen", "STY": "1"}, "held back by screen", "none found"),
    ],
)
def test_row_18_no_device_no_bus_ssh_tmux(environment, notice, sound, capfd) -> None:
    """Without any means the bell alone is written, every missing means is named, nothing is printed."""
    written: list[str] = []
    ringer = make_ringer(written.append, environment)
    if ringer._asking is not None:
        ringer._asking.join(10)
    told = ringer.sound_check()
    for sound_name in ("high", "medium", "low", "not saved"):
        ringer.ring(sound_name, "heat off \x1b]0;owned\x07", True)
    ringer.hush()
    ringer.close()
    assert notice in told[1] and sound in told[2]
    assert told[3].startswith("desktop notice")
    assert written.count("\a") == 5
    if "OSC" not in notice:
        assert set(written) == {"\a"}
    assert not any("\x1b]0;" in text for text in written)
    assert capfd.readouterr() == ("", "")


def test_row_18_a_player_without_a_device_is_found_out_by_the_sound_check(command, tmp_path, capfd) -> None:
    player = find_player(
        {"PATH": str(command("aplay", code=1))}, platform="linux", file_of=lambda s: tmp_path / "x.wav"
    )
    ringer = Ringer(lambda text: None, {}, player)
    assert ringer.sound_check()[2] == "sound player: aplay, not tried yet"
    assert player.wait(10)
    assert ringer.channels()[2] == "sound player: not heard, aplay could not play; is there a sound device?"
    assert capfd.readouterr() == ("", "")


def test_no_player_keeps_still() -> None:
    assert NoPlayer("why").told == "why"
