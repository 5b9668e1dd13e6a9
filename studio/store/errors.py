"""Everything the store may refuse, each as one sentence and with the exit code it leads to."""

from __future__ import annotations

import errno
import os
from pathlib import Path

from studio.plaintext import clean


class StoreError(Exception):
    """Something about a file; `str()` of it is one sentence that is safe to show."""

    exit_code = 3

    def __init__(self, sentence: str) -> None:
        super().__init__(clean(sentence, limit=900))


class CannotRead(StoreError):
    """The file is not there, is no plain file, may not be read or is too large."""


class LineError(StoreError):
    """These bytes are not a line of a session file; `reason` says why in a few words."""

    def __init__(self, reason: str) -> None:
        self.reason = clean(reason)
        super().__init__(f"This is not a whole line of a session file: {reason}.")


class Unstorable(LineError):
    """An event that cannot be written as a line; nothing was written."""

    exit_code = 4

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.args = (clean(f"This cannot be kept in the session file: {reason}.", limit=900),)


class CannotSave(StoreError):
    """A file could not be written; what was there before is untouched."""

    exit_code = 4


class AlreadyThere(CannotSave):
    """A file of that name is there, and was not to be written over."""


class SaveFailed(CannotSave):
    """Events wait in memory. `trusted` tells whether the same file may be tried again."""

    def __init__(self, sentence: str, *, reason: str, unsaved: int, trusted: bool) -> None:
        super().__init__(sentence)
        self.reason = clean(reason, limit=400)
        """What stands in the way, in a few words."""
        self.unsaved = unsaved
        self.trusted = trusted


class HeldElsewhere(StoreError):
    """Another window writes this session since a local time; it may be looked at, not written."""

    exit_code = 1

    def __init__(self, path: Path, pid: int | None, since: str) -> None:
        self.pid = pid
        self.since = since
        began = f" since {since}" if since else ""
        super().__init__(f"Open in another window{began}: {path.name} can only be looked at here.")


class ReadOnlySession(StoreError):
    """The session may be looked at but not gone on with; `may_continue` offers a new linked file."""

    def __init__(self, sentence: str, *, may_continue: bool) -> None:
        super().__init__(sentence)
        self.may_continue = may_continue


class SessionClosed(StoreError):
    """The session was finished; only an addendum may follow."""

    exit_code = 1


def why(error: OSError) -> str:
    """What the system said, in plain words.

    >>> why(OSError(errno.ENOSPC, "No space left on device"))
    'the disk is full'
    """
    known = {
        errno.ENOSPC: "the disk is full",
        errno.EDQUOT: "your share of the disk is used up",
        errno.EFBIG: "the file may not grow any further",
        errno.EROFS: "the disk is read-only",
        errno.EACCES: "access is not allowed",
        errno.EPERM: "the system does not allow it",
        errno.ENOENT: "it is not there",
        errno.ENOTDIR: "a part of the path is a file, not a folder",
        errno.EISDIR: "it is a folder, not a file",
        errno.ELOOP: "it is a link, and links are not followed",
        errno.EIO: "the disk reported a fault",
        errno.ENAMETOOLONG: "the name is too long",
    }
    return known.get(error.errno or 0) or (os.strerror(error.errno) if error.errno else str(error))
