"""What a front end may ask of one studio folder: its plans, its sessions and the clock, joined."""

from __future__ import annotations

import os
import platform
import zlib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

import studio
from studio.plaintext import clean, without_home
from studio.plan.errors import PlanError
from studio.plan.toml import read_text, toml_table
from studio.services.plans import PlanServices, WorkedPlan
from studio.session.clock import Clock, FastClock, Reading
from studio.session.events import FORMAT, data_of
from studio.session.folding import Record, replay
from studio.session.kinds.course import Opened, RehearsalClock, opening
from studio.session.run import Running
from studio.store.disk import ReadOnlySession
from studio.store.folder import StudioFolder
from studio.store.journal import Journal
from studio.store.system_clock import SystemClock, on_the_wall
from studio.trouble import CANNOT_SAVE, NOT_SAVED, Options, Trouble
from studio.words.table import KEYS_FILE, remap

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.plan.preview import StripBand
    from studio.plan.repeat.repeating import Repeated
    from studio.services.shelf import ShelfBook
    from studio.session.after.review import ReadSession
    from studio.session.commands import Command
    from studio.session.kinds.fastness import WaitingTest
    from studio.session.state import State

REHEARSED_PLAN = "tidewrack-stripes.plan.toml"


def open_services(options: Options) -> Services:
    """Services on the studio folder that was asked for; Trouble where it cannot be used."""
    folder = StudioFolder.find(options.studio_dir, starter=starter_shelf, may_make=options.may_make)
    return Services(folder, SystemClock())


def starter_shelf() -> dict[str, bytes]:
    """The files of a first studio: the shelf and plans that the package brings along."""
    found = {}
    root = Path(studio.__file__).parent / "starter"
    for entry in (*root.iterdir(), *(root / "plans").iterdir()):
        if entry.name.endswith(".toml"):
            below = "shared/plans" if entry.name.endswith(".plan.toml") else "shared"
            found[f"{below}/{entry.name}"] = entry.read_bytes()
    return found


