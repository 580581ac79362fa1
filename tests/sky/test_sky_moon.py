"""How much of the moon is lit, and the names of her phases: against almanacs and worked examples."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from skyfield import almanac
from skyfield.api import load

from fieldsheet.sky.ephemeris import open_kernel
from fieldsheet.sky.moon import moon_light, phase_id
from fieldsheet.sky.sky import Sky
from tests.sky.helpers import ALMANAC_S, DAY_S, SkyOf, day_s, published, utc_s

TABLE = published("sky_moon_phases.json")
PHASES = (
    "new",
    "waxing crescent",
    "first quarter",
    "waxing gibbous",
    "full",
    "waning gibbous",
    "last quarter",
    "waning crescent",
)


def test_the_phases_of_1980(sky_of: SkyOf) -> None:
    sky = sky_of(1980)
    for moment, name in TABLE["phases"]["rows"]:
        t_s = utc_s(moment)
        fraction, waxing = moon_light(sky, t_s)
        before, after = (moon_light(sky, t_s + gap_s)[1] for gap_s in (-ALMANAC_S, ALMANAC_S))
        if name == "new":
            assert fraction < 0.0022  # 5.3 degrees of latitude at most
            assert (before, after) == (False, True)
        elif name == "full":
            assert fraction > 0.9978
            assert (before, after) == (True, False)
        else:
            # 90 degrees from the sun she is lit by half, and by 0.0013 more: the sun is not infinitely far.
            assert abs(fraction - 0.5013) < 0.0003
            assert before == waxing == after == (name == "first quarter")
        assert phase_id(fraction, waxing) == name
    assert len(TABLE["phases"]["rows"]) == 50


def test_lit_fractions_of_september_2018(sky_of: SkyOf) -> None:
    row = TABLE["fractions"]
    first_s = day_s(row["first"]) + row["utc_h"] * 3600.0
    found = [moon_light(sky_of(2018), first_s + day * DAY_S)[0] for day in range(len(row["values"]))]
    away = np.abs(np.array(found) - row["values"]).max()
    print(f"lit fraction at most {away:.4f} from the almanac")
    assert away < row["tolerance"]


def test_the_worked_example(sky_of: SkyOf) -> None:
    row = TABLE["worked_example"]
    t_s = utc_s(row["tt"]) - 32.184 - 26.0  # IERS: TAI - UTC was 26 s from 1991-01-01 to 1992-06-30
    fraction, waxing = moon_light(sky_of(1992), t_s)
    phase_angle_deg = math.degrees(math.acos(2.0 * fraction - 1.0))
    print(f"phase angle {phase_angle_deg - row['phase_angle_deg']:.5f} degrees from the worked example")
    assert abs(phase_angle_deg - row["phase_angle_deg"]) < row["tolerance_deg"]
    assert abs(fraction - row["fraction_without_distances"]) < row["tolerance"]
    assert waxing


def test_the_lit_fraction_is_skyfields_through_a_year(sky_2027: Sky) -> None:
    t_s = day_s("2027-01-01") + np.arange(0.0, 365.0, 3.7) * DAY_S
    days = load.timescale(builtin=True).utc(2027, 1, 1 + np.arange(0.0, 365.0, 3.7))
    with open_kernel() as kernel:
        theirs = almanac.fraction_illuminated(kernel, "moon", days)
    ours = np.array([moon_light(sky_2027, moment_s)[0] for moment_s in t_s])
    print(f"lit fraction at most {np.abs(ours - theirs).max():.1e} from Skyfield")
    assert np.abs(ours - theirs).max() < 1e-4


def test_a_month_goes_through_the_phases_in_their_order(sky_2027: Sky) -> None:
    t_s = day_s("2027-02-01") + np.arange(0.0, 60.0 * DAY_S, 3600.0)
    names = [phase_id(*moon_light(sky_2027, moment_s)) for moment_s in t_s]
    steps = {(PHASES.index(b) - PHASES.index(a)) % 8 for a, b in zip(names, names[1:], strict=False)}
    assert steps == {0, 1}
    assert set(names) == set(PHASES)


@given(st.floats(0.0, 1.0), st.booleans())
def test_every_lit_fraction_has_a_name(fraction: float, waxing: bool) -> None:
    name = phase_id(fraction, waxing)
    assert name in PHASES
    assert (name == phase_id(fraction, not waxing)) == (name in ("new", "full"))


@pytest.mark.parametrize(
    ("fraction", "waxing", "name"),
    [
        (0.0, True, "new"),
        (0.0199, False, "new"),
        (0.02, True, "waxing crescent"),
        (0.12, False, "waning crescent"),
        (0.45, True, "first quarter"),
        (0.549, False, "last quarter"),
        (0.551, True, "waxing gibbous"),
        (0.98, False, "waning gibbous"),
        (1.0, False, "full"),
    ],
)
def test_where_one_name_gives_way_to_the_next(fraction: float, waxing: bool, name: str) -> None:
    assert phase_id(fraction, waxing) == name
