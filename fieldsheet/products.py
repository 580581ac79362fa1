"""What is made of a catalog and stands beside the site's pages: paper, and files for other programs.

A kind of product is a function below and a line in KINDS.  Its maker stands in the room that it belongs to
and is given JSON values alone: they are all that goes into the product, and so its key in the cache.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from itertools import chain
from typing import Any

from fieldsheet.cards.cards import COMBINED_MOST, all_printed_html, class_html, printed_html, sheet_html
from fieldsheet.cards.day import night_html
from fieldsheet.cards.everything import everything_html
from fieldsheet.cards.kit import Kit, kit_html, kit_said
from fieldsheet.cards.render import drawn, text_setter
from fieldsheet.cards.spec import PrintSpec
from fieldsheet.catalog.document import MODELS
from fieldsheet.catalog.models.printing import asked_of
from fieldsheet.catalog.powered import charging_of
from fieldsheet.catalog.read import Catalog
from fieldsheet.catalog.schema import keys_file
from fieldsheet.exchange.calendar import calendar_file, shot_entries
from fieldsheet.exchange.carrycode import TooLong, digits_of
from fieldsheet.exchange.frames import frames_file
from fieldsheet.exchange.planjson import plan_file, schema_file
from fieldsheet.exchange.waypoints import gpx_file, points_of
from fieldsheet.press import Planned, clash_texts, on_paper, sky_of
from fieldsheet.sheet.across.between import between_of
from fieldsheet.sheet.across.day import DayView, day_view
from fieldsheet.sheet.across.kit import kit_of
from fieldsheet.sheet.across.shots import Shot, nights_of, shots_of
from fieldsheet.sheet.across.totals import totals_of
from fieldsheet.site.beside import COMBINED, FILES, card_of, sheet_of
from fieldsheet.site.kept import json_of
from fieldsheet.site.pocket import EVERYTHING, catalog_file, pocket_of, pocket_path, shot_file


@dataclass(frozen=True)
class Product:
    """A file that can be made.

    path: where it stands in the site ("cards/slipway.pdf"); text: what a link to it says; shot: the id of the
    one shot that it is of, night: the date of the one night, each None where it is of several.  maker: makes
    it of `inputs`, which are JSON values and dataclasses of them: the HTML of paper, else the file's bytes.
    """

    path: str
    text: str
    shot: str | None
    night: str | None
    maker: Callable[..., str | bytes]
    inputs: tuple[Any, ...]
    is_paper: bool

    @property
    def key(self) -> str:
        """All that it depends on but the program: maker, inputs, and for paper what sets its text."""
        setter = text_setter() if self.is_paper else ""
        made_of = hashlib.sha256(json_of(self.inputs).encode()).hexdigest()
        return f"{setter} {self.maker.__module__}.{self.maker.__qualname__} {made_of}"

    def laid_out(self) -> str | bytes:
        """The HTML of paper, any other file whole; raises NoRoom for texts that do not fit."""
        return self.maker(*self.inputs)

    @property
    def make(self) -> Callable[[], bytes]:
        """What makes the file's bytes; it raises as `laid_out` does, and PangoMissing.

        A process that is given it loads no more than the maker's own module and the renderer.
        """
        return partial(drawn, self.maker, self.inputs)


@dataclass(frozen=True)
class Job:
    """What products are made of; `everything` asks for those that are made on demand only.

    printing: what was typed of `[print]`, by its keys.
    """

    catalog: Catalog
    planned: Planned
    everything: bool = False
    printing: Mapping[str, Any] = field(default_factory=dict)

    @cached_property
    def spec(self) -> PrintSpec:
        """How paper is printed; raises ValueError, in words, where what was typed does not go together."""
        return PrintSpec(**asked_of(self.catalog.head.print, self.printing))

    @cached_property
    def paper(self) -> Planned:
        """What was planned, as paper says it: perhaps with twelve hours of the clock."""
        return on_paper(self.planned, self.spec.clock_h)

    @cached_property
    def days(self) -> list[DayView]:
        """What the paper of each date says."""
        sky = sky_of(self.paper.packs)
        return [day_view(night, self.clashes, sky) for night in nights_of(self.shots)]

    @cached_property
    def clashes(self) -> dict[str, list[str]]:
        """What the paper of each date says of shots that collide."""
        return clash_texts(self.paper)

    @cached_property
    def packs(self) -> dict[str, str]:
        """The sky packs by year, as text."""
        return {str(year): base64.b64encode(data).decode() for year, data in self.paper.packs.items()}

    @cached_property
    def kit(self) -> Kit:
        """What the paper of the kit says."""
        between = between_of(self.shots, charging_of(self.catalog.head))
        return kit_said(len(self.shots), kit_of(self.shots), totals_of(nights_of(self.shots)), between)

    @cached_property
    def shots(self) -> tuple[Shot, ...]:
        """All shots as paper says them, in their order."""
        return shots_of(self.paper.plans, self.paper.sheets)

    @property
    def combines(self) -> bool:
        """Whether the files of all shots' paper are made: on demand, as each is drawn as a whole."""
        return self.everything and len(self.planned.plans) <= COMBINED_MOST

    @property
    def left_out(self) -> str:
        """Of what was asked for, what is not made and why; "" where all is."""
        if self.combines or not self.everything:
            return ""
        found = f"{len(self.planned.plans)} shots, and one file holds {COMBINED_MOST}"
        return f"warning: all cards and all sheets left out: {found}"

    @property
    def shot_ids(self) -> list[str]:
        """The shots in the order in which they begin."""
        plans = self.planned.plans
        return sorted(plans, key=lambda shot_id: (plans[shot_id]["window"]["start"]["utc_ms"], shot_id))

    def sheet(self, shot_id: str) -> Mapping[str, Any]:
        """What is said of a shot."""
        return self.planned.sheets[shot_id]

    def link(self, shot_id: str) -> str:
        """The address that a shot's paper opens: its page, and the revision that the paper is of."""
        base = self.catalog.base_url.rstrip("/")
        return f"{base}/shots/{shot_id}/#r={self.sheet(shot_id)['revision']}"

    def carry(self, shot_id: str) -> tuple[str, str]:
        """The address that opens a plan and the digits that it ends in, "" where the plan is too long."""
        whole = self.planned.plans[shot_id]
        address = f"{self.catalog.base_url.rstrip('/')}/open/#p="
        try:
            return address, digits_of({**whole["brief"], "revision": whole["revision"]})
        except TooLong:
            return address, ""


