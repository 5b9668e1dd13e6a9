"""Sections of text on a page: what is too long for its line."""

from __future__ import annotations

import pytest
from rich.cells import cell_len

from studio.report.printing import Section, row
from studio.screens.draw.lists import sections_content


@pytest.mark.parametrize("width", [40, 60, 80])
def test_a_row_too_long_for_the_page_goes_on_further_in(width: int) -> None:
    words = " ".join(["longer than a line"] * 6)
    section = Section("clocks", (row(("cooling  ", "plain"), (words, "quiet")), row(("short", "plain"))))
    _, *lines = sections_content([section], width).plain.split("\n")
    assert max(cell_len(line) for line in lines) <= width
    assert [len(line) - len(line.lstrip()) for line in lines] == [4, *[6] * (len(lines) - 2), 4]
    assert "".join("".join(lines).split()) == f"cooling{words}short".replace(" ", "")
