"""From the last look to the last piece: ready to roll, rolling, wrap.

The completion call is the last item (Degani & Wiener 1990, NASA CR-177549, appendix A, rule 6).
"""

from __future__ import annotations

from collections.abc import Iterator

from .pack import pieces
from .row import Row, also, must
from .shot import Shot


def ready(shot: Shot) -> Iterator[Row]:
    """Look, five real frames, back to frame 1; the file number is read after the test frames took theirs."""
    yield must("bubble", note="void" if shot.moves else None)
    yield must("cap")
    yield also("focus-again")
    yield must("test-" + (shot.rig["motion"] if shot.moves else "none"))
    if shot.moves:
        yield _back(shot.words["back_to_start"])
    yield also("file", note="roll", blank="file", roll=shot.words["file_roll"])
    yield must("first-frame", value="numbers.first_frame")


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
        yield must("remote-off", note="fired")
    yield must("count-" + shot.rig["trigger"], note="gap")
    yield must("thunder", note="back")


def wrap(shot: Shot) -> Iterator[Row]:
    """Off in the order that lets nothing fall, then nothing left behind, then somebody told."""
    yield must("last-frame", value="numbers.last_closes")
    if shot.incline_deg:
        yield must("hand-under", note="falls")
    yield also("cap-power-off" if shot.power else "cap-on")
    for joint in reversed(shot.words["joints"]):
        if joint["release"]:
            subject = (joint["name"], joint["seat"])
            yield must("release", *subject, note="then", name=joint["name"], release=joint["release"])
    yield must("cards-out")
    yield must("pieces", note="ground", count=pieces(shot))
    yield _out(shot)


def _out(shot: Shot) -> Row:
    check_in = shot.brief["place"]["check_in"]
    return must("out", who=check_in["with"]) if check_in else must("out-with", blank="who")