def _cards(job: Job) -> Iterator[Product]:
    for shot_id in job.shot_ids:
        inputs = (job.paper.sheets[shot_id], job.link(shot_id), job.spec)
        yield Product(card_of(shot_id), "Cards", shot_id, None, printed_html, inputs, is_paper=True)


def _class_cards(job: Job) -> Iterator[Product]:
    for shot_id in job.shot_ids:
        path, inputs = f"{FILES}{shot_id}-class.pdf", (job.paper.sheets[shot_id], job.link(shot_id), job.spec)
        yield Product(path, "Class card", shot_id, None, class_html, inputs, is_paper=True)


def _sheets(job: Job) -> Iterator[Product]:
    for shot_id in job.shot_ids:
        inputs = (job.paper.sheets[shot_id], job.link(shot_id), job.spec.large, job.carry(shot_id))
        yield Product(sheet_of(shot_id), "Sheet", shot_id, None, sheet_html, inputs, is_paper=True)


def _all_cards(job: Job) -> Iterator[Product]:
    """On demand, since it is drawn as a whole: time and memory of all shots at once."""
    if job.combines:
        shots = [(job.paper.sheets[shot_id], job.link(shot_id)) for shot_id in job.shot_ids]
        inputs = (job.catalog.title, shots, job.spec)
        yield Product(COMBINED, "All cards", None, None, all_printed_html, inputs, is_paper=True)


def _days(job: Job) -> Iterator[Product]:
    for night in nights_of(job.shots):
        date, clashes = night.date, job.clashes.get(night.date, [])
        inputs = (job.catalog.title, night, clashes, job.packs, job.spec.large)
        yield Product(f"{FILES}days/{date}.pdf", "Day sheet", None, date, night_html, inputs, is_paper=True)


def _kit(job: Job) -> Iterator[Product]:
    inputs = (job.catalog.title, job.kit, job.spec.large)
    yield Product(f"{FILES}kit.pdf", "Kit list", None, None, kit_html, inputs, is_paper=True)


