"""Dew by the Magnus formula against published tables, and what is said of it and of deep cold."""

from __future__ import annotations

import copy
from math import exp, log, tanh
from typing import Any

import pytest

from fieldsheet.plan.dew import dew_of, dew_point_c, frost_point_c, humidity_pct
from fieldsheet.plan.plan import plan
from fieldsheet.sheet.sheet import changing
from fieldsheet.sky.sky import Sky

# Saturation pressure [Pa] over water, ASHRAE Handbook - Fundamentals 2017, chapter 1, table 3 (as quoted in
# an open psychrometric test suite).  Air that holds as much as saturated air of another temperature has that
# temperature for its dew point.
SATURATED_PA = {5: 872.6, 25: 3169.7, 50: 12351.3}
# Air, humidity, dew point, from a psychrometric chart at sea level (ASHRAE formulas, quoted there as well).
CHARTED = [(24.0, 50.0, 12.95)]


@pytest.mark.parametrize(("air_c", "dew_c"), [(25, 5), (50, 25), (50, 5)])
def test_the_dew_point_against_published_pressures(air_c: int, dew_c: int) -> None:
    humidity = 100 * SATURATED_PA[dew_c] / SATURATED_PA[air_c]
    found = dew_point_c(air_c, humidity)
    print(f"{air_c} °C at {humidity:.2f} %: dew point {found:.3f} °C, published {dew_c}")
    assert found == pytest.approx(dew_c, abs=0.05)
    assert humidity_pct(air_c, dew_c) == pytest.approx(humidity, rel=0.003)


@pytest.mark.parametrize(("air_c", "humidity", "dew_c"), CHARTED)
def test_the_dew_point_against_a_chart(air_c: float, humidity: float, dew_c: float) -> None:
    assert dew_point_c(air_c, humidity) == pytest.approx(dew_c, abs=0.05)


# Murphy & Koop, Review of the vapour pressures of ice and supercooled water, Q. J. R. Meteorol. Soc. 131
# (2005), equations 7 (ice, above 110 K) and 10 (water, 123 to 332 K), in Pa; read in several open codes.
def _over_water_pa(celsius: float) -> float:
    t = celsius + 273.15
    cold = 53.878 - 1331.22 / t - 9.44523 * log(t) + 0.014025 * t
    return exp(54.842763 - 6763.22 / t - 4.210 * log(t) + 0.000367 * t + tanh(0.0415 * (t - 218.8)) * cold)


def _over_ice_pa(celsius: float) -> float:
    t = celsius + 273.15
    return exp(9.550426 - 5723.265 / t + 3.53068 * log(t) - 0.00728332 * t)


@pytest.mark.parametrize("air_c", [-25.0, -10.0, 0.0, 10.0, 25.0, 40.0])
@pytest.mark.parametrize("spread_c", [0.5, 2.0, 5.0, 10.0, 20.0])
def test_in_the_cold_too_the_dew_point_is_that_of_the_review(air_c: float, spread_c: float) -> None:
    """To a tenth of a degree; the sheet tells whole ones or what was typed."""
    dew_c = air_c - spread_c
    humidity = 100 * _over_water_pa(dew_c) / _over_water_pa(air_c)
    assert dew_point_c(air_c, humidity) == pytest.approx(dew_c, abs=0.1)


@pytest.mark.parametrize("frost_c", [-0.1, -5.0, -15.0, -27.0, -40.0])
def test_ice_grows_where_its_own_pressure_is_that_of_the_air(frost_c: float) -> None:
    """The dew point of that pressure by halving; the formulas over water and ice are good to 0.1 degrees."""
    low, high = -60.0, 1.0
    while high - low > 1e-6:
        middle = (low + high) / 2
        low, high = (middle, high) if _over_water_pa(middle) < _over_ice_pa(frost_c) else (low, middle)
    print(f"frost at {frost_c} °C is a dew point of {low:.2f} °C; ours {frost_point_c(low):.3f} °C")
    assert frost_point_c(low) == pytest.approx(frost_c, abs=0.1)


def test_three_degrees_more_are_enough_for_who_reckons_without_it() -> None:
    """The checklist's 8 instead of 5 in frost: the frost point is as far above the dew point, down to -30."""
    above = [frost_point_c(float(dew_c)) - dew_c for dew_c in range(-30, 1)]
    assert max(above) == above[0] == pytest.approx(2.9, abs=0.05) and min(above) == above[-1] == 0.0


@pytest.mark.parametrize("air_c", [-20.0, 0.0, 12.5, 35.0])
def test_saturated_air_stands_at_its_dew_point_and_each_way_is_the_others_inverse(air_c: float) -> None:
    assert dew_point_c(air_c, 100) == pytest.approx(air_c)
    assert dew_point_c(air_c, humidity_pct(air_c, air_c - 7)) == pytest.approx(air_c - 7)


@pytest.mark.parametrize(
    ("air_c", "dew_c", "humidity", "likely"),
    [
        (12.0, 7.5, None, True),
        (12.1, 7.1, None, False),  # five degrees apart are enough
        (12.0, None, 81.0, True),
        (12.0, None, 60.0, False),
        (-25.0, -30.5, None, True),  # 5.5 degrees above its dew point, 2.6 above that of its frost
        (-25.0, -33.5, None, False),
    ],
)
def test_dew_is_likely_within_five_degrees_or_above_eighty_percent(
    air_c: float, dew_c: float | None, humidity: float | None, likely: bool
) -> None:
    found = dew_of({"air_c": air_c, "dew_point_c": dew_c, "humidity_pct": humidity})
    assert found is not None and found["likely"] is likely


def _said(brief: dict[str, Any], sky: Sky) -> tuple[set[str], dict[str, str]]:
    planned = {**plan(brief, sky, {}), "revision": "0A1B2C"}
    lines = {line["name"]: line["text"] for line in changing(planned)["dew"]}
    return {row["id"].removeprefix("warning.") for row in planned["warnings"]}, lines


DAMP = {"air_c": 12.0, "dew_point_c": 9.0, "humidity_pct": None}
DRY = {"air_c": 12.0, "dew_point_c": 2.0, "humidity_pct": None}


def test_dew_without_a_heater_is_minded_and_told_with_its_hour(demo_brief: dict[str, Any], sky: Sky) -> None:
    warned, lines = _said({**demo_brief, "dew": DAMP, "heater": None}, sky)
    assert "dew" in warned and "heater on from frame 1, 19:36" in lines["dew, frost"]
    assert lines["air"] == "12 °C, dew point 9 °C, humidity 82 %"
    warned, lines = _said({**demo_brief, "dew": DRY, "heater": None}, sky)
    assert "dew" not in warned and lines["dew, frost"] == "not before the air is down to 7 °C"
    warned, lines = _said({**demo_brief, "dew": DAMP}, sky)
    assert "dew" not in warned and lines
    assert _said({**demo_brief, "dew": None}, sky)[1] == {}


def test_deep_cold_is_minded(demo_brief: dict[str, Any], sky: Sky) -> None:
    cold = {**copy.deepcopy(demo_brief), "deep_cold": True, "temperature_c": -20.0}
    assert "deep-cold" in _said(cold, sky)[0]
    cold["rig"]["motion"] = "continuous"
    warned = _said(cold, sky)[0]
    assert "deep-cold-still" in warned and "deep-cold" not in warned
    assert not any(id.startswith("deep-cold") for id in _said(demo_brief, sky)[0])
