"""How many random cases a test tries: a few each run, twenty times as many with `pytest --long`.

The few are the same each run. The many that Hypothesis makes are others each time; what it finds to fail it
keeps in .hypothesis and tries first from then on, until the mended case stands in the test as an @example.
"""

from __future__ import annotations

from hypothesis import HealthCheck, settings

TIMES = 20
# As many as the shapes of what is asked, and no more: what the same examples do not find they never will.
EXAMPLES = 40

_times = 1


def go_long() -> None:
    """From here on tests try many cases. To be called before any test module is imported."""
    global _times
    _times = TIMES


def tries(few: int) -> int:
    """How many cases to try where `few` are tried by default."""
    return few * _times


def load_profile() -> None:
    """Timing belongs to the benchmarks, so that a slow machine fails no property."""
    long = _times > 1
    settings.register_profile(
        "fieldsheet",
        deadline=None,
        derandomize=not long,
        max_examples=tries(EXAMPLES),
        suppress_health_check=[HealthCheck.too_slow],
        print_blob=long,
    )
    settings.load_profile("fieldsheet")
