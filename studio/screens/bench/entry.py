"""The line where a value, a word, a reason or a note is typed."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Input, Static

from studio.plaintext import clean
from studio.trouble import Trouble
from studio.words.actions import REASON, WORDS, Question
from studio.words.table import spoken


class EntryField(Input):
    """Enter answers at once: the next letter may answer the next question.

    That it has the focus is told it after the first keys of a burst are in it, so that selects nothing.
    """

    async def action_submit(self) -> None:
        self.query_ancestor(Entry).submit(self.value)

    def watch_has_focus(self, _has_focus: bool) -> None:
        """It looks alike with the focus and without: its styles are not worked out anew on the way to a paint."""


class Entry(Vertical):
    """Hidden until something is asked. Text in progress is never lost to an alarm or a refusal."""

    class Stands(Message):
        """A question stands, or the next one."""

    class Closed(Message):
        """Nothing is asked any more: it was answered, or Esc was pressed."""

        def __init__(self, *, answered: bool) -> None:
            super().__init__()
            self.answered = answered

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "unanswered", show=False)]

    question: Question | None = None
    _before: Widget | None = None
    """What had the focus before something was asked."""

    def __init__(self, last: Callable[[object], object] | None = None) -> None:
        """`last` is called with what the last question gives, a command say; it may refuse it as well."""
        super().__init__(id="entry")
        self._last = last

    def lay(self) -> None:
        """Its field, once: on the way to a first paint that takes as long as half a page."""
        if not self.children:
            self.mount(
                Static(id="entry-label", markup=False),
                EntryField(id="entry-text", compact=True, select_on_focus=False),
                Static(id="entry-trouble", markup=False),
            )

    def on_mount(self) -> None:
        self.display = False

    def ask(self, question: Question) -> None:
        """Show the line with a question and put the cursor there."""
        self.lay()
        afresh = self.question is None
        if afresh:
            self._before = self.screen.focused
        self.question = question
        self.query_one("#entry-label", Static).update(
            Content.styled(clean(question.label, limit=700), "$focus")
        )
        self.say("")
        box = self.query_one(Input)
        box.value = question.typed or question.initial
        box.cursor_position = len(box.value)
        if afresh and not question.typed:
            box.select_all()  # What is typed first takes the place of what is proposed.
        self.display = True
        self.post_message(self.Stands())
        self.screen.set_focus(box)  # At once: the very next key is meant for it.

    def say(self, sentence: str) -> None:
        """Why the answer was not taken; what was typed stays."""
        trouble = self.query_one("#entry-trouble", Static)
        trouble.update(Content.styled(clean(spoken(sentence), limit=500), "$danger"))
        trouble.display = bool(sentence)

    def close(self) -> None:
        """Hide the line; what had the focus has it again."""
        self.question = None
        self.display = False
        self.screen.set_focus(self._before)

    @property
    def is_asking(self) -> bool:
        """Whether a question stands."""
        return self.question is not None

    @property
    def half_typed(self) -> str:
        """What stands in the line and was not entered, after its question; else empty."""
        if self.question is None:
            return ""
        text = self.query_one(Input).value.strip()
        begun = text not in ("", self.question.initial.strip())
        return f"{clean(self.question.label, limit=100)}: {text}" if begun else ""

    @property
    def typed_value(self) -> str:
        """The number that stands in the line so far; empty where it is none, or where words are asked for."""
        asked = self.question is not None and self.question.takes not in (WORDS, REASON)
        text = self.query_one(Input).value.strip() if asked else ""
        return text if text and all(sign in "0123456789.,-+ " for sign in text) else ""

    def keep_half_typed(self) -> None:
        """Where there is a record, it is kept there: the line is being left."""

    def put(self, text: str) -> None:
        """Type that in place of what stands there; where it stands there already, answer with it."""
        box = self.query_one(Input)
        if box.value == text:
            self.submit(text)
        else:
            box.value, box.cursor_position = text, len(text)

    def submit(self, text: str) -> None:
        """Answer what is asked."""
        if self.question is not None:
            self.take(self.question, text)

    def take(self, question: Question, text: str) -> None:
        """Answer it: ask on, or close; where it cannot be taken say why, and what was typed stays."""
        try:
            after = question.answer(text)
            if self._last is not None and not isinstance(after, Question):
                self._last(after)
        except (Trouble, ValueError) as problem:
            self.say(str(problem))
            return
        if isinstance(after, Question):
            self.ask(after)
        else:
            self.close()
            self.post_message(self.Closed(answered=True))

    def action_unanswered(self) -> None:
        if self.is_asking:
            self.close()
            self.post_message(self.Closed(answered=False))
