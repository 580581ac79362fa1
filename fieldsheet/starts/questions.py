"""What `new` and `add` ask of a place, a rig, a camera and a shot."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from contextlib import suppress
from datetime import date
from decimal import Decimal

from fieldsheet.catalog import anchors
from fieldsheet.catalog.checks.rail import STEEP_DEG
from fieldsheet.catalog.words import Wrong, show
from fieldsheet.problems import CatalogProblems

from .files import interval_s, longest_shutter_s
from .length import Length, read_length, told_length
from .library import RigStart, lenses, rigs, sensors, subjects
from .moments import EVENTS, LENGTHS, OFFSETS
from .nearby import nearest_zones
from .position import latitude, longitude
from .question import Given, Question, free_title, must_be, new_title, number, one, there, words
from .stage import window

# The shortest shot that ends with what it follows: 1 h, a clip of 10 s or so (common practice, no source);
# and the longest: what the library's packs last and its heads turn.
LEAST_MS, MOST_MS = 3_600_000, 6 * 3_600_000
UNTIL = "a length such as '2h30m', or when it ends: 'nautical dusk', '23:15'"


def _rigs(given: Given) -> dict[str, str]:
    return {name: f"{start.title}: {start.moves}" for name, start in rigs().items()}


def _sensors(given: Given) -> dict[str, str]:
    return {
        name: f"{sensor.title}, {sensor.sensor_mm[0]} x {sensor.sensor_mm[1]} mm"
        for name, sensor in sensors().items()
    }


def _lenses(given: Given) -> dict[str, str]:
    return {name: f"{lens.title} ({lens.projection})" for name, lens in lenses().items()}


def _subjects(given: Given) -> dict[str, str]:
    return {name: subject.title for name, subject in subjects().items()}


_places, _own_rigs, _cameras = (there(kind) for kind in ("place", "rig", "camera"))


def _first_of(choices: Callable[[Given], dict[str, str]]) -> Callable[[Given], str]:
    return lambda given: next(iter(choices(given)))


def _zones(given: Given) -> list[tuple[str, float]]:
    return nearest_zones(float(given.answers["latitude_deg"]), float(given.answers["longitude_deg"]))


def _zone(given: Given) -> str:
    return _zones(given)[0][0]


def _zone_why(proposed: str, given: Given) -> str:
    """The nearest city may lie beyond a border, or a sea."""
    (_, near_m), (other, far_m) = _zones(given)
    return f"that of the nearest city, {near_m / 1000:.0f} km off; next is {other}, {far_m / 1000:.0f} km"


def _both(given: Given) -> str:
    """Of a pair that was answered at once, how it was understood."""
    answers = given.answers
    if "longitude_deg" not in answers:
        return ""
    return f"latitude {answers['latitude_deg']}, longitude {answers['longitude_deg']}"


def _start_of_rig(given: Given) -> RigStart:
    return rigs()[given.answers["rig_kind"]]


def _travel(text: str, given: Given) -> Length:
    length = read_length(text)
    axes = _start_of_rig(given).values["axis"]
    must_be("rig", "axis", {**axes, "slide": {**axes["slide"], "max": length.mm}})
    return length


def _travel_proposed(given: Given) -> str | None:
    guess = _start_of_rig(given).travel
    return told_length(guess) if guess else None


def _lies(given: Given) -> bool:
    """Whether there is a rail whose slope is not told by its kind."""
    return "slide" in given.on.rigged.axes and not given.on.upright


def _incline(text: str, given: Given) -> Decimal:
    """As steep as a rail may be without its maker's loads."""
    right = f"degrees from -{STEEP_DEG} to {STEEP_DEG}; a steeper rail is for the files, with its load_kg"
    read = number("shot", "rail", lambda value: {"home_end": "left", "incline_deg": value})
    try:
        slope_deg: Decimal = read(text, given)
    except Wrong as wrong:
        raise Wrong(wrong.found, right) from None
    if abs(slope_deg) > STEEP_DEG:
        raise Wrong(show(slope_deg), right)
    return slope_deg


def _focal(given: Given) -> str:
    sensor, lens = sensors()[given.answers["sensor"]], lenses()[given.answers["lens"]]
    return str(lens.focal_mm(sensor))


def _camera_title(given: Given) -> str:
    sensor, lens = sensors()[given.answers["sensor"]], given.answers["lens"]
    title = f"{sensor.title}, {given.answers['focal_mm']} mm{' fisheye' if lens == 'fisheye' else ''}"
    return free_title("camera", title, given)


def _bearing(given: Given) -> str:
    return "180" if given.on.place.latitude_deg >= 0 else "0"


def _shot_title(given: Given) -> str:
    return free_title("shot", subjects()[given.answers["subject"]].called, given)


def _night(text: str, given: Given) -> date:
    try:
        night = date.fromisoformat(text)
    except ValueError:
        raise Wrong(show(text), "a date such as 2027-06-05: year, month, day") from None
    must_be("shot", "night", night)
    return night


def _start(text: str, given: Given) -> str:
    must_be("shot", "start", text)
    _must_come(given, text, ("duration", "1h"))
    return text


def _start_proposed(given: Given) -> str:
    *tried, last = subjects()[given.answers["subject"]].starts
    for text in tried:
        try:
            return _start(text, given)
        except Wrong:
            continue
    return last


