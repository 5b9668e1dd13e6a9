"""A studio folder that takes nothing for a while: the session waits, goes on elsewhere, and is found there."""

from __future__ import annotations

import errno
import shutil
from pathlib import Path

import pytest

from studio.cli.studio import examine
from studio.report.session_page import session_page
from studio.report.telling import tell
from studio.services.studio import Services
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS
from studio.session.folding import replay
from studio.store.copies import verify
from studio.store.disk import Disk
from studio.store.folder import StudioFolder
from studio.store.reading import read_session
from studio.store.repair import prepare_to_resume
from studio.trouble import Options, Trouble

ROOT = Path(__file__).resolve().parents[2]
PLAN = ROOT / "shared" / "plans" / "tidewrack-stripes.plan.toml"


@pytest.fixture
def full(monkeypatch) -> dict[Path, int]:
    """Folders whose files take nothing, each with what the system says; empty at first."""
    folders: dict[Path, int] = {}
    files: dict[int, Path] = {}
    open_really, write_really = Disk.open, Disk.write

    def refuse(descriptor: int) -> None:
        code = folders.get(files[descriptor].parent)
        if code is not None:
            raise OSError(code, "told so")

    def open_(self, path, flags, mode=0o600):
        descriptor = open_really(self, path, flags, mode)
        files[descriptor] = path
        return descriptor

    def write(self, descriptor, data):
        refuse(descriptor)
        return write_really(self, descriptor, data)

    monkeypatch.setattr(Disk, "open", open_)
    monkeypatch.setattr(Disk, "write", write)
    return folders


