"""The one kind of refusal planning knows, and how foreign text stands in it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec

from studio.plaintext import clean
from studio.trouble import UNREADABLE, USAGE, Trouble

if TYPE_CHECKING:
    from studio.plan.fields import Field

MOST_QUOTED = 40
LONGEST_SENTENCE = 600


KeyPath = tuple[str | int, ...]
"""The way to a key of a file: `("dye", 2, "strength")` for `dye[2].strength`; a colour by its number or its name."""


def path_text(path: KeyPath) -> str:
    """The key as it stands in a file.

    >>> path_text(("dye", 2, "strength")), path_text(("colour", "rust", "mix", 1, "dye")), path_text(())
    ('dye[2].strength', 'colour.rust.mix[1].dye', '')
    """
    text = ""
    for part in path:
        text += f"[{part}]" if isinstance(part, int) else f".{part}" if text else part
    return text


class Term(msgspec.Struct, frozen=True):
    """A part of a refusal that is not the same for who looks at the file and for who looks at a screen."""

    file: str
    screen: str = ""
    path: KeyPath = ()
    """Of the key that is named: a screen says its label."""


def named(*path: str | int) -> Term:
    """Another key."""
    return Term(path_text(path), path=path)


def write(key: str, typed: str, toml: str = "") -> Term:
    """What to write there; toml: as the file has it, where that is no text in quotes.

    >>> write("form", "blank").file, write("rows", "220", "220").file, write("rows", "220", "220").screen
    ('form = "blank"', 'rows = 220', '220')
    """
    return Term(f"{key} = " + (toml or f'"{typed}"'), typed)


def table_named(name: str) -> Term:
    """Another table."""
    return Term(f"[{name}]", name)


IN_QUOTES = Term(" in quotes")
WITHOUT_QUOTES = Term(" without quotes")


class PlanError(Trouble, ValueError):
    """A plan or shelf entry that cannot be used.

    `str(error)` is one sentence for who looks at the file: the file, the key, and what to write instead; `studio.plan
    .screen_words` says it on a screen. Exit code 2.
    """

    path: KeyPath = ()
    """The key it is about, where there is one."""
    file: str = ""
    subject: str = ""
    """What the sentence speaks of in a file: the key, or the table that has no such key."""
    what: tuple[str | Term, ...] = ()
    """What is wrong with it; empty where the sentence is no sentence about a key."""
    exit_code = USAGE


class UnreadableFile(PlanError):
    """The disk did not give the file back; what is in it may be all right. Exit code 3."""

    exit_code = UNREADABLE


MISSING = "is missing; write for example "


def refuse(
    file: str, path: KeyPath, *what: str | Term, subject: str | None = None, instead: str = "", toml: str = ""
) -> PlanError:
    """The error for a key of a file; `subject` where the sentence is to speak of something else than the key.

    `instead`, `toml`: what to write for the key, at the end of the sentence, as `write` has it.

    >>> str(refuse("x.plan.toml", ("fibre", "form"), MISSING, instead="blank"))
    'x.plan.toml: fibre.form is missing; write for example form = "blank".'
    """
    subject = path_text(path) if subject is None else subject
    what = (*what, write(str(path[-1]), instead, toml), ".") if instead else what
    error = PlanError(_said(f"{clean(file, limit=80)}: ", subject, what))
    error.path, error.file, error.subject, error.what = path, file, subject, what
    return error


def in_file(problem: PlanError, place: str = "") -> str:
    """A refusal as one says it who looks at the file; `place` begins the sentence."""
    return _said(place, problem.subject, problem.what) if problem.what else str(problem)


def _said(place: str, subject: str, what: tuple[str | Term, ...]) -> str:
    told = "".join(part if isinstance(part, str) else part.file for part in what)
    return sentence(f"{place}{clean(subject, limit=80)}", told)


def sentence(head: str, told: str) -> str:
    """One sentence of what it is about and what is wrong there; `told` may go on with a colon.

    >>> sentence("rows", "is missing."), sentence("rows", ": 3x is no number."), sentence("", ": nothing is left.")
    ('rows is missing.', 'rows: 3x is no number.', 'nothing is left.')
    """
    head = head.rstrip(": ")
    gap = "" if told.startswith(":") else " "
    # Cleaned as a whole: a hint may quote a name from the file, too.
    return clean(f"{head}{gap}{told}" if head else told.lstrip(": "), limit=LONGEST_SENTENCE)


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


# A refusal in the words of the screen: fields by their labels, values as they are typed. The sentence of
# a refusal itself is for the command line, where a file is read and its keys are what is to be mended.


def on_screen(
    problem: PlanError, field: Field | None, label_of: Callable[[KeyPath], str], place: str = ""
) -> str:
    """The refusal as a screen says it of the field it is about; `place`: what it begins with, a file and its line.

    label_of: what the field of a key is called; empty where there is none.
    """
    if not problem.what:
        return str(problem)
    if field is None and problem.subject:
        return in_file(problem, place)
    about = _subject(problem.path, field, inside=bool(place)) if field is not None and problem.subject else ""
    told = "".join(part if isinstance(part, str) else _term(part, label_of) for part in problem.what)
    return sentence(f"{place}{about}", told)


def _subject(path: KeyPath, field: Field, *, inside: bool) -> str:
    *tables, where = [part for part in path if isinstance(part, str)]
    label = field.label if inside else label_in_sentence(field)
    if not tables and where != field.key:
        return where.capitalize()
    return label if where in (field.key, "dye") else f"{label}, {where}"


def _term(term: Term, label_of: Callable[[KeyPath], str]) -> str:
    return term.screen or (term.path and (label_of(term.path) or str(term.path[-1]))) or ""


def label_in_sentence(field: Field) -> str:
    """The label as it begins a sentence.

    >>> from studio.plan.fields import field_of
    >>> [label_in_sentence(field_of("presoak", key)) for key in ("practice", "target_ph", "time")]
    ['Published dose', 'Target pH', 'Time']
    """
    label = field.label
    return label if label[1:2].isupper() else f"{label[0].upper()}{label[1:]}"