class Services(PlanServices):
    """Plans, shelf, habits and sessions of one studio folder, and the session at the bench.

    Every call may raise Trouble.
    """

    def __init__(self, folder: StudioFolder, clock: Clock) -> None:
        super().__init__(folder, clock)
        self._running: Running | None = None
        self._journal: Journal | None = None
        self._left = ""
        """What must still be said of sessions that were let go of."""

    def take_keys(self) -> list[str]:
        """Take the keys of `shared/keys.toml`; a sentence for each that is wrong there, and its usual key holds."""
        path = self.folder.shared / KEYS_FILE
        try:
            tables = toml_table(read_text(path), file=KEYS_FILE) if path.exists() else {}
        except PlanError as problem:
            remap({})
            return [str(problem)]
        wanted: dict[str, object] = {}
        for where, told in tables.items():
            rows = told.items() if isinstance(told, dict) else [("", told)]
            wanted.update({f"{where}.{name}" if name else where: keys for name, keys in rows})
        return [f"{KEYS_FILE}: {sentence}" for sentence in remap(wanted)]

    @property
    def shelf_book(self) -> ShelfBook:
        """The shelf files, to look at and to change."""
        from studio.services.shelf import ShelfBook

        return ShelfBook(self.folder.shared, self)

    def begin(self, worked: WorkedPlan) -> Running:
        """A new session file, opened and on disk."""
        return self._open(worked, self.clock, None)

    def rehearse(
        self,
        speed: float = 60.0,
        clock: Clock | None = None,
        origin: Reading | None = None,
        plan: Path | None = None,
        worked: WorkedPlan | None = None,
    ) -> Running:
        """A new session on the sample plan, or on another, with a fast clock; marked as a rehearsal."""
        worked = worked or self.work_out(plan or self._rehearsed_plan())
        if clock is None or origin is None:
            fast = FastClock(self.clock, speed)
            clock, origin = fast, fast.origin
        return self._open(worked, clock, RehearsalClock(**msgspec.structs.asdict(origin), speed=speed))

    def _rehearsed_plan(self) -> Path:
        path = self.folder.shared / "plans" / REHEARSED_PLAN
        if path.exists():
            return path
        cards = [card for card in self.plans() if card.readable]
        if not cards:
            raise Trouble(f"There is no plan to rehearse with; put one into {self.folder.shared / 'plans'}.")
        return Path(cards[0].key)

    def _open(self, worked: WorkedPlan, clock: Clock, rehearsal: RehearsalClock | None) -> Running:
        offset = utc_offset_min(clock.now())
        opened = opening(
            Opened(
                format=FORMAT,
                title=worked.worksheet.title,
                plan=worked.plan_text,
                worksheet=worked.worksheet,
                program=studio.__version__,
                pid=os.getpid(),
                host=host_hash(),
                utc_offset_min=offset,
                choices=worked.choices,
                clock=rehearsal,
                plan_file=Path(worked.key).name,
            )
        )
        self.folder.check_writable()
        data, title = data_of(opened), worked.worksheet.title
        folders = self.folder.session_folders
        journal = Journal.create(folders, title, data, clock.now(), utc_offset_min=offset)
        journal.events[0].known(opened)
        return self._hold(journal, clock)

    def _hold(self, journal: Journal, clock: Clock) -> Running:
        self._left = self.let_go()
        self._journal = journal
        self._running = Running(replay(journal.events), clock, journal)
        return self._running

    def resume(self, key: str, *, anew: bool = False) -> Running:
        """A session that was left open, in the newest of its files; a torn last line is set aside first.

        anew: a damaged one goes on from what is whole, in a new file.
        """
        from studio.session.commands import Resume
        from studio.store.reading import read_session
        from studio.store.repair import continue_in_new_file, prepare_to_resume

        if self._running is not None and self._running.waiting and key == self._running.name:
            return self._running  # no disk has taken it yet: it is nowhere but here
        try:
            path = self.folder.newest_of(self.folder.session_path(key, self._left_open))
            reading = read_session(path)
            clock = self.clock_of(reading.records if reading.can_open else ())
            go_on = continue_in_new_file if anew and reading.state == "damaged" else prepare_to_resume
            journal = go_on(path, clock.now(), self.folder.session_folders)
        except ReadOnlySession as problem:
            how = f" To go on from what is whole, in a new file: potside resume {path.name} --continue."
            hint = how if problem.may_continue else ""
            raise Trouble(f"{problem}{hint}", problem.exit_code) from problem
        try:
            running = self._hold(journal, clock)
            if running.state.closed:
                raise Trouble(f"{path.name} is {running.state.outcome}; potside show {path.name} reads it.")
            running.do(Resume(os.getpid(), studio.__version__))
        except Trouble:
            journal.close()
            raise
        return running

    def _left_open(self, paths: list[Path]) -> list[Path]:
        still = {row.key for row in self.find(unfinished=True, limit=None)[0]}
        return [path for path in paths if path.name in still]

    def clock_of(self, events: Sequence[Record]) -> Clock:
        """What the times of a session are told by; a rehearsal's runs fast."""
        opened = events[0].told if events else None
        fast = opened.clock if isinstance(opened, Opened) else None
        return FastClock(self.clock, fast.speed, fast) if fast else self.clock

    def let_go(self) -> str:
        """Release the session file, if one is held; what must be said of entries that are not in it."""
        running, journal, told = self._running, self._journal, self._left
        self._running = self._journal = None
        self._left = ""
        if running is None or journal is None:
            return told
        self.read_shelf_anew()
        return "\n".join(filter(None, (told, _let_go(running, journal))))

    # -- sessions that are not at the bench: listed, found, read, added to -----------------------------

    def closed_session(self, key: str) -> ReadSession:
        """A session; the newest finished one without a key."""
        if not key:
            done = (c for c in self.sessions() if c.standing == "finished" and not c.rehearsal)
            card = next(done, None)
            if card is None:
                raise Trouble("No session is finished yet, so nothing comes off the shelf.")
            key = card.key
        return self.read(key)

    def odd_files(self) -> dict[str, str]:
        """Session-like files that are not ours, such as copies made by a file sync: what to do about each."""
        from studio.store.copies import odd_sentence

        odd = self.folder.odd_files()
        names = {path.name for path in self.folder.session_paths()} if odd else set()
        return {path.name: odd_sentence(path.name, names) for path in odd}

    def kept_elsewhere(self) -> list[str]:
        """What to do about each session that had to go on outside the studio folder."""
        return [_elsewhere_sentence(path) for path in self.folder.spare_paths()]

    def newest_open(self, *, refresh: bool = True) -> LogbookRow:
        """The newest session that is still open, a rehearsal only where no other is; Trouble where there is none."""
        still_open = self.find(unfinished=True, limit=None, refresh=refresh)[0]
        for row in sorted(still_open, key=lambda one: one.rehearsal):
            return row
        raise Trouble("No session is open; potside begin PLAN starts one.")

    def sessions(self) -> list[LogbookRow]:
        """All sessions, newest first."""
        return self.find(limit=None)[0]

    def read_logbook(self, *heard: Callable[..., Any]) -> int:
        """Read the session files that are new or changed; how many are left to be read.

        heard: who is told of it, and who may stop it, as `Index.refresh` has them.
        """
        return self._logbook.refresh(*heard).left

    def find(
        self, text: str = "", *, limit: int | None = 500, refresh: bool = True, **asked: Any
    ) -> tuple[list[LogbookRow], int]:
        """Sessions that meet all that is given, newest first, and how many there are in all.

        asked: what else is `Wanted`. Without `refresh` no session file is looked at: what `read_logbook` took
        in is searched.
        """
        from studio.logbook.entry import Wanted

        wanted = Wanted(text=text, **asked)
        if refresh:
            self.read_logbook()
        rows, total = self._logbook.search(wanted, limit)
        elsewhere = {path.name: path.parent for path in self.folder.spare_paths()}
        return [_placed(row, elsewhere.get(row.key)) for row in rows], total

    def read(self, key: str) -> ReadSession:
        """A session file with its events and whatever is wrong with it."""
        from studio.session.after.review import ReadSession
        from studio.store.copies import judge
        from studio.store.reading import read_session

        path = self.folder.session_path(key)
        reading = read_session(path)
        verdict = judge(reading)
        state = replay(reading.records)
        remarks = () if verdict.state == "clean" else verdict.sentences
        told = (*remarks[:1], *(f"{path.name}: {one}" for one in remarks[1:]))  # the verdict names it itself
        elsewhere = (_elsewhere_sentence(path),) if path in self.folder.spare_paths() else ()
        damaged = verdict.state == "damaged" and not state.closed
        return ReadSession(
            path.name,
            state,
            (*remarks, *elsewhere),
            damaged,
            reading.records,
            verdict.exit_code,
            reading.sha256,
            tuple(clean(one, limit=400) for one in (*told, *elsewhere)),
        )

    def strip_of(self, key: str) -> tuple[StripBand, ...]:
        """The bands of a session as they were painted; none where nothing can be made of the file."""
        from studio.plan.preview import seen_strip
        from studio.session.bands import painted_with

        try:
            state = self.read(key).state
            return seen_strip(state.choices, painted_with(state))
        except Trouble:
            return ()

    def remark(self, key: str, text: str) -> None:
        """Add a remark after the record of a closed session, or a note to an open one."""
        from studio.session.commands import AddNote

        self.add_later(key, lambda state: AddNote(text))

    def waiting(self, *, refresh: bool = True) -> list[WaitingTest]:
        """Fastness tests that wait over the whole studio, the longest overdue first."""
        from studio.logbook.entry import Wanted
        from studio.session.kinds.fastness import WaitingTest

        if refresh:
            self.read_logbook()
        rows = self._logbook.search(Wanted(waiting=True), None)[0]
        found = [
            WaitingTest(key=row.key, title=row.title, test=test, due=due)
            for row in rows
            for test, due in row.waiting
        ]
        return sorted(found, key=lambda one: (one.due, one.key, one.test))

    def open_picture(self, path: str) -> str:
        """Hand a picture of the studio folder to the system's viewer; what was done, in a sentence."""
        from studio.services.exporting import open_picture

        return open_picture(self.folder.root, path)

    def add_later(self, key: str, command: Callable[[State], Command]) -> None:
        """Carry out a command on a session that is not at the bench; Trouble where it cannot be done."""
        from studio.store.repair import prepare_to_resume

        path = self.folder.newest_of(self.folder.session_path(key))
        with prepare_to_resume(path, self.clock.now(), self.folder.session_folders) as journal:
            running = Running(replay(journal.events), self.clock, journal)
            running.do(command(running.state))
            if running.waiting:
                told = f"{path.name} could not be written, so nothing was added: {running.trouble}."
                raise Trouble(told, CANNOT_SAVE)
        self.read_shelf_anew()

    def save_repeat(self, repeated: Repeated) -> str:
        """Save a repeat as a new plan of the shelf, told by its number from the one it repeats; its key."""
        from studio.plan.text import PlanText

        title = self.plan_files.numbered(repeated.plan.title)
        text = PlanText(repeated.text, name=title)
        text.write("", None, "title", title)
        return self.plan_files.save_as(title, text.text()).key


