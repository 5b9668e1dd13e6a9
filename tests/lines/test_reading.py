"""Which lines are commands and which are answers."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import studio.session
from studio.lines.commands import ALONE, BESIDE, HANDLERS, HELP, IN_A_QUESTION, Asked, nearest, read_line
from studio.lines.words import for_lines
from studio.session.asked import Refused, minutes_first, minutes_only
from studio.words.table import NAMED_KEY


@pytest.mark.parametrize(
    ("line", "word", "rest"),
    [
        ("note  the pot was late ", "note", "the pot was late"),
        ("NOTE x", "note", "x"),
        ("note", "note", ""),
        ("not measured scale is flat", "not measured", "scale is flat"),
        ("not\tmeasured", "not measured", ""),
        ("abandon it boiled dry", "abandon", "it boiled dry"),
        ("more 5 min late", "more", "5 min late"),
        ("leave", "leave", ""),
        ("time please", "time", "please"),
        ("packet in lantern", "packet in", "lantern"),
        ("Packet  out 2", "packet out", "2"),
        ("reading lid 97", "reading", "lid 97"),
    ],
)
def test_a_line_that_begins_with_a_command_word_is_that_command(line: str, word: str, rest: str) -> None:
    assert read_line(line) == Asked(word, rest)


@pytest.mark.parametrize(
    "line", ["41.5 g", "1 1/2", "7", "notes", "not sure", "give it up", "-3", "", "=", "é"]
)
def test_any_other_line_is_an_answer(line: str) -> None:
    assert read_line(line) is None


@pytest.mark.parametrize(
    "line",
    ["swatch tried first", "leave it damp, tried before", "undo is easy here", "why not", "help is near"],
)
def test_a_reason_may_begin_with_a_word_that_stands_alone(line: str) -> None:
    assert read_line(line, free_text=True) is None
    assert read_line(line) is not None


def test_every_word_has_a_handler_and_a_line_of_help() -> None:
    assert HANDLERS.keys() >= ALONE | BESIDE | IN_A_QUESTION
    for word in HANDLERS:
        assert word == "help" or any(line.startswith((f"{word}:", f"{word} ")) for line in HELP), word


def test_a_slip_is_answered_with_the_nearest_word() -> None:
    assert nearest("overide too long") == "override"
    assert nearest("listt") == "list"
    assert nearest("") == nearest("12") == nearest("zzzzz") == ""


def test_minutes() -> None:
    assert minutes_only("90 s") == pytest.approx(1.5)
    assert minutes_only("1 h 5 min") == 65
    assert minutes_first("2,5 slow kettle") == (2.5, "slow kettle")
    assert minutes_first("1 h pot went cold") == (60, "pot went cold")
    assert minutes_first("7") == (7, "")
    for wrong in ("", "soon", "-4", "nan", "1e9"):
        with pytest.raises(Refused):
            minutes_only(wrong)


def _sentences() -> list[str]:
    """Every piece of text in the session package that is no docstring."""
    found = []
    for path in sorted(Path(studio.session.__file__).parent.rglob("*.py")):
        tree = ast.parse(path.read_text())
        docs = {
            id(node.value)
            for node in ast.walk(tree)
            if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
        }
        found.extend(
            node.value
            for node in ast.walk(tree)
            if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in docs
        )
    return found


IN_WORDS = re.compile(
    r"\b[Pp]ress\b|\bEsc\b|\bone key\b|\bEnter\b|\b[A-Z] again\b|\bOr [A-Z] "
    r"|\([A-Z+](, then [A-Z])?\)"
)


def test_rules_name_keys_by_their_actions_and_lines_put_words_in_their_place() -> None:
    named = [s for s in _sentences() if NAMED_KEY.search(s)]
    assert len(named) >= 8, "the scan finds the sentences that name keys"
    assert [s for s in _sentences() if IN_WORDS.search(s)] == []
    assert [s for s in named if NAMED_KEY.search(for_lines(s))] == []
    assert for_lines("Too little in the jar Navy (K).") == "Too little in the jar Navy (K)."
