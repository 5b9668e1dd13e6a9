"""Both themes can be read: contrast by WCAG 2.2, and states that every eye tells apart by CIEDE2000."""

from __future__ import annotations

from itertools import combinations

import pytest

from studio.craft.colour.apart import KINDS, as_seen, ciede2000
from studio.craft.colour.observer import lab_of_hex
from studio.screens.draw.cloth import contrast
from studio.screens.theme import PALETTES

TEXT_ROLES = ("text", "quiet", "due", "danger", "focus", "done")


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#ffffff", "#777777", 4.48), ("#ffffff", "#767676", 4.54), ("#ff0000", "#ffffff", 4.00)],
)
def test_contrast_against_published_pairs(one: str, other: str, ratio: float) -> None:
    """Source: WCAG 2.2 definitions; #767676 is the lightest grey that passes 4.5:1 on white (W3C, G18)."""
    assert contrast(one, other) == pytest.approx(ratio, abs=0.01)


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("role", TEXT_ROLES)
@pytest.mark.parametrize("ground", ["ground", "panel"])
def test_every_text_colour_passes_4_5_on_both_grounds(theme: str, role: str, ground: str) -> None:
    palette = PALETTES[theme]
    assert contrast(palette[role], palette[ground]) >= 4.5


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("banner", ["due", "danger"])
def test_banners_pass_too(theme: str, banner: str) -> None:
    palette = PALETTES[theme]
    assert contrast(palette["ground"], palette[banner]) >= 4.5


@pytest.mark.parametrize("theme", PALETTES)
@pytest.mark.parametrize("sight", ["usual", *KINDS])
def test_due_danger_and_done_are_apart_for_every_sight(theme: str, sight: str) -> None:
    """15 CIEDE2000 and more, for the usual sight and with one kind of cone missing."""
    palette = PALETTES[theme]
    labs = {role: lab_of_hex(palette[role]) for role in ("due", "danger", "done")}
    seen = {role: lab if sight == "usual" else as_seen(lab, sight) for role, lab in labs.items()}  # type: ignore[arg-type]
    apart = {pair: ciede2000(seen[pair[0]], seen[pair[1]]) for pair in combinations(seen, 2)}
    assert min(apart.values()) >= 15, apart


@pytest.mark.parametrize("theme", PALETTES)
def test_a_line_can_be_seen_on_the_ground(theme: str) -> None:
    """Source: WCAG 2.2, success criterion 1.4.11: 3:1 for what is no text."""
    palette = PALETTES[theme]
    assert contrast(palette["line"], palette["ground"]) >= 3
