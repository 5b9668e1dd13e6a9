"""At the bench no two figures of one step disagree: not on screen, not in line mode, not with the record."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Iterator

import pytest

from studio.lines.step_words import asking_lines, step_lines
from studio.plan.settled import Settled
from studio.plan.shapes import Step
from studio.quantity import show
from studio.session.live.thinking import behind
from studio.session.run import Running
from studio.session.sheet import sheet_now

AMOUNT = re.compile(r"(\d[\d ]*(?:\.\d+)?) (mL|L|g)\b")


@pytest.mark.parametrize("off", [0.0, 0.2])
def test_no_two_numbers_of_a_step_disagree(
    settled: Settled, begin: Callable[..., Running], walk: Callable[..., Iterator[Step]], off: float
) -> None:
    session = begin(choices=settled)
    for step in walk(session, random.Random(f"{settled.plan.title}{off}"), off):
        sheet, now = sheet_now(session.state), session.clock.now()
        told = behind(session.state, step, now)
        if step.sets:
            figure = sheet.figure(step.sets)
            assert figure is not None, step.id
            assert step.expected == pytest.approx(
                figure.value, abs=0.006 if step.quantity == "ph" else 1e-9
            ), step.id
        seen: dict[str, float] = {}
        for figure in told.figures:
            name = figure.id.removeprefix("live.")
            assert seen.setdefault(name, figure.value) == figure.value, f"{step.id}: {name}"
            planned = sheet.figure(name)
            assert planned is None or planned.value == figure.value or figure.id != name
        # Every amount of the sentence is the value of a figure that stands beside it, to the digits shown.
        shown = {show(f.value, f.unit) for f in sheet.figures} | {
            show(f.value, f.unit, 2) for f in sheet.figures
        }
        if step.id.startswith(("paint.", "stocks.")) and step.kind == "measure":
            for amount, unit in AMOUNT.findall(step.text):
                assert f"{amount} {unit}" in shown, f"{step.id}: {step.text}"
        spoken = " ".join((*step_lines(session.state, step, now), *asking_lines(session.state, step, now)))
        if step.expected is not None and step.quantity in ("mass", "volume"):
            assert f"planned {show(step.expected, step.unit)}" in spoken, f"{step.id}: {spoken}"


def test_the_record_keeps_what_was_asked(
    settled: Settled, begin: Callable[..., Running], walk: Callable[..., Iterator[Step]]
) -> None:
    session = begin(choices=settled)
    asked = {}
    for step in walk(session, random.Random(settled.plan.title), 0.1):
        if step.kind == "measure" and step.expected is not None:
            asked[step.id] = step.expected
    kept = {
        i: session.state.step(i).asked
        for i in asked
        if not i.endswith(".rounds") and i in session.state.steps
    }
    assert {i: a for i, a in kept.items() if a is not None} == pytest.approx(
        {i: asked[i] for i, a in kept.items() if a is not None}
    )
    assert any(session.state.step(i).fixed for i in asked)
