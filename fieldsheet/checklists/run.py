"""From the last look to the last piece: ready to roll, rolling, wrap.

The completion call is the last item (Degani & Wiener 1990, NASA CR-177549, appendix A, rule 6).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from .pack import pieces
from .row import Row, also, must, tied
from .shot import Shot


def ready(shot: Shot) -> Iterator[Row]:
    """Look, five real frames, back to frame 1; the file number is read after the test frames took theirs.

    Seven at most, so that they stay one part.  Battery and cap come before the frames that prove them, the
    covers after the frames were seen.
    """
    yield must("look-again", note="void" if shot.moves else "tape")
    yield must("battery", note="nudge")
    yield must("test-" + (shot.rig["motion"] if shot.moves else "none"))
    if shot.moves:
        yield _back(shot.words["back_to_start"])
    yield also("covered-optical" if shot.words["viewfinder"] == "optical" else "covered")
    yield also("file", note="roll", blank="file", roll=shot.words["file_roll"])
    both = shot.moves and shot.rig["trigger"] == "camera"
    yield must("both-started" if both else "first-frame", value="numbers.first_frame", blank="time")


def _back(how: str | None) -> Row:
    """The rig's own way back to frame 1, or any rig's.  A shot that stands still never left it."""
    if how:
        return must("back", value="keyframes.0.line", how=how)
    return must("driven-back", value="keyframes.0.line")


def rolling(shot: Shot) -> Iterator[Row]:
    """While it runs.

    Lightning: "When thunder roars, go indoors", and out again 30 min after the last (US National Weather
    Service); local rules come first.
    """
    if shot.remote:
        yield also("remote-off", note="fired")
    yield from _changes(shot)
    yield also("count-" + shot.rig["trigger"], note="gap")
    yield must("thunder", note="back")


def _changes(shot: Shot) -> Iterator[Row]:
    """Each change of the interval, on whatever counts it; a shutter that is open then is left alone."""
    if shot.rig["trigger"] == "camera":
        rule = "interval-changed-both" if shot.moves else "interval-changed-camera"
    else:
        rule = "gap-changed" if shot.rig["interval_means"] == "gap" else "interval-changed"
    for number in range(1, len(shot.brief["phases"]) + 1):
        slots: dict[str, Any] = {"value": f"phases.{number - 1}", "blank": "frame"}
        yield must(rule, str(number), note="closed", **slots, number=number)


def wrap(shot: Shot) -> Iterator[Row]:
    """Off in the order that lets nothing fall, then nothing left behind, then somebody told."""
    yield also("last-frame", value="numbers.last_closes")
    yield from _down(shot)
    yield from _apart(shot)
    yield also("cards-out")
    yield also("pieces", note="ground", count=pieces(shot))
    yield _out(shot)


def _down(shot: Shot) -> Iterator[Row]:
    """A carriage that the run left high is driven down and locked, before anything lets it go."""
    if shot.incline_deg:
        yield must("down", note="hung" if shot.tilts else "below", value="ends_at")


def _apart(shot: Shot) -> Iterator[Row]:
    """The camera comes off while power still holds what carries it."""
    loose = [joint for joint in shot.words["joints"] if joint["release"]]
    if not loose and not shot.incline_deg:
        yield also("cap-power-off" if shot.power else "cap-on")
        return
    note = "power" if shot.power else "hands"
    # At the end stop and locked, it cannot fall; an arm drops with whatever is on it.
    yield tied(also("camera-off", note=note)) if shot.incline_deg else must("camera-off", note=note)
    if shot.power:
        yield tied(also("power-off"))
    # A stand may be clamped above people, and no power holds it.
    weight = must if shot.kind == "still" else also
    for joint in reversed(loose):
        subject = (joint["name"], joint["seat"])
        args = {"name": joint["name"], "release": joint["release"]}
        yield tied(weight("release", *subject, note="then", **args))


def _out(shot: Shot) -> Row:
    check_in = shot.brief["place"]["check_in"]
    return also("out", who=check_in["with"]) if check_in else also("out-with", blank="who")
