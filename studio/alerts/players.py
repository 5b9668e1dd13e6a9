"""Tones as samples, and the programs that play them."""

from __future__ import annotations

import importlib
import io
import math
import os
import shutil
import subprocess
import sys
import threading
from array import array
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from typing import Literal, NamedTuple

from studio.alerts.escapes import over_ssh

# The sounds of the alarms: made once as WAV, told apart by rhythm and not by loudness. Source: IEC
# 60601-1-8 as summarised by makers of sounders (a component between 150 and 1000 Hz, at least four
# components up to 4 kHz within 15 dB of each other: rich tones are easier to place and get through the
# noise of an extractor fan). Pulse counts (high two groups of five, medium three, low one): IEC
# 60601-1-8, from memory. Lengths of pulses and gaps, level and lead-in: house rule. No conformity is
# claimed.

SoundName = Literal["high", "medium", "low", "not saved"]

RATE_HZ = 22_050
FUNDAMENTAL_HZ = 523.25
"""C5, equal temperament on A = 440 Hz (ISO 16)."""
HARMONICS = 7
"""The seventh lies at 3663 Hz, the last below 4 kHz."""
FALL_DB = 1.5
"""Each harmonic is this much weaker than the one before; the seventh by 9 dB. House rule."""
PEAK = 0.8
"""Of full scale: loud, and clear of clipping. House rule."""
RAMP_S = 0.010
"""Rise and fall of each pulse; a hard edge would click. House rule."""
LEAD_S = 0.12
"""Silence before the first pulse: sound devices that were asleep swallow the beginning. House rule."""
AGAIN_S = 0.6
"""Pause before the pattern comes a second time when an alarm is escalated. House rule."""
TAKE = 1
"""Raised when the sounds change, so that old files in the cache are left behind."""

_HEADER_BYTES = 44


class Pulse(NamedTuple):
    """One tone and the silence after it, in seconds."""

    tone_s: float
    rest_s: float


class Sound(NamedTuple):
    """Which sound, and whether in its longer form."""

    name: SoundName
    escalated: bool = False


_FIVE = (Pulse(0.15, 0.10),) * 4 + (Pulse(0.15, 0.50),)
_PATTERNS: dict[SoundName, tuple[Pulse, ...]] = {
    "high": _FIVE * 2,
    "medium": (Pulse(0.22, 0.20),) * 3,
    "low": (Pulse(0.30, 0.10),),
    "not saved": (Pulse(0.60, 0.15), Pulse(0.12, 0.10), Pulse(0.12, 0.10)),
}


def pattern(sound: Sound) -> tuple[Pulse, ...]:
    """The pulses of a sound in order; escalated is the same rhythm twice.

    >>> [len(pattern(Sound(name))) for name in ("high", "medium", "low", "not saved")]
    [10, 3, 1, 3]
    >>> len(pattern(Sound("high", escalated=True)))
    20

    **Source:** IEC 60601-1-8 (pulse counts, from memory); the rhythm of "not saved" is a house rule.
    """
    once = _PATTERNS[sound.name]
    if not sound.escalated:
        return once
    return (*once[:-1], Pulse(once[-1].tone_s, AGAIN_S), *once)


def frames_of(sound: Sound) -> int:
    """Length of a sound in samples at `RATE_HZ`."""
    return _samples(LEAD_S) + sum(_samples(p.tone_s) + _samples(p.rest_s) for p in pattern(sound))


