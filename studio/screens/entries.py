"""Entries beside the steps that are no note: each on a key of its own, each with its own field."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from textual.screen import Screen

from studio.screens.card import Card
from studio.screens.entry import Question
from studio.screens.questions import dropper_question, photo_question, pot_question, swatch_question

ASKED: dict[str, Callable[[], Question]] = {
    "photo": photo_question,
    "swatch": swatch_question,
    "dropper": dropper_question,
    "pot": pot_question,
}


class EntriesCard(Card, where="entries"):
    """Which of them; the pot's rest only where a pot has steamed."""

    def __init__(self, *, steamed: bool) -> None:
        self._steamed = steamed
        super().__init__("What is to be kept?")

    def steamed(self) -> bool:
        """Whether the pot has boiled some of its water off."""
        return self._steamed


def choose_entry(screen: Screen[Any], ask: Callable[[Question], object], *, steamed: bool) -> None:
    """Ask which entry it is, then for it."""

    def chosen(answer: str | None) -> None:
        if answer:
            ask(ASKED[answer]())

    screen.app.push_screen(EntriesCard(steamed=steamed), chosen)
