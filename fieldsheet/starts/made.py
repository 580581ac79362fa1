"""A catalog's first files, and one more file for a catalog, from what was answered."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from string import ascii_uppercase
from typing import Any

from fieldsheet.catalog.document import read_document
from fieldsheet.press import plan_shot
from fieldsheet.problems import CatalogProblems
from fieldsheet.sheet.sheet import make_sheet

from .files import FIRST_LETTER, camera_file, head_file, place_file, rig_file
from .library import lenses, rigs, sensors, subjects
from .question import Given
from .stage import Stage, first_shot, stage
from .stem import stem
from .trial import faults_in, plan_tried

KINDS = ("place", "rig", "camera", "shot")


@dataclass(frozen=True)
class Made:
    """A file by its path in the catalog."""

    path: str
    data: bytes

    @property
    def name(self) -> str:
        """What other files call it."""
        return self.path.rpartition("/")[2].removesuffix(".toml")


def place(given: Given) -> Made:
    """A file of places/."""
    answers = given.answers
    keys = ("latitude_deg", "longitude_deg", "elevation_m", "zone")
    title = answers["place_title"]
    return _made("place", title, place_file({"title": title, **{key: answers[key] for key in keys}}))


def rig(given: Given, letter: str = FIRST_LETTER) -> Made:
    """A file of rigs/."""
    answers = given.answers
    start, title = rigs()[answers["rig_kind"]], answers["rig_title"]
    return _made("rig", title, rig_file(start, title, letter, answers.get("load_kg"), answers.get("travel")))


def camera(given: Given) -> Made:
    """A file of cameras/."""
    answers = given.answers
    sensor, lens = sensors()[answers["sensor"]], lenses()[answers["lens"]]
    title = answers["camera_title"]
    return _made("camera", title, camera_file(title, sensor, lens, answers["focal_mm"]))


def shot(given: Given) -> Made:
    """A file of shots/, of the window that was tried last."""
    answers = {"bearing_deg": None, "payload_kg": None, "incline_deg": 0, **given.answers}
    subject, sky = subjects()[answers["subject"]], given.sky(answers["night"])
    data = first_shot(given.on, subject, answers, given.tried, sky)
    return _made("shot", answers["title"], data)


MAKERS: Mapping[str, Callable[[Given], Made]] = {"place": place, "rig": rig, "camera": camera, "shot": shot}


def first_stage(given: Given) -> Stage:
    """The stage of a catalog's first shot: its first place, rig and camera."""
    made = {kind: MAKERS[kind](given) for kind in ("place", "rig", "camera")}
    names = {kind: one.name for kind, one in made.items()}
    return stage(names, {one.path: one.data for one in made.values()})


def first_catalog(given: Given, name: str) -> tuple[dict[str, bytes], dict[str, Any]]:
    """Path -> bytes of a catalog of one shot, and its plan; name: of its folder.

    Raises CatalogProblems where the shot cannot be planned: nothing has been written then.
    """
    picture = shot(given)
    title = given.on.place.title
    files = {
        "catalog.toml": head_file(title, stem(name, "shots")),
        **given.on.files,
        picture.path: picture.data,
    }
    return files, plan_tried(files, picture.name, given.sky(given.answers["night"]), plan_shot)


def one_more(kind: str, given: Given, files: Mapping[str, bytes]) -> tuple[Made, dict[str, Any] | None]:
    """A file for the catalog that holds these files, and the plan of a shot.

    Raises CatalogProblems where it does not go together with them: nothing has been written then.
    """
    made = rig(given, free_letter(files)) if kind == "rig" else MAKERS[kind](given)
    faults = faults_in({made.path: made.data}, files)
    if faults:
        raise CatalogProblems(faults)
    if kind != "shot":
        return made, None
    whole = {**files, made.path: made.data}
    return made, plan_tried(whole, made.name, given.sky(given.answers["night"]), plan_shot)


def free_letter(files: Mapping[str, bytes]) -> str:
    """The first letter that no rig of the catalog has; the last where all are taken."""
    drafts = [
        read_document("rig", "", path, data)[0].draft
        for path, data in files.items()
        if path.startswith("rigs/")
    ]
    taken = {draft.get("letter") for draft in drafts if draft}
    return next((letter for letter in ascii_uppercase if letter not in taken), ascii_uppercase[-1])


def _made(kind: str, title: str, data: bytes) -> Made:
    return Made(f"{kind}s/{stem(title, kind)}.toml", data)


def said_of(planned: dict[str, Any]) -> list[str]:
    """A first shot in a few words: when it runs, what comes of it, why it cannot go, what is guessed."""
    sheet = make_sheet(planned)
    numbers = sheet["numbers"]
    guessed = planned["brief"]["assumed"]["count"]
    return [
        f"{sheet['title']}: {sheet['when']}, {sheet['span']}",
        f"{numbers['frames']} frames at {numbers['interval']}, a clip of {numbers['clip']}",
        *(
            f"{said['word']}: {said['head']}"
            for warning, said in zip(planned["warnings"], sheet["warnings"], strict=True)
            if warning["level"] == "no-go"
        ),
        f'Still guessed, marked "assumed" in its files: {guessed}. Measure, then delete the mark.',
    ]
