"""What the logbook keeps of one session file: a row to show, and the words it is found by."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from datetime import date
from pathlib import Path

import msgspec

from studio.plan.work.fibre import work_fibre
from studio.session.after.observing import Observed, observe
from studio.session.after.review import overridden, ratings
from studio.session.clock import Reading, day_of
from studio.session.folding import NotASession, replay
from studio.session.kinds.fastness import waiting_in
from studio.session.kinds.notes import PhotoAdded
from studio.session.path import current_step, place_of, stage_of
from studio.session.sheet import measured_now, value_now
from studio.session.state import State
from studio.store.copies import Part, mark_of, parts_of
from studio.store.disk import CannotRead, StoreError
from studio.store.reading import read_session

MOST_WORDS = 20_000
"""Different words that are kept of one session. House rule."""
LONGEST_WORD = 64
LONGEST_NAME = 400
LONGEST_TIME_ZONE_MIN = 24 * 60

_WORD = re.compile(r"[^\W_]+")


class LogbookRow(msgspec.Struct, frozen=True, kw_only=True):
    """One session, as lists show it."""

    key: str
    """Name of the file."""
    title: str
    opened_ns: int
    utc_offset_min: int = 0
    standing: str
    """`open`, `finished`, `abandoned`, `damaged`."""
    about: str
    rehearsal: bool = False
    plan_file: str = ""
    """Name of the plan file it was begun from; empty where its own file does not say."""
    dyes: tuple[str, ...] = ()
    colours: tuple[str, ...] = ()
    base: str = ""
    """The base of the shelf and the fibres of its blend, parted by commas."""
    method: str = ""
    ratings: dict[str, int] = {}
    """1 to 5, by what was rated."""
    dry_g: float = 0.0
    """What the dry fibre weighed, else was planned to weigh, in g; 0 where that is not known."""
    remark: str = ""
    """The newest note from the bench."""
    waiting: tuple[tuple[str, str], ...] = ()
    """Fastness tests that are planned and not yet graded: name and due day, 2026-10-10."""


class LogbookEntry(msgspec.Struct, frozen=True, kw_only=True):
    """A row, and what it is found by."""

    row: LogbookRow
    words: str = ""
    """Different words of title, notes, dyes, colours, cautions and reasons, folded by `words_of`."""
    lasting: bool = True
    """False where the file could not be opened: it is tried again next time."""
    observed: tuple[Observed, ...] = ()
    """What the session measured of the studio's habits."""
    last: str = ""
    """The mark of its last event (`store.copies.mark_of`)."""
    parts: tuple[Part, ...] = ()
    """The older files it goes on from."""

    @property
    def day(self) -> str:
        """The day it was opened, where it was opened: 2026-09-12."""
        return day_of(self.row.opened_ns, self.row.utc_offset_min).isoformat()

    @property
    def least_rating(self) -> int | None:
        """The lowest rating it was given; None where it was given none."""
        return min(self.row.ratings.values(), default=None)

    @property
    def due(self) -> str | None:
        """The first day one of its fastness tests is due; None where none waits."""
        return min((due for _, due in self.row.waiting), default=None)


def words_of(text: str) -> list[str]:
    """The words of a text without case and accents, at most 64 letters each.

    >>> words_of("Tang & Café, 3 pots: 'kelp-forest'")
    ['tang', 'cafe', '3', 'pots', 'kelp', 'forest']
    """
    plain = "".join(
        c for c in unicodedata.normalize("NFKD", text) if not unicodedata.category(c).startswith("M")
    )
    return [word[:LONGEST_WORD] for word in _WORD.findall(plain.casefold())]


def phrases(names: Iterable[str]) -> str:
    """Names as lines of folded words, each with a space before every word, to look for beginnings in.

    >>> phrases(["Food green", "studio rust"])
    ' food green\\n studio rust'
    """
    return "\n".join(phrase(name) for name in names)


def phrase(name: str) -> str:
    """The same for one name."""
    return "".join(f" {word}" for word in words_of(name[:LONGEST_NAME]))


def entry_of(path: Path) -> LogbookEntry:
    """What is kept of a session file; a damaged row, with the reason, where it cannot be followed."""
    try:
        reading = read_session(path)
        state = replay(reading.records)
        standing = "damaged" if reading.state == "damaged" else state.outcome or "open"
        bad = next((problem.text for problem in reading.problems if not problem.healed), "")
        entry = _entry(path.name, state, standing, bad if standing == "damaged" else _about(state))
        last, parts = mark_of(reading.records[-1]), parts_of(reading.records)
        return msgspec.structs.replace(entry, last=last, parts=parts)
    except (StoreError, NotASession) as problem:
        return _damaged(path, str(problem), lasting=not isinstance(problem, CannotRead))
    except (ArithmeticError, AttributeError, LookupError, TypeError, ValueError) as problem:
        # Lines that are whole but make no sense together: someone else wrote them.
        told = f"Its events cannot be followed ({type(problem).__name__}); potside verify tells more."
        return _damaged(path, told, lasting=True)


