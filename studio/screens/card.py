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
    ("Enter, Space", "the natural thing: done, a value, a gate, the alarm on top"),
    ("V   M", "give the value   not measured, with a reason"),
    ("N", "a note; at 14:05 ... for something earlier, photo PATH ..."),
    ("W", "why: equation, origin and source of every figure; cautions"),
    ("U", "take back the newest step or value; it stays in the record"),
    ("K", "correct a value given earlier; the old one stays visible"),
    ("O   X", "pass a gate or end a wait   leave a step out; with a reason"),
    ("E   T", "five more minutes   say how long a clock has really run"),
    ("Z", "quiet the alarm on top for a minute; its line stays"),
    ("S", "ring every means of sound there is"),
    ("R", "a temperature: packet, lid, bath or room"),
    ("G", "steam lost, and again when it rolls; the set stands still"),
    ("F", "boiling water into the pot"),
    ("P", "bands while painting, packets while steaming"),
    ("C", "more of a colour, in its jar's real proportions"),
    ("A", "ahead: the blank unravelled and knitted, with its odds"),
    ("Y", "the rinse will not clear: steam, cool and rinse again"),
    ("B   L", "clock as large as the screen   lock the keys to wipe them"),
    ("F2", "dark or light"),
    ("Q", "leave; the session stays open and its clocks go on"),
)
"""On one page of 80 by 24."""


class KeyCardScreen(ModalScreen[None]):
    """Read and close; nothing here changes the session."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1,escape,q,enter,space", "back", "back", show=False),
    ]

    def compose(self) -> ComposeResult:
        rows = [Content.assemble((f" {key:<14}", "bold $focus"), (text, "$text")) for key, text in BENCH_KEYS]
        with VerticalScroll(classes="card"):
            yield Static(Content("\n").join(rows), markup=False)
        yield Static(Content.styled(" Esc back", "$quiet"), classes="card-keys")

    def action_back(self) -> None:
        self.dismiss()
