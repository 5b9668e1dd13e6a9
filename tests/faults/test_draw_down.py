"""Killed or refused between any two steps of taking a session off the shelf: nothing twice, nothing lost."""

from __future__ import annotations

import errno
import os
import shutil
from pathlib import Path

import pytest

from studio.services.shelf import ShelfBook
from studio.services.studio import Services
from studio.store.disk import Disk
from studio.store.folder import StudioFolder
from studio.store.system_clock import SystemClock
from studio.trouble import Trouble

ROOT = Path(__file__).resolve().parents[2]
SESSION = "20260912-0704-tidewrack-stripes-63ea"


class Killed(BaseException):
    """The process is gone: no handler of the program sees what comes after."""


class DyingDisk(Disk):
    """The real disk, on which the N-th call is the last thing the process does, or fails."""

    CALLS = ("open", "write", "fsync", "close", "replace", "link", "fsync_folder")

    def __init__(self, number: int, calls: tuple[str, ...], *, kill: bool) -> None:
        self.number, self.calls, self.kill, self.count, self.dead = number, calls, kill, 0, False

    def _step(self, name: str) -> None:
        self.count += name in self.calls
        if name not in self.calls:
            return
        if self.count == self.number:
            self.dead = self.kill
            raise Killed if self.kill else OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def unlink(self, path: Path) -> None:
        if not self.dead:
            super().unlink(path)


def _dying(name: str):
    def call(self, *arguments, **named):
        self._step(name)
        return getattr(Disk, name)(self, *arguments, **named)

    return call


for _name in DyingDisk.CALLS:
    setattr(DyingDisk, _name, _dying(_name))


@pytest.fixture
def fresh(tmp_path):
    """A studio with the sample shelf and a session, each time a new one."""
    made = iter(range(1000))

    def make() -> Services:
        root = tmp_path / f"studio {next(made)}"
        for part in ("shared", "sessions"):
            (root / part).mkdir(parents=True)
        shutil.copy(ROOT / "sessions" / f"{SESSION}.jsonl", root / "sessions")
        for path in (ROOT / "shared").glob("*.toml"):
            shutil.copy(path, root / "shared")
        return Services(StudioFolder(root), SystemClock())

    return make


def files(services: Services) -> dict[str, str]:
    return {path.name: path.read_text() for path in sorted(services.folder.shared.glob("*.toml"))}


def take_all(services: Services, disk: Disk | None = None) -> None:
    book = ShelfBook(services.folder.shared, services, disk) if disk else services.shelf_book
    drawn = book.drawing(SESSION)
    book.take(drawn, drawn.open)


def at_every(fresh, calls: tuple[str, ...], kill: bool, at_least: int) -> None:
    """For each of those calls: the process ends or the disk fails there, and then it is done again."""
    whole = fresh()
    take_all(whole)
    wanted = files(whole)
    assert len([name for name in wanted if "[drawn]" in wanted[name]]) == 4
    for number in range(1, 100):
        services, disk = fresh(), DyingDisk(number, calls, kill=kill)
        try:
            take_all(services, disk)
        except Killed:
            assert kill
        except Trouble as problem:
            assert not kill and "disk is full" in str(problem)
        if disk.count < number:
            assert number > at_least
            return
        services.shelf_book.look()
        assert not list(services.folder.shared.glob(".*.part")), f"left behind, killed at call {number}"
        take_all(services)
        assert files(services) == wanted, number
    pytest.fail("it never got through")


@pytest.mark.deep
def test_killed_before_and_after_each_file_is_put_in_place(fresh) -> None:
    at_every(fresh, ("replace", "fsync_folder"), True, 8)


def test_the_disk_fills_up_at_each_file(fresh) -> None:
    at_every(fresh, ("write",), False, 4)


@pytest.mark.deep
@pytest.mark.parametrize("kill", [True, False], ids=["killed", "disk full"])
def test_at_every_call(fresh, kill: bool) -> None:
    at_every(fresh, DyingDisk.CALLS, kill, 24)


