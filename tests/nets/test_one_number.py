"""At the bench no two figures of one step disagree: not on screen, not in line mode, not with the record."""

from __future__ import annotations

import io
import math
import random
import re
from collections.abc import Callable, Iterator

import pytest
from rich.console import Console

from studio.lines.words import asking_lines, for_lines, step_lines
from studio.plan.settled import Settled
from studio.plan.shapes import Step
from studio.plan.sheet import work_sheet
from studio.quantity import reading_in
from studio.quantity.showing import show
from studio.report.printing import WIDEST, print_sections
from studio.report.worksheet import value_words, worksheet_sections
from studio.session.after.real_cost import real_cost, used_up
from studio.session.asked import UNIT_NAMES, read_value
from studio.session.live.thinking import behind
from studio.session.run import Running
from studio.session.sheet import counted, sheet_now
from studio.shelf.shopping import uses

AMOUNT = re.compile(r"(\d[\d ]*(?:\.\d+)?) (mL|L|g)\b")


METRIC = re.compile(r"\d (?:°C|cm\b)")


@pytest.mark.one_in(6)
def test_where_us_units_are_read_no_celsius_and_no_centimetre_stays(
    settled: Settled, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On paper, but for equations and sources; and dye, stock and paint are as scale and syringe show them."""
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    sheet = work_sheet(settled)
    out = io.StringIO()
    print_sections(worksheet_sections(sheet, WIDEST), Console(file=out, width=300))
    for line in out.getvalue().splitlines():
        assert not METRIC.search(line), line
    for step in (step for stage in sheet.procedure for step in stage.steps):
        assert not METRIC.search(for_lines(step.text)), step.text
    for timer in sheet.timers:
        assert not METRIC.search(for_lines(f"{timer.label}. {timer.action}")), timer.action
    amounts = [figure for figure in sheet.figures if figure.unit in ("g", "mL")]
    goods = [figure for figure in amounts if figure.kitchen and figure.unit == "g"]
    assert goods and all(value_words(figure).endswith(" oz") for figure in goods)
    for figure in amounts:
        dyes = figure.id.startswith("stock.") or figure.id.endswith(
            (".liquid", ".stock", ".water", ".thickener")
        )
        if dyes and not figure.id.startswith(("presoak.", "kettle.")):
            assert f" {figure.unit}" in value_words(figure), figure.id
    for step in (step for stage in sheet.procedure for step in stage.steps if step.sets):
        figure = sheet.figure(step.sets)
        assert figure is None or figure.kitchen == step.kitchen, step.id


@pytest.mark.one_in(10)
def test_a_number_alone_is_in_the_unit_its_prompt_shows(
    settled: Settled,
    begin: Callable[..., Running],
    walk: Callable[..., Iterator[Step]],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(reading_in, "_asked", [lambda: "US"])
    session, asked = begin(choices=settled), 0
    for step in walk(session, random.Random(settled.plan.title), 0.0):
        now = session.clock.now()
        prompt = " ".join(asking_lines(session.state, step, now))
        assert not METRIC.search(prompt), prompt
        said = " ".join((*step_lines(session.state, step, now), prompt))
        told = re.findall(r"(?:planned|:) ([\d ./]+) (oz|fl oz|tsp|mL|g|°F)[.?]", said)
        if step.kind == "measure" and step.quantity in ("mass", "volume", "temperature") and told:
            number, unit = told[-1]
            assert prompt.startswith(UNIT_NAMES[unit])
            off = 0.6 if step.quantity == "temperature" else 0.006
            assert read_value(step, number) == pytest.approx(step.expected, rel=0.051, abs=off), prompt
            asked += 1
    assert asked > 3


@pytest.mark.one_in(17)
@pytest.mark.parametrize("off", [0.0, 0.2, math.inf])
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
            assert re.search(f"(planned|:) {re.escape(show(step.expected, step.unit))}[.?]", spoken), (
                f"{step.id}: {spoken}"
            )
    sheet = sheet_now(session.state)
    for name, value in counted(session.state).items():
        figure = sheet.figure(name)
        assert figure is None or figure.value == pytest.approx(value), f"on the record: {name}"
    costs_and_uses(session, settled, off)


def costs_and_uses(session: Running, settled: Settled, off: float) -> None:
    """What is off the shelf is what was weighed, poured and counted, and the cost is the price of just that."""
    cost, parts = real_cost(session.state), {part.id: part for part in used_up(session.state)}
    assert cost is not None
    steps = [step for step in session.state.all_steps() if step.sets]
    for use in uses(settled):
        asked = [step for step in steps if step.sets in use.asks]
        if use.figures == use.asks and asked:
            # What nothing can be worked out from is kept and marked; its figure is as it was asked.
            stands, sheet = counted(session.state), sheet_now(session.state)
            given = sum(stands.get(step.sets, sheet.figure(step.sets).value) for step in asked)
            assert (parts[use.id].amount if use.id in parts else 0.0) == pytest.approx(given), use.id
    priced = {kind: 0.0 for kind in ("dye", "acid")}
    for use in uses(settled):
        if use.kind in priced and use.price is not None and use.id in parts:
            priced[use.kind] += parts[use.id].amount * use.price.per_unit
    for kind, money in priced.items():
        row = cost.row(kind)
        assert (row.real if row is not None else 0.0) == pytest.approx(money), kind
    parted = [row.real for row in cost.rows if row.id not in ("total", "per_100g")]
    assert cost.row("total").real == pytest.approx(sum(parted))
    if off:
        return
    begun = {figure.id: figure.value for figure in session.state.worksheet.figures}
    # Nobody counts a part of a drop, and the recipe of a bath may ask for one.
    near = 1e-2 if any(step.unit == "drops" for step in steps) else 1e-5
    for use in uses(settled):
        planned = sum(begun.get(figure, 0.0) for figure in use.figures)
        assert planned == pytest.approx(parts[use.id].amount if use.id in parts else 0.0, rel=near), use.id
    for row in cost.rows:
        timed = row.id in ("energy", "labour", "total", "per_100g")
        assert timed or row.real == pytest.approx(row.planned, rel=near), row.id
    if settled.pieces == 1:
        assert cost.row("energy").real == pytest.approx(cost.row("energy").planned, rel=1e-4)


@pytest.mark.one_in(10)
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


LONG_MINUTES = re.compile(r"\b\d{3,} min\b")


def test_a_long_wait_is_told_in_hours_beside_its_clock(settled: Settled) -> None:
    """As the clock shows it that counts it: in the figures, the steps and what the file says of the clock."""
    sheet = work_sheet(settled)
    told = [value_words(figure) for figure in sheet.figures if not figure.currency]
    told += [step.text for stage in sheet.procedure for step in stage.steps]
    told += [caution.text for caution in sheet.cautions]
    assert [line for line in told if LONG_MINUTES.search(line)] == []


POT = re.compile(r"\b(?:pots?|hobs?)\b", re.IGNORECASE)


def test_an_oven_is_never_called_a_pot(forty: list[Settled]) -> None:
    """What a session with neither pot nor hob says at its steps, its clocks and its cautions."""
    told: list[str] = []
    for settled in forty:
        if settled.plan.method == "microwave":
            sheet = work_sheet(settled)
            steps = (step for stage in sheet.procedure for step in stage.steps)
            told += [text for step in steps for text in (step.text, step.done, step.waiting or "")]
            told += [text for clock in sheet.timers for text in (clock.label, clock.action)]
            told += [caution.text for caution in sheet.cautions]
    assert len(told) > 50
    assert [line for line in told if POT.search(line)] == []
