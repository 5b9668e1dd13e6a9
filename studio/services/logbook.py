"""What may be asked of the sessions of one studio that are not at the bench: listed, found, read, added to."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

import msgspec

from studio.plaintext import clean, without_home
from studio.services.plans import PlanServices
from studio.session.folding import replay
from studio.session.run import Running
from studio.store.journal import JournalKeeper
from studio.trouble import CANNOT_SAVE, Trouble

if TYPE_CHECKING:
    from studio.logbook.entry import LogbookRow
    from studio.plan.preview import StripBand
    from studio.plan.repeat.repeating import Repeated
    from studio.session.after.review import ReadSession
    from studio.session.commands import Command
    from studio.session.kinds.fastness import WaitingTest
    from studio.session.state import State


class LogbookServices(PlanServices):
    """Plans, and the sessions as their files hold them. Every call may raise Trouble."""

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

    def read_logbook(self, *heard: Any) -> int:
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
        with prepare_to_resume(path, self.clock.now()) as journal:
            keeper = JournalKeeper(journal, self.folder.session_folders)
            running = Running(replay(journal.records), self.clock, keeper)
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
