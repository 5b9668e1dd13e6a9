"""Pages of keys over another screen: the key card, and a question with each answer on a key of its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from studio.plaintext import clean
from studio.screens.draw.keys import key_rows
from studio.screens.keyed import KeyedModal, KeyLine
from studio.words.actions import Action
from studio.words.table import rows_of


class Page(KeyedModal[str]):
    """What stands above, then keys with what they do."""

    def __init__(self, above: Sequence[Content], keys: Sequence[Action]) -> None:
        super().__init__()
        self.above = above
        self.keys_told = keys

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card"):
            yield Static(id="card-text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """All of it at the present width."""
        width = max(30, self.size.width)
        above = [line.pad_left(1) for part in self.above for line in part.wrap(width - 3)]
        lines = [*above, *key_rows(self.keys_told, width)]
        self.query_one("#card-text", Static).update(Content("\n").join(lines))


class KeyCardScreen(Page, where="card"):
    """Read and close; the keys on it hold on the screen below."""

    ELSE: ClassVar[str] = "Esc goes back to where this key works."

    def __init__(self, keys: Sequence[Action]) -> None:
        super().__init__((), keys)


class Card(Page):
    """A question. Gives the answer that was chosen, or an empty text for none."""

    def __init__(self, question: str, *more: Content) -> None:
        asked = Content.styled(clean(question, limit=400), "bold $text")
        everywhere = rows_of("any")
        answers = [row for row in rows_of(self.WHERE) if row not in everywhere and self._does(row)]
        super().__init__((asked, *more, Content("")), answers)

    def action_answer(self, answer: str) -> None:
        self.dismiss(answer)

    def action_leave(self) -> None:
        self.dismiss("")
