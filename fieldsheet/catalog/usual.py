"""The usual interval by what a clip is of: advice, never a limit (common practice, no source)."""

from __future__ import annotations

SUBJECTS = {
    "people": ("0.5", "2"),
    "fast clouds": ("1", "3"),
    "slow clouds": ("4", "10"),
    "sunset": ("2", "8"),
    "shadows": ("10", "30"),
    "stars": ("1", "5"),
    "building site": ("300", "1800"),
}
"""The least and the most seconds; of stars, what the interval has beyond the longest shutter."""
