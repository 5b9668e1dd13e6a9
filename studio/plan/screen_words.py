"""A refusal in the words of the screen: fields by their labels, values as they are typed.

The sentence of a refusal itself is for the command line, where a file is read and its keys are what is to be mended.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Protocol

from studio.plaintext import clean
from studio.plan.errors import LONGEST_SENTENCE, PlanError

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

    >>> from studio.plan.fields import field_of
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