def _all_sheets(job: Job) -> Iterator[Product]:
    """On demand, as all cards are."""
    if job.combines:
        codes = {shot_id: (job.link(shot_id), job.carry(shot_id)) for shot_id in job.shot_ids}
        inputs = (job.catalog.title, job.days, codes, job.kit, job.spec.large)
        path = f"{FILES}everything.pdf"
        yield Product(path, "All sheets", None, None, everything_html, inputs, is_paper=True)


def _whole_pages(job: Job) -> Iterator[Product]:
    catalog, planned = job.catalog, job.planned
    of = pocket_of(catalog.title, catalog.id, catalog.base_url, planned.packs)
    for shot_id in job.shot_ids:
        path, inputs = pocket_path(shot_id), (of, planned.plans[shot_id], planned.sheets[shot_id])
        yield Product(path, "Page as one file", shot_id, None, shot_file, inputs, is_paper=False)
    inputs = (of, planned.plans, planned.sheets)
    yield Product(EVERYTHING, "All pages as one file", None, None, catalog_file, inputs, is_paper=False)


def _calendars(job: Job) -> Iterator[Product]:
    shots = {
        shot_id: shot_entries(job.planned.plans[shot_id], job.sheet(shot_id), job.link(shot_id))
        for shot_id in job.shot_ids
    }
    for shot_id, shot in shots.items():
        path, inputs = f"{FILES}{shot_id}.ics", (shot["title"], [shot])
        yield Product(path, "Calendar", shot_id, None, calendar_file, inputs, is_paper=False)
    path, inputs = f"{FILES}everything.ics", (job.catalog.title, list(shots.values()))
    yield Product(path, "Calendar of all shots", None, None, calendar_file, inputs, is_paper=False)


def _waypoints(job: Job) -> Iterator[Product]:
    points = {shot_id: _points(job, shot_id) for shot_id in job.shot_ids}
    for shot_id, own in points.items():
        path, inputs = f"{FILES}{shot_id}.gpx", (job.sheet(shot_id)["title"], own)
        yield Product(path, "Waypoints", shot_id, None, gpx_file, inputs, is_paper=False)
    path, inputs = f"{FILES}everything.gpx", (job.catalog.title, [*chain(*points.values())])
    yield Product(path, "Waypoints of all places", None, None, gpx_file, inputs, is_paper=False)


def _points(job: Job, shot_id: str) -> list[dict[str, Any]]:
    """Landmarks of known position stand in the catalog: a brief has turned them into bearings."""
    marks = [mark for mark in job.catalog.files(shot_id)[1].landmark if mark.latitude_deg is not None]
    keys = ("latitude_deg", "longitude_deg", "elevation_m", "height_m")
    positioned = [
        {"name": mark.name, **{key: float(getattr(mark, key) or 0) for key in keys}} for mark in marks
    ]
    return points_of(job.planned.plans[shot_id]["brief"], positioned)


def _plans(job: Job) -> Iterator[Product]:
    """For other programs: the plan, every frame of a move, and what a plan holds."""
    for shot_id in job.shot_ids:
        plan = job.planned.plans[shot_id]
        yield Product(f"{FILES}{shot_id}.json", "Plan", shot_id, None, plan_file, (plan,), is_paper=False)
        if len(plan["keyframes"]) > 1:
            path = f"{FILES}{shot_id}.csv"
            yield Product(path, "Every frame", shot_id, None, frames_file, (plan,), is_paper=False)
    path = f"{FILES}plan.schema.json"
    yield Product(path, "What a plan holds", None, None, schema_file, (), is_paper=False)


def _schemas(job: Job) -> Iterator[Product]:
    """For editors, by which they complete and check the files of a catalog."""
    for kind in MODELS:
        path, text = f"{FILES}schema/{kind}.json", f"What the file of a {kind} may hold"
        yield Product(path, text, None, None, keys_file, (kind,), is_paper=False)


KINDS: tuple[Callable[[Job], Iterator[Product]], ...] = (
    _cards,
    _sheets,
    _class_cards,
    _days,
    _kit,
    _all_cards,
    _all_sheets,
    _whole_pages,
    _calendars,
    _waypoints,
    _plans,
    _schemas,
)


def products_of(job: Job) -> list[Product]:
    """Everything that can be made of a catalog beside its pages, kind by kind, in order of the shots."""
    return [product for kind in KINDS for product in kind(job)]