def test_a_file_changed_by_hand_meanwhile_is_not_written_over(fresh) -> None:
    services = fresh()
    drawn = services.shelf_book.drawing(SESSION)
    dyes = services.folder.shared / "dyes.toml"
    by_hand = dyes.read_text().replace('on_hand = "21 g"', 'on_hand = "46 g"')
    dyes.write_text(by_hand)
    with pytest.raises(Trouble, match=r"dyes\.toml was changed meanwhile"):
        services.shelf_book.take(drawn, [t for t in drawn.open if t.table == "dye"])
    assert dyes.read_text() == by_hand
    take_all(services)
    assert 'on_hand = "45.61 g"' in dyes.read_text()  # 46 g less the 0.39 g of the session


def test_half_of_it_is_told(fresh) -> None:
    services = fresh()
    drawn = services.shelf_book.drawing(SESSION)
    jars = services.folder.shared / "jars.toml"
    jars.write_text(jars.read_text() + "# by hand\n")
    with pytest.raises(Trouble, match=r"jars\.toml was changed meanwhile.*dyes\.toml.*done before that"):
        services.shelf_book.take(drawn, drawn.open)
    take_all(services)
    after = files(services)
    assert 'on_hand = "20.61 g"' in after["dyes.toml"]  # once: 21 g less 0.39 g
    assert after["jars.toml"].count(f'session = "{SESSION}"') == 2


def test_left_as_it_is_and_never_asked_again(fresh) -> None:
    services = fresh()
    drawn = services.shelf_book.drawing(SESSION)
    left = services.shelf_book.leave(drawn, drawn.open[:1])
    assert left.takings[0].done and len(left.open) == len(drawn.open) - 1
    assert 'on_hand = "21 g"' in files(services)["dyes.toml"]
    told = services.read(SESSION).state.notes[-1]
    assert told.addendum and "Left as it is on the shelf: studio rust" in told.text


def test_another_window_is_writing(fresh) -> None:
    services = fresh()
    if os.name == "nt":
        pytest.skip("a folder cannot be locked there")
    import fcntl

    drawn = services.shelf_book.drawing(SESSION)
    descriptor = os.open(services.folder.shared, os.O_RDONLY)
    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX)
        with pytest.raises(Trouble, match="The shelf is open in another window"):
            services.shelf_book.take(drawn, drawn.open)
    finally:
        os.close(descriptor)
    take_all(services)


def test_links_byte_order_mark_and_permissions_stay(fresh, tmp_path) -> None:
    services = fresh()
    dyes = services.folder.shared / "dyes.toml"
    elsewhere = tmp_path / "my dyes.toml"
    elsewhere.write_bytes(b"\xef\xbb\xbf" + dyes.read_bytes())
    elsewhere.chmod(0o600)
    dyes.unlink()
    dyes.symlink_to(elsewhere)
    take_all(services)
    assert dyes.is_symlink()
    assert elsewhere.read_bytes().startswith(b"\xef\xbb\xbf#") and b"20.61 g" in elsewhere.read_bytes()
    assert elsewhere.stat().st_mode & 0o777 == 0o600


def test_what_a_killed_writer_left_beside_a_linked_file_goes_too_and_nothing_else(fresh, tmp_path) -> None:
    services = fresh()
    dyes, elsewhere = services.folder.shared / "dyes.toml", tmp_path / "my dyes.toml"
    elsewhere.write_bytes(dyes.read_bytes())
    dyes.unlink()
    dyes.symlink_to(elsewhere)
    left = [elsewhere.with_name(".my dyes.toml.0123abcd.part"), dyes.with_name(".acids.toml.89abcdef.part")]
    kept = [dyes.with_name(".other.toml.0123abcd.part"), dyes.with_name(".acids.toml.part")]
    for path in (*left, *kept):
        path.write_text("half")
    services.shelf_book.look()
    assert not any(path.exists() for path in left) and all(path.exists() for path in kept)
