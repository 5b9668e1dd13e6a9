"""A question with a few answers, each on a key of its own; and the page of keys of the plan screen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from studio.plaintext import clean

KEY_NAMES = {"escape": "Esc", "enter": "Enter"}


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer."""

    key: str
    told: str


class Card(ModalScreen[str]):
    """Gives the key that was chosen."""

    def __init__(self, question: str, choices: Sequence[Choice]) -> None:
        super().__init__()
        self.question = question
        self.choices = choices

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card"):
            yield Static(id="card-text", markup=False)

    def on_mount(self) -> None:
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """Question and answers at the present width."""
        asked = Content.styled(clean(self.question, limit=400), "bold $text")
        width = max(30, self.size.width)
        lines = [line.pad_left(1) for line in asked.wrap(width - 3)]
        for choice in self.choices:
            key = KEY_NAMES.get(choice.key, choice.key.upper())
            lines.append(Content(""))
            lines.extend(_beside(f"   {key:<6}", choice.told, width))
        self.query_one("#card-text", Static).update(Content("\n").join(lines))

    def on_key(self, event: events.Key) -> None:
        if any(choice.key == event.key.lower() for choice in self.choices):
            event.stop()
            self.dismiss(event.key.lower())


KEYS = (
    ("up, down", "choose a field"),
    ("left, right", "choose a section"),
    ("Enter", "type into the field; Enter, up or down takes it, Esc leaves it as it was"),
    ("down", "while typing: take the first name that fits"),
    ("Del", "leave the key out; what stands in for it shows in grey"),
    ("A, X", "add or take out a colour, in the layout a band"),
    ("+, -", "a band wider or narrower"),
    ("V", "the next colour for a band; after the last it is bare"),
    ("T", "lay the bands once, or to fill the piece"),
    ("U, Y", "take a change back, make it again (Ctrl+Z, Ctrl+Y)"),
    ("C", "the next thing that is wrong or to be known, and its field"),
    ("W", "why: equation, origin and source of the figures shown"),
    ("PgUp, PgDn", "read on in the figures"),
    ("F", "forecast"),
    ("R", "the whole worksheet (saves first)"),
    ("S", "save (Ctrl+S)"),
    ("B", "begin the session (saves first)"),
    ("F2", "dark or light"),
    ("Esc", "back; asks where something is not saved"),
)


class PlanKeysScreen(ModalScreen[None]):
    """All keys on one page."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1,escape,q,enter,space", "back", "back", show=False)
    ]

    def compose(self) -> ComposeResult:
        with VerticalScroll(classes="card"):
            yield Static(id="plan-keys-text", markup=False)
        yield Static(Content.styled(" up and down to read on   Esc back", "$quiet"), classes="card-keys")

    def on_mount(self) -> None:
        self.query_one(VerticalScroll).focus()
        self.call_after_refresh(self.redraw)

    def on_resize(self) -> None:
        self.call_after_refresh(self.redraw)

    def redraw(self) -> None:
        """All of it at the present width."""
        lines = [Content.styled(" Keys of the plan", "bold $text"), Content("")]
        lines.extend(line for k, told in KEYS for line in _beside(f"   {k:<13}", told, self.size.width))
        self.query_one("#plan-keys-text", Static).update(Content("\n").join(lines))

    def action_back(self) -> None:
        self.dismiss()


def _beside(key: str, told: str, width: int) -> list[Content]:
    """A key and what it does, wrapped under itself."""
    lines = Content.styled(told, "$text").wrap(max(16, width - len(key) - 3))
    head, pad = Content.styled(key, "bold $focus"), Content(" " * len(key))
    return [Content.assemble(head if n == 0 else pad, line) for n, line in enumerate(lines)]
