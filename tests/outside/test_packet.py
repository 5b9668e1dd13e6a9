"""The middle of a cooling packet against a textbook's worked examples and against a solver that knows no series."""

from __future__ import annotations

import math

import pytest

from studio.craft.packet import FAST, SLOW, WATER_G_ML, Film, HotBody, centre_cool_min

CENGEL = "Y. A. Cengel, examples of chapter 4 of Heat and Mass Transfer (from memory)"


def test_a_steel_shaft_in_air() -> None:
    """Example of a shaft of 20 cm from 600 degC in a chamber at 200 degC, h 80, after 45 min: Bi 0.537, Fo 1.07, and
    364 degC on its axis by the one-term table (360 by the Heisler chart). k 14.9, rho 7900, c 477."""
    shaft = HotBody("roll", 0.20, 7900 * 477, film=Film(14.9, 80.0))
    assert 200 + 400 * shaft.theta(45) == pytest.approx(364, abs=0.5), CENGEL


def test_a_short_brass_cylinder_in_air() -> None:
    """Example of a cylinder 10 cm across and 12 cm high from 120 degC in air of 25 degC, h 60, after 900 s: theta 0.8
    of the wall times 0.5 of the cylinder, 63 degC in its middle, by the charts. k 110, alpha 33.9e-6."""
    brass = HotBody("roll", 0.10, 110 / 33.9e-6, length_m=0.12, film=Film(110.0, 60.0))
    assert 25 + 95 * brass.theta(15) == pytest.approx(63, abs=0.5), CENGEL


def implicit_centre_min(shape: str, across_m: float, film: Film, heat_j_m3k: float, seconds: float) -> float:
    """Minutes from 98 to 40 degC in a room of 20 in the middle, by the enthalpy balance of thin shells: Crank-Nicolson
    steps of `seconds`, the tridiagonal equations by elimination, the last step cut by the line through its ends."""
    cells, roll = 60, shape == "roll"
    width = across_m / 2 / cells
    faces = [(i * width if roll else 1.0) for i in range(cells + 1)]
    stores = [(heat_j_m3k * width * ((i + 0.5) * width if roll else 1.0)) for i in range(cells)]
    passes = [0.0, *(film.k_w_mk / width * face for face in faces[1:-1])]
    passes.append(faces[-1] / (1 / film.h_w_m2k + width / 2 / film.k_w_mk))
    excess, gone = [78.0] * cells, 0.0
    while True:
        half = [seconds / 2 / store for store in stores]
        right = []
        for i, here in enumerate(excess):
            inner = excess[i - 1] if i else here
            outer = excess[i + 1] if i < cells - 1 else 0.0
            right.append(here + half[i] * (passes[i] * (inner - here) + passes[i + 1] * (outer - here)))
        middle = [1 + half[i] * (passes[i] + passes[i + 1]) for i in range(cells)]
        for i in range(1, cells):
            share = -half[i] * passes[i] / middle[i - 1]
            middle[i] += share * half[i - 1] * passes[i]
            right[i] -= share * right[i - 1]
        after = [0.0] * cells
        after[-1] = right[-1] / middle[-1]
        for i in range(cells - 2, -1, -1):
            after[i] = (right[i] + half[i] * passes[i + 1] * after[i + 1]) / middle[i]
        was, now = ((9 * field[0] - field[1]) / 8 for field in (excess, after))
        if now <= 20.0:
            return (gone + seconds * (was - 20.0) / (was - now)) / 60.0
        excess, gone = after, gone + seconds


@pytest.mark.parametrize("film", [Film(0.5, 8.0), Film(0.6, 12.0), Film(0.4, 5.0)])
@pytest.mark.parametrize(
    ("shape", "across_m"), [("roll", 0.05), ("roll", 0.12), ("flat packet", 0.02), ("flat packet", 0.05)]
)
def test_minutes_by_a_crank_nicolson_march(shape: str, across_m: float, film: Film) -> None:
    """From 98 to 40 degC in a room of 20, 3.5 MJ/m3K, within 0.2 %."""
    march = implicit_centre_min(shape, across_m, film, 3.5e6, seconds=60.0)
    assert centre_cool_min(HotBody(shape, across_m, 3.5e6, film=film), 98, 20, 40) == pytest.approx(
        march, rel=2e-3
    )


@pytest.mark.parametrize(
    ("shape", "across_cm", "h", "minutes"),
    [
        ("roll", 4, 5, (88, 123, 155, 173)),
        ("roll", 5, 10, (64, 88, 110, 121)),
        ("roll", 12, 8, (234, 313, 386, 424)),
        ("flat packet", 2, 15, (31, 43, 54, 60)),
        ("flat packet", 3, 10, (69, 96, 122, 135)),
        ("flat packet", 5, 12, (109, 152, 191, 211)),
    ],
)
def test_minutes_to_four_temperatures(
    shape: str, across_cm: float, h: float, minutes: tuple[float, ...]
) -> None:
    """A table of finite volumes in Crank-Nicolson steps, worked apart from this program: 120 to 200 cells, whole
    minutes until the middle is at 60, 50, 43 and 40 degC; k 0.5, 3.5 MJ/m3K, from 98 degC in a room of 20."""
    body = HotBody(shape, across_cm / 100, 3.5e6, film=Film(0.5, h))
    found = tuple(centre_cool_min(body, 98, 20, target_c) for target_c in (60, 50, 43, 40))
    assert found == pytest.approx(minutes, abs=0.51)


def test_wet_wool_conducts_between_its_fibre_and_water(coolprop) -> None:
    """Keratin with a tenth of moisture, 5.32e-4 cal/(cm s K): Baxter 1946 (abstract); water at 60 degC by CoolProp."""
    water = coolprop.PropsSI("L", "T", 333.15, "P", 101_325, "Water")
    assert 5.32e-4 * 418.4 < SLOW.k_w_mk < FAST.k_w_mk < water


def test_water_that_is_held(coolprop) -> None:
    """Density of water at 20 degC by CoolProp."""
    density = coolprop.PropsSI("D", "T", 293.15, "P", 101_325, "Water") / 1000
    assert pytest.approx(density, abs=5e-4) == WATER_G_ML


@pytest.mark.parametrize("across_m", [0.04, 0.08, 0.12])
@pytest.mark.parametrize("surface_c", [40.0, 60.0, 80.0])
def test_the_film_round_a_warm_roll(coolprop, across_m, surface_c) -> None:
    """A horizontal cylinder in still air of 20 degC: Churchill and Chu (from memory), air by CoolProp, with the
    radiation of an emissivity of 0.9. The quickest film is one of these; the slowest is shut in, and lies below."""
    film_k = (surface_c + 20) / 2 + 273.15
    k, cp, mu, rho = (coolprop.PropsSI(of, "T", film_k, "P", 101_325, "Air") for of in ("L", "C", "V", "D"))
    prandtl, nu, over = cp * mu / k, mu / rho, surface_c - 20
    rayleigh = 9.81 / film_k * over * across_m**3 / nu**2 * prandtl
    nusselt = (0.6 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    hot_k = surface_c + 273.15
    radiated = 0.9 * 5.670e-8 * (hot_k**4 - 293.15**4) / over
    h = nusselt * k / across_m + radiated
    assert math.isclose(FAST.h_w_m2k, h, rel_tol=0.2), h
    assert SLOW.h_w_m2k < h / 1.9
