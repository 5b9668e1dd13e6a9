"""A newcomer in a real terminal: a dye of unknown class and a plan for it, with wrong answers on the way."""

from __future__ import annotations

import re
import time
import tomllib

import pytest

FILE_TALK = re.compile(r"(?:dye|colour|acid|base)\[|on_hand|target_ph|acid_amount|layout\.[a-z]|fibre\.[a-z]")
BOUNCE_S = 0.3
"""A little more than the time in which the same key is taken for a bouncing one."""


class Newcomer:
    """Types, waits for what the screen says, and never reads a word of the file's own."""

    def __init__(self, screen) -> None:
        self.screen = screen

    def sees(self, *wanted: str) -> None:
        end = time.monotonic() + 20
        while not all(one in self.flat for one in wanted):
            assert self.screen.look() and time.monotonic() < end, f"no {wanted} in\n{self.screen.text}"
        assert not FILE_TALK.search(self.screen.text), self.screen.text

    @property
    def flat(self) -> str:
        """The screen without the breaks of its lines: whole, and its left column alone."""
        lines = self.screen.text.splitlines()
        left = [re.sub(r"(?<=\S) {3,}\S.*", "", line) for line in lines]
        return " ".join(
            " ".join(part).replace("  ", " ") for part in (" ".join(lines).split(), " ".join(left).split())
        )

    def key(self, keys: str) -> None:
        time.sleep(BOUNCE_S)
        self.screen.type(keys)

    def answers(self, text: str, *sees: str) -> None:
        """In place of what stands in the line, then Enter."""
        self.screen.type("\x15")
        self.screen.look(0.1)
        self.screen.type(text)
        self.screen.until(text[-12:] or " ")
        self.key("\r")
        self.sees(*sees)

    def fills(self, section: str, field: str, text: str, *sees: str) -> None:
        self.screen.right_to(section)
        self.screen.down_to(field)
        self.key("\r")
        self.types(text, *sees)

    def types(self, text: str, *sees: str) -> None:
        """Into a field of the plan that was opened."""
        self.screen.until("leave it as it was")
        self.answers(text)
        self.screen.until_gone("leave it as it was")
        self.sees(*sees)


def plans_with_it(hand: Newcomer) -> None:
    """A plan with wrong answers on the way, saved."""
    screen = hand.screen
    screen.type("n")
    hand.sees("Slipway stripes")
    screen.type("\r")
    hand.sees("What is it called?")
    hand.answers("Holly hedge", "►plan")
    hand.fills("fibre", "blend", "75 wool, superwash, 24 nylon", "sums to 99 %")
    hand.fills("fibre", "blend", "75 wool, superwash, 25 nylon")
    hand.fills("presoak", "acid  ", "white vinegr", 'did you mean "white vinegar"')
    hand.fills("presoak", "acid  ", "white vinegar")
    screen.down_to("published dose")
    screen.type("\x1b[B")
    screen.until_gone("▌ published dose")
    hand.key("\r")
    hand.types("60 mL")
    hand.fills("presoak", "target pH", "4,2", "Target pH 4,2 is used now; acid amount 60 mL is left out.")
    hand.fills(
        "layout", "order of bands", "rust 6, holly 5, net blue 6, repeat", 'No colour is called "holly" yet'
    )
    hand.key("b")
    hand.sees("not complete")
    screen.right_to("colours")
    screen.type("a")
    hand.sees("Name its dye")
    hand.key("\r")
    hand.types("sea hlly", 'did you mean "sea holly"')
    hand.key("\r")
    hand.types("sea holly")
    screen.until_gone("not complete")
    hand.key("s")
    hand.sees("Saved as holly-hedge")
    hand.key("\x1b")
    hand.sees("Holly hedge", "plans")
    screen.type("q")
    assert screen.end() == 0


@pytest.mark.deep
def test_a_newcomer_adds_a_dye_of_unknown_class_and_a_plan(terminal, studio) -> None:
    screen = terminal(rows=30, columns=100)
    hand = Newcomer(screen)
    hand.sees("Tidewrack stripes")
    screen.type("s")
    hand.sees("studio rust")
    screen.type("a")
    hand.sees("New dye, 1 of 5")
    hand.answers("", "cannot be left out")
    hand.answers("Studio Rust", "give this one another name")
    hand.answers("sea holly", "2 of 5", "unknown will do")
    hand.answers("a jar from the fair", "is no dye of the tables and no dye class")
    hand.answers("acid dye, class unknown", "3 of 5", "Careful both ways", "pH 4 to 5")
    hand.answers("liqid", "is not one of powder, liquid")
    hand.answers("powder", "4 of 5")
    hand.answers("30", "number without a unit")
    hand.key("\x1b")
    hand.sees("What was answered is kept")
    screen.type("a")
    hand.sees("Going on with sea holly", "4 of 5")
    hand.answers("30 mL", "5 of 5", "A liquid now")
    screen.type("\x1b[A")
    hand.sees("4 of 5")
    hand.answers("25 g", "5 of 5", "A powder now")
    hand.answers("sort of blue", "is no colour and no dye")
    screen.type("\x15")
    screen.look(0.1)
    screen.type("steel blue")
    hand.sees("taken for #4682b4 at 1 %")
    hand.key("\r")
    hand.sees("sea holly is on the shelf")
    hand.key("\x1b")
    hand.sees("Tidewrack stripes")

    plans_with_it(hand)

    dye = tomllib.loads((studio / "shared" / "dyes.toml").read_text())["dye"][-1]
    assert dye == {
        "name": "sea holly",
        "class": "acid dye, class unknown",
        "form": "powder",
        "on_hand": "25 g",
        "looks": "steel blue at 1 %",
    }
    plan = tomllib.loads((studio / "shared" / "plans" / "holly-hedge.plan.toml").read_text())
    assert [colour["name"] for colour in plan["colour"]] == ["rust", "net blue", "holly"]
    assert plan["colour"][2]["dye"] == "sea holly"
    assert [band["colour"] for band in plan["layout"]["order"]] == ["rust", "holly", "net blue"]
    assert plan["presoak"]["target_ph"] == 4.2 and "acid_amount" not in plan["presoak"]
    assert not list((studio / "shared").glob(".*")) and not list((studio / "sessions").iterdir())
