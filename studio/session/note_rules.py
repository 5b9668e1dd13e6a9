"""Words and pictures that are kept beside the steps: a note, a late one, a photo."""

from __future__ import annotations

import re
from pathlib import PurePosixPath, PureWindowsPath

from studio.session import commands as c
from studio.session import events as e
from studio.session.clock import Reading
from studio.session.path import current_step
from studio.session.refusals import Refused, words
from studio.session.state import State

TIME = re.compile(r"(?:[01]?\d|2[0-3])[:.][0-5]\d", re.ASCII)


def add_note(state: State, command: c.AddNote, now: Reading) -> list[e.Draft]:
    """A remark, whatever words are in it; after the closing an addendum."""
    if state.closed:
        return [e.Draft(e.ADDENDUM, {"text": words(command.text)})]
    step = current_step(state, now)
    return [e.Draft(e.NOTED, {"text": words(command.text), "step": step.id if step else ""})]


def note_late(state: State, command: c.NoteLate, now: Reading) -> list[e.Draft]:
    """`14:05 lid lifted`: keeps when it was written and when it is said to have happened."""
    time, _, text = command.text.strip().partition(" ")
    if TIME.fullmatch(time) is None:
        raise Refused("Write the time of day first, from 0:00 to 23:59, for example 14:05 lid lifted.")
    return [e.Draft(e.NOTED_LATE, {"text": words(text), "happened_at": time.replace(".", ":")})]


def add_photo(state: State, command: c.AddPhoto, now: Reading) -> list[e.Draft]:
    """A path from the studio folder; nothing outside it."""
    path = words(command.path)
    pure = PurePosixPath(path.replace("\\", "/"))
    if pure.is_absolute() or PureWindowsPath(path).drive or ".." in pure.parts:
        raise Refused(
            "Keep the picture in the studio folder and write its path from there, photos/swatch.jpg."
        )
    return [e.Draft(e.PHOTO_ADDED, {"path": str(pure), "text": command.text.strip()[:500]})]
