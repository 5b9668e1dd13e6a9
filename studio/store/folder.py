"""The studio folder: the shelf that sessions share, and the sessions."""

from __future__ import annotations

import os
import stat
import sys
import tempfile
import zlib
from collections.abc import Callable, Mapping
from contextlib import suppress
from pathlib import Path

from studio.store.disk import CREATE, THIS_DISK, CannotRead, CannotSave, Disk, why
from studio.store.files import is_damaged_copy, is_session_name, title_in, write_whole

ENVIRONMENT = "POTSIDE_STUDIO"
_HINT = "name another with --studio DIR"

MOST_ALIKE = 20
"""Sessions a beginning may fit and still be looked at for parts of one another. House rule."""

Stamp = tuple[int, int]
"""Size in bytes and time of the last change in ns."""
MayMake = Callable[[Path], bool]
Starter = Callable[[], Mapping[str, bytes]]
"""Gives the files of a first shelf, by their path below the studio folder, as `shared/dyes.toml`."""


class StudioFolder:
    """A folder with `shared/` and `sessions/`."""

    def __init__(self, root: Path) -> None:
        self.root = root

    @classmethod
    def find(
        cls,
        named: Path | str | None = None,
        *,
        starter: Starter = dict,
        may_make: MayMake = lambda root: False,
        environment: Mapping[str, str] | None = None,
        here: Path | None = None,
        own: Path | None = None,
    ) -> StudioFolder:
        """The studio folder to use.

        The one named, else the one in POTSIDE_STUDIO, else the current folder where it has both
        `shared/` and `sessions/`, else `own` (the user's data folder), which is made on first use with
        the files of `starter`; so is one that was named and is not there, where `may_make` allows it.
        CannotSave with the path and what to do where it cannot be used.
        """
        environment = os.environ if environment is None else environment
        chosen = str(named) if named else environment.get(ENVIRONMENT, "")
        if chosen:
            folder = cls(Path(chosen).expanduser())
            if folder.is_nothing() and may_make(folder.root):
                folder.make(starter)
            folder.check()
            return folder
        here = here or Path.cwd()
        if (here / "shared").is_dir() and (here / "sessions").is_dir():
            return cls(here)
        folder = cls(own or own_folder())
        folder.make(starter)
        return folder

    @property
    def shared(self) -> Path:
        """Where the shelf is."""
        return self.root / "shared"

    @property
    def sessions(self) -> Path:
        """Where the session files are."""
        return self.root / "sessions"

    @property
    def spares(self) -> tuple[Path, ...]:
        """Where sessions of this studio go on while `sessions` takes nothing; made only then.

        In the user's state folder, then in the folder for temporary files, apart for each studio.
        """
        from platformdirs import user_state_path

        mark = studio_mark(self.root)
        state = user_state_path("potside", appauthor=False)
        spares = (state / "unsaved" / mark, Path(tempfile.gettempdir()) / f"potside-unsaved-{mark}")
        return tuple(folder for folder in spares if _is_ours(folder))

    def spare_paths(self) -> tuple[Path, ...]:
        """Session files that had to go on outside the studio folder."""
        spare = (Path(entry.path) for entry in self._spare_files())
        return tuple(path for path in spare if not os.path.lexists(self.sessions / path.name))

    @property
    def session_folders(self) -> tuple[Path, ...]:
        """Every folder that may hold a session of this studio, its own first."""
        return self.sessions, *self.spares

    def is_nothing(self) -> bool:
        """Whether there is no file and no folder of that name, or an empty one."""
        if not os.path.lexists(self.root):
            return True
        with suppress(OSError):
            return not os.listdir(self.root)
        return False

    def check(self) -> None:
        """CannotSave where the folder is missing, is a file or lacks one of its two parts."""
        try:
            if not self.root.exists():
                told = f"There is no studio at {self.root} yet: potside in a terminal offers to make it"
                raise CannotSave(f"{told}; or {_HINT}.")
            for folder in (self.root, self.shared, self.sessions):
                if folder.is_dir():
                    continue
                told = "there is a file in its place" if os.path.lexists(folder) else "it is not there"
                if folder is not self.root:
                    told += ", and a studio folder has both shared/ and sessions/"
                raise CannotSave(f"Cannot use {folder}: {told}; make the folder or {_HINT}.")
        except OSError as error:
            raise CannotSave(f"Cannot use {self.root}: {why(error)}; {_HINT}.") from None

    def make(self, starter: Starter = dict) -> None:
        """Makes what is missing; the starter's files only where no shelf was. CannotSave if it cannot."""
        try:
            fresh = not self.shared.exists()
            for folder in (self.root, self.shared, self.sessions):
                folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError as error:
            told = f"Cannot make the studio folder {self.root}: {why(error)}; {_HINT}."
            raise CannotSave(told) from None
        self.check()
        for name, data in starter().items() if fresh else ():
            target = self.root / name
            target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            if not target.exists():
                write_whole(target, data)

    def check_writable(self, *, disk: Disk = THIS_DISK) -> None:
        """Makes and takes away a small file in `sessions/`; CannotSave before a session starts, not in it."""
        self.check()
        probe = self.sessions / f".probe-{os.urandom(4).hex()}"
        try:
            descriptor = disk.open(probe, CREATE)
            try:
                disk.write(descriptor, b"potside\n")
                disk.fsync(descriptor)
            finally:
                disk.close(descriptor)
                with suppress(OSError):
                    disk.unlink(probe)
        except OSError as error:
            told = f"Cannot save sessions in {self.sessions}: {why(error)}; make room there or {_HINT}."
            raise CannotSave(told) from None

    def session_paths(self) -> tuple[Path, ...]:
        """Session files, newest first by the time in their names; those kept outside the studio folder too."""
        return tuple(Path(entry.path) for _, entry in sorted(self._entries().items(), reverse=True))

    def stamps(self) -> dict[str, Stamp]:
        """Size and time of every session file, by its name; CannotRead where the folder cannot be listed."""
        return {name: _stamp(entry) for name, entry in self._entries().items()}

    def session_file(self, name: str) -> Path:
        """Where the session file of that name is; in `sessions` where it is nowhere."""
        places = (folder / name for folder in self.session_folders)
        return next((path for path in places if os.path.lexists(path)), self.sessions / name)

    def odd_files(self) -> tuple[Path, ...]:
        """Other `.jsonl` files, such as conflict copies of a sync program: listed apart, never merged."""

        def odd(name: str) -> bool:
            return name.endswith(".jsonl") and not is_session_name(name) and not is_damaged_copy(name)

        return tuple(sorted(Path(entry.path) for entry in self._listed(odd)))

    def plan_path(self, named: Path) -> Path:
        """The plan file a person named: a path, a file name of the shelf, or the beginning of one.

        A path that leads nowhere comes back as it is where it names no plan of the shelf either. CannotRead
        where more than one fits.
        """
        if named.name != str(named) or os.path.lexists(named):
            return named
        plans = {path.name: path for path in sorted((self.shared / "plans").glob("*.plan.toml"))}
        wanted = str(named)
        fitting = [wanted] if wanted in plans else [name for name in plans if _begins(name, wanted)]
        if len(fitting) > 1:
            raise CannotRead(
                f"{len(fitting)} plans begin with {wanted}: {', '.join(fitting)}; write more of one."
            )
        return plans[fitting[0]] if fitting else named

    def session_path(self, named: str, rather: Callable[[list[Path]], list[Path]] = list) -> Path:
        """The session file a person named: a path, a file name, or the beginning of one or of its title.

        A file that goes on in another stands for that one, unless it was named by its path. CannotRead,
        with the nearest name, where none or more than one fits. rather: those that are meant of several.
        """
        with suppress(OSError, ValueError):
            if os.path.lexists(named) and ("/" in named or os.sep in named or named.endswith(".jsonl")):
                return Path(named)
        return self.newest_of(self._named(named, rather))

    def newest_of(self, path: Path) -> Path:
        """The file in which a session goes on now, wherever that is; the same where it was not continued."""
        from studio.store.copies import newest_of

        return newest_of(path, self.session_folders)

    def _named(self, named: str, rather: Callable[[list[Path]], list[Path]]) -> Path:
        if is_session_name(named) and os.path.lexists(self.session_file(named)):
            return self.session_file(named)  # such a name cannot lead out of the folder
        names = {path.name: path for path in (*self.session_paths(), *self.odd_files())}
        if named in names:
            return names[named]
        fitting = [path for name, path in names.items() if named and name.startswith(named)]
        fitting = fitting or [path for name, path in names.items() if _begins(title_in(name), named)]
        # A copy that a file sync left begins like the session itself; only its whole name means it.
        fitting = [path for path in fitting if is_session_name(path.name)] or fitting
        # The parts of one session count once.
        fitting = list(dict.fromkeys(map(self.newest_of, fitting))) if len(fitting) < MOST_ALIKE else fitting
        fitting = rather(fitting) or fitting if len(fitting) > 1 else fitting
        if len(fitting) == 1:
            return fitting[0]
        if fitting:
            raise CannotRead(f"{len(fitting)} sessions begin with {named}; write more of the name.")
        from difflib import get_close_matches

        nearest = get_close_matches(named[:120], names, 1, 0.5)
        hint = f"; did you mean {nearest[0]}?" if nearest else "; the logbook lists the sessions there are."
        raise CannotRead(f"There is no session called {named} in {self.sessions}{hint}")

    def _listed(self, wanted: Callable[[str], bool]) -> list[os.DirEntry[str]]:
        try:
            return [entry for entry in os.scandir(self.sessions) if wanted(entry.name)]
        except OSError as error:
            raise CannotRead(f"Cannot list {self.sessions}: {why(error)}; {_HINT}.") from None

    def _entries(self) -> dict[str, os.DirEntry[str]]:
        """Every session file by its name; one in `sessions` stands before its like elsewhere."""
        found = (*self._listed(is_session_name), *self._spare_files())
        return {entry.name: entry for entry in reversed(found)}

    def _spare_files(self) -> list[os.DirEntry[str]]:
        found: list[os.DirEntry[str]] = []
        for folder in self.spares:
            with suppress(OSError):
                found += (entry for entry in os.scandir(folder) if is_session_name(entry.name))
        return found


