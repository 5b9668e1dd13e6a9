"""A session on a disk that fails, recovers and fails elsewhere, killed and taken up again, compared with a list.

What is shown as saved is on the disk; what was said is there once, in order, with its own time, however often saving
was tried; and once there is room nothing waits.
"""

from __future__ import annotations

import errno
import os
import shutil
import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from studio.session import commands as c
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.folding import replay
from studio.session.run import Running
from studio.store.copies import newest_of, verify
from studio.store.disk import Disk
from studio.store.journal import Journal
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume

TROUBLES = st.sampled_from(["", "full", "half", "sync", "stat"])


class MoodyDisk(Disk):
    """The real disk; what goes wrong in a folder is told by `moods`."""

    def __init__(self) -> None:
        self.moods: dict[Path, str] = {}
        self.folders: dict[int, Path] = {}
        self.synced: set[int] = set()
        """Synced, and not looked at since."""

    def open(self, path: Path, flags: int, mode: int = 0o600) -> int:
        descriptor = super().open(path, flags, mode)
        self.folders[descriptor] = path.parent
        return descriptor

    def mood(self, descriptor: int) -> str:
        return self.moods.get(self.folders[descriptor], "")

    def write(self, descriptor: int, data: bytes) -> int:
        self.synced.discard(descriptor)
        if self.mood(descriptor) == "full" or (self.mood(descriptor) == "half" and len(data) < 20):
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
        if self.mood(descriptor) == "half":
            return super().write(descriptor, data[: len(data) // 2])
        return super().write(descriptor, data)

    def fsync(self, descriptor: int) -> None:
        if self.mood(descriptor) == "sync":
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        super().fsync(descriptor)
        self.synced.add(descriptor)

    def stat(self, descriptor: int) -> os.stat_result:
        if descriptor in self.synced:
            self.synced.discard(descriptor)
            if self.mood(descriptor) == "stat":
                raise OSError(errno.EIO, os.strerror(errno.EIO))
        return super().stat(descriptor)


class SavingLife(RuleBasedStateMachine):
    first: Any

    def __init__(self) -> None:
        super().__init__()
        self.root = Path(tempfile.mkdtemp())
        self.folders = [self.root / name for name in ("sessions", "state", "tmp")]
        self.folders[0].mkdir()
        self.disk = MoodyDisk()
        self.clock = SteppedClock(Reading(1_790_000_000 * NS, 5_000 * NS, 4_000 * NS, "boot-0"))
        journal = Journal.create(self.folders, "life", self.first.data, self.clock.now(), disk=self.disk)
        self.began = journal.path
        self.said: list[tuple[str, int]] = []
        self.shown = 0
        self.take_up(journal)

    def take_up(self, journal: Journal) -> None:
        self.journal = journal
        self.session = Running(replay(journal.events), self.clock, journal)

    @rule(seconds=st.sampled_from([0, 1, 20, 70]))
    def say_something(self, seconds: int) -> None:
        self.clock.advance(seconds)
        text = f"note {len(self.said)}"
        self.said.append((text, self.clock.now().boot_ns))
        self.session.do(c.AddNote(text))
        self.shown = max(self.shown, len(self.session.saved.notes))

    @rule(seconds=st.sampled_from([0, 1, 61]))
    def time_passes(self, seconds: int) -> None:
        self.clock.advance(seconds)
        self.session.tick()
        self.shown = max(self.shown, len(self.session.saved.notes))

    @rule(place=st.integers(0, 2), mood=TROUBLES)
    def the_disk_changes(self, place: int, mood: str) -> None:
        self.disk.moods[self.folders[place]] = mood

    @rule()
    def there_is_room_again(self) -> None:
        self.disk.moods.clear()
        self.clock.advance(1)
        self.session.tick()
        self.shown = max(self.shown, len(self.session.saved.notes))
        assert self.session.waiting == 0 and self.session.trouble == ""
        assert self.session.state == self.session.saved
        assert [note.text for note in self.session.saved.notes] == [text for text, _ in self.said]

    @precondition(lambda self: not any(self.disk.moods.values()))
    @rule()
    def killed_and_taken_up_again(self) -> None:
        """What no disk had taken is lost; the newest file of the chain goes on."""
        self.journal.close()
        path = newest_of(self.began, self.folders)
        journal = prepare_to_resume(path, self.clock.now(), self.folders, disk=self.disk)
        self.take_up(journal)
        kept = [note.text for note in self.session.saved.notes]
        assert kept == [text for text, _ in self.said][: len(kept)] and len(kept) >= self.shown
        del self.said[len(kept) :]
        self.shown = len(kept)

    @invariant()
    def nothing_is_lost_doubled_or_out_of_order(self) -> None:
        assert [note.text for note in self.session.state.notes] == [text for text, _ in self.said]
        reading = read_session(newest_of(self.began, self.folders))
        noted = [(r.data["text"], r.boot_ns) for r in reading.records if r.kind == "noted"]
        assert noted == self.said[: len(noted)] and len(noted) >= self.shown
        assert [r.n for r in reading.records] == list(range(1, len(reading.records) + 1))
        assert reading.state != "damaged", reading.problems
        on_disk = len(self.session.saved.notes)
        assert on_disk <= len(noted)
        assert verify(reading.path).exit_code in (0, 1)

    def teardown(self) -> None:
        self.journal.close()
        shutil.rmtree(self.root)


@pytest.mark.fuzz
def test_a_session_on_a_moody_disk(begin, keeper) -> None:
    begin()
    SavingLife.first = keeper.events[0]
    deep = settings.default.max_examples > 100
    told = settings(
        max_examples=100 if deep else 8,
        stateful_step_count=40 if deep else 20,
        deadline=None,
        derandomize=not deep,
        database=None,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(SavingLife, settings=told)
