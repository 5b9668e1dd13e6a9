"""Every sentence of a walk through each sample plan: three figures at most but for reasons, no key in a line."""

from __future__ import annotations

import random
import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from studio.lines.words import asking_lines, caution_line, step_lines, why_lines
from studio.report.session_page import session_page
from studio.screens.bench.view import look
from studio.screens.draw.bench import Frame, page
from studio.screens.draw.keys import UNICODE
from studio.services.studio import Services
from studio.services.unattended import walk
from studio.session import commands as c
from studio.session.asked import Refused
from studio.session.clock import NS, Reading, SteppedClock
from studio.session.live.thinking import behind
from studio.session.path import current_step
from studio.session.run import Running
from studio.store.folder import StudioFolder

ROOT = Path(__file__).parents[2]
PLANS = sorted((ROOT / "shared" / "plans").glob("*.toml"))
NUMBER = re.compile(r"(?<![\w.:-])(?:\d{1,3}(?: \d{3})+|\d+)(?:\.\d+)?(?![\d:.-]*\d)(?! g\b)")
"""A number that is no time, date, name or recorded weight."""
LITRES = re.compile(r"\b\d \d{3} mL")
"""What was poured into a pot is told as it was typed."""


def figures_of(number: str) -> int:
    """Significant ones, with the noughts at the end of a whole number left out."""
    digits = number.replace(" ", "")
    return len(digits.replace(".", "").lstrip("0") if "." in digits else digits.strip("0"))


def too_many(line: str) -> list[str]:
    return [n for n in NUMBER.findall(LITRES.sub("", line)) if figures_of(n) > 3]


@pytest.fixture
def running(tmp_path: Path, request: pytest.FixtureRequest) -> Running:
    shutil.copytree(ROOT / "shared", tmp_path / "shared")
    (tmp_path / "sessions").mkdir()
    clock = SteppedClock(Reading(1_790_000_000 * NS, 40_000 * NS, 38_000 * NS, "skerry00"))
    services = Services(StudioFolder(tmp_path), clock)
    return services.begin(services.work_out(tmp_path / "shared" / "plans" / request.param))


def said_now(running: Running) -> Iterator[str]:
    """What bench and line mode say of the step of now, its doubt of a strange value included."""
    now = running.clock.now()
    step = current_step(running.state, now)
    if step is None:
        return
    reasons = [figure.because for figure in behind(running.state, step, now).figures]
    lines = [*step_lines(running.state, step, now), *asking_lines(running.state, step, now)]
    lines.extend(page(look(running), Frame(200, {}, UNICODE), 60).plain.splitlines())
    for line in lines:
        for reason in reasons:
            line = line.replace(reason, "")
        yield line
    if step.kind == "measure":
        try:
            running.do(c.Measure(step.id, "0.001"))
        except Refused as refused:
            yield str(refused)
        else:
            running.do(c.Undo())


@pytest.mark.one_in(6)
@pytest.mark.parametrize("running", [plan.name for plan in PLANS], indirect=True)
def test_no_sentence_has_more_than_three_figures_and_no_line_names_a_key_of_the_bench(
    running: Running,
) -> None:
    said: set[str] = set()
    lines: set[str] = set()

    def listen(session: Running) -> bool:
        now = session.clock.now()
        step = current_step(session.state, now)
        if step is not None:
            lines.update((*step_lines(session.state, step, now), *why_lines(session.state, step, now)))
            lines.update(asking_lines(session.state, step, now))
            lines.update(map(caution_line, behind(session.state, step, now).warnings))
        said.update(said_now(session))
        return False

    def told(line: str) -> None:
        said.add(line)
        lines.add(line)

    walk(running, running.clock, random.Random(1), told, until=listen)  # type: ignore[arg-type]
    for section in session_page(running.state, "", (), 100):
        if section.name not in ("", "cost"):  # the title has a date, and money its cents
            rows = ("".join(text for text, _ in row) for row in section.rows)
            said.update(line for line in rows if not line.startswith("cost "))
    assert len(said) > 200
    assert {line: found for line in sorted(said) if (found := too_many(line))} == {}
    assert len(lines) > 150
    keys = re.compile(r"\([A-Z+]\)|\bEsc\b|\b[Pp]ress [A-Z]\b|\b[A-Z] again\b")
    assert [line for line in lines if keys.search(line)] == []
