"""The sound player of the system: found, started without a shell, never two sounds at once, never waited for.

What a player prints would be written across the screen, so all its streams go nowhere.
"""

from __future__ import annotations

import importlib
import shutil
import subprocess
import sys
import threading
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Protocol

from studio.alerts.distance import over_ssh
from studio.alerts.tones import Sound, sound_file

PLAY_LIMIT_S = 15.0
"""The longest sound takes 7 s; a player that takes longer hangs and is ended. House rule."""

_COMMANDS: dict[str, tuple[tuple[str, ...], ...]] = {
    "darwin": (("afplay",),),
    "other": (("pw-play",), ("paplay",), ("aplay", "-q"), ("canberra-gtk-play", "--file")),
}

FileOf = Callable[[Sound], Path]


class Player(Protocol):
    """Something that makes a sound."""

    @property
    def told(self) -> str:
        """One sentence: what is used, or why nothing is."""
        ...

    def play(self, sound: Sound) -> None:
        """Play it soon; returns at once and never raises."""
        ...

    def hush(self) -> None:
        """Cut the sound short and forget what waits."""
        ...


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
        try:
            importlib.import_module("winsound").PlaySound(None, 0)
        except (ImportError, OSError, RuntimeError):
            return


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
