"""Both themes can be read: contrast by WCAG 2.2."""

from __future__ import annotations

import pytest

from studio.screens.theme import PALETTES, TEXT_ROLES, contrast


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
