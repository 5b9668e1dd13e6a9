"""The shelf of one studio folder: looked at, changed, and drawn down by finished sessions."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import msgspec

from studio.plan.shelf import Shelf, folded
from studio.session.after.drawing_down import Taking, by_file, takings
from studio.shaping import shaped_json
from studio.shelf.adding import ASKED, Adding
from studio.shelf.editing import Change, EntryPlace, Mark, edited, jars_of, names_in, places
from studio.shelf.reading import read_shelf, read_texts
from studio.shelf.telling import ToldLine as Line
from studio.shelf.telling import lines_of_shelf
from studio.store.disk import THIS_DISK, Disk, StoreError
from studio.store.files import save_texts, tidy, write_whole
from studio.trouble import CANNOT_SAVE, Trouble

if TYPE_CHECKING:
    from studio.services.studio import Services


class ShelfSeen(msgspec.Struct, frozen=True):
    """The shelf as its files stood when they were read."""

    shelf: Shelf
    places: Mapping[tuple[str, str], EntryPlace]
    lines: tuple[Line, ...]
    texts: Mapping[str, str]
    """The files by name, by which it is known whether somebody changed one since."""


class DrawDown(msgspec.Struct, frozen=True):
    """What a finished session changes on the shelf, as it was seen."""

    session: str
    """Name of the session file without its ending."""
    title: str
    takings: tuple[Taking, ...]
    seen: ShelfSeen
    remarks: tuple[str, ...] = ()
    """What is wrong with the session file, if anything, one sentence each."""
    exit_code: int = 0
    """For its condition."""

    @property
    def open(self) -> tuple[Taking, ...]:
        """What is still to be decided and can be done."""
        return tuple(t for t in self.takings if t.open)


class ShelfBook:
    """The shelf files of a studio folder. Every call may raise Trouble."""

    def __init__(self, shared: Path, services: Services, disk: Disk = THIS_DISK) -> None:
        self._shared = shared
        self._services = services
        self._disk = disk

    def look(self) -> ShelfSeen:
        """Read anew, so that what was changed by hand meanwhile is seen; what a killed writer left is tidied up."""
        texts, unread = read_texts(self._shared)
        tidy(self._shared, texts, disk=self._disk)
        shelf = read_shelf(texts, unread, self._services.today())
        found = places(texts)
        return ShelfSeen(shelf, found, lines_of_shelf(shelf, found), texts)

    def change(self, seen: ShelfSeen, changes: Sequence[Change]) -> ShelfSeen:
        """Write changes to what was seen; the shelf as it is then.

        Trouble with nothing written where a change is refused, or where a file is no longer as it was seen.
        """
        texts = edited(seen.texts, changes)
        try:
            save_texts(self._shared, texts, seen.texts, disk=self._disk)
        finally:
            self._services.read_shelf_anew()
        return self.look()

    def unfinished(self, table: str) -> Adding | None:
        """A new entry that was left half answered; None where there is none that can be read."""
        try:
            found = shaped_json(self._half(table).read_bytes(), Adding)
        except (OSError, msgspec.MsgspecError):
            return None
        asked = ASKED.get(table, ())
        return (
            found
            if found.table == table and found.at in asked and {*found.typed, *found.done} <= {*asked}
            else None
        )

    def keep_unfinished(self, table: str, adding: Adding | None) -> None:
        """Keep what was answered of a new entry beside the shelf; None where it is done or not wanted."""
        try:
            if adding is None:
                self._half(table).unlink(missing_ok=True)
            else:
                write_whole(self._half(table), msgspec.json.encode(adding), True, disk=self._disk)
        except (OSError, StoreError) as problem:
            raise Trouble(f"What was answered cannot be kept for later: {problem}", CANNOT_SAVE) from problem

    def _half(self, table: str) -> Path:
        return self._shared / f".new-{table}.unfinished"

    def users(self, table: str, name: str) -> tuple[str, ...]:
        """Titles of plans, and names of jars, that use an entry."""
        wanted = (table, folded(name))
        plans = (self._services.plan_of(card.key) for card in self._services.plans() if card.readable)
        titles = (plan.title for plan in plans if wanted in names_in(plan))
        return (*titles, *jars_of(self.look().shelf, table, name))

    def drawing(self, key: str = "") -> DrawDown:
        """What a finished session changes on the shelf; of the newest finished one without a key."""
        found = self._services.closed_session(key)
        name = found.name.removesuffix(".jsonl")
        seen = self.look()
        taken = takings(found.state, name, seen.shelf)
        return DrawDown(name, found.state.title, taken, seen, found.told, found.exit_code)

    def take(self, drawn: DrawDown, chosen: Iterable[Taking]) -> DrawDown:
        """Carry out takings that were shown; what is then still open.

        Each file is written once, with its values and with the mark that they are done, so that whatever
        happens between two files nothing is taken twice and nothing is lost. A remark in the session tells
        of it.
        """
        wanted = [taking for taking in chosen if taking.open]
        return self._mark(drawn, wanted, [t.said for t in wanted], "Taken off the shelf: ")

    def leave(self, drawn: DrawDown, chosen: Iterable[Taking]) -> DrawDown:
        """Remember that takings are not wanted: the shelf is right without them."""
        wanted = [taking for taking in chosen if not taking.done]
        bare = [msgspec.structs.replace(taking, changes=()) for taking in wanted]
        return self._mark(drawn, bare, [t.name for t in wanted], "Left as it is on the shelf: ")

    def _mark(self, drawn: DrawDown, wanted: Sequence[Taking], told: Sequence[str], intro: str) -> DrawDown:
        if not wanted:
            return self.drawing(drawn.session)
        where = {key: place.file for key, place in drawn.seen.places.items()}
        changes: list[Change] = []
        for file, group in by_file(wanted, where).items():
            changes.extend(change for taking in group for change in taking.changes)
            ids = tuple(part for taking in group for part in taking.ids)
            changes.append(Mark(file=file, session=drawn.session, ids=ids))
        self.change(drawn.seen, changes)
        # A session that takes no remark (damaged, read-only) is no reason not to count what it used.
        with suppress(Trouble):
            self._services.remark(drawn.session, intro + "; ".join(told))
        return self.drawing(drawn.session)
