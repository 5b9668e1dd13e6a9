"""The key card: what each key does, on one screen."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

BENCH_KEYS = (
    ("Enter, Space", "the natural thing: done, give the value, answer the gate, answer the alarm on top"),
    ("V", "give the value this step asks for"),
    ("M", "not measured, with a reason"),
    ("N", "write a note"),
    ("W", "why: equation, origin and source of the figures, and the cautions"),
    ("U", "take back the newest step or value; it stays in the record"),
    ("K", "correct a value given earlier; the old one stays visible"),
    ("O", "pass a gate or end a wait, with a reason"),
    ("X", "leave this step out, with a reason"),
    ("E", "five more minutes for the clock, with a reason"),
    ("T", "after a restart of the computer: say how long a clock has run"),
    ("Z", "quiet the alarm for a minute; its line stays"),
    ("S", "ring the bell, to hear whether you hear it"),
    ("R", "a temperature: packet, lid, bath or room"),
    ("G", "the steam is lost, and again when it rolls; the set stands still meanwhile"),
    ("F", "boiling water into the pot"),
    ("P", "bands while painting, packets while steaming"),
    ("C", "more of a colour, in its jar's real proportions"),
    ("Y", "the rinse will not clear: steam, cool and rinse again"),
    ("L", "lock the keys to wipe them"),
    ("B", "the clock as large as the screen"),
    ("F2", "dark or light"),
    ("Q", "leave; the session stays open and its clocks go on"),
)


class KeyCardScreen(ModalScreen[None]):
    """Read and close; nothing here changes the session."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1,escape,q,enter,space", "back", "back", show=False),
    ]

    def compose(self) -> ComposeResult:
        rows = [Content.assemble((f" {key:<13}", "bold $focus"), (text, "$text")) for key, text in BENCH_KEYS]
        with VerticalScroll(classes="card"):
            yield Static(Content("\n").join(rows), markup=False)
        yield Static(Content.styled(" Esc back", "$quiet"), classes="card-keys")

    def action_back(self) -> None:
        self.dismiss()
