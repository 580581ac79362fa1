"""The light model against published illuminances."""

from __future__ import annotations

import pytest

from fieldsheet.plan.light import tone
from fieldsheet.sky.illuminance import sun_log_lx

# AMS Glossary of Meteorology, "civil twilight" (585-410 lx falling to 3.5-2 lx) and "astronomical twilight"
# (0.008 lx falling to 6e-4 lx).
PUBLISHED_LX = [
    pytest.param(-0.833, 410, 585, id="sunset: 585-410 lx"),
    pytest.param(-6.0, 2.0, 3.5, id="end of civil twilight: 3.5-2 lx"),
    pytest.param(-12.0, 0.0075, 0.0085, id="begin of astronomical twilight: 0.008 lx"),
    pytest.param(-18.0, 5.5e-4, 6.6e-4, id="end of astronomical twilight: 6e-4 lx"),
]


@pytest.mark.parametrize(("altitude_deg", "lowest_lx", "highest_lx"), PUBLISHED_LX)
def test_illuminance_agrees_with_the_glossary(
    altitude_deg: float, lowest_lx: float, highest_lx: float
) -> None:
    ours_lx = 10 ** sun_log_lx(altitude_deg)
    print(f"{altitude_deg} degrees: {ours_lx:.4g} lx, published {lowest_lx:g} to {highest_lx:g} lx")
    assert lowest_lx <= ours_lx <= highest_lx


@pytest.mark.parametrize("joint_deg", [20.0, 5.0, -0.8, -5.0, -12.0])
def test_the_pieces_join(joint_deg: float) -> None:
    """Circular 171 gives its pieces two decimals: they meet within 0.02 in log10 (5 %)."""
    gap = sun_log_lx(joint_deg + 1e-9) - sun_log_lx(joint_deg - 1e-9)
    assert abs(gap) < 0.02


def test_the_tone_runs_from_day_to_night_and_never_turns_back() -> None:
    tones = [tone(altitude / 10) for altitude in range(300, -301, -1)]
    assert (tones[0], tones[-1]) == (0.0, 1.0)
    assert all(later >= earlier - 0.003 for earlier, later in zip(tones, tones[1:], strict=False))
