"""The sounds, measured sample by sample."""

from __future__ import annotations

import io
import math
import wave
from array import array
from itertools import pairwise

import pytest

from studio.alerts import players as tones
from studio.alerts.players import Sound, sound_file, wav_bytes

NAMES = ("high", "medium", "low", "not saved")
ALL = [Sound(name, again) for name in NAMES for again in (False, True)]


def samples_of(sound: Sound) -> tuple[int, array]:
    with wave.open(io.BytesIO(wav_bytes(sound))) as file:
        assert (file.getnchannels(), file.getsampwidth()) == (1, 2)
        return file.getframerate(), array("h", file.readframes(file.getnframes()))


def pulses_of(rate: int, samples: array) -> list[tuple[int, int]]:
    """Start and end of every stretch of sound; a silence of 20 ms ends one."""
    found: list[tuple[int, int]] = []
    last = -rate
    for i, value in enumerate(samples):
        if value == 0:
            continue
        if i - last > rate // 50:
            found.append((i, i))
        found[-1] = (found[-1][0], i)
        last = i
    return found


def level(samples: array, rate: int, hertz: float) -> float:
    """Amplitude of one component, by a discrete Fourier sum under a Hann window."""
    n = len(samples)
    real = imaginary = 0.0
    for i, value in enumerate(samples):
        weighted = value * (0.5 - 0.5 * math.cos(2 * math.pi * i / n))
        real += weighted * math.cos(2 * math.pi * hertz * i / rate)
        imaginary += weighted * math.sin(2 * math.pi * hertz * i / rate)
    return math.hypot(real, imaginary)


# Pulse counts of IEC 60601-1-8 as reliability rules give them: ten in two fives, three, one.
@pytest.mark.parametrize(("name", "count"), [("high", 10), ("medium", 3), ("low", 1), ("not saved", 3)])
def test_each_priority_has_its_number_of_pulses(name: str, count: int) -> None:
    assert len(pulses_of(*samples_of(Sound(name)))) == count
    assert len(pulses_of(*samples_of(Sound(name, escalated=True)))) == 2 * count


def test_high_comes_in_two_groups_of_five() -> None:
    rate, samples = samples_of(Sound("high"))
    pulses = pulses_of(rate, samples)
    rests = [(b[0] - a[1]) / rate for a, b in pairwise(pulses)]
    assert max(range(9), key=rests.__getitem__) == 4
    assert rests[4] > 3 * max(rests[:4] + rests[5:])


def test_no_two_sounds_have_the_same_rhythm() -> None:
    rhythms = set()
    for name in NAMES:
        rate, samples = samples_of(Sound(name))
        rhythms.add(tuple(round((end - start) / rate, 1) for start, end in pulses_of(rate, samples)))
    assert len(rhythms) == len(NAMES)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.one_in(3)
def test_tone_is_rich_and_its_parts_lie_within_15_db(name: str) -> None:
    rate, samples = samples_of(Sound(name))
    start, end = pulses_of(rate, samples)[0]
    pulse = samples[start : min(end + 1, start + rate // 8)]
    strongest = max(range(153, 1001, 10), key=lambda hertz: level(pulse, rate, hertz))
    assert abs(strongest - 523.25) <= 10
    parts = [level(pulse, rate, 523.25 * k) for k in range(1, 8)]
    decibels = [20 * math.log10(part / max(parts)) for part in parts]
    assert sum(db >= -15 for db in decibels) >= 4
    between = level(pulse, rate, 523.25 * 2.5)
    assert 20 * math.log10(between / max(parts)) < -30, "a clear tone, not noise"


@pytest.mark.parametrize("sound", ALL)
def test_loud_without_clipping_and_without_a_click(sound: Sound) -> None:
    rate, samples = samples_of(sound)
    peak = max(abs(value) for value in samples)
    assert 0.7 * 32767 < peak < 0.9 * 32767
    assert not any(samples[: rate // 10]), "a sleeping device swallows the first tenth of a second"
    for start, end in pulses_of(rate, samples):
        first = max(abs(v) for v in samples[start : start + rate // 1000])
        last = max(abs(v) for v in samples[end - rate // 1000 : end + 1])
        middle = max(abs(v) for v in samples[start + rate // 50 : end - rate // 50])
        assert max(first, last) < 0.1 * middle
        after_ramp = max(abs(v) for v in samples[start + rate // 100 : start + rate // 50])
        assert after_ramp > 0.5 * middle, "the ramp is over after 10 ms"


@pytest.mark.parametrize("sound", ALL)
def test_each_sound_is_over_before_it_is_due_again(sound: Sound) -> None:
    rate, samples = samples_of(sound)
    assert len(samples) == tones.frames_of(sound)
    assert len(samples) / rate < (15 if sound.escalated else 5)


def test_files_are_made_once_and_a_broken_one_is_made_again(tmp_path) -> None:
    folder = tmp_path / "cache" / "sounds"
    path = sound_file(Sound("high"), folder)
    assert path.read_bytes() == wav_bytes(Sound("high"))
    stamp = path.stat().st_mtime_ns, path.stat().st_ino
    assert sound_file(Sound("high"), folder) == path
    assert (path.stat().st_mtime_ns, path.stat().st_ino) == stamp
    path.write_bytes(b"RIFF")
    assert sound_file(Sound("high"), folder).read_bytes() == wav_bytes(Sound("high"))
    sound_file(Sound("not saved", escalated=True), folder)
    assert sorted(p.name for p in folder.iterdir()) == ["high.wav", "not-saved-again.wav"]


def test_the_cache_folder_of_the_user_is_used(tmp_path, monkeypatch) -> None:
    import sys

    if sys.platform != "linux":
        pytest.skip("the variable that moves the cache is that of Linux")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert sound_file(Sound("low")).is_relative_to(tmp_path / "potside")
