"""The calendar: what another parser reads of it, and the lines that RFC 5545 asks for."""

from __future__ import annotations

import copy
import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import vobject

from fieldsheet.catalog.read import Catalog
from fieldsheet.exchange.calendar import calendar_file, shot_entries
from fieldsheet.press import plan_shot
from fieldsheet.sheet.sheet import make_sheet
from fieldsheet.sky.sky import Sky
from tests.exchange.hostile import HOSTILE

LINK = "https://example.org/saltings/shots/slipway/#r=K3F7Q2"
# RFC 5545, section 3.1: contentline, its name and parameters; no control but the tab in a value.
LINE = re.compile(
    r"[A-Za-z0-9-]+"
    r"(;[A-Za-z0-9-]+=(\"[^\"\x00-\x1f]*\"|[^\";:,\x00-\x1f]*))*"
    r":[^\x00-\x08\x0a-\x1f\x7f]*"
)
# Section 3.3.11: in a TEXT a backslash stands before \ ; , n N alone, and ; and , never without one.
TEXT = re.compile(r"(?:[^\\;,]|\\[\\;,nN])*")
TEXTS = ("SUMMARY", "DESCRIPTION", "LOCATION", "NAME")


def shot(plan: dict[str, Any], link: str = LINK) -> dict[str, Any]:
    return shot_entries(plan, make_sheet(plan), link)


def unfolded(data: bytes) -> list[str]:
    """The lines of a file; asserts what section 3.1 says of their ends, length and folds."""
    assert data.endswith(b"\r\n")
    assert not re.search(b"\r(?!\n)|(?<!\r)\n", data)
    physical = data[:-2].split(b"\r\n")
    assert max(map(len, physical)) <= 75
    for line in physical:
        line.decode("utf-8")  # no letter is cut in two
    return data.decode("utf-8").replace("\r\n ", "")[:-2].split("\r\n")


def read(data: bytes) -> list[Any]:
    return list(vobject.readOne(data.decode()).vevent_list)


