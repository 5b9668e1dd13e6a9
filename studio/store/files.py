"""Session files by their names; whole files: as they were or as they should be, never half of one; and opening
what others may have made.
"""

from __future__ import annotations

import os
import re
import stat
import sys
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path

from studio.plaintext import slug
from studio.session.clock import local
from studio.store.disk import (
    CREATE,
    READ,
    THIS_DISK,
    AlreadyThere,
    CannotRead,
    CannotSave,
    Disk,
    LineError,
    why,
    write_all,
)
from studio.store.line import MOST_BYTES, decode

_NAME = re.compile(r"(?P<stem>[0-9]{8}-[0-9]{4}-[a-z0-9-]{1,48})-[a-z0-9]{4}\.jsonl", re.ASCII)
_DAMAGED = r"(?s).*\.damaged-[0-9]{8}T[0-9]{6}Z(-[0-9]+)?\.jsonl"
_NAMES_TRIED = 50


def is_session_name(name: str) -> bool:
    """Whether the program itself gave this name, YYYYMMDD-HHMM-slug-xxxx.jsonl.

    >>> is_session_name("20261125-1004-tidewrack-stripes-9f3a.jsonl"), is_session_name("notes.jsonl")
    (True, False)
    """
    return _NAME.fullmatch(name) is not None


def is_damaged_copy(name: str) -> bool:
    """Whether this is the name of a copy that was set aside before a repair."""
    return re.fullmatch(_DAMAGED, name) is not None


def stem_of(name: str) -> str:
    """The name without its last four characters: shared by a session and the files that go on from it."""
    told = _NAME.fullmatch(name)
    return told["stem"] if told else ""


def title_in(name: str) -> str:
    """The title in the name, as far as it is kept there; empty where the program did not give the name.

    >>> title_in("20261125-1004-tidewrack-stripes-9f3a.jsonl")
    'tidewrack-stripes'
    """
    return stem_of(name)[len("YYYYMMDD-HHMM-") :]


def session_stem(title: str, wall_ns: int, utc_offset_min: int) -> str:
    """Local date and time and a plain form of the title.

    >>> session_stem("Tidewrack stripes", 1_790_000_000_000_000_000, 60)
    '20260921-1513-tidewrack-stripes'
    """
    when = local(wall_ns, utc_offset_min)
    return f"{when.year:04d}{when:%m%d-%H%M}-{slug(title)}"


def new_file(folder: Path, stem: str, disk: Disk) -> tuple[int, Path]:
    """A new empty file called `stem` with four random characters, readable by its owner alone, and its descriptor.

    CannotSave where the folder does not take one.
    """
    for _ in range(_NAMES_TRIED):
        path = folder / f"{stem}-{os.urandom(2).hex()}.jsonl"
        try:
            return disk.open(path, CREATE), path
        except FileExistsError:
            continue
        except OSError as error:
            raise CannotSave(
                f"Cannot make a session file in {folder}: {why(error)}; "
                "name another studio folder with --studio or make this one writable."
            ) from None
    raise CannotSave(f"Cannot make a session file in {folder}: {_NAMES_TRIED} names were taken.")


def damaged_copy_names(path: Path, wall_ns: int) -> list[Path]:
    """Names to try for a copy that is set aside: NAME.damaged-<UTC>.jsonl, then numbered."""
    when = local(wall_ns, 0)
    base = f"{path.stem}.damaged-{when.year:04d}{when:%m%dT%H%M%SZ}"
    return [path.with_name(f"{base}{more}.jsonl") for more in ("", *(f"-{i}" for i in range(2, 30)))]


# Whole files: there as they were, or there as they should be, never half of one.

PART = ".part"


def take_away_parts(path: Path, disk: Disk = THIS_DISK) -> None:
    """Take away what a killed writer of that file left beside it; only where no other writer can be at work."""
    begins = f".{path.name[:60]}."
    with suppress(OSError):
        for name in os.listdir(path.parent):
            if re.fullmatch(rf"{re.escape(begins)}[0-9a-f]{{8}}{re.escape(PART)}", name):
                disk.unlink(path.with_name(name))


def write_whole(
    path: Path,
    data: bytes,
    overwrite: bool = False,
    *,
    expected: bytes | None = None,
    mode: int = 0o666,
    disk: Disk = THIS_DISK,
) -> None:
    """Writes a file by way of a temporary one in the same folder; on return it is on the disk.

    expected: what the target must still hold at the last moment, where it is written over.
    CannotSave, with the target untouched, where the target is there and `overwrite` is False, where it
    is a session file or no plain file, where it holds something else than `expected`, and where the disk
    does not take it.
    """
    _refuse(path, overwrite)
    draft = path.with_name(f".{path.name[:60]}.{os.urandom(4).hex()}{PART}")
    try:
        descriptor = disk.open(draft, CREATE, mode)
    except (OSError, ValueError) as error:
        raise _failed(path, error) from None
    try:
        try:
            write_all(disk, descriptor, data)
            disk.fsync(descriptor)
        finally:
            disk.close(descriptor)
        _put_in_place(draft, path, overwrite, expected, disk)
        disk.fsync_folder(path.parent)
    except OSError as error:
        raise _failed(path, error) from None
    finally:
        with suppress(OSError):
            disk.unlink(draft)


def _put_in_place(draft: Path, path: Path, overwrite: bool, expected: bytes | None, disk: Disk) -> None:
    if overwrite:
        _refuse(path, overwrite)
        if expected is not None and path.read_bytes() != expected:
            raise CannotSave(f"{path.name} was changed meanwhile; nothing was written. Look at it again.")
        disk.replace(draft, path)
        return
    try:
        # A second name, unlike a rename, fails where someone has made the target meanwhile.
        disk.link(draft, path)
    except FileExistsError:
        raise _there(path) from None
    except OSError:
        # Some file systems know no second names.
        if os.path.lexists(path):
            raise _there(path) from None
        disk.replace(draft, path)


