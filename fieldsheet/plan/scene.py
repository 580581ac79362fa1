"""What the picture is worked out from: a shot as it moves and looks.  Twin: app/core/scene.js."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import floor
from typing import Any

from .aim import Lens, axis_of
from .anchors import Night
from .civil import stamp
from .gaze import Gaze, gaze
from .move import Path
from .timing import Timing

# Nothing that the lens does between two of so many frames is of any size: a move through the keyframes is
# steady but for its eases, and the sky turns by a degree or less.
FRAMES_LOOKED_AT = 240


@dataclass(frozen=True)
class Scene:
    """A shot on its night, and its lens."""

    brief: dict[str, Any]
    night: Night
    timing: Timing
    path: Path
    lens: Lens

    def axis(self, frame: float) -> tuple[float, float]:
        """Azimuth and tilt [deg] of the optical axis over the head's plate at a (real) frame."""
        axis = axis_of(self.brief, self.path.at(frame))
        assert axis is not None, "an axis that tilts has its keyframes, a lens without one its tilt"
        return axis

    def gaze(self, frames: Sequence[float]) -> Gaze:
        """The camera in the world at (real) frames."""
        return gaze([self.axis(frame) for frame in frames], self.lens)

    @cached_property
    def looked(self) -> tuple[list[int], Gaze]:
        """The frames that are looked at over the whole shot, and the camera at them."""
        frames = self.frames()
        return frames, self.gaze(frames)

    def frames(self, first: float = 1, last: float | None = None) -> list[int]:
        """Whole frames from one to another, all of them or FRAMES_LOOKED_AT + 1 evenly."""
        start, end = floor(first + 0.5), floor((self.timing.frames if last is None else last) + 0.5)
        parts = max(1, min(end - start, FRAMES_LOOKED_AT))
        return [floor(start + (end - start) * part / parts + 0.5) for part in range(parts + 1)]


def moment(scene: Scene, frame: float) -> dict[str, Any]:
    """A (real) frame with its instant: {frame, time}."""
    return {"frame": frame, "time": stamp(scene.night.spans, scene.timing.ms_of(frame))}


def largest(rows: list[tuple[float, int]]) -> tuple[float, int]:
    """Of (value, frame) the one largest in size; the first of those that differ by rounding noise alone."""
    found = rows[0]
    for row in rows[1:]:
        if abs(row[0]) > abs(found[0]) * (1 + 1e-6) + 1e-9:
            found = row
    return found