def wav_bytes(sound: Sound) -> bytes:
    """The sound as a WAV file: one channel, 16 bit, `RATE_HZ`."""
    samples = array("h", bytes(2 * _samples(LEAD_S)))
    for pulse in pattern(sound):
        samples.extend(_tone(pulse.tone_s))
        samples.extend(array("h", bytes(2 * _samples(pulse.rest_s))))
    if sys.byteorder == "big":
        samples.byteswap()
    import wave

    file = io.BytesIO()
    with wave.open(file, "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(RATE_HZ)
        out.writeframes(samples.tobytes())
    return file.getvalue()


def sound_file(sound: Sound, folder: Path | None = None) -> Path:
    """The WAV file of a sound, written at first use; OSError where it cannot be.

    `folder` defaults to the cache folder of the user. A file is put in place whole, and one of the wrong
    length is written anew.
    """
    folder = folder or cache_folder()
    name = sound.name.replace(" ", "-") + ("-again" if sound.escalated else "")
    path = folder / f"{name}.wav"
    if path.is_file() and path.stat().st_size == _HEADER_BYTES + 2 * frames_of(sound):
        return path
    folder.mkdir(parents=True, exist_ok=True)
    half = path.with_suffix(f".{os.getpid()}.part")
    half.write_bytes(wav_bytes(sound))
    half.replace(path)
    return path


def cache_folder() -> Path:
    """Where the sounds are kept; may be deleted at any time."""
    import platformdirs

    return Path(platformdirs.user_cache_dir("potside", appauthor=False)) / f"sounds-{TAKE}"


def _samples(seconds: float) -> int:
    return round(seconds * RATE_HZ)


@lru_cache(maxsize=8)
def _tone(tone_s: float) -> array[int]:
    """One pulse: harmonics with phases that keep the peak low, so that it is louder at the same peak.

    Source of the phases -pi k (k - 1) / N: M. R. Schroeder, IEEE Trans. Inf. Theory 16(1), 1970, from memory.
    """
    parts = [
        (
            10 ** (-FALL_DB * (k - 1) / 20),
            2 * math.pi * k * FUNDAMENTAL_HZ,
            -math.pi * k * (k - 1) / HARMONICS,
        )
        for k in range(1, HARMONICS + 1)
    ]
    count, ramp = _samples(tone_s), _samples(RAMP_S)
    wave_form = [
        sum(size * math.sin(turn * i / RATE_HZ + phase) for size, turn, phase in parts) for i in range(count)
    ]
    scale = PEAK * 32_767 / max(abs(value) for value in wave_form)
    return array("h", (round(v * scale * _edge(i, count, ramp)) for i, v in enumerate(wave_form)))


def _edge(i: int, count: int, ramp: int) -> float:
    """Raised cosine from 0 to 1 over the ramp at both ends."""
    near = min(i, count - 1 - i)
    return 1.0 if near >= ramp else 0.5 - 0.5 * math.cos(math.pi * near / ramp)


# The sound player of the system: found, started without a shell, never two sounds at once, never waited
# for. What a player prints would be written across the screen, so all its streams go nowhere.

PLAY_LIMIT_S = 15.0
"""The longest sound takes 7 s; a player that takes longer hangs and is ended. House rule."""

_COMMANDS: dict[str, tuple[tuple[str, ...], ...]] = {
    "darwin": (("afplay",),),
    "other": (("pw-play",), ("paplay",), ("aplay", "-q"), ("canberra-gtk-play", "--file")),
}

FileOf = Callable[[Sound], Path]


class NoPlayer:
    """No sound of our own, and the reason."""

    def __init__(self, told: str) -> None:
        self.told = told

    def play(self, sound: Sound) -> None:
        """Nothing to play it with."""

    def hush(self) -> None:
        """Nothing sounds."""


class CommandPlayer:
    """Plays through a command; one that cannot is passed over for the next.

    A sound asked for while another plays waits for its turn; a later one takes its place.
    """

    def __init__(self, commands: Sequence[Sequence[str]], file_of: FileOf = sound_file) -> None:
        """`commands`: argument lists to which the file is added, the best first; at least one."""
        self._commands = [tuple(c) for c in commands]
        self._file_of = file_of
        self._lock = threading.Lock()
        self._waiting: Sound | None = None
        self._worker: threading.Thread | None = None
        self._process: subprocess.Popen[bytes] | None = None
        self._turn = 0
        self._trouble = ""
        self._played = False

    @property
    def told(self) -> str:
        """One sentence, true of the last attempt."""
        if self._trouble:
            return f"sound player: not heard, {self._trouble}"
        name = Path(self._commands[0][0]).name
        return f"sound player: {name}" + ("" if self._played else ", not tried yet")

    def play(self, sound: Sound) -> None:
        """Play it when what sounds now is over."""
        with self._lock:
            self._waiting = sound
            if self._worker is None:
                self._worker = threading.Thread(target=self._work, name="potside-sound", daemon=True)
                try:
                    self._worker.start()
                except RuntimeError:
                    self._worker, self._waiting = None, None
                    self._trouble = "the system has no thread left to start it"

    def hush(self) -> None:
        """End the sound now."""
        with self._lock:
            self._waiting = None
            self._turn += 1
            process = self._process
        if process is not None:
            process.terminate()

    def wait(self, limit_s: float) -> bool:
        """Wait until nothing sounds; False when that took longer."""
        worker = self._worker
        if worker is not None:
            worker.join(limit_s)
        return worker is None or not worker.is_alive()

    def _work(self) -> None:
        while True:
            with self._lock:
                sound, self._waiting, turn = self._waiting, None, self._turn
                if sound is None:
                    self._worker = None
                    return
            try:
                self._sound(str(self._file_of(sound)), turn)
            except OSError as problem:
                self._trouble = f"its file cannot be written ({problem.strerror or 'unknown cause'})"

    def _sound(self, path: str, turn: int) -> None:
        """Play with the first command that can; `turn` is over when it was hushed meanwhile."""
        for command in tuple(self._commands):
            if self._run([*command, path], turn):
                self._commands.remove(command)
                self._commands.insert(0, command)
                self._trouble, self._played = "", True
                return
            if self._turn != turn:
                return
        names = ", ".join(Path(c[0]).name for c in self._commands)
        self._trouble = f"{names} could not play; is there a sound device?"

    def _run(self, argv: list[str], turn: int) -> bool:
        """Whether the command played to its end."""
        with self._lock:
            if self._turn != turn:
                return False
            try:
                nowhere = subprocess.DEVNULL
                process = subprocess.Popen(
                    argv, stdin=nowhere, stdout=nowhere, stderr=nowhere, start_new_session=True
                )
            except OSError:
                return False
            self._process = process
        try:
            return process.wait(PLAY_LIMIT_S) == 0
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
            return False
        finally:
            self._process = None


class WinsoundPlayer:
    """Plays through the standard library of Windows; a new sound takes the place of the old."""

    def __init__(self, file_of: FileOf = sound_file) -> None:
        self._file_of = file_of
        self._trouble = ""

    @property
    def told(self) -> str:
        """One sentence, true of the last attempt."""
        return f"sound player: not heard, {self._trouble}" if self._trouble else "sound player: winsound"

    def play(self, sound: Sound) -> None:
        """Start it; Windows plays on by itself."""
        try:
            winsound = importlib.import_module("winsound")
            flags = winsound.SND_FILENAME | winsound.SND_ASYNC | winsound.SND_NODEFAULT
            winsound.PlaySound(str(self._file_of(sound)), flags)
            self._trouble = ""
        except (ImportError, OSError, RuntimeError):
            self._trouble = "Windows could not play it; is there a sound device?"

    def hush(self) -> None:
        """End the sound now."""
        with suppress(ImportError, OSError, RuntimeError):
            importlib.import_module("winsound").PlaySound(None, 0)


Player = CommandPlayer | WinsoundPlayer | NoPlayer


def find_player(
    environment: Mapping[str, str], *, platform: str = sys.platform, file_of: FileOf = sound_file
) -> Player:
    """The player of this system, or `NoPlayer` with the reason. Looks only; starts nothing."""
    if over_ssh(environment):
        return NoPlayer("over ssh the local sound player is not used")
    if platform == "win32":
        return WinsoundPlayer(file_of)
    wanted = _COMMANDS.get(platform, _COMMANDS["other"])
    path = environment.get("PATH", "")
    found = [(where, *rest) for name, *rest in wanted if (where := shutil.which(name, path=path))]
    if not found:
        return NoPlayer(f"sound player: none found, looked for {', '.join(c[0] for c in wanted)}")
    return CommandPlayer(found, file_of)
