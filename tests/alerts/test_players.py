"""System players: which one, how it is started, and what happens when it cannot play."""

from __future__ import annotations

import sys
import types

import pytest

from studio.alerts import players
from studio.alerts.players import CommandPlayer, NoPlayer, Sound, WinsoundPlayer, find_player

HIGH, LOW = Sound("high"), Sound("low")


@pytest.fixture
def file_of(tmp_path):
    def make(sound):
        return tmp_path / f"{sound.name} $(touch owned); x.wav"

    return make


def test_the_best_player_gets_the_file_and_no_shell(command, log, file_of, tmp_path) -> None:
    command("aplay")
    path = str(command("paplay"))
    player = find_player({"PATH": f"{path}:/usr/bin:/bin"}, platform="linux", file_of=file_of)
    assert player.told == "sound player: paplay, not tried yet"
    player.play(HIGH)
    assert player.wait(10)
    assert log() == [f"start paplay {tmp_path}/high $(touch owned); x.wav", "end paplay"]
    assert not list(tmp_path.glob("**/owned"))
    assert player.told == "sound player: paplay"


@pytest.mark.parametrize(
    ("name", "platform", "words"),
    [("aplay", "linux", "-q "), ("canberra-gtk-play", "linux", "--file "), ("afplay", "darwin", "")],
)
def test_each_player_is_called_in_its_own_way(command, log, file_of, tmp_path, name, platform, words) -> None:
    player = find_player({"PATH": str(command(name))}, platform=platform, file_of=file_of)
    player.play(LOW)
    assert player.wait(10)
    assert log()[0] == f"start {name} {words}{tmp_path}/low $(touch owned); x.wav"


def test_a_player_that_cannot_play_is_passed_over_for_good(command, log, file_of) -> None:
    command("pw-play", code=1)
    player = find_player({"PATH": str(command("aplay"))}, platform="linux", file_of=file_of)
    for _ in range(2):
        player.play(HIGH)
        assert player.wait(10)
    starts = [line.split()[1] for line in log() if line.startswith("start")]
    assert starts == ["pw-play", "aplay", "aplay"]
    assert player.told == "sound player: aplay"


def test_two_sounds_never_overlap_and_the_caller_never_waits(command, log, file_of) -> None:
    player = find_player({"PATH": str(command("aplay", plays_s=1.5))}, platform="linux", file_of=file_of)
    for sound in (HIGH, LOW, LOW, HIGH):
        player.play(sound)
    assert not [line for line in log() if line.startswith("end")], "the caller waited for a sound"
    assert player.wait(20)
    lines = [line.split()[0] for line in log()]
    assert lines in (["start", "end"] * 2, ["start", "end"]), "what waits is replaced, never piled up"


def test_hush_cuts_the_sound_and_starts_no_other_player(command, log, file_of, until) -> None:
    command("pw-play", plays_s=30)
    player = find_player({"PATH": str(command("aplay"))}, platform="linux", file_of=file_of)
    player.play(HIGH)
    until(lambda: log(), "the sound")
    player.hush()
    player.play(LOW)  # At once: the cut sound must not be taken for a player that failed.
    until(lambda: sum(line.startswith("start") for line in log()) == 2, "the next sound")
    player.hush()
    assert player.wait(10)
    assert [line.split()[1] for line in log()] == ["pw-play", "pw-play"]
    assert "low" in log()[1]


def test_a_player_that_hangs_is_ended(command, file_of, monkeypatch) -> None:
    monkeypatch.setattr(players, "PLAY_LIMIT_S", 0.2)
    player = find_player({"PATH": str(command("aplay", plays_s=30))}, platform="linux", file_of=file_of)
    player.play(HIGH)
    assert player.wait(10)
    assert player.told == "sound player: not heard, aplay could not play; is there a sound device?"


def test_a_command_that_vanished_is_told(tmp_path, file_of) -> None:
    player = CommandPlayer([(str(tmp_path / "gone"),)], file_of)
    player.play(HIGH)
    assert player.wait(10)
    assert "gone could not play" in player.told


def test_a_cache_that_cannot_be_written_is_told(command, tmp_path) -> None:
    (tmp_path / "file").write_text("x")
    from studio.alerts.players import sound_file

    player = find_player(
        {"PATH": str(command("aplay"))},
        platform="linux",
        file_of=lambda sound: sound_file(sound, tmp_path / "file" / "sounds"),
    )
    player.play(HIGH)
    assert player.wait(10)
    assert player.told == "sound player: not heard, its file cannot be written (Not a directory)"


def test_over_ssh_no_sound_is_made_on_the_other_machine(command) -> None:
    environment = {"PATH": str(command("aplay")), "SSH_CONNECTION": "192.0.2.7 50000 192.0.2.1 22"}
    player = find_player(environment, platform="linux")
    assert isinstance(player, NoPlayer)
    assert player.told == "over ssh the local sound player is not used"
    player.play(HIGH)
    player.hush()


@pytest.mark.parametrize("environment", [{}, {"PATH": ""}, {"PATH": "nowhere"}])
def test_without_a_player_the_names_looked_for_are_told(environment) -> None:
    told = find_player(environment, platform="linux").told
    assert told == "sound player: none found, looked for pw-play, paplay, aplay, canberra-gtk-play"


def test_windows_plays_by_its_own_library(monkeypatch, tmp_path) -> None:
    calls = []
    fake = types.SimpleNamespace(
        SND_FILENAME=0x20000, SND_ASYNC=1, SND_NODEFAULT=2, PlaySound=lambda *words: calls.append(words)
    )
    monkeypatch.setitem(sys.modules, "winsound", fake)
    player = find_player({}, platform="win32", file_of=lambda sound: tmp_path / "x.wav")
    player.play(HIGH)
    player.hush()
    assert calls == [(str(tmp_path / "x.wav"), 0x20003), (None, 0)]


def test_windows_without_a_sound_device_tells_it(monkeypatch, tmp_path) -> None:
    def fail(*words):
        raise RuntimeError("Failed to play sound")

    fake = types.SimpleNamespace(SND_FILENAME=0x20000, SND_ASYNC=1, SND_NODEFAULT=2, PlaySound=fail)
    monkeypatch.setitem(sys.modules, "winsound", fake)
    player = WinsoundPlayer(lambda sound: tmp_path / "x.wav")
    player.play(HIGH)
    player.hush()
    assert "not heard" in player.told
