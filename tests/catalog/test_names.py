"""The catalog imports no room that computes; the names that it shares with them are held equal here."""

from __future__ import annotations

import pytest

from fieldsheet.catalog import names
from fieldsheet.catalog.words import Wrong
from fieldsheet.checklists.checklist import SECTIONS
from fieldsheet.plan import anchors as plan_anchors
from fieldsheet.sky import bodies, events


def test_bodies_are_those_of_the_sky() -> None:
    assert names.BODIES == bodies.BODIES
    assert tuple(bodies.STARS) == names.STARS
    assert names.PLANETS == bodies.PLANETS
    assert tuple(bodies.POLES) == names.POLES


def test_events_are_those_of_the_sky_and_the_tides_of_the_plan() -> None:
    assert tuple(events.EVENTS) == names.BASE_EVENTS
    assert set(names.RIDGE_EVENTS) == set(events.RIDGE_EVENTS)
    assert set(names.BODY_EVENTS) == set(events.NAMED_EVENTS)
    assert set(names.TIDES) == set(plan_anchors.TIDES)
    assert len(set(names.EVENTS)) == len(names.EVENTS)


def test_sections_are_those_of_the_checklist_in_their_order() -> None:
    assert tuple(SECTIONS) == names.SECTIONS


@pytest.mark.parametrize("name", names.BODIES)
def test_a_body_is_named_in_any_case(name: str) -> None:
    assert names.body(f" {name.title()}  ") == names.body(name.upper()) == name


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("son", "'sun' (did you mean that?)"),
        ("galatic core", "'galactic core' (did you mean that?)"),
        ("Betelgeux", "'betelgeuse' (did you mean that?)"),
        ("north-pole", "'north pole' (did you mean that?)"),
        ("pluto", names.BODY_RIGHT),
        (3, names.BODY_RIGHT),
    ],
)
def test_what_is_no_body_is_told_what_would_be(text: object, right: str) -> None:
    with pytest.raises(Wrong) as caught:
        names.body(text)
    assert caught.value.right == right