def _damaged(path: Path, told: str, *, lasting: bool) -> LogbookEntry:
    try:
        changed_ns = int(path.lstat().st_mtime) * 10**9
    except OSError:
        changed_ns = 0
    row = LogbookRow(key=path.name, title=path.name, opened_ns=changed_ns, standing="damaged", about=told)
    return LogbookEntry(row=row, words=_different([path.name]), lasting=lasting)


def _about(state: State) -> str:
    """One line: how it was rated, or at which step it stands."""
    if state.outcome:
        given = ratings(state)
        return ", ".join(f"{what} {value}" for what, value in given.items()) or state.outcome_why
    last = state.last
    step = current_step(state, Reading(last.wall_ns, last.boot_ns, last.boot_ns, last.boot))
    if step is None:
        return "all steps closed"
    stage = stage_of(state, step)
    return f"at {stage.stage} {place_of(stage, step)}"


def _entry(key: str, state: State, standing: str, about: str) -> LogbookEntry:
    plan, offset = state.choices.plan, state.utc_offset_min
    written = (dye for c in plan.colours for dye in (c.dye, *(part.dye for part in c.mix)))
    on_shelf = (stock.dye.name for colour in state.choices.colours for stock in colour.stocks)
    fibres = [fibre for fibre, _ in plan.fibre.blend] or _fibres(state)
    # As long as nothing was measured the weight is the plan's, and no sheet is worked for it.
    weight_g = value_now(state, "fibre.weight") if measured_now(state) else None
    row = LogbookRow(
        key=key,
        title=state.title,
        opened_ns=state.opened.wall_ns,
        utc_offset_min=offset if abs(offset) <= LONGEST_TIME_ZONE_MIN else 0,
        standing=standing,
        about=about,
        rehearsal=state.rehearsal_speed is not None,
        plan_file=state.plan_file,
        dyes=tuple(dict.fromkeys(filter(None, (*on_shelf, *written)))),
        colours=tuple(dict.fromkeys(colour.name for colour in plan.colours)),
        base=", ".join(filter(None, (plan.fibre.base, *fibres))),
        method=plan.method,
        ratings=ratings(state),
        dry_g=weight_g or state.choices.dry_g,
        remark=next((n.text[:LONGEST_NAME] for n in reversed(state.notes) if not n.addendum), ""),
        waiting=waiting_in(state),
    )
    return LogbookEntry(row=row, words=_different(_told(state, row)), observed=observe(state))


def _told(state: State, row: LogbookRow) -> Iterator[str]:
    """Every text a session may be remembered by."""
    yield from (row.title, row.key, row.base, row.method, *row.dyes, *row.colours, state.outcome_why)
    yield from (note.text for note in state.notes)
    yield from (photo.event.text for photo in state.kept(PhotoAdded))
    yield from (grade.note for test in state.follow_ups for grade in test.grades)
    yield from state.accepted.values()
    yield from (record.why for _, record in overridden(state))
    yield from (caution.text for caution in state.worksheet.cautions)


def _different(texts: Iterable[str]) -> str:
    words = dict.fromkeys(word for text in texts for word in words_of(text))
    return " ".join(list(words)[:MOST_WORDS])


def _fibres(state: State) -> tuple[str, ...]:
    """The fibres of a base from the shelf, as the plan counted them; none of choices that nothing follows from."""
    try:
        return work_fibre(state.choices).taken
    except ValueError:
        return ()


# What is looked for in the logbook: words and filters, and the plain meaning of each.

LONGEST_TYPED = 2_000
MOST_WORDS_LOOKED_FOR = 32
"""Words beyond these narrow nothing. House rule."""


class Wanted(msgspec.Struct, frozen=True, kw_only=True):
    """A search; everything that is given must hold."""

    text: str = ""
    """Every word must begin a word of the session."""
    dye: str = ""
    """The words, one after the other, stand in one dye's name; the last may be a beginning."""
    base: str = ""
    method: str = ""
    least_rating: int | None = None
    """No rating is lower, and there is at least one."""
    since: date | None = None
    until: date | None = None
    """Opened on that day or before, by the clock of the place."""
    unfinished: bool = False
    """Still open."""
    waiting: bool = False
    """A fastness test is planned and not yet graded."""

    @property
    def words(self) -> list[str]:
        """The words of the text, folded as the logbook folds its own."""
        return list(dict.fromkeys(words_of(self.text[:LONGEST_TYPED])))[:MOST_WORDS_LOOKED_FOR]

    @property
    def hopeless(self) -> bool:
        """Whether something was asked for that holds no letter and no digit, and so is found nowhere."""
        return any(
            part.strip() and not phrase(part[:LONGEST_TYPED])
            for part in (self.text, self.dye, self.base, self.method)
        )
