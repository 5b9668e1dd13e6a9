"""Plan files for the plan screen: read, saved whole, never over somebody else's change; unsaved edits beside them."""

from __future__ import annotations

import json
import os
from contextlib import suppress
from datetime import datetime
from itertools import chain, count
from pathlib import Path

import msgspec

from studio.plaintext import clean, slug
from studio.plan.errors import PlanError
from studio.plan.toml import read_text
from studio.store.files import write_whole
from studio.trouble import CANNOT_SAVE, Trouble

FORMAT = "potside-unsaved/1"
ENDING = ".plan.toml"
MOST_OF_ONE_NAME = 1000


class ChangedMeanwhile(Trouble):
    """The file is not what it was when it was opened; nothing was written."""


class PlanFile(msgspec.Struct, frozen=True):
    """A plan file as it was read, and the unsaved edits of an earlier time, if there are any."""

    key: str
    name: str
    text: str
    stood: bytes
    """What stood in the file, byte for byte; empty where it could not be read."""
    unsaved: str = ""
    """The text of edits that were never saved."""
    unsaved_since: str = ""
    """When they were last kept, `2026-11-25 14:32`."""


class PlanFiles:
    """The plans in `shared/plans` of a studio folder. Every call may raise Trouble."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def read(self, key: str) -> PlanFile:
        """A plan file, with what was left unsaved of it."""
        path = Path(key)
        text = read_text(path)
        unsaved, since = _unsaved(path)
        return PlanFile(key, path.name, text, _standing(path), "" if unsaved == text else unsaved, since)

    def save(self, file: PlanFile, text: str, *, over: bool = False) -> PlanFile:
        """Write the plan; ChangedMeanwhile where the file is not the one that was read, unless `over`."""
        path = Path(file.key)
        if not over and _standing(path) != file.stood:
            raise ChangedMeanwhile(f"{path.name} was changed by something else since it was opened here.")
        _write(path, text, overwrite=True)
        _take_away(path)
        return PlanFile(file.key, file.name, text, _standing(path))

    def save_as(self, title: str, text: str) -> PlanFile:
        """Write the plan under a name of its own, made from its title."""
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
        except OSError as problem:
            raise Trouble(f"Cannot make {self.folder}: {problem.strerror}.", CANNOT_SAVE) from problem
        name = slug(title)
        for number in range(1, MOST_OF_ONE_NAME):
            path = self.folder / (f"{name}{ENDING}" if number == 1 else f"{name}-{number}{ENDING}")
            if os.path.lexists(path):
                continue
            try:
                _write(path, text, overwrite=False)
            except Trouble:
                if os.path.lexists(path):
                    continue  # Someone else was quicker with that name.
                raise
            return PlanFile(str(path), path.name, text, _standing(path))
        raise Trouble(
            f"There are {MOST_OF_ONE_NAME} plans called {name}; give it another title.", CANNOT_SAVE
        )

    def numbered(self, title: str) -> str:
        """The title of one more plan of that name: the first number whose file is not there."""
        name, _, number = title.rpartition(" ")
        name = name if number.isdigit() and name else title
        names = chain((name,), (f"{name} {another}" for another in count(2)))
        return next(one for one in names if not os.path.lexists(self.folder / f"{slug(one)}{ENDING}"))

    def keep_unsaved(self, file: PlanFile, text: str) -> None:
        """Keep edits that were not saved yet, beside the plan."""
        path = Path(file.key)
        kept = {"format": FORMAT, "text": text}
        _write(_beside(path), json.dumps(kept, ensure_ascii=True, indent=1) + "\n", overwrite=True)

    def forget_unsaved(self, file: PlanFile) -> None:
        """The edits are saved, or not wanted."""
        _take_away(Path(file.key))


def _write(path: Path, text: str, *, overwrite: bool) -> None:
    write_whole(path, text.encode("utf-8", "surrogatepass"), overwrite=overwrite)


def _beside(path: Path) -> Path:
    """Where unsaved edits of a plan are kept; no plan file by its name."""
    return path.with_name(f".{path.name}.unsaved")


def _unsaved(path: Path) -> tuple[str, str]:
    """Text and time of unsaved edits; empty where there are none that can be read."""
    beside = _beside(path)
    try:
        kept = json.loads(read_text(beside))
        changed = datetime.fromtimestamp(beside.stat().st_mtime)
    except (PlanError, OSError, ValueError, RecursionError):
        return "", ""
    if not isinstance(kept, dict) or kept.get("format") != FORMAT or not isinstance(kept.get("text"), str):
        return "", ""
    return kept["text"], clean(f"{changed:%Y-%m-%d %H:%M}")


def _take_away(path: Path) -> None:
    with suppress(OSError):
        _beside(path).unlink()


def _standing(path: Path) -> bytes:
    try:
        return path.read_bytes()
    except OSError:
        return b""
