"""A plan in pieces, on a shelf that holds nothing but what a test puts there."""

from __future__ import annotations

from studio.plan.reading import read_plan
from studio.plan.shapes import Worksheet
from studio.plan.sheet import work_out
from studio.plan.shelf import EMPTY_SHELF, Shelf

HEAD = 'format = "potside-plan/1"\ntitle = "t"\n'
WOOL = '[fibre]\nblend = { wool = 100 }\ndry_weight = "100 g"\nform = "skein"\n'
RED = '[[colour]]\nname = "red"\ndye = "acid red 1"\ndepth = "1 %"\n'
ROLL = '[set]\nthickness = "4 cm"\n'


def work(text: str, shelf: Shelf = EMPTY_SHELF) -> Worksheet:
    return work_out(read_plan(text, name="p"), shelf)


def value(worksheet: Worksheet, figure_id: str) -> float:
    figure = worksheet.figure(figure_id)
    assert figure is not None, figure_id
    return figure.value
