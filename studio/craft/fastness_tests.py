"""Three home tests of fastness: how each is done, when it is looked at, and on which grey scale.

They are home tests. The tests of the standards need lamps, adjacent fabrics and rubbing machines of set make,
and a grade from here is not one from there.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Scale = Literal["change", "staining"]

NOT_THE_STANDARD = "Tested at home, graded by eye; a laboratory tests"


@dataclass(frozen=True, slots=True)
class HomeTest:
    """One test a dyer can do without a laboratory.

    **Source:** `TEST_SOURCE`.
    """

    name: str
    """`light`, `wash`, `wet rub`."""
    days: int
    """From planning it to looking at it."""
    why_then: str
    scales: tuple[Scale, ...]
    """What is graded: change in colour of the dyed piece, staining of undyed cloth."""
    how: str
    standard: str
    """The laboratory's test of the same thing."""


LIGHT = HomeTest(
    name="light",
    days=28,
    why_then="four weeks of daylight are enough to see a weak dye fade (house rule)",
    scales=("change",),
    how=(
        "Wind a strip of the dyed yarn flat on card. Cover one half with foil or thick card, and hang it behind "
        "glass in the window with most sun: a south one, a north one south of the equator. Then uncover it and "
        "lay the two halves beside each other in daylight."
    ),
    standard="ISO 105-B02 (xenon lamp, against blue wools)",
)
WASH = HomeTest(
    name="wash",
    days=7,
    why_then="a week lets the fibre dry through and rest (house rule)",
    scales=("change", "staining"),
    how=(
        "Keep back a piece. Tack another between a piece of undyed wool and one of white cotton. Move it for "
        "30 min in water at 40 degC with a little mild soap, rinse cool, and dry all three apart. Grade the "
        "change against the piece kept, the staining by the worse of the two undyed ones."
    ),
    standard="ISO 105-C06 (domestic and commercial laundering)",
)
WET_RUB = HomeTest(
    name="wet rub",
    days=1,
    why_then="it is rubbed once it is dry: the next day (house rule)",
    scales=("staining",),
    how=(
        "Wet a white cotton cloth and wring it out. Rub it ten times to and fro over the dry dyed piece with a "
        "finger's pressure. Let the cloth dry, and grade its staining beside a clean part of it."
    ),
    standard="ISO 105-X12 (rubbing, dry and wet)",
)
HOME_TESTS = (WET_RUB, WASH, LIGHT)
"""In the order they come due."""


def home_test(name: str) -> HomeTest:
    """The test of that name; `rub`, `wet-rub` and `washing` are understood.

    `name`: as it is written. Refused (ValueError): a name of none of them.

    >>> home_test("Wet-rub").days, home_test("light").scales
    (1, ('change',))

    **Source:** see `TEST_SOURCE`.
    """
    asked = name.strip().casefold().replace("-", " ").replace("_", " ")
    asked = {"rub": "wet rub", "rubbing": "wet rub", "washing": "wash"}.get(asked, asked)
    for test in HOME_TESTS:
        if test.name == asked:
            return test
    raise ValueError(
        f"A follow-up is one of {', '.join(t.name for t in HOME_TESTS)}; write for example wash."
    )
