"""What a front end may ask of one studio folder: its plans, its sessions and the clock, joined."""

from __future__ import annotations

import hashlib
import os
import platform
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING

from studio import __version__
from studio.exit_codes import PROBLEM, UNREADABLE
from studio.screens.needs import BaseCard, ReadBack, SessionCard, Worked
from studio.services.follow_up import add_later, waiting_in_studio
from studio.services.habits import HabitServices
from studio.services.pictures import open_picture
from studio.services.session_cards import session_card, told_elsewhere
from studio.services.shelf import ShelfBook
from studio.session import commands as c
from studio.session.clock import Clock, FastClock, Reading
from studio.session.events import Event
from studio.session.folding import NotASession, replay
from studio.session.follow_up_waiting import WaitingTest
from studio.session.opening import MayNotBegin, opening, rehearsal_origin
from studio.session.run import Running
from studio.session.state import State
from studio.store.copies import odd_sentence
from studio.store.errors import ReadOnlySession, StoreError
from studio.store.folder import StudioFolder
from studio.store.journal import Journal
from studio.store.keeper import JournalKeeper
from studio.store.logbook import Logbook
from studio.store.reading import read_session
from studio.store.repair import continue_in_new_file, prepare_to_resume
from studio.store.session_stamps import Progress, Stop, never, unheard
from studio.store.system_clock import SystemClock, on_the_wall
from studio.store.verify import judge
from studio.store.wanted import Wanted
from studio.trouble import Look, Trouble

if TYPE_CHECKING:
    from studio.plan.repeating import Repeated

NOT_SAVED = "NOT SAVED"
"""How a sentence begins that tells of entries on no disk."""
REHEARSED_PLAN = "tidewrack-stripes.plan.toml"


@dataclass(frozen=True, slots=True)
class FoundSession:
    """A session file read whole."""

    name: str
    state: State
    events: Sequence[Event]
    remarks: tuple[str, ...]
    exit_code: int
    may_continue: bool = False
    """Damaged before its end: it can go on from what is whole, in a new file."""


def open_services(look: Look) -> Services:
    """Services on the studio folder that was asked for; Trouble where it cannot be used."""
    try:
        folder = StudioFolder.find(look.studio_dir, starter=starter_shelf)
        return Services(folder, SystemClock())
    except StoreError as problem:
        raise Trouble(str(problem), problem.exit_code) from problem


def starter_shelf() -> dict[str, bytes]:
    """The files of a first studio: the shelf and plans that the package brings along."""
    found = {}
    root = files("studio") / "starter"
    for entry in (*root.iterdir(), *(root / "plans").iterdir()):
        if entry.name.endswith(".toml"):
            below = "shared/plans" if entry.name.endswith(".plan.toml") else "shared"
            found[f"{below}/{entry.name}"] = entry.read_bytes()
    return found


