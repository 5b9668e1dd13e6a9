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
    subject: str = ""
    """What the sentence speaks of: the key, or the table that has no such key."""
    what: str = ""
    """What is wrong with it; empty where the sentence is no sentence about a key."""
    exit_code = 2


class UnreadableFile(PlanError):
    """The disk did not give the file back; what is in it may be all right. Exit code 3."""

    exit_code = 3


def refuse(file: str, key: str, what: str, *, subject: str = "") -> PlanError:
    """The error for a key of a file; `subject` where the sentence is to speak of something else than the key.

    >>> str(refuse("tide.plan.toml", "fibre.form", 'is missing; write for example form = "blank".'))
    'tide.plan.toml: fibre.form is missing; write for example form = "blank".'
    """
    error = PlanError(_said(f"{clean(file, limit=80)}: ", subject or key, what))
    error.key, error.file, error.subject, error.what = key, file, subject or key, what
    return error


def in_file(problem: PlanError, place: str = "") -> str:
    """A refusal as one says it who looks at the file; `place` begins the sentence."""
    return _said(place, problem.subject, problem.what) if problem.what else str(problem)


def _said(place: str, subject: str, what: str) -> str:
    gap = "" if what.startswith(":") else " "
    # Cleaned as a whole: a hint may quote a name from the file, too.
    return clean(f"{f'{place}{clean(subject, limit=80)}'.rstrip(': ')}{gap}{what}", limit=LONGEST_SENTENCE)


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
