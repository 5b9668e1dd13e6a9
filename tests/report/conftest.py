"""A sample session as a source of exports, as it is and with evil text in every place that holds text."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from studio.session.after.review import ReadSession
from studio.session.folding import Record, replay

SESSIONS = Path(__file__).resolve().parents[2] / "sessions"
SHA = "0123456789abcdef" * 4


@pytest.fixture(scope="session")
def lines_of() -> Callable[[str], list[dict[str, Any]]]:
    """The lines of a sample session, read by json alone."""

    def read(beginning: str) -> list[dict[str, Any]]:
        (path,) = SESSIONS.glob(f"{beginning}*.jsonl")
        return [json.loads(line) for line in path.read_text().splitlines()]

    return read


@pytest.fixture(scope="session")
def source_of(
    lines_of: Callable[[str], list[dict[str, Any]]], injected: Callable[[Any, str], Any]
) -> Callable[..., ReadSession]:
    """A source made from a sample session, with another text in it where one is given."""

    def make(beginning: str = "20260912", evil: str | None = None) -> ReadSession:
        (path,) = SESSIONS.glob(f"{beginning}*.jsonl")
        keys = ("n", "kind", "at", "boot_ns", "boot", "data")
        lines = [{key: line[key] for key in keys} for line in lines_of(beginning)]
        if evil is not None:
            for line in lines:
                line["data"] = injected(line["data"], evil)
        events = [Record(**line) for line in lines]
        remarks = () if evil is None else (evil,)
        return ReadSession(
            path.name if evil is None else evil, replay(events), remarks, events=events, sha256=SHA
        )

    return make
