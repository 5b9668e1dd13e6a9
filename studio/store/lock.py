"""One writer for each session, held by the operating system on the open session file itself.

Nothing is left behind: when the writer ends, even by kill -9, the kernel lets go. On network and sync
folders such a lock may not be known to the other machine; there the names in the file itself (process and
host in `session.opened`) are all there is.
"""

from __future__ import annotations

import errno
import sys
from typing import Literal

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
