"""Plans to begin from, kept with the package: they name no shelf, so that they work in any studio."""

from __future__ import annotations

from importlib.resources import files

import msgspec

from studio.plan.toml import toml_table


class BeginningPlan(msgspec.Struct, frozen=True):
    """One of them."""

    title: str
    about: str
    """The first comment of the file, one line."""
    text: str


def beginnings() -> tuple[BeginningPlan, ...]:
    """All of them, in the order of their file names."""
    folder = files("studio.plan") / "beginnings"
    found = sorted((entry.name, entry.read_text(encoding="utf-8")) for entry in folder.iterdir())
    return tuple(_read(name, text) for name, text in found if name.endswith(".plan.toml"))


def _read(name: str, text: str) -> BeginningPlan:
    title = toml_table(text, file=name)["title"]
    return BeginningPlan(str(title), text.partition("\n")[0].lstrip("# ").strip(), text)
