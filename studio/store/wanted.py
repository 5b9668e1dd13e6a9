"""What is looked for in the logbook: words and filters, and the plain meaning of each."""

from __future__ import annotations

from datetime import date

import msgspec

from studio.store.logbook_entry import LogbookEntry, phrase, phrases, words_of

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


def meets(entry: LogbookEntry, wanted: Wanted) -> bool:
    """Whether an entry meets a search, worked out without any index."""
    row = entry.row
    kept = entry.words.split(" ")
    lowest = entry.least_rating
    return (
        not wanted.hopeless
        and all(any(word.startswith(begun) for word in kept) for begun in wanted.words)
        and phrase(wanted.dye) in phrases(row.dyes)
        and phrase(wanted.base) in phrases(row.base.split(", "))
        and phrase(wanted.method) in phrase(row.method)
        and (wanted.least_rating is None or (lowest is not None and lowest >= wanted.least_rating))
        and (wanted.since is None or entry.day >= wanted.since.isoformat())
        and (wanted.until is None or entry.day <= wanted.until.isoformat())
        and (not wanted.unfinished or row.standing == "open")
        and (not wanted.waiting or entry.due is not None)
    )