def utc(ms: float) -> datetime:
    return datetime.fromtimestamp(ms // 1000, UTC)


def test_an_independent_parser_reads_what_is_done_and_when(demo_plan: dict[str, Any]) -> None:
    window = demo_plan["window"]
    due = {row["id"]: utc(row["time"]["utc_ms"]) for row in window["deadlines"]}
    start, closes = utc(window["start"]["utc_ms"]), utc(window["last_shutter_closes"]["utc_ms"])
    swap = demo_plan["power"]["changes"][0]
    turned = [utc(row["time"]["utc_ms"]) for row in demo_plan["moments"] if row["kind"] == "exposure"]
    wanted = {
        "Leave": (due["leave"], due["on-site"], 30),
        "Set up": (due["on-site"], start, 0),
        "First frame": (start, closes, 10),
        "Swap the pack": (utc(swap["from"]["time"]["utc_ms"]), utc(swap["until"]["time"]["utc_ms"]), 10),
        "Last frame": (utc(window["last_frame"]["utc_ms"]), closes, 5),
        "Shutter slower": (turned[0], None, 3),
        "ISO up": (turned[1], None, 3),
        "Turn back": (utc(demo_plan["place"]["limits"][0]["time"]["utc_ms"]), None, 15),
        "Check in with Ilvo at the boathouse": (
            utc(demo_plan["place"]["limits"][1]["time"]["utc_ms"]),
            None,
            15,
        ),
    }
    events = read(calendar_file("Saltings", [shot(demo_plan)]))
    title = demo_plan["shot"]["title"]
    found = {event.summary.value.removesuffix(f": {title}"): event for event in events}
    assert found.keys() == wanted.keys()
    for name, (begins, ends, ahead_min) in wanted.items():
        event = found[name]
        assert event.dtstart.value == begins, name
        assert (event.dtend.value if ends else None) == ends, name
        assert event.valarm.trigger.value == -timedelta(minutes=ahead_min), name
        assert event.valarm.action.value == "DISPLAY"
        assert event.location.value == "Gull Point, old slipway"
        assert event.url.value == LINK
    assert found["First frame"].description.value.startswith("19:36 to 23:22 WEST at the place\n753 frames\n")
    assert found["Last frame"].geo.value == "37.08;-8.67"


def test_every_shot_of_the_demo_in_one_file_has_events_of_its_own(demo: Catalog, sky: Sky) -> None:
    shots = [
        shot(plan_shot(demo.brief(one), sky, {}), f"https://example.org/shots/{one}/") for one in demo.shots
    ]
    data = calendar_file(demo.title, shots)
    unfolded(data)
    events = read(data)
    assert (
        len({event.uid.value for event in events}) == len(events) == sum(len(one["entries"]) for one in shots)
    )
    assert all(hasattr(event, "valarm") for event in events)


def test_an_exposure_that_no_hand_turns_calls_nobody(demo_plan: dict[str, Any]) -> None:
    plan = copy.deepcopy(demo_plan)
    for who, called in (("tether", 2), ("camera ramp", 0), ("automatic", 0)):
        plan["exposure"]["turned_by"] = who
        assert [one["kind"] for one in shot(plan)["entries"]].count("exposure") == called


def test_without_a_known_way_nobody_is_told_to_leave(demo_brief: dict[str, Any], sky: Sky) -> None:
    demo_brief["place"]["approach_ms"] = None
    assert [one["id"] for one in shot(plan_shot(demo_brief, sky, {}))["entries"]][0] == "set-up"


def taken_in(data: bytes, kept: dict[str, Any]) -> dict[str, Any]:
    """A calendar after an import: an event replaces that of its UID unless that one is the later of the two.

    Which is later: RFC 5546, 2.1.5 (from memory), SEQUENCE (0 where it is left out), then DTSTAMP.
    """

    def age(event: Any) -> tuple[int, datetime]:
        sequence = getattr(event, "sequence", None)
        return int(sequence.value if sequence else 0), event.dtstamp.value

    new = {event.uid.value: event for event in read(data)}
    return {**kept, **{uid: one for uid, one in new.items() if uid not in kept or age(one) >= age(kept[uid])}}


@pytest.mark.parametrize("offset_s", [-5400, -3600])
def test_a_plan_that_is_taken_in_again_replaces_the_earlier_one(
    demo_brief: dict[str, Any], sky: Sky, offset_s: int
) -> None:
    """Whether it begins earlier or later than before: RFC 5545, 3.8.4.7, a UID lasts."""
    earlier = calendar_file("Saltings", [shot(plan_shot(demo_brief, sky, {}))])
    demo_brief["start"] = {"event": "sunset", "offset_s": offset_s}
    edited = shot(plan_shot(demo_brief, sky, {}), LINK.replace("K3F7Q2", "000000"))
    later = calendar_file("Saltings", [edited])
    once = taken_in(earlier, {})
    assert taken_in(earlier, once).keys() == once.keys()
    both = taken_in(later, once)
    assert sorted(map(str, both.values())) == sorted(map(str, read(later)))
    assert later == calendar_file("Saltings", [edited])
    # The same shot of another catalog is another's.
    others = shot(plan_shot(demo_brief, sky, {}), LINK.replace("saltings", "quarries"))
    assert not taken_in(calendar_file("", [others]), {}).keys() & both.keys()


def test_what_a_later_plan_no_longer_has_stays(demo_plan: dict[str, Any]) -> None:
    """Neither UID nor anything else of a file takes an event back: the guide says so."""
    kept = taken_in(calendar_file("Saltings", [shot(demo_plan)]), {})
    plan = copy.deepcopy(demo_plan)
    plan["power"]["changes"] = []
    left = set(kept) - taken_in(calendar_file("Saltings", [shot(plan)]), {}).keys()
    assert [kept[uid].summary.value.partition(":")[0] for uid in left] == ["Swap the pack"]


@pytest.mark.parametrize("name", HOSTILE, ids=ascii)
def test_no_name_breaks_a_line_or_makes_an_event(demo_plan: dict[str, Any], name: str) -> None:
    whole = shot(demo_plan)
    entries = [{**one, "says": name, "more": f"{name}\n{name}"} for one in whole["entries"]]
    data = calendar_file(name, [{**whole, "title": name, "place": name, "entries": entries}])
    lines = unfolded(data)
    for line in lines:
        assert LINE.fullmatch(line), line
        key, _, value = line.partition(":")
        assert key not in TEXTS or TEXT.fullmatch(value), line
    names = [line for line in lines if line.startswith("BEGIN:")]
    assert names == ["BEGIN:VCALENDAR", *["BEGIN:VEVENT", "BEGIN:VALARM"] * len(entries)]
    assert len(read(data)) == len(entries)


def test_a_place_on_the_lines_of_zero_has_a_position_without_an_exponent(demo_plan: dict[str, Any]) -> None:
    whole = {**shot(demo_plan), "latitude_deg": -0.00000001, "longitude_deg": 0.00012}
    lines = unfolded(calendar_file("Zero", [whole]))
    found = {line for line in lines if line.startswith("GEO:")}
    assert found == {"GEO:0.0;0.0001"}
