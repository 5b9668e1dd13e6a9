"""Whole files, replaced or not at all."""

from __future__ import annotations

import errno
import os

import pytest

from studio.store.disk import CannotSave, Disk
from studio.store.files import write_whole
from studio.store.journal import Journal


class FailsAt(Disk):
    def __init__(self, call):
        self.call = call

    def _perhaps(self, call):
        if call == self.call:
            raise OSError(errno.ENOSPC, "full")

    def write(self, descriptor, data):
        self._perhaps("write")
        return super().write(descriptor, data[:3])

    def fsync(self, descriptor):
        self._perhaps("fsync")
        super().fsync(descriptor)

    def link(self, source, target):
        self._perhaps("link")
        super().link(source, target)

    def replace(self, source, target):
        self._perhaps("replace")
        super().replace(source, target)


def test_new_and_replaced(tmp_path):
    path = tmp_path / "card.html"
    write_whole(path, b"one", disk=FailsAt(""))
    assert path.read_bytes() == b"one"
    with pytest.raises(CannotSave, match="it is there already"):
        write_whole(path, b"two")
    assert path.read_bytes() == b"one"
    write_whole(path, b"two", overwrite=True)
    assert path.read_bytes() == b"two"
    assert os.listdir(tmp_path) == ["card.html"]


@pytest.mark.parametrize("call", ["write", "fsync", "replace"])
def test_a_failure_leaves_the_old_file(tmp_path, call):
    path = tmp_path / "card.html"
    path.write_bytes(b"old")
    with pytest.raises(CannotSave, match="the disk is full; nothing there was changed"):
        write_whole(path, b"new", overwrite=True, disk=FailsAt(call))
    assert path.read_bytes() == b"old"
    assert os.listdir(tmp_path) == ["card.html"]


def test_a_file_system_without_second_names(tmp_path):
    path = tmp_path / "card.html"
    write_whole(path, b"one", disk=FailsAt("link"))
    assert path.read_bytes() == b"one"
    assert os.listdir(tmp_path) == ["card.html"]


def test_a_session_is_never_written_over(tmp_path, at, opening):
    with Journal.create([tmp_path], "t", opening, at(0)) as journal:
        pass
    renamed = tmp_path / "export.json"
    renamed.write_bytes(journal.path.read_bytes())
    for path in (journal.path, renamed, tmp_path / "20261125-1004-new-9f3a.jsonl"):
        before = path.read_bytes() if path.exists() else None
        with pytest.raises(CannotSave, match="never written over"):
            write_whole(path, b"x", overwrite=True)
        assert (path.read_bytes() if path.exists() else None) == before


def test_targets_that_are_no_files(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "folder").mkdir()
    for name in ("pipe", "folder"):
        with pytest.raises(CannotSave, match="not a plain file"):
            write_whole(tmp_path / name, b"x", overwrite=True)
    for name in ("no/where.txt", "a\0b", "x" * 300):
        with pytest.raises(CannotSave):
            write_whole(tmp_path / name, b"x")