class Services(HabitServices):
    """Implements `screens.needs.AnyServices` on a studio folder."""

    def __init__(self, folder: StudioFolder, clock: Clock) -> None:
        super().__init__(folder, Logbook(folder, _about))
        self.clock = clock
        self._running: Running | None = None
        self._keeper: JournalKeeper | None = None
        self._left = ""
        """What must still be said of sessions that were let go of."""

    def today(self) -> str:
        """The day it is here, by which jars are old or not."""
        return on_the_wall(self.clock.now().wall_ns).date().isoformat()

    @property
    def shelf_book(self) -> ShelfBook:
        """The shelf files, to look at and to change."""
        return ShelfBook(self.folder.shared, self)

    def closed_session(self, key: str) -> tuple[str, State]:
        """Name without its ending, and state, of a session; of the newest finished one without a key."""
        if not key:
            done = (c for c in self.sessions() if c.standing == "finished" and not c.rehearsal)
            card = next(done, None)
            if card is None:
                raise Trouble("No session is finished yet, so nothing comes off the shelf.")
            key = card.key
        found = self.read_whole(key)
        return found.name.removesuffix(".jsonl"), found.state

    def odd_files(self) -> dict[str, str]:
        """Session-like files that are not ours, such as copies made by a file sync: what to do about each."""
        try:
            odd = self.folder.odd_files()
            names = {path.name for path in self.folder.session_paths()} if odd else set()
        except StoreError as problem:
            raise Trouble(str(problem), problem.exit_code) from problem
        return {path.name: odd_sentence(path.name, names) for path in odd}

    def kept_elsewhere(self) -> list[str]:
        """What to do about each session that had to go on outside the studio folder."""
        return [told_elsewhere(path) for path in self.folder.spare_paths()]

    # -- sessions --------------------------------------------------------------------------------

    def begin(self, worked: Worked) -> Running:
        """A new session file, opened and on disk."""
        return self._open(worked, self.clock, None, None)

    def rehearse(
        self,
        speed: float = 60.0,
        clock: Clock | None = None,
        origin: Reading | None = None,
        plan: Path | None = None,
        worked: Worked | None = None,
    ) -> Running:
        """A new session on the sample plan, or on another, with a fast clock; marked as a rehearsal."""
        worked = worked or self.work_out_file(plan or self._rehearsed_plan())
        if clock is None:
            fast = FastClock(self.clock, speed)
            clock, origin = fast, fast.origin
        return self._open(worked, clock, speed, origin)

    def _rehearsed_plan(self) -> Path:
        path = self.folder.shared / "plans" / REHEARSED_PLAN
        if path.exists():
            return path
        cards = [card for card in self.plans() if card.readable]
        if not cards:
            raise Trouble(f"There is no plan to rehearse with; put one into {self.folder.shared / 'plans'}.")
        return Path(cards[0].key)

    def _open(self, worked: Worked, clock: Clock, speed: float | None, origin: Reading | None) -> Running:
        offset = utc_offset_min(clock.now())
        try:
            draft = opening(
                worked.worksheet,
                worked.plan_text,
                choices=self.choices_of(worked.plan_text),
                program=__version__,
                pid=os.getpid(),
                host=host_hash(),
                utc_offset_min=offset,
                speed=speed,
                origin=origin,
            )
            self.folder.check_writable()
            journal = Journal.create(
                self.folder.sessions, worked.worksheet.title, draft.data, clock.now(), utc_offset_min=offset
            )
        except MayNotBegin as problem:
            raise Trouble(str(problem), PROBLEM) from problem
        except StoreError as problem:
            raise Trouble(str(problem), problem.exit_code) from problem
        return self._hold(journal, clock)

    def _hold(self, journal: Journal, clock: Clock) -> Running:
        self._left = self.let_go()
        self._keeper = JournalKeeper(journal, self.folder.session_folders)
        self._running = Running(replay(journal.records), clock, self._keeper)
        return self._running

    def resume(self, key: str, *, anew: bool = False) -> Running:
        """A session that was left open, in the newest of its files; a torn last line is set aside first.

        anew: a damaged one goes on from what is whole, in a new file.
        """
        if self._running is not None and self._running.waiting and key == self._running.name:
            return self._running  # no disk has taken it yet: it is nowhere but here
        try:
            path = self.folder.newest_of(self.folder.session_path(key))
            reading = read_session(path)
            first = reading.first
            origin = rehearsal_origin(first.data) if first and reading.can_open else None
            clock: Clock = FastClock(self.clock, *origin) if origin else self.clock
            go_on = continue_in_new_file if anew and reading.state == "damaged" else prepare_to_resume
            journal = go_on(path, clock.now())
        except ReadOnlySession as problem:
            how = f" To go on from what is whole, in a new file: potside resume {path.name} --continue."
            hint = how if problem.may_continue else ""
            raise Trouble(f"{problem}{hint}", problem.exit_code) from problem
        except StoreError as problem:
            raise Trouble(str(problem), problem.exit_code) from problem
        try:
            running = self._hold(journal, clock)
            if running.state.closed:
                raise Trouble(f"{path.name} is {running.state.outcome}; potside show {path.name} reads it.")
            running.do(c.Resume(os.getpid(), __version__))
        except (NotASession, Trouble) as problem:
            journal.close()
            raise Trouble(str(problem), getattr(problem, "exit_code", UNREADABLE)) from problem
        return running

    def newest_open(self) -> str:
        """Key of the newest session that is still open; Trouble where there is none."""
        for card in self.find(unfinished=True, limit=1)[0]:
            return card.key
        raise Trouble("No session is open; potside begin PLAN starts one.")

    def sessions(self) -> list[SessionCard]:
        """All sessions, newest first."""
        return self.find(limit=None)[0]

    def read_logbook(self, progress: Progress = unheard, stop: Stop = never) -> int:
        """Read the session files that are new or changed, until `stop()`; how many are left to be read."""
        try:
            return self._logbook.refresh(progress, stop).left
        except StoreError as problem:
            raise Trouble(str(problem), problem.exit_code) from problem

    def find(
        self,
        text: str = "",
        *,
        dye: str = "",
        base: str = "",
        method: str = "",
        least_rating: int | None = None,
        since: date | None = None,
        until: date | None = None,
        unfinished: bool = False,
        limit: int | None = 500,
        refresh: bool = True,
    ) -> tuple[list[SessionCard], int]:
        """Sessions that meet all that is given (`store.wanted`), newest first, and how many there are in all.

        Without `refresh` no session file is looked at: what `read_logbook` took in is searched.
        """
        wanted = Wanted(
            text=text,
            dye=dye,
            base=base,
            method=method,
            least_rating=least_rating,
            since=since,
            until=until,
            unfinished=unfinished,
        )
        if refresh:
            self.read_logbook()
        try:
            rows, total = self._logbook.search(wanted, limit)
        except StoreError as problem:
            raise Trouble(str(problem), problem.exit_code) from problem
        elsewhere = {path.name: path.parent for path in self.folder.spare_paths()}
        return [session_card(row, elsewhere.get(row.key)) for row in rows], total

    def read_whole(self, key: str) -> FoundSession:
        """A session file with its events and whatever is wrong with it."""
        try:
            path = self.folder.session_path(key)
            reading = read_session(path)
            verdict = judge(reading)
            state = replay(reading.records)
        except StoreError as problem:
            raise Trouble(str(problem), problem.exit_code) from problem
        except NotASession as problem:
            raise Trouble(str(problem), UNREADABLE) from problem
        remarks = () if verdict.state == "clean" else verdict.sentences
        if path in self.folder.spare_paths():
            remarks = (*remarks, told_elsewhere(path))
        damaged = verdict.state == "damaged" and not state.closed
        return FoundSession(path.name, state, reading.records, remarks, verdict.exit_code, damaged)

    def read(self, key: str) -> ReadBack:
        """The same for a screen."""
        found = self.read_whole(key)
        return ReadBack(found.name, found.state, found.remarks, found.may_continue)

    def remark(self, key: str, text: str) -> None:
        """Add a remark after the record of a closed session, or a note to an open one."""
        self.add_later(key, lambda state: c.AddNote(text))

    def waiting(self, *, refresh: bool = True) -> list[WaitingTest]:
        """Fastness tests that wait over the whole studio, the longest overdue first."""
        if refresh:
            self.read_logbook()
        return waiting_in_studio(self._logbook)

    def open_picture(self, path: str) -> str:
        """Hand a picture of the studio folder to the system's viewer; what was done, in a sentence."""
        return open_picture(self.folder.root, path)

    def add_later(self, key: str, command: Callable[[State], c.Command]) -> None:
        """Carry out a command on a session that is not at the bench; Trouble where it cannot be done."""
        add_later(self.folder, self.clock, key, command)
        self.ask_habits_anew()

    def bases(self) -> list[BaseCard]:
        """Bases of the shelf that a session can be repeated on."""
        from studio.services.repeats import base_cards

        return base_cards(self.shelf)

    def repeated(self, key: str, weight: str, base: str) -> Repeated:
        """A session as it was really done, at a typed weight and on a base; empty for its own."""
        from studio.services.repeats import repeat_session_as

        found = self.read_whole(key)
        return repeat_session_as(found.name, found.state, self.shelf, weight=weight, base=base)

    def save_repeat(self, repeated: Repeated) -> str:
        """Save a repeat as a new plan of the shelf; its key."""
        from studio.services.repeats import save_as_new_plan

        return str(save_as_new_plan(repeated, self.folder.shared / "plans"))

    def let_go(self) -> str:
        """Release the session file, if one is held; what must be said of entries that are not in it."""
        running, keeper, told = self._running, self._keeper, self._left
        self._running = self._keeper = None
        self._left = ""
        self.ask_habits_anew()
        if running is None or keeper is None:
            return told
        return "\n".join(filter(None, (told, _let_go(running, keeper))))


