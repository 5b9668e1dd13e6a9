"""Both themes can be read: contrast by WCAG 2.2."""

from __future__ import annotations

import pytest

from studio.screens.theme import PALETTES

TEXT_ROLES = ("text", "quiet", "due", "danger", "focus", "done")


def luminance(hex_colour: str) -> float:
    """Relative luminance of an sRGB colour, 0 to 1. **Source:** WCAG 2.2, definition of relative luminance."""
    channels = [int(hex_colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21. **Source:** WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


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
