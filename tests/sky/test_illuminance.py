"""The light of sun, moon and stars against published tables, and what exposure value it is."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldsheet.sky.illuminance import (
    STARLIGHT_LX,
    ev100,
    lx_of,
    moon_log_lx,
    open_sky_lx,
    sun_log_lx,
)

PUBLISHED = json.loads((Path(__file__).parents[1] / "published" / "illuminance.json").read_text("utf-8"))
MEAN_KM = 384_270.0  # a parallax of 0.951 degrees
NO_MOON = (-60.0, 10.0, MEAN_KM)


def moon_lx(altitude_deg: float, f_deg: float) -> float:
    return float(10 ** moon_log_lx(altitude_deg, 180 - f_deg, MEAN_KM))


def test_the_sun_against_glossary_and_tables() -> None:
    for altitude, low, high in PUBLISHED["glossary"]["rows"]:
        ours = 10 ** sun_log_lx(altitude)
        print(f"sun {altitude}: {ours:.4g} lx, published {low:g} to {high:g}")
        assert low <= ours <= high
    worst = max(abs(10 ** sun_log_lx(at) / lx - 1) for at, lx in PUBLISHED["sun"]["rows"])
    print(f"sun, worst against the circular: {worst:.2%}")
    assert worst < 0.002
    for altitude, name in ((0.0, "sunset"), (15.0, "day"), (60.0, "direct_sun")):
        low, high = PUBLISHED["table"][name]
        ours = 10 ** sun_log_lx(-0.833 if name == "sunset" else altitude)
        assert low <= ours <= high, (name, ours)


def test_the_moon_against_the_circular() -> None:
    rows = [(altitude, 0.0, lx) for altitude, lx in PUBLISHED["moon"]["full"]]
    rows += [(60.0, f, lx) for f, lx in PUBLISHED["moon"]["at_60_by_phase"]]
    worst = max(abs(moon_lx(altitude, f) / lx - 1) for altitude, f, lx in rows)
    print(f"moon, worst against the circular: {worst:.2%}")
    assert worst < 0.004
    low, high = PUBLISHED["table"]["full_moon"]
    assert low <= moon_lx(60, 0) <= high


def test_a_nearer_moon_gives_more_light() -> None:
    """By the square of the distance: perigee and apogee of 356,500 and 406,700 km differ by 30 %."""
    near, far = (10 ** moon_log_lx(45, 180, km) for km in (356_500, 406_700))
    assert near / far == pytest.approx((406_700 / 356_500) ** 2, rel=1e-3)


def test_a_clear_moonless_night_is_airglow() -> None:
    low, high = PUBLISHED["table"]["moonless_airglow"]
    assert low <= open_sky_lx(-40, NO_MOON) <= high


@given(st.floats(-60, 5), st.floats(0, 180))
def test_the_light_of_the_moon_falls_with_her_all_the_way(altitude_deg: float, f_deg: float) -> None:
    assert moon_lx(altitude_deg - 0.5, f_deg) <= moon_lx(altitude_deg, f_deg) * 1.05


@given(st.floats(-90, 88))
def test_the_whole_light_never_rises_as_the_sun_sinks(altitude_deg: float) -> None:
    """But for the seams of the circular's pieces, which two decimals leave."""
    higher, lower = (open_sky_lx(at, NO_MOON) for at in (altitude_deg + 0.5, altitude_deg))
    assert STARLIGHT_LX <= lower <= higher * 1.02


def test_exposure_values_of_illuminances() -> None:
    for ev, lx in PUBLISHED["ev"]["rows"]:
        assert lx_of(ev) == lx and ev100(lx) == pytest.approx(ev, abs=1e-12)
    for name, ours in (("full_sun", 10 ** sun_log_lx(60)), ("moonlit", moon_lx(60, 0))):
        _, ev = PUBLISHED["scenes"][name]
        print(f"{name}: EV {ev100(ours):.2f}, scene table {ev}")
        assert abs(ev100(ours) - ev) <= 1
