"""When what is done of a shot, with alarms: iCalendar (RFC 5545) through icalendar.

All times are UTC, whole seconds: a phone shows them by its own clock, the text tells that of the place.  An
event's UID follows from the address of the shot's page and from what the event is, not from its time nor
from the revision: it lasts (RFC 5545, 3.8.4.7), so that a file that is taken in twice adds nothing and a
later plan replaces the earlier one's events.  No clock is read, and no file knows which of two plans is the
later: DTSTAMP (3.8.7.2) is the same in all and SEQUENCE (3.8.7.4) is left at 0, so that by neither (RFC 5546,
2.1.5, from memory) a plan passes for older than the one it replaces.  What a later plan no longer has it
cannot take back.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from typing import Any
from uuid import NAMESPACE_URL, uuid5

from icalendar import Alarm, Calendar, Event, vText

from ..plan.civil import Spans, span_at
from ..sheet.words import WORDS, clock, say
from .foreign import foreign_line, foreign_text

Entry = Mapping[str, Any]
PRODUCT = "-//Fieldsheet//Fieldsheet//EN"
# Minutes from alarm to event (common practice, no source): time to get up, to walk over, to take a glove off.
ALARM_MIN = {
    "leave": 30,
    "set-up": 0,
    "first": 10,
    "exposure": 3,
    "interval": 3,
    "swap": 10,
    "last": 5,
    "limit": 15,
}
BY_PEOPLE = ("hand", "tether")  # who turns the exposure and has to be called
GEO_DECIMALS = 4  # 11 m, as sheets print a position
STAMP = datetime(2000, 1, 1, tzinfo=UTC)
"""Of every event: a moment that says nothing."""


def shot_entries(plan: Entry, sheet: Entry, link: str) -> dict[str, Any]:
    """What a calendar needs of a shot, as JSON values.

    {title, place, latitude_deg, longitude_deg, link, entries: [{id, kind, from_ms, until_ms, says,
    more}]} with until_ms None for a moment; `link`: the address of the shot's page, its revision and all.
    """
    place = plan["place"]
    found = [*_before(plan), *_rolling(plan), *_exposure(plan, sheet), *_limits(plan, sheet)]
    about = say("calendar.of-rig", {"letter": sheet["letter"], "revision": sheet["revision"]}, ())
    spans = plan["brief"]["place"]["zone"]["spans"]
    return {
        "title": sheet["title"],
        "place": place["title"],
        "latitude_deg": place["latitude_deg"],
        "longitude_deg": place["longitude_deg"],
        "link": link,
        "entries": [
            {**one, "more": "\n".join(filter(None, (_local(one, spans), one["more"], about)))}
            for one in sorted(found, key=lambda one: (one["from_ms"], one["id"]))
        ],
    }


def calendar_file(title: str, shots: Sequence[Entry]) -> bytes:
    """The events of shots as an iCalendar file; the same arguments give the same bytes."""
    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    # Of RFC 7986, which the library does not know: said to be text, it is escaped.
    calendar.add("name", vText(foreign_line(title)))
    for shot in shots:
        for entry in shot["entries"]:
            calendar.add_component(_event(shot, entry))
    return bytes(calendar.to_ical())


def _event(shot: Entry, entry: Entry) -> Event:
    event = Event()
    says = foreign_line(say("calendar.entry", {"what": entry["says"], "title": shot["title"]}, ()))
    begins, ends = _second(entry["from_ms"]), entry["until_ms"] and _second(entry["until_ms"])
    page, _, _ = shot["link"].partition("#")
    event.add("uid", str(uuid5(NAMESPACE_URL, f"{page} {entry['id']}")))
    event.add("dtstamp", STAMP)
    event.add("dtstart", begins)
    if ends and ends > begins:
        event.add("dtend", ends)
    event.add("summary", says)
    event.add("description", foreign_text(entry["more"]))
    event.add("location", foreign_line(shot["place"]))
    # So few decimals are never written with an exponent, which the standard has not.
    event.add("geo", tuple(round(shot[key], GEO_DECIMALS) + 0.0 for key in ("latitude_deg", "longitude_deg")))
    event.add("url", shot["link"])
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    alarm.add("description", says)
    alarm.add("trigger", -timedelta(minutes=ALARM_MIN[entry["kind"]]))
    event.add_component(alarm)
    return event


def _second(utc_ms: float) -> datetime:
    return datetime.fromtimestamp(utc_ms // 1000, UTC)


def _local(entry: Entry, spans: Spans) -> str:
    """The place's clock: 19:36 WEST, or 20:01 to 20:51 WEST."""
    zone = span_at(spans, entry["from_ms"] / 1000)[2]
    args = {"from": entry["from_ms"], "until": entry["until_ms"], "zone": zone}
    ends = entry["until_ms"] is not None and clock(entry["until_ms"], spans) != clock(entry["from_ms"], spans)
    return say("calendar.from-until" if ends else "calendar.at", args, spans)


