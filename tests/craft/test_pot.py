"""The pot: time to steam, level, refill."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio.craft.pot import WATER_J_G_K, bursts, minutes_to_steam, pot_clock, pot_level_ml, sensible_j
from studio.craft.steam import latent_heat_j_g


def test_time_to_steam_by_hand() -> None:
    # 1500 g x 4.19 J/gK x 80 K = 502 800 J; 1000 W x 0.75 x 60 s = 45 000 J a minute: 11.173 min.
    assert minutes_to_steam(1500, 20, 100, 1000, 0.75) == pytest.approx(11.17333, abs=1e-4)
    # A 1600 g steel pot as well: 1600 x 0.5 x 80 = 64 000 J more, 566 800 J: 12.596 min.
    assert minutes_to_steam(1500, 20, 100, 1000, 0.75, pot_g=1600) == pytest.approx(12.59556, abs=1e-4)
    assert minutes_to_steam(1500, 100, 98.3, 1000, 0.75) == 0.0


def test_level_with_stops_by_hand() -> None:
    # 26.6 mL/min boiling from 4 to 16 and from 20 on; at minute 35 that is 12 + 15 = 27 min: 718.2 mL gone.
    boiling = [(4.0, 16.0), (20.0, math.inf)]
    assert pot_level_ml(1500, 26.6, boiling, 35) == pytest.approx(781.8)
    assert pot_level_ml(1500, 26.6, boiling, 3) == 1500
    assert pot_level_ml(1500, 26.6, boiling, 18) == pytest.approx(1500 - 12 * 26.6)


def test_level_with_a_refill_by_hand() -> None:
    # 600 mL at 30 mL/min: 150 mL at minute 15, 500 mL poured in, 650; ten minutes on 350.
    boiling = [(0.0, math.inf)]
    assert pot_level_ml(600, 30, boiling, 25, refills=[(15, 500)]) == pytest.approx(350)
    # A refill that is still to come does not count.
    assert pot_level_ml(600, 30, boiling, 10, refills=[(15, 500)]) == pytest.approx(300)


def test_water_poured_into_a_dry_pot_is_not_eaten_by_the_time_it_stood_dry() -> None:
    # Dry at minute 20; refilled at 30: 500 mL, and 5 min later 350 mL, not 500 - 15 x 30.
    assert pot_level_ml(600, 30, [(0.0, math.inf)], 35, refills=[(30, 500)]) == pytest.approx(350)


@given(
    st.floats(0, 5000),
    st.floats(0, 200),
    st.lists(st.floats(0, 30), min_size=0, max_size=8),
    st.floats(0, 300),
)
def test_minute_by_minute_gives_the_same_level(
    start_ml: float, rate: float, steps: list[float], at_min: float
) -> None:
    """Against a pot emptied stretch by stretch with a plain loop."""
    edges = [0.0]
    for step in steps:
        edges.append(edges[-1] + step)
    boiling = list(zip(edges[::2], edges[1::2], strict=False))
    level = start_ml
    for begin, end in boiling:
        if begin < at_min:
            level = max(0.0, level - rate * (min(end, at_min) - begin))
    assert pot_level_ml(start_ml, rate, boiling, at_min) == pytest.approx(level, abs=1e-6)


@pytest.mark.parametrize(
    ("level", "full", "rate", "line", "rule", "refill", "dry"),
    [
        (1500, 1500, 26.6, 375, "share", 42.293, 56.391),  # (1500 - 375) / 26.6; 1500 / 26.6
        (800, 1000, 40, 400, "time", 10, 20),  # ten minutes at 40 are 400 mL, above the quarter, 250
        (300, 1500, 20, 375, "share", 0, 15),  # past the line
        (1000, 1000, 0, 250, "share", math.inf, math.inf),  # nothing boils off
        (200, 1000, 0, 250, "share", 0, math.inf),  # nothing boils off, but it is past the line
    ],
)
def test_pot_clock_by_hand(
    level: float, full: float, rate: float, line: float, rule: str, refill: float, dry: float
) -> None:
    clock = pot_clock(level, full, rate)
    assert (clock.line_ml, clock.line_is) == (line, rule)
    assert clock.refill_min == pytest.approx(refill, abs=1e-3)
    assert clock.dry_min == pytest.approx(dry, abs=1e-3)


@given(st.floats(0, 10_000), st.floats(1, 10_000), st.floats(0.01, 500))
def test_the_refill_is_asked_for_before_it_is_dry(level: float, full: float, rate: float) -> None:
    clock = pot_clock(level, full, rate)
    assert clock.refill_min <= clock.dry_min
    if clock.refill_min > 0:
        assert clock.dry_min - clock.refill_min >= 10 - 1e-6
        assert level - clock.refill_min * rate >= 0.25 * full - 1e-6


def test_times_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="times of the boiling overlap"):
        pot_level_ml(1500, 26, [(0, 20), (10, 30)], 40)
    with pytest.raises(ValueError, match="times of the refills overlap"):
        pot_level_ml(1500, 26, [(0, 20)], 40, refills=[(10, 100), (5, 100)])
    with pytest.raises(ValueError, match="number of minutes"):
        pot_level_ml(1500, 26, [(0, 20)], math.nan)


def test_energy_is_kept_over_many_bursts() -> None:
    """What went in is warmth and steam: first law, over any schedule."""
    done = bursts(100, 220, 600, 2, 20, 100, 4)
    heat = 100 * 1.36
    left, warm_j, steam_j, before = 220.0, 0.0, 0.0, 20.0
    for one in done:
        warm_j += (heat + left * WATER_J_G_K) * (one.end_c - before)
        steam_j += one.steamed_ml * latent_heat_j_g(100)
        left, before = left - one.steamed_ml, one.end_c
    assert warm_j + steam_j == pytest.approx(4 * 600 * 120)


def test_nothing_is_heated_by_what_is_colder() -> None:
    assert sensible_j(1000, 100, 20) == 0.0