def _let_go(running: Running, journal: Journal) -> str:
    """What waits is tried once more, then put into another file, and as a last resort told as lines."""
    running.save_elsewhere()
    running.close()
    if not running.waiting:
        return running.moved
    last = "the last event" if running.waiting == 1 else f"the last {running.waiting} events"
    return f"{NOT_SAVED}: {last} of {running.name}. Keep these lines:\n{journal.last_resort()}"


def utc_offset_min(now: Reading) -> int:
    """Minutes this place is ahead of UTC at a reading of the clock."""
    offset = on_the_wall(now.wall_ns).utcoffset()
    return int(offset.total_seconds() // 60) if offset else 0


def host_hash() -> str:
    """A short hash that tells machines apart without naming them."""
    return f"{zlib.crc32(platform.node().encode()):08x}"


def _elsewhere_sentence(path: Path) -> str:
    """What to do about a session that had to go on outside the studio folder."""
    name, place = clean(path.name), without_home(clean(str(path.parent)))
    return (
        f"{name} is kept in {place}: the studio folder took nothing. Make room, then move it into sessions/."
    )


def _placed(row: LogbookRow, elsewhere: Path | None) -> LogbookRow:
    """With the folder the file is in, where that is none of the studio's own."""
    if elsewhere is None:
        return row
    return msgspec.structs.replace(row, about=f"{row.about}, kept in {without_home(str(elsewhere))}")
