"""The calls to the operating system that writing needs, in one place so that tests can make each fail."""

from __future__ import annotations

import errno
import os
import sys
import time
from pathlib import Path

from studio.store.lock import Hold, hold

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