def _refuse(path: Path, overwrite: bool) -> None:
    if is_session_name(path.name) or is_damaged_copy(path.name) or _holds_a_session(path):
        raise CannotSave(f"Cannot write {path}: that is a session file, and those are never written over.")
    there = os.path.lexists(path)
    if there and not path.is_file():
        raise CannotSave(f"Cannot write {path}: something that is not a plain file has that name.")
    if there and not overwrite:
        raise _there(path)


def _holds_a_session(path: Path) -> bool:
    try:
        if not path.is_file():
            return False
        with path.open("rb") as file:
            first = file.readline(MOST_BYTES)
        decode(first.rstrip(b"\r\n").removeprefix(b"\xef\xbb\xbf"))
    except (OSError, ValueError, LineError):
        return False
    return True


def _there(path: Path) -> AlreadyThere:
    return AlreadyThere(
        f"Cannot write {path}: it is there already; choose another name or allow overwriting."
    )


def _failed(path: Path, error: OSError | ValueError) -> CannotSave:
    told = why(error) if isinstance(error, OSError) else "no file can have that name"
    return CannotSave(f"Cannot write {path}: {told}; nothing there was changed.")


# Opening a file that someone else may have made: it must not hang or mislead.

MOST_SESSION_BYTES = 64 * 1024 * 1024


def read_bytes(path: Path) -> bytes:
    """All bytes of a plain file of at most `MOST_SESSION_BYTES`; CannotRead for anything else, at once."""
    try:
        if path.is_symlink():
            raise CannotRead(f"Cannot read {path}: it is a link, and links are not followed.")
        descriptor = os.open(path, READ)
        try:
            return _contents(descriptor, path)
        finally:
            os.close(descriptor)
    except OSError as error:
        raise CannotRead(f"Cannot read {path}: {why(error)}.") from None
    except ValueError:
        raise CannotRead(f"Cannot read {path}: no file can have that name.") from None


def _contents(descriptor: int, path: Path) -> bytes:
    facts = os.fstat(descriptor)
    if stat.S_ISDIR(facts.st_mode):
        raise CannotRead(f"Cannot read {path}: it is a folder, not a file.")
    if not stat.S_ISREG(facts.st_mode):
        raise CannotRead(f"Cannot read {path}: it is a pipe or a device, not a plain file.")
    if facts.st_size > MOST_SESSION_BYTES:
        raise CannotRead(
            f"Cannot read {path}: it has {facts.st_size // 1024} KiB; at most {MOST_SESSION_BYTES // 1024} are read."
        )
    pieces: list[bytes] = []
    wanted = MOST_SESSION_BYTES + 1
    while wanted > 0 and (piece := os.read(descriptor, min(wanted, 1024 * 1024))):
        pieces.append(piece)
        wanted -= len(piece)
    if wanted <= 0:
        raise CannotRead(
            f"Cannot read {path}: it grew past {MOST_SESSION_BYTES // 1024} KiB while it was read."
        )
    return b"".join(pieces)


# Writing shelf files that people edit by hand: whole or not at all, and never over somebody's change.

BOM = b"\xef\xbb\xbf"


def save_texts(
    folder: Path, texts: Mapping[str, str], before: Mapping[str, str], *, disk: Disk = THIS_DISK
) -> None:
    """Writes files of a shelf, one after the other, each whole or not at all.

    texts: what they shall say, by name; before: what they said when they were read, none for a new file.
    CannotSave where a file says something else by now, where another window is writing, or where the disk
    does not take it; the sentence names the files before it, which are written already.
    """
    written: list[str] = []
    with _one_writer(folder, disk):
        for name, text in texts.items():
            try:
                _save(folder / name, text, before.get(name), disk)
            except CannotSave as problem:
                if not written:
                    raise
                done = ", ".join(written)
                raise CannotSave(f"{problem} {done}: done before that.") from None
            written.append(name)


def tidy(folder: Path, names: Iterable[str], *, disk: Disk = THIS_DISK) -> None:
    """Take away the parts of these files that a killed writer left; nothing while another window is writing."""
    with suppress(CannotSave), _one_writer(folder, disk):
        for name in names:
            take_away_parts((folder / name).resolve(), disk)


def _save(path: Path, text: str, before: str | None, disk: Disk) -> None:
    # A link to a file elsewhere stays a link: the file it leads to is written.
    path = path.resolve()
    data = text.encode("utf-8")
    if before is None:
        write_whole(path, data, disk=disk)
        return
    try:
        there = path.read_bytes()
        mode = path.stat().st_mode & 0o777
    except OSError as error:
        raise CannotSave(f"Cannot write {path}: {why(error)}; nothing there was changed.") from None
    mark = BOM if there.startswith(BOM) else b""
    if there.removeprefix(BOM) != before.encode("utf-8"):
        raise CannotSave(f"{path.name} was changed meanwhile; nothing was written. Look at it again.")
    write_whole(path, mark + data, True, expected=there, mode=mode, disk=disk)


@contextmanager
def _one_writer(folder: Path, disk: Disk) -> Iterator[None]:
    """One window at a time, by a lock on the folder itself; nothing where a folder cannot be locked."""
    if sys.platform == "win32":
        yield
        return
    try:
        descriptor = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
    except OSError as error:
        raise CannotSave(f"Cannot write in {folder}: {why(error)}; nothing there was changed.") from None
    try:
        if disk.hold(descriptor) == "elsewhere":
            raise CannotSave("The shelf is open in another window, so nothing was saved. Try again.")
        yield
    finally:
        os.close(descriptor)
