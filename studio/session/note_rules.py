"""Words and pictures that are kept beside the steps: a note, a photo."""

from __future__ import annotations

from pathlib import PurePosixPath, PureWindowsPath

from studio.session import commands as c
from studio.session.clock import Reading
from studio.session.events import Event
from studio.session.kinds.notes import Addendum, Noted, PhotoAdded
from studio.session.path import current_step
from studio.session.refusals import Refused, words
from studio.session.state import State


def add_note(state: State, command: c.AddNote, now: Reading) -> list[Event]:
    """A remark, whatever words are in it; after the closing an addendum."""
    if state.closed:
        return [Addendum(words(command.text))]
    step = current_step(state, now)
    return [Noted(words(command.text), step.id if step else "")]


def add_photo(state: State, command: c.AddPhoto, now: Reading) -> list[Event]:
    """A path from the studio folder; nothing outside it."""
    path = words(command.path)
    pure = PurePosixPath(path.replace("\\", "/"))
    if pure.is_absolute() or PureWindowsPath(path).drive or ".." in pure.parts:
        raise Refused(
            "Keep the picture in the studio folder and write its path from there, photos/swatch.jpg."
        )
    return [PhotoAdded(str(pure), command.text.strip()[:500])]