def _begins(name: str, named: str) -> bool:
    """Whether a name of our making begins as a person wrote it, blanks and capitals or not."""
    return bool(named.strip()) and name.startswith("-".join(named.casefold().split()))


def _is_ours(folder: Path) -> bool:
    """Whether a folder that others could have made, in a place that all may write to, is this user's own."""
    try:
        facts = folder.lstat()
    except FileNotFoundError:
        return True
    except OSError:
        return False
    return stat.S_ISDIR(facts.st_mode) and (sys.platform == "win32" or facts.st_uid == os.getuid())


def studio_mark(root: Path) -> str:
    """A short mark that tells studio folders apart by their paths, without naming them."""
    told = str(root.resolve()).encode("utf-8", "surrogateescape")
    return f"{zlib.crc32(told):08x}"


def own_folder() -> Path:
    """The user's data folder for this program; a relative XDG_DATA_HOME is ignored, as its standard says."""
    from platformdirs import user_data_path

    found = user_data_path("potside", appauthor=False)
    return found if found.is_absolute() else Path.home() / ".local" / "share" / "potside"


def _stamp(entry: os.DirEntry[str]) -> Stamp:
    try:
        facts = entry.stat(follow_symlinks=False)
    except OSError:
        return (-2, -2)  # gone meanwhile, or not to be looked at: it is tried again next time
    return (facts.st_size, facts.st_mtime_ns)
