"""The one kind of refusal planning knows, and how foreign text stands in it."""

from __future__ import annotations

from studio.plaintext import clean

MOST_QUOTED = 40
LONGEST_SENTENCE = 600


class PlanError(ValueError):
    """A plan or shelf entry that cannot be used.

    `str(error)` is one sentence: the file, the key, and what to write instead. Exit code 2.
    """

    key: str = ""
    """The key it is about, `dye[2].strength`, where there is one."""
    file: str = ""
    what: str = ""
    """What is wrong with it; empty where the sentence is no sentence about a key."""
    exit_code = 2


class UnreadableFile(PlanError):
    """The disk did not give the file back; what is in it may be all right. Exit code 3."""

    exit_code = 3


def refuse(file: str, key: str, what: str) -> PlanError:
    """The error for a key of a file.

    >>> str(refuse("tide.plan.toml", "fibre.form", 'is missing; write for example form = "blank".'))
    'tide.plan.toml: fibre.form is missing; write for example form = "blank".'
    """
    place = f"{clean(file, limit=80)}: {clean(key, limit=80)}"
    gap = "" if what.startswith(":") else " "
    # Cleaned as a whole: a hint may quote a name from the file, too.
    error = PlanError(clean(f"{place.rstrip(': ')}{gap}{what}", limit=LONGEST_SENTENCE))
    error.key, error.file, error.what = key, file, what
    return error


def quoted(value: object) -> str:
    """A value of the file as a sentence may carry it: short, on one line, harmless to a terminal.

    >>> quoted("a" * 60)
    '"aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa…"'
    >>> quoted(7)
    '7'
    """
    if isinstance(value, str):
        return f'"{clean(value, limit=MOST_QUOTED)}"'
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return clean(_number(value), limit=MOST_QUOTED)
    if isinstance(value, dict | list):
        return "a table" if isinstance(value, dict) else "a list"
    return "a date"


def _number(value: float) -> str:
    # An integer of thousands of digits refuses to become text at all.
    return "a huge number" if isinstance(value, int) and abs(value) > 10**30 else str(value)