def _start_why(proposed: str, given: Given) -> str:
    """Of a start that is not the subject's own."""
    usual = subjects()[given.answers["subject"]].starts[0]
    return "" if proposed == usual else f"for '{usual}' does not come on that night"


def _until(text: str, given: Given) -> tuple[str, str]:
    """("duration", text) of a length, ("end", text) of a moment."""
    key = "duration" if _is_length(text) else "end"
    try:
        must_be("shot", key, text)
    except Wrong as wrong:
        meant = "did you mean" in wrong.right
        raise Wrong(wrong.found, wrong.right if meant else UNTIL) from None
    _must_come(given, given.answers["start"], (key, text))
    return key, text


def _until_proposed(given: Given) -> str:
    """When the body can be used no longer, where that is neither too soon nor too late; else a length."""
    subject = subjects()[given.answers["subject"]]
    if subject.until and given.answers["start"] == subject.starts[0]:
        with suppress(Wrong):
            _until(subject.until, given)
            if LEAST_MS <= _shot_ms(given.tried["window"]) <= MOST_MS:
                return subject.until
    return subject.duration


def _is_length(text: str) -> bool:
    try:
        anchors.duration_ms(text)
    except Wrong:
        return bool(re.match(r"\d+ ?[hms]", text))
    return True


def _must_come(given: Given, start: str, until: tuple[str, str]) -> None:
    """Raises Wrong where the sky has no such window on that night."""
    night = given.answers["night"]
    answers = {
        "title": "window",
        "night": night,
        "start": start,
        "until": until,
        "payload_kg": None,
        "incline_deg": 0,
        "interval_s": Decimal(10),
        "longest_shutter_s": Decimal(1),
    }
    try:
        given.tried = window(given.on, answers, given.sky(night))
    except CatalogProblems as problems:
        raise Wrong(problems.problems[0].found, problems.problems[0].right) from None


def _shot_ms(window: Mapping[str, Mapping[str, int]]) -> int:
    return window["end"]["utc_ms"] - window["start"]["utc_ms"]


def _clock(word: str, moment: Mapping[str, str]) -> str:
    """A moment of a plan by the place's clock."""
    local = moment["local"]
    return f"{word} {local[11:16]} on {local[:10]}"


def _interval(given: Given) -> str:
    camera = given.on.camera
    subject = subjects()[given.answers["subject"]]
    return str(interval_s(subject, camera.sensor_mm[0], camera.focal_mm))


def _shutter(given: Given) -> str:
    camera, answers = given.on.camera, given.answers
    subject = subjects()[answers["subject"]]
    return str(longest_shutter_s(subject, camera.sensor_mm[0], camera.focal_mm, answers["interval_s"]))


QUESTIONS: dict[str, Question] = {
    "place_title": Question(new_title("place")),
    "latitude_deg": Question(
        latitude(number("place", "latitude_deg"), number("place", "longitude_deg")), echo=_both
    ),
    "longitude_deg": Question(
        longitude(number("place", "longitude_deg")),
        applies=lambda given: "longitude_deg" not in given.answers,
    ),
    "elevation_m": Question(number("place", "elevation_m"), lambda given: "0"),
    "zone": Question(words("place", "zone"), _zone, why=_zone_why),
    "rig_kind": Question(one(_rigs), _first_of(_rigs), _rigs),
    "load_kg": Question(
        number("rig", "load_kg", lambda value: [[90, value]]),
        applies=lambda given: rigs()[given.answers["rig_kind"]].needs_load,
    ),
    "travel": Question(
        _travel, _travel_proposed, applies=lambda given: _start_of_rig(given).travel is not None
    ),
    "rig_title": Question(
        new_title("rig"), lambda given: free_title("rig", rigs()[given.answers["rig_kind"]].title, given)
    ),
    "sensor": Question(one(_sensors), _first_of(_sensors), _sensors),
    "lens": Question(one(_lenses), _first_of(_lenses), _lenses),
    "focal_mm": Question(number("camera", "focal_mm"), _focal),
    "camera_title": Question(new_title("camera"), _camera_title),
    "place": Question(one(_places), _first_of(_places), _places),
    "rig": Question(one(_own_rigs), _first_of(_own_rigs), _own_rigs),
    "camera": Question(one(_cameras), _first_of(_cameras), _cameras),
    "subject": Question(one(_subjects), _first_of(_subjects), _subjects),
    "bearing_deg": Question(
        number("shot", "zero_bearing_deg"),
        _bearing,
        applies=lambda given: subjects()[given.answers["subject"]].target is None,
    ),
    "incline_deg": Question(_incline, lambda given: "0", applies=_lies),
    "payload_kg": Question(
        number("shot", "rail", lambda value: {"home_end": "low", "payload_kg": value}),
        applies=lambda given: given.on.upright,
    ),
    "title": Question(new_title("shot"), _shot_title),
    "night": Question(_night, lambda given: given.today.isoformat()),
    "start": Question(
        _start,
        _start_proposed,
        echo=lambda given: _clock("from", given.tried["window"]["start"]),
        more=(*EVENTS, *OFFSETS),
        why=_start_why,
    ),
    "until": Question(
        _until,
        _until_proposed,
        echo=lambda given: _clock("to", given.tried["window"]["end"]),
        more=(*LENGTHS, *EVENTS, *OFFSETS),
    ),
    "interval_s": Question(number("shot", "interval_s"), _interval),
    "longest_shutter_s": Question(number("shot", "longest_shutter_s"), _shutter),
}
"""By the name of their Ask."""
