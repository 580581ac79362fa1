"""How the rig ran by its counts, against SciPy's linear programming over the same sentences."""

from __future__ import annotations

from random import Random

import pytest
from scipy.optimize import linprog

from fieldsheet.exchange.asrun import run_of

START_MS = 1_812_220_560_000
INTERVAL_MS = 18_000
TIMING = {"segments": [{"first_frame": 1, "start_ms": START_MS, "interval_ms": INTERVAL_MS, "phase": 0}]}
TAP_S = 1.0


@pytest.mark.parametrize("seed", range(12))
def test_the_true_interval_lies_between_what_the_counts_leave(seed: int) -> None:
    """Frame n shows at t: start + ratio x 18 s x (n - 1) - 1 s <= t <= start + ratio x 18 s x n + 1 s.

    The least and the greatest ratio with which some start within a second of the tap makes all of them true.
    """
    rng = Random(seed)
    ratio = rng.choice([0.93, 0.985, 1.02, 1.11])
    # So far apart that no other start explains them all.
    seen_s = [2000.0, *sorted(rng.uniform(2000, 13_000) for _ in range(rng.randrange(6))), 13_000.0]
    frames = [int(at_s / (ratio * INTERVAL_MS / 1000)) + 1 for at_s in seen_s]
    counts = [
        {"frame": frame, "utc_ms": START_MS + round(at_s * 1000)}
        for frame, at_s in zip(frames, seen_s, strict=True)
    ]
    run = run_of(TIMING, START_MS, counts)
    rows, most = [], []
    for count in counts:
        at_s, end_s = (count["utc_ms"] - START_MS) / 1000, count["frame"] * INTERVAL_MS / 1000
        rows += [[1.0, end_s - INTERVAL_MS / 1000], [-1.0, -end_s]]
        most += [at_s + TAP_S, TAP_S - at_s]
    bounds = [(-TAP_S, TAP_S), (0.5, 2.0)]
    ends = [linprog([0.0, way], rows, most, bounds=bounds).x[1] for way in (1.0, -1.0)]
    print(f"true {ratio}, between {ends[0]:.5f} and {ends[1]:.5f}, ours {run.ratio:.5f}")
    assert run.span == pytest.approx(ends, abs=1e-6)
    assert ends[0] - 1e-6 <= ratio <= ends[1] + 1e-6
    begun_s = (run.start_ms - START_MS) / 1000
    over_s = [on * begun_s + by * run.ratio - most_s for (on, by), most_s in zip(rows, most, strict=True)]
    assert run.odd == () and max(over_s) < 0.001, "the start is a whole millisecond"
