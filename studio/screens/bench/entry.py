"""The line where a value, a word, a reason or a note is typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import msgspec
from textual import events
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widgets import Input, Static

from studio.plaintext import clean
from studio.words.table import spoken

if TYPE_CHECKING:
    from studio.session import commands as c


class Question(msgspec.Struct, frozen=True):
    """What is being asked, and what is to be done with the answer."""

    label: str
    answer: Callable[[str], c.Command | Question]
    """Called with the text: the command it becomes, or the next question; Refused where it cannot be taken."""
    initial: str = ""
    typed: str = ""
    """By the key that opened the field; what is typed next goes on from it."""
    takes: str = "Words"
    """What the field takes, for the line at the foot: `Grams`."""


class EntryField(Input):
    """Takes Enter and Backspace in their turn among the letters, however fast they come."""

    async def _on_key(self, event: events.Key) -> None:
        if event.key not in ("enter", "backspace"):
            await super()._on_key(event)
            return
        event.stop()
        if event.key == "enter":
            await self.action_submit()
        else:
            self.action_delete_left()


class Entry(Vertical):
    """Hidden until something is asked. Text in progress is never lost to an alarm or a refusal."""

    class Answered(Message):
        """Enter was pressed."""

        def __init__(self, question: Question, text: str) -> None:
            super().__init__()
            self.question = question
            self.text = text

    class Closed(Message):
        """Esc was pressed."""

    question: Question | None = None

    def compose(self) -> ComposeResult:
        yield Static(id="entry-label", markup=False)
        yield EntryField(id="entry-text", compact=True)
        yield Static(id="entry-trouble", markup=False)

    def on_mount(self) -> None:
        self.display = False

    def ask(self, question: Question) -> None:
        """Show the line with a question and put the cursor there."""
        self.question = question
        self.query_one("#entry-label", Static).update(
            Content.styled(f" {clean(question.label, limit=700)}", "$focus")
        )
        self.say("")
        box = self.query_one(Input)
        box.select_on_focus = not question.typed
        box.value = question.typed or question.initial
        box.cursor_position = len(box.value)
        self.display = True
        self.screen.set_focus(box)  # At once: the very next key is meant for it.

    def say(self, sentence: str) -> None:
        """Why the answer was not taken; what was typed stays."""
        trouble = self.query_one("#entry-trouble", Static)
        trouble.update(Content.styled(f" {clean(spoken(sentence), limit=500)}", "$danger"))
        trouble.display = bool(sentence)

    def close(self) -> None:
        """Hide the line."""
        self.question = None
        self.display = False

    @property
    def is_asking(self) -> bool:
        """Whether a question stands."""
        return self.question is not None

    @property
    def half_typed(self) -> str:
        """What stands in the line and was not entered, after its question; else empty."""
        text = self.query_one(Input).value.strip()
        if self.question is None or text in ("", self.question.initial.strip()):
            return ""
        return f"{clean(self.question.label, limit=100)}: {text}"

    def on_input_submitted(self, event: Input.Submitted) -> None:
        event.stop()
        if self.question is not None:
            self.post_message(self.Answered(self.question, event.value))

    def on_key(self, event: events.Key) -> None:
        if event.key == "escape" and self.is_asking:
            event.stop()
            self.close()
            self.post_message(self.Closed())
