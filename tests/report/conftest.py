"""A sample session as a source of exports, as it is and with evil text in every place that holds text."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from studio.report.export_json import ExportedEvent
from studio.report.export_source import Source
from studio.session.folding import replay

SESSIONS = Path(__file__).resolve().parents[2] / "sessions"
FREE_TEXT = {"text", "why", "typed", "label", "because", "source", "done", "name", "dye", "title", "plan"}
FREE_TEXT |= {"where", "happened_at", "action", "acid_name", "program", "use_by"}
SHA = "0123456789abcdef" * 4


def injected(value: Any, text: str) -> Any:
    """The same data with `text` wherever a person, or a file of theirs, may have put words."""
    if isinstance(value, dict):
        return {
            key: text if key in FREE_TEXT and isinstance(found, str) else injected(found, text)
            for key, found in value.items()
        }
    return [injected(found, text) for found in value] if isinstance(value, list) else value


@pytest.fixture(scope="session")
def lines_of() -> Callable[[str], list[dict[str, Any]]]:
    """The lines of a sample session, read by json alone."""

    def read(beginning: str) -> list[dict[str, Any]]:
        (path,) = SESSIONS.glob(f"{beginning}*.jsonl")
        return [json.loads(line) for line in path.read_text().splitlines()]

    return read


@pytest.fixture(scope="session")
def source_of(lines_of: Callable[[str], list[dict[str, Any]]]) -> Callable[..., Source]:
    """A source made from a sample session, with another text in it where one is given."""

    def make(beginning: str = "20260912", evil: str | None = None) -> Source:
        (path,) = SESSIONS.glob(f"{beginning}*.jsonl")
        keys = ("n", "kind", "at", "boot_ns", "boot", "data")
        lines = [{key: line[key] for key in keys} for line in lines_of(beginning)]
        if evil is not None:
            for line in lines:
                line["data"] = injected(line["data"], evil)
        events = [ExportedEvent(**line) for line in lines]
        remarks = () if evil is None else (evil,)
        return Source(path.name if evil is None else evil, SHA, "0.1.0", replay(events), events, remarks)

    return make


@pytest.fixture(scope="session")
def evil_corpus() -> list[str]:
    """Text that wants to be markup, a formula, a control sequence or another line."""
    return [
        "rust\x1b]0;owned\x07",
        "clear\x1b[2Jscreen",
        "c1\u009b31m",
        "bidi\u202etxt",
        "nul\x00byte",
        "[/nope]",
        "[@click=app.quit]q[/]",
        "z" + "\u0301" * 40,
        "wide 漢字" * 40,
        "<script>alert(1)</script>",
        '"><img src=x onerror=alert(1)>',
        "' onmouseover='alert(1)",
        "</title></style></pre></svg><iframe src=//x>",
        "]]><!-- <!DOCTYPE x [",
        "{{ 7*7 }}{% include '/etc/passwd' %}",
        "&lt;b&gt; &amp;",
        "# head\n\n* [a](javascript:alert(1)) ![b](x) `c` **d** <b>e</b>",
        "| a | b |\n| --- | --- |",
        "1. one\n2. two\n---\n===",
        "http://evil.example www.evil.example",
        "=cmd|' /C calc'!A1",
        "+1+1",
        "-2+3",
        "@SUM(A1)",
        "\t=1+1",
        "\r=1+1",
        "  =1+1",
        "\uff1d1+1",
        "\ufeff=1+1",
        'a","=1+1',
    ]