def _let_go(running: Running, keeper: JournalKeeper) -> str:
    """What waits is tried once more, then put into another file, and as a last resort told as lines."""
    running.save_elsewhere()
    running.close()
    if not running.waiting:
        return running.moved
    last = "the last event" if running.waiting == 1 else f"the last {running.waiting} events"
    return f"{NOT_SAVED}: {last} of {running.name}. Keep these lines:\n{keeper.last_resort()}"


def _about(state: State) -> str:
    from studio.session.path import current_step, stage_of
    from studio.session.review import ratings

    if state.outcome:
        given = ratings(state)
        return ", ".join(f"{what} {value}" for what, value in given.items()) or state.outcome_why
    last = state.last
    step = current_step(state, Reading(last.wall_ns, last.boot_ns, last.boot_ns, last.boot))
    stage = stage_of(state, step.id) if step else None
    if step is None or stage is None:
        return "all steps closed"
    place = [s.id for s in stage.steps].index(step.id) + 1
    return f"at {stage.stage} {place} of {len(stage.steps)}"


def utc_offset_min(now: Reading) -> int:
    """Minutes this place is ahead of UTC at a reading of the clock."""
    offset = on_the_wall(now.wall_ns).utcoffset()
    return int(offset.total_seconds() // 60) if offset else 0


def host_hash() -> str:
    """A short hash that tells machines apart without naming them."""
    return hashlib.sha256(platform.node().encode()).hexdigest()[:8]
