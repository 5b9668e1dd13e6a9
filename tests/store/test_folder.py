"""The studio folder: which one, what is in it, and what is said when it cannot be used."""

from __future__ import annotations

import stat

import pytest

from studio.store.disk import CannotRead, CannotSave
from studio.store.folder import StudioFolder, own_folder


@pytest.fixture
def studio(tmp_path):
    folder = StudioFolder(tmp_path / "studio")
    folder.make()
    return folder


def test_the_order_in_which_it_is_looked_for(tmp_path, studio):
    other = StudioFolder(tmp_path / "other")
    other.make()
    own = tmp_path / "own"
    look = {"here": studio.root, "own": own}
    assert StudioFolder.find(other.root, environment={"POTSIDE_STUDIO": "/x"}, **look).root == other.root
    assert StudioFolder.find(environment={"POTSIDE_STUDIO": str(other.root)}, **look).root == other.root
    assert StudioFolder.find(environment={}, **look).root == studio.root
    assert not own.exists()
    made = StudioFolder.find(
        environment={}, here=tmp_path, own=own, starter=lambda: {"shared/dyes.toml": b"# dyes\n"}
    )
    assert made.root == own
    assert (own / "shared" / "dyes.toml").read_bytes() == b"# dyes\n"
    assert stat.S_IMODE(own.stat().st_mode) & 0o077 == 0


def test_a_starter_never_changes_a_shelf_that_is_there(studio):
    StudioFolder.find(
        environment={}, here=studio.root.parent, own=studio.root, starter=lambda: {"shared/x": b"new"}
    )
    assert list(studio.shared.iterdir()) == []


def test_folders_that_cannot_be_used(tmp_path):
    (tmp_path / "file").write_text("x")
    (tmp_path / "half" / "shared").mkdir(parents=True)
    for named, told in (
        ("missing", "yet: potside in a terminal offers to make it; or name another with --studio DIR"),
        ("file", "there is a file in its place"),
        ("half", "sessions: it is not there, and a studio folder has both"),
        ("a\0b", "a\\x00b yet"),
    ):
        with pytest.raises(CannotSave) as caught:
            StudioFolder.find(str(tmp_path / named))
        assert told in str(caught.value)
        assert "--studio" in str(caught.value)
        assert caught.value.exit_code == 4


def test_a_folder_that_cannot_be_written_is_found_before_the_session(studio):
    import errno

    from studio.store.disk import Disk

    studio.check_writable()
    assert list(studio.sessions.iterdir()) == []

    class ReadOnly(Disk):
        def open(self, path, flags, mode=0o600):
            raise OSError(errno.EROFS, "read-only")

    class Full(Disk):
        def write(self, descriptor, data):
            raise OSError(errno.ENOSPC, "full")

    for disk, told in ((ReadOnly(), "the disk is read-only"), (Full(), "the disk is full")):
        with pytest.raises(CannotSave, match=told):
            studio.check_writable(disk=disk)
        assert list(studio.sessions.iterdir()) == []


def test_what_is_listed_where(studio):
    names = [
        "20261124-1004-stripes-9f3a.jsonl",
        "20261125-0901-kelp-0a0a.jsonl",
        "20261124-1004-stripes-9f3a.damaged-20261124T111111Z.jsonl",
        "20261124-1004-stripes-9f3a (conflicted copy).jsonl",
        "20261124-1004-stripes-9f3a.sync-conflict-20261124.jsonl",
        "notes.txt",
        ".probe-1",
    ]
    for name in names:
        (studio.sessions / name).write_bytes(b"")
    assert [p.name for p in studio.session_paths()] == [names[1], names[0]]
    assert [p.name for p in studio.odd_files()] == [names[3], names[4]]
    assert studio.session_path("20261125").name == names[1]
    assert studio.session_path(names[0]).name == names[0]
    assert studio.session_path(names[3]).name == names[3]
    assert studio.session_path("20261124").name == names[0], "a copy is meant by its whole name alone"
    (studio.sessions / "20261124-1200-stripes-0b0b.jsonl").write_bytes(b"")
    with pytest.raises(CannotRead, match="2 sessions begin with 20261124"):
        studio.session_path("20261124")
    with pytest.raises(CannotRead, match=f"did you mean {names[1]}"):
        studio.session_path("20261125-0901-kelb-0a0a.jsonl")
    for named in ("", "../../etc/passwd\0", "\x1b[2J"):
        with pytest.raises(CannotRead):
            studio.session_path(named)


def test_a_relative_data_home_is_ignored(monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_DATA_HOME", "relative/place")
    assert own_folder().is_absolute()
    assert tmp_path not in own_folder().parents