def _entry(
    kind: str, id: str, from_ms: float, until_ms: float | None, says: str, more: str = ""
) -> dict[str, Any]:
    return {"id": id, "kind": kind, "from_ms": from_ms, "until_ms": until_ms, "says": says, "more": more}


def _before(plan: Entry) -> Iterator[dict[str, Any]]:
    """Leaving, where the way is known, and setting up."""
    due = {row["id"]: row["time"]["utc_ms"] for row in plan["window"]["deadlines"]}
    if "leave" in due:
        yield _entry("leave", "leave", due["leave"], due["on-site"], WORDS["calendar.leave"])
    start_ms = plan["window"]["start"]["utc_ms"]
    yield _entry("set-up", "set-up", due["on-site"], start_ms, WORDS["calendar.set-up"])


def _rolling(plan: Entry) -> Iterator[dict[str, Any]]:
    """The first frame and all that follow, other intervals, swaps, the last frame."""
    window, timing = plan["window"], plan["timing"]
    first_ms, last_ms = window["start"]["utc_ms"], window["last_frame"]["utc_ms"]
    closes_ms = window["last_shutter_closes"]["utc_ms"]
    frames = say("calendar.frames", timing, ())
    yield _entry("first", "first", first_ms, closes_ms, WORDS["calendar.first"], frames)
    for number, at in enumerate((one for one in plan["moments"] if one["id"] == "moment.interval"), 1):
        says = say("moment.interval", {"span": at["interval_ms"]}, ())
        yield _entry("interval", f"interval.{number}", at["time"]["utc_ms"], None, says)
    for number, swap in enumerate(plan["power"]["changes"], 1):
        from_ms, until_ms = (swap[edge]["time"]["utc_ms"] for edge in ("from", "until"))
        yield _entry("swap", f"swap.{number}", from_ms, until_ms, WORDS["calendar.swap"])
    yield _entry("last", "last", last_ms, closes_ms, WORDS["calendar.last"])


def _exposure(plan: Entry, sheet: Entry) -> Iterator[dict[str, Any]]:
    """Where somebody begins to turn: after a rest, another control, or the other way."""
    exposure = plan["exposure"]
    if exposure is None or exposure["turned_by"] not in BY_PEOPLE:
        return
    rows = zip(exposure["bands"], sheet["exposure"]["bands"], strict=True)
    begun = (
        (band, told)
        for (before, _), (band, told) in pairwise([(None, None), *rows])
        if band["control"] is not None and (before is None or _way(before) != _way(band))
    )
    for number, (band, told) in enumerate(begun, 1):
        more = " · ".join((told["frames"], told["does"]))
        says = WORDS[f"moment.{'-'.join(_way(band))}"]
        yield _entry("exposure", f"exposure.{number}", band["time"]["utc_ms"], None, says, more)


def _way(band: Entry) -> tuple[str, str]:
    return str(band["control"]), "more" if band["clicks"] > 0 else "less"


def _limits(plan: Entry, sheet: Entry) -> Iterator[dict[str, Any]]:
    """What the place sets: when to turn back, when to be heard of."""
    for row, told in zip(plan["place"]["limits"], sheet["limits"], strict=True):
        yield _entry("limit", row["id"], row["time"]["utc_ms"], None, told["label"])
