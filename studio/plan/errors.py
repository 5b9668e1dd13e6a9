"""The one kind of refusal planning knows, and how foreign text stands in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Protocol

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


# A refusal in the words of the screen: fields by their labels, values as they are typed. The sentence of
# a refusal itself is for the command line, where a file is read and its keys are what is to be mended.

_TABLE = re.compile(r"\b[a-z_]+ = (?:\{[^}]*\}|\[.*\])")
_TEXT = re.compile(r"\b[a-z_]+ = \"([^\"]*)\"")
_NUMBER = re.compile(r"\b[a-z_]+ = (?=[0-9])")
_BRACKETS = re.compile(r"\[\[?([a-z]+)\]\]?")
_KEY = re.compile(r"\b(?:[a-z]+\.)?[a-z]+(?:_[a-z]+)*\b")
_OF_THE_FILE = re.compile(r" (?:with a unit )?in quotes| without quotes")


class Named(Protocol):
    """A field of a screen."""

    @property
    def key(self) -> str: ...

    @property
    def label(self) -> str: ...

    @property
    def example(self) -> str: ...


def on_screen(problem: PlanError, field: Named | None, labels: Mapping[str, str]) -> str:
    """The refusal as a screen says it of the field it is about.

    labels: what other fields are called, by their keys, `target_ph` or `fibre.rows`.
    """
    if field is None or not problem.what:
        return str(problem)
    table, _, where = re.sub(r"\[[0-9]+\]", "", problem.key).rpartition(".")
    subject = label_in_sentence(field)
    if not table and where != field.key:
        subject = where.capitalize()
    elif where not in (field.key, "dye"):
        subject += f", {where}"
    told = _in_words(problem.what, field, labels)
    gap = "" if told.startswith(":") else " "
    return clean(f"{subject}{gap}{told}", limit=LONGEST_SENTENCE)


def label_in_sentence(field: Named) -> str:
    """The label as it begins a sentence: `or a practice` is a practice.

    >>> from studio.plan.draft.fields import field_of
    >>> [label_in_sentence(field_of("presoak", key)) for key in ("practice", "target_ph", "time")]
    ['A practice', 'Target pH', 'Time']
    """
    label = "the order of bands" if field.label == "bands" else field.label.removeprefix("or ")
    return label if label[1:2].isupper() else f"{label[0].upper()}{label[1:]}"


def _in_words(what: str, field: Named, labels: Mapping[str, str]) -> str:
    told = _TABLE.sub(field.example, what)
    told = _NUMBER.sub("", _TEXT.sub(r"\1", told))
    told = _OF_THE_FILE.sub("", _BRACKETS.sub(r"\1", told))
    # What is quoted is what somebody wrote: a name may look like a key.
    parts = re.split(r'("[^"]*")', told)
    return "".join(
        part if part.startswith('"') else _KEY.sub(lambda found: labels.get(found[0], found[0]), part)
        for part in parts
    )
