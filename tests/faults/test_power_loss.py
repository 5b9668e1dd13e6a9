"""Power loss, modelled: at every call the disk may hold any of the states the system allows.

What was synced is there. Of what was written and not synced, any prefix may be there, any 512-byte blocks
of it, its length with zeros, or old bytes; a new name may be missing until its folder was synced
(T. Pillai et al., "All File Systems Are Not Created Equal", USENIX OSDI 2014).
"""

from __future__ import annotations

import errno
from dataclasses import dataclass, field
from types import SimpleNamespace

import pytest

from studio.store.disk import Disk
from studio.store.journal import Journal
from studio.store.reading import read_session, read_text
from studio.store.repair import prepare_to_resume


@dataclass
class OneFile:
    content: bytearray = field(default_factory=bytearray)
    synced: int = 0
    name_synced: bool = False


class ModelDisk(Disk):
    """Files in memory; after each call every state a power loss could leave is handed to `look`."""

    def __init__(self, look, fail_fsync_at: int = 0):
        self.files: dict[int, OneFile] = {}
        self.look = look
        self.fsyncs = 0
        self.fail_fsync_at = fail_fsync_at

    def open(self, path, flags, mode=0o600):
        self.files[len(self.files) + 100] = OneFile()
        return len(self.files) + 99

    def hold(self, descriptor):
        return "held"

    def close(self, descriptor):
        pass

    def unlink(self, path):
        pass

    def stat(self, descriptor):
        size = len(self.files[descriptor].content)
        return SimpleNamespace(st_dev=1, st_ino=descriptor, st_size=size, st_mtime_ns=0)

    def look_at(self, path):
        return self.stat(len(self.files) + 99)

    def write(self, descriptor, data):
        self.files[descriptor].content += data
        self.look(self)
        return len(data)

    def fsync(self, descriptor):
        self.fsyncs += 1
        if self.fsyncs == self.fail_fsync_at:
            raise OSError(errno.EIO, "modelled")
        self.files[descriptor].synced = len(self.files[descriptor].content)
        self.look(self)

    def fsync_folder(self, folder):
        for one in self.files.values():
            one.name_synced = True
        self.look(self)


def states(one: OneFile):
    """Every content (by a sample of the lengths) that may be found after the power came back."""
    sure, rest = bytes(one.content[: one.synced]), bytes(one.content[one.synced :])
    if not one.name_synced:
        yield None
    for length in sorted({0, 1, 2, len(rest) // 2, len(rest) - 1, len(rest)} & set(range(len(rest) + 1))):
        yield sure + rest[:length]
        yield sure + bytes(length)
        yield sure + (b"old line of another file\xff" * (length // 20 + 1))[:length]
    edges = [i for i in range(0, len(one.content) + 512, 512) if i > one.synced]
    blocks = list(zip([one.synced, *edges], edges, strict=False))
    for lost in range(2 ** min(len(blocks), 5)):
        kept = bytearray(one.content)
        for i, (start, end) in enumerate(blocks[:5]):
            if lost >> i & 1:
                kept[start:end] = bytes(len(kept[start:end]))
        yield bytes(kept)


def test_whatever_was_shown_survives_a_power_loss(tmp_path, at, opening):
    shown, tried = [], []

    def look(disk):
        (one,) = disk.files.values()
        for content in states(one):
            tried.append(content)
            if content is None:
                assert shown == []
                continue
            records = list(read_text(tmp_path / "x", content).records)
            assert records[: len(shown)] == shown
            assert len(records) <= len(shown) + 1

    journal = Journal.create([tmp_path], "power", opening, at(0), disk=ModelDisk(look))
    shown.append(journal.events[0])
    for i in range(12):
        shown.append(journal.append("noted", {"text": "pot water " * (i * 17), "step": ""}, at(i + 1)))
    assert len(tried) > 300
    assert len(set(tried)) > 100


def test_the_session_goes_on_from_every_state(tmp_path, at, opening):
    shown, tried = [], set()

    def look(disk):
        (one,) = disk.files.values()
        tried.update((content, len(shown)) for content in states(one) if content is not None and shown)

    journal = Journal.create([tmp_path], "power", opening, at(0), disk=ModelDisk(look))
    shown.append(journal.events[0])
    for i in range(3):
        shown.append(journal.append("noted", {"text": "pot water " * (i * 40), "step": ""}, at(i + 1)))
    for number, (content, count) in enumerate(sorted(tried)):
        path = tmp_path / f"20261125-1004-power-{number:04d}.jsonl"
        path.write_bytes(content)
        with prepare_to_resume(path, at(50)) as again:
            again.append("noted", {"text": "after", "step": ""}, at(51))
        reading = read_session(path)
        assert list(reading.records[:count]) == shown[:count]
        assert reading.records[-1].data == {"text": "after", "step": ""}
        assert reading.state in ("clean", "repaired")
        assert path.read_bytes().startswith(content)
    assert len(tried) > 40


@pytest.mark.parametrize("fail_at", range(2, 8))
def test_a_failed_sync_and_then_a_power_loss(tmp_path, at, opening, fail_at):
    """After the failed sync the old file may lose its end at any time; the new file must hold it all."""
    shown = []

    def look(disk):
        """The file that lost everything unsynced still tells what was shown, in one of the two files."""
        told = []
        for one in disk.files.values():
            records = read_text(tmp_path / "x", bytes(one.content[: one.synced]) * one.name_synced).records
            told.append([record for record in records if record.kind != "session.continued"])
        assert any(records[: len(shown)] == shown for records in told)

    disk = ModelDisk(look, fail_fsync_at=fail_at)
    journal = Journal.create([tmp_path], "power", opening, at(0), disk=disk)
    shown.append(journal.events[0])
    for i in range(8):
        record = journal.append("noted", {"text": f"{i}", "step": ""}, at(i + 1))
        if journal.waiting:
            journal.retry(at(i + 1), elsewhere=False)
            record = journal.events[-2]  # before the line that tells of the new file
        shown.append(record)
    assert len(disk.files) == 2
    assert [r.data["text"] for r in shown[1:]] == [str(i) for i in range(8)]
