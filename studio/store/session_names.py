"""Names of session files: made so that they sort by time and cannot leave the folder."""

from __future__ import annotations

import re
import secrets
from datetime import UTC, datetime, timedelta
from pathlib import Path

from studio.plaintext import slug
from studio.store.disk import CREATE, CannotSave, Disk, why

_NAME = re.compile(r"(?P<stem>[0-9]{8}-[0-9]{4}-[a-z0-9-]{1,48})-[a-z0-9]{4}\.jsonl", re.ASCII)
_DAMAGED = re.compile(r".*\.damaged-[0-9]{8}T[0-9]{6}Z(-[0-9]+)?\.jsonl", re.DOTALL)
_NAMES_TRIED = 50


def is_session_name(name: str) -> bool:
    """Whether the program itself gave this name, YYYYMMDD-HHMM-slug-xxxx.jsonl.

    >>> is_session_name("20261125-1004-tidewrack-stripes-9f3a.jsonl"), is_session_name("notes.jsonl")
    (True, False)
    """
    return _NAME.fullmatch(name) is not None


def is_damaged_copy(name: str) -> bool:
    """Whether this is the name of a copy that was set aside before a repair."""
    return _DAMAGED.fullmatch(name) is not None


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
    local = datetime.fromtimestamp(wall_ns // 1_000_000_000, UTC) + timedelta(minutes=utc_offset_min)
    return f"{local.year:04d}{local:%m%d-%H%M}-{slug(title)}"


def new_session_file(
    folder: Path, title: str, wall_ns: int, utc_offset_min: int, disk: Disk
) -> tuple[int, Path]:
    """A new empty file and its open descriptor; CannotSave where the folder does not take one."""
    return new_file(folder, session_stem(title, wall_ns, utc_offset_min), disk)


def new_file(folder: Path, stem: str, disk: Disk) -> tuple[int, Path]:
    """A new empty file called `stem` with four random characters, readable by its owner alone."""
    for _ in range(_NAMES_TRIED):
        path = folder / f"{stem}-{secrets.token_hex(2)}.jsonl"
        try:
            return disk.open(path, CREATE), path
        except FileExistsError:
            continue
        except OSError as error:
            raise _no_folder(folder, error) from None
    raise CannotSave(f"Cannot make a session file in {folder}: {_NAMES_TRIED} names were taken.")


def damaged_copy_names(path: Path, wall_ns: int) -> list[Path]:
    """Names to try for a copy that is set aside: NAME.damaged-<UTC>.jsonl, then numbered."""
    when = datetime.fromtimestamp(wall_ns // 1_000_000_000, UTC)
    base = f"{path.stem}.damaged-{when.year:04d}{when:%m%dT%H%M%SZ}"
    return [path.with_name(f"{base}{more}.jsonl") for more in ("", *(f"-{i}" for i in range(2, 30)))]


def _no_folder(folder: Path, error: OSError) -> CannotSave:
    return CannotSave(
        f"Cannot make a session file in {folder}: {why(error)}; "
        "name another studio folder with --studio or make this one writable."
    )