@pytest.fixture
def services(tmp_path, clock, monkeypatch) -> Services:
    """Services on a copy of the sample shelf, with no session yet."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.setenv("TMPDIR", str(tmp_path / "tmp"))
    monkeypatch.setattr("tempfile.tempdir", None)
    (tmp_path / "tmp").mkdir()
    root = tmp_path / "skerry lane"
    shutil.copytree(ROOT / "shared", root / "shared")
    (root / "sessions").mkdir()
    return Services(StudioFolder(root), clock)


@pytest.fixture
def begun(services, full):
    """A session of the sample plan with a note."""
    running = services.begin(services.work_out(PLAN))
    running.do(c.AddNote("all well"))
    return running


def ticks(running, clock, seconds: int) -> None:
    for _ in range(seconds):
        clock.advance(1)
        running.tick()


def test_what_waits_is_written_in_order_and_once_with_its_own_time(services, begun, clock, full) -> None:
    path = services.folder.session_file(begun.name)
    full[services.folder.sessions] = errno.ENOSPC
    times = []
    for text in ("one", "two", "three"):
        times.append(clock.now().boot_ns)
        begun.do(c.AddNote(text))
        ticks(begun, clock, 10)
    assert begun.trouble == "the disk is full" and begun.waiting == 3
    assert len(read_session(path).records) == 2
    full.clear()
    ticks(begun, clock, 1)
    reading = read_session(path)
    *noted, late = reading.records[2:]
    assert [(r.n, r.data["text"], r.boot_ns) for r in noted] == [
        (3, "one", times[0]), (4, "two", times[1]), (5, "three", times[2]),
    ]  # fmt: skip
    assert (late.kind, late.data["entries"], late.data["why"]) == (
        "session.saved_late",
        3,
        "the disk is full",
    )
    assert late.data["waited_s"] == (late.boot_ns - times[0]) / NS
    told = tell(late, begun.state)
    assert "3 entries were saved late, after 31 s: the disk is full" in told
    assert told in "\n".join(
        text for s in session_page(begun.state, "", (), 100) for line in s.rows for text, _ in line
    )
    with pytest.raises(Refused, match="cannot be taken back"):
        begun.do(c.Undo(late.n))
    assert (begun.waiting, begun.trouble, begun.moved) == (0, "", "")
    assert replay(reading.records) == begun.state == begun.saved
    assert [p.name for p in services.folder.session_paths()] == [path.name]


def test_after_a_minute_it_goes_on_in_a_spare_folder_and_is_found_there(services, begun, clock, full) -> None:
    old = services.folder.session_file(begun.name)
    full[services.folder.sessions] = errno.EROFS
    begun.do(c.AddNote("the card is read-only"))
    ticks(begun, clock, 59)
    assert begun.waiting == 1 and begun.trouble == "the disk is read-only"
    ticks(begun, clock, 2)
    assert begun.waiting == 0 and begun.name != old.name
    (spare,) = services.folder.spare_paths()
    assert spare.name == begun.name and spare.parent == services.folder.spares[0]
    assert str(spare) in begun.moved
    begun.do(c.AddNote("written elsewhere"))
    assert services.let_go() == begun.moved

    cards, total = services.find()
    assert total == 1 and cards[0].key == spare.name, "a chain of files is one session"
    assert str(spare.parent) in cards[0].about
    assert services.find("read-only card")[1] == 1
    (told,) = services.read(spare.name).told
    assert told.count(spare.name) == 1 and str(spare.parent) in told
    assert services.newest_open().key == spare.name
    assert [n.text for n in services.read(old.name).state.notes] == [
        "all well",
        "the card is read-only",
        "written elsewhere",
    ]
    told = [
        f.text
        for f in examine(Options(services.folder.root, False, "vat"))
        if not f.ok and spare.name in f.text
    ]
    assert len(told) == 1 and "move it into sessions/" in told[0]
    again = services.resume(services.newest_open().key)
    assert again.name == spare.name and str(spare) in again.moved
    assert [n.text for n in again.state.notes][-1] == "written elsewhere"
    assert verify(spare).exit_code == 0
    services.let_go()
    full.clear()

    shutil.move(spare, services.folder.sessions)
    assert [(card.key, "state" in card.about) for card in services.find()[0]] == [(spare.name, False)]
    assert services.resume(old.name).moved == ""


def test_when_the_first_spare_folder_takes_nothing_either_there_is_another(
    services, begun, clock, full
) -> None:
    first, second = services.folder.spares
    full[services.folder.sessions] = full[first] = errno.ENOSPC
    begun.do(c.AddNote("full everywhere"))
    ticks(begun, clock, 61)
    assert [path.parent for path in services.folder.spare_paths()] == [second]
    assert list(first.iterdir()) == [], "no empty file stays behind"


def test_a_folder_somebody_else_made_among_the_temporary_files_is_not_ours(services, monkeypatch) -> None:
    ours, shared = services.folder.spares
    shared.symlink_to(ours, target_is_directory=True)
    assert services.folder.spares == (ours,)


def test_where_nothing_at_all_takes_it_the_lines_are_handed_over(services, begun, clock, full) -> None:
    for folder in services.folder.session_folders:
        full[folder] = errno.ENOSPC
    begun.do(c.AddNote("one"))
    begun.do(c.AddNote("two"))
    ticks(begun, clock, 70)
    assert begun.waiting == 2
    assert services.resume(begun.name) is begun, "it is nowhere but in memory"
    told = services.let_go()
    assert told.startswith(f"NOT SAVED: the last 2 events of {begun.name}. Keep these lines:")
    assert '"text":"one"' in told and '"text":"two"' in told


def test_a_second_session_does_not_throw_away_what_waits_of_the_first(services, begun, full) -> None:
    for folder in services.folder.session_folders:
        full[folder] = errno.ENOSPC
    begun.do(c.AddNote("kept in memory alone"))
    full.clear()
    full[services.folder.session_file(begun.name).parent] = errno.ENOSPC
    for folder in services.folder.spares:
        full[folder] = errno.ENOSPC
    with pytest.raises(Trouble):
        services.rehearse()
    full.clear()
    other = services.rehearse()
    assert other.name != begun.name
    services.let_go()
    assert [n.text for n in services.read(begun.name).state.notes] == ["all well", "kept in memory alone"]


def test_what_no_file_can_keep_is_not_taken_and_nothing_of_it_is(services, begun) -> None:
    before = len(read_session(services.folder.session_file(begun.name)).records)
    with pytest.raises(Refused, match=r"^Not taken\. .*half of a character"):
        begun.do(c.AddNote("half \ud83d a yarn"))
    assert begun.waiting == 0
    assert len(read_session(services.folder.session_file(begun.name)).records) == before


def test_a_failed_sync_goes_on_in_a_new_file_and_the_session_is_still_one(
    services, begun, clock, monkeypatch
) -> None:
    old = services.folder.session_file(begun.name)
    sync_really = Disk.fsync
    times = iter([errno.EIO])

    def sync(self, descriptor):
        for code in times:
            raise OSError(code, "told so")
        sync_really(self, descriptor)

    monkeypatch.setattr(Disk, "fsync", sync)
    begun.do(c.AddNote("the disk reported a fault"))
    assert begun.waiting == 1
    ticks(begun, clock, 1)
    assert begun.waiting == 0
    assert begun.moved == f"This session goes on in {begun.name}, because {old.name} could not be written."
    assert services.let_go() == begun.moved
    for _ in range(2):
        # Whichever of the two names comes first, it is the living one.
        assert services.newest_open().key == begun.name
        assert [card.key for card in services.sessions()] == [begun.name]
    assert services.folder.session_path(old.name[:13]).name == begun.name, (
        "a beginning of the name means one session"
    )
    for named in (old.name, str(old)):
        assert services.resume(named).name == begun.name
        services.let_go()
    assert read_session(old).records[-1].kind == "noted"


def test_a_session_at_the_pot_is_gone_back_to_before_a_newer_rehearsal(services, begun) -> None:
    services.let_go()
    services.rehearse()
    services.let_go()
    assert services.newest_open().key == begun.name


def test_of_two_files_that_parted_both_are_listed(services, begun, clock, full) -> None:
    old = services.folder.session_file(begun.name)
    before = old.read_bytes()
    full[services.folder.sessions] = errno.EROFS
    begun.do(c.AddNote("here"))
    ticks(begun, clock, 61)
    services.let_go()
    full.clear()
    assert [card.key for card in services.sessions()] == [begun.name]
    assert old.read_bytes() == before
    with prepare_to_resume(old, clock.now()) as other_machine:
        other_machine.append("noted", {"text": "there", "step": ""}, clock.now())
    assert {card.key for card in services.sessions()} == {begun.name, old.name}


def test_a_damaged_session_goes_on_from_what_is_whole(services, begun) -> None:
    begun.do(c.AddNote("lost"))
    begun.do(c.AddNote("kept"))
    services.let_go()
    path = services.folder.session_file(begun.name)
    lines = path.read_bytes().split(b"\n")
    lines[2] = lines[2].replace(b"lost", b"l0st")
    path.write_bytes(b"\n".join(lines))
    raw = path.read_bytes()
    with pytest.raises(Trouble) as refused:
        services.resume(path.name)
    assert str(refused.value).endswith(f"in a new file: potside resume {path.name} --continue.")
    assert services.read(path.name).may_continue
    running = services.resume(path.name, anew=True)
    assert [n.text for n in running.state.notes] == ["all well", "kept"]
    running.do(c.AddNote("on"))
    services.let_go()
    assert path.read_bytes() == raw
    assert [(card.key, card.standing) for card in services.sessions()] == [(running.name, "open")]
    assert services.newest_open().key == running.name
    assert not services.read(path.name).may_continue
    assert services.resume(path.name, anew=True).name == running.name, "it is continued once"
