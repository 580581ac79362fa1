"""What a first shot is made with, its place, rig and camera, and what the sky there does in its window."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from fieldsheet.catalog.document import read_document
from fieldsheet.catalog.models.camera import Camera
from fieldsheet.catalog.models.place import Place
from fieldsheet.catalog.models.rig import PanAxis, Rig
from fieldsheet.plan.anchors import site_of
from fieldsheet.problems import CatalogProblems
from fieldsheet.sky.observe import apparent_altitude_deg, horizontal
from fieldsheet.sky.sky import Sky

from .files import head_file, rig_file, shot_file
from .library import Subject, rigs
from .pointing import Rigged, Stand, point
from .trial import plan_tried

PROBE = "probe"
UPRIGHT_DEG = 90


@dataclass(frozen=True)
class Stage:
    """The files of a place, a rig and a camera by the names that shots call them, read."""

    names: Mapping[str, str]
    files: Mapping[str, bytes]
    place: Place
    rig: Rig
    camera: Camera

    @property
    def rigged(self) -> Rigged:
        """What moves."""
        axes = self.rig.axis.all() if self.rig.axis else {}
        spans = {
            name: axis.reach() if isinstance(axis, PanAxis) else (axis.min, axis.max)
            for name, axis in axes.items()
        }
        return Rigged({name: {"min": low, "max": high} for name, (low, high) in spans.items()}, self.upright)

    @property
    def upright(self) -> bool:
        """Whether its carriage goes up and down: a slide without a head, which may bear a load like that."""
        axes, loads = self.rig.axis, [load[0] for load in self.rig.load_kg or []]
        slides_alone = axes is not None and axes.slide is not None and axes.pan is None
        return slides_alone and bool(loads) and max(loads) >= UPRIGHT_DEG

    @property
    def eases(self) -> bool:
        """Whether its menu asks for holds and eases."""
        return {"hold", "ease"} <= set(self.rig.program_order)


def stage(names: Mapping[str, str], files: Mapping[str, bytes]) -> Stage:
    """names: kind -> stem; files: "places/x.toml" -> bytes of the three. Raises CatalogProblems."""
    place, rig, camera = (_whole(kind, names[kind], files) for kind in ("place", "rig", "camera"))
    assert isinstance(place, Place) and isinstance(rig, Rig) and isinstance(camera, Camera)
    return Stage(names, files, place, rig, camera)


def _whole(kind: str, name: str, files: Mapping[str, bytes]) -> BaseModel:
    file = f"{kind}s/{name}.toml"
    document, problems = read_document(kind, name, file, files[file])
    if document.draft is None or document.draft.whole is None:
        raise CatalogProblems(problems)
    return document.draft.whole


def window(on: Stage, answers: Mapping[str, Any], sky: Sky) -> dict[str, Any]:
    """The plan of a shot at that place and time in which nothing moves; raises CatalogProblems."""
    files = {
        "catalog.toml": head_file(PROBE, PROBE),
        "rigs/tripod.toml": rig_file(rigs()["static"], PROBE, "A", None),
        f"shots/{PROBE}.toml": _shot(on, {**answers, "rig": "tripod"}, Rigged({}), (), 0),
        **{name: data for name, data in on.files.items() if not name.startswith("rigs/")},
    }
    return plan_tried(files, PROBE, sky)


def first_shot(
    on: Stage, subject: Subject, answers: Mapping[str, Any], tried: Mapping[str, Any], sky: Sky
) -> bytes:
    """A file of shots/ that points at its subject; tried: the plan of its window."""
    target = target_of(subject, on.place.latitude_deg)
    stands = () if target is None else _stands(tried, target, sky)
    named = {**answers, "rig": on.names["rig"], "target": target}
    return _shot(on, named, on.rigged, stands, float(answers["bearing_deg"] or 0))


def target_of(subject: Subject, latitude_deg: Decimal) -> str | None:
    """The body of the sky that a subject is, as seen from that latitude; None of a view."""
    if subject.target != "pole":
        return subject.target
    return "north pole" if latitude_deg >= 0 else "south pole"


def _stands(planned: Mapping[str, Any], target: str, sky: Sky) -> tuple[Stand, ...]:
    """How the target stands at the start and at the end."""
    site = site_of(planned["brief"]["place"])
    at_s = [planned["window"][edge]["utc_ms"] / 1000 for edge in ("start", "end")]
    altitudes, azimuths, _ = horizontal(sky, site, target, at_s)
    seen = apparent_altitude_deg(altitudes, site.air)
    return tuple(Stand(float(azimuth), float(up)) for azimuth, up in zip(azimuths, seen, strict=True))


def _shot(
    on: Stage, answers: Mapping[str, Any], rigged: Rigged, stands: tuple[Stand, ...], bearing_deg: float
) -> bytes:
    pointed = point(rigged, answers.get("target"), stands, bearing_deg)
    key, until = answers["until"]
    return shot_file(
        {
            **{name: answers[name] for name in ("rig", "night", "start", "interval_s", "longest_shutter_s")},
            "title": answers["title"],
            "place": on.names["place"],
            "camera": on.names["camera"],
            "end": until if key == "end" else None,
            "duration": until if key == "duration" else None,
            "payload_kg": answers["payload_kg"],
            "incline_deg": answers["incline_deg"],
            "zero_bearing_deg": pointed.zero_bearing_deg,
            "rail_bearing_deg": (pointed.zero_bearing_deg + 90) % 360,
            "tilt_deg": pointed.tilt_deg,
            "keyframes": pointed.keyframes,
            "moves": len(pointed.keyframes) > 1,
            "eases": on.eases,
            "pans": "pan" in rigged.axes,
            "slides": "slide" in rigged.axes,
            "upright": rigged.upright,
        }
    )
