"""What writing asks of the operating system, the lock of a session file, and each refusal as one sentence."""

from __future__ import annotations

import errno
import os
import sys
import time
from pathlib import Path
from typing import Literal

from studio.plaintext import clean
from studio.trouble import CANNOT_SAVE, PROBLEM, UNREADABLE, Trouble

# Everything the store may refuse, each as one sentence and with the exit code it leads to.


class StoreError(Trouble):
    """Something about a file; `str()` of it is one sentence that is safe to show."""

    exit_code = UNREADABLE

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

    exit_code = CANNOT_SAVE

    def __init__(self, reason: str) -> None:
        super().__init__(reason)
        self.args = (clean(f"This cannot be kept in the session file: {reason}.", limit=900),)


class CannotSave(StoreError):
    """A file could not be written; what was there before is untouched."""

    exit_code = CANNOT_SAVE


class AlreadyThere(CannotSave):
    """A file of that name is there, and was not to be written over."""


class HeldElsewhere(StoreError):
    """Another window writes this session since a local time; it may be looked at, not written."""

    exit_code = PROBLEM

    def __init__(self, path: Path, since: str) -> None:
        began = f" since {since}" if since else ""
        super().__init__(f"Open in another window{began}: {path.name} can only be looked at here.")


class ReadOnlySession(StoreError):
    """The session may be looked at but not gone on with; `may_continue` offers a new linked file."""

    def __init__(self, sentence: str, *, may_continue: bool) -> None:
        super().__init__(sentence)
        self.may_continue = may_continue


class SessionClosed(StoreError):
    """The session was finished; only an addendum may follow."""

    exit_code = PROBLEM


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


# One writer for each session, held by the operating system on the open session file itself. Nothing is
# left behind: when the writer ends, even by kill -9, the kernel lets go. On network and sync folders
# such a lock may not be known to the other machine; there the names in the file itself (process and host
# in `session.opened`) are all there is.

Hold = Literal["held", "elsewhere", "unsupported"]

_FAR_BYTE = 0x7FFF_0000
"""Byte that is locked on Windows: past the largest session, because a lock there also stops readers."""


def hold(descriptor: int) -> Hold:
    """Takes the lock of an open file without waiting; it goes when the file is closed.

    `unsupported` where the file system knows no locks.
    """
    if sys.platform == "win32":
        return _hold_windows(descriptor)
    import fcntl

    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError as error:
        taken = error.errno in (errno.EWOULDBLOCK, errno.EAGAIN, errno.EACCES)
        return "elsewhere" if taken else "unsupported"
    return "held"


def _hold_windows(descriptor: int) -> Hold:
    import importlib
    import os

    msvcrt = importlib.import_module("msvcrt")
    try:
        os.lseek(descriptor, _FAR_BYTE, os.SEEK_SET)
        msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
    except OSError as error:
        return "elsewhere" if error.errno in (errno.EACCES, errno.EDEADLK) else "unsupported"
    return "held"


# The calls to the operating system that writing needs, in one place so that tests can make each fail.

_BINARY = getattr(os, "O_BINARY", 0)
_SAFE = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_CLOEXEC", 0) | _BINARY
READ = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | _SAFE
APPEND = os.O_WRONLY | os.O_APPEND | getattr(os, "O_NONBLOCK", 0) | _SAFE
CREATE = os.O_WRONLY | os.O_APPEND | os.O_CREAT | os.O_EXCL | _SAFE

_BUSY_ON_WINDOWS = (5, 32, 33)
"""A scanner or sync client has the target open for a moment; worth waiting for."""


class Disk:
    """The real disk. Every method raises OSError."""

    def open(self, path: Path, flags: int, mode: int = 0o600) -> int:
        """A descriptor; links are not followed and child processes do not inherit it."""
        return os.open(path, flags, mode)

    def write(self, descriptor: int, data: bytes) -> int:
        """Bytes taken, which may be fewer than given."""
        return os.write(descriptor, data)

    def fsync(self, descriptor: int) -> None:
        """Returns when the data has left for the disk's own medium as far as the system can tell."""
        if sys.platform == "darwin":
            import fcntl

            try:
                fcntl.fcntl(descriptor, fcntl.F_FULLFSYNC)
                return
            except OSError as error:
                # Network and some outside disks know no full sync; a real fault must not be hidden.
                if error.errno not in (errno.ENOTSUP, errno.EINVAL, errno.ENOTTY):
                    raise
        os.fsync(descriptor)

    def fsync_folder(self, folder: Path) -> None:
        """Makes new names in a folder durable; does nothing where that is not possible."""
        if sys.platform == "win32":
            return
        descriptor = os.open(folder, os.O_RDONLY | os.O_DIRECTORY | os.O_CLOEXEC)
        try:
            os.fsync(descriptor)
        except OSError as error:
            if error.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EBADF):
                raise
        finally:
            os.close(descriptor)

    def stat(self, descriptor: int) -> os.stat_result:
        """What the system says of an open file."""
        return os.fstat(descriptor)

    def look_at(self, path: Path) -> os.stat_result | None:
        """What a name leads to, links not followed; None where it leads nowhere."""
        try:
            return os.lstat(path)
        except FileNotFoundError:
            return None

    def hold(self, descriptor: int) -> Hold:
        """Takes the lock of an open file."""
        return hold(descriptor)

    def close(self, descriptor: int) -> None:
        """Closes; also lets go of the lock."""
        os.close(descriptor)

    def unlink(self, path: Path) -> None:
        """Takes away a file this program has just made."""
        path.unlink()

    def link(self, source: Path, target: Path) -> None:
        """Gives a file a second name; fails where the target is there."""
        os.link(source, target)

    def replace(self, source: Path, target: Path) -> None:
        """Renames over the target; on Windows tries again for 2.5 s while another program holds it."""
        for attempt in range(6):
            try:
                os.replace(source, target)
                return
            except OSError as error:
                if getattr(error, "winerror", None) not in _BUSY_ON_WINDOWS or attempt == 5:
                    raise
                time.sleep(0.08 * 2**attempt)


THIS_DISK = Disk()


def write_all(disk: Disk, descriptor: int, data: bytes) -> None:
    """Writes everything or raises OSError; a short write is gone on with."""
    rest = memoryview(data)
    while rest:
        taken = disk.write(descriptor, bytes(rest))
        if taken <= 0:
            raise OSError(errno.EIO, "the system took none of the bytes")
        rest = rest[taken:]
