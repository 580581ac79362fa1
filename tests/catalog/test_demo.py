"""The demo: what it must show, that it shows it without a limit broken, and that it draws no one's rig."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.catalog.read import Catalog
from fieldsheet.plan.plan import plan
from fieldsheet.sky.sky import Sky

SHOTS = ("clouds", "hoist", "moonrise", "pole-circle", "slipway", "stone-saw")


@pytest.fixture(scope="module")
def briefs(demo: Catalog) -> dict[str, dict[str, Any]]:
    return {shot: demo.brief(shot) for shot in demo.shots}


def test_it_shows_every_kind_of_shot(briefs: dict[str, dict[str, Any]]) -> None:
    assert tuple(briefs) == SHOTS
    for kind, least in (("place", 3), ("rig", 2), ("camera", 2)):
        assert len({brief[kind]["id"] for brief in briefs.values()}) >= least
    aims = {
        shot: {(keyframe["aim"] or {}).get("target") for keyframe in brief["keyframes"]}
        for shot, brief in briefs.items()
    }
    assert {"sun", "galactic core"} <= aims["slipway"]
    assert "moon" in aims["moonrise"] and aims["pole-circle"] == {"north pole"}
    assert len(briefs["clouds"]["rig"]["axes"]) == len(briefs["clouds"]["keyframes"]) == 2
    assert briefs["clouds"]["night"]["rule"] == "day"
    assert briefs["hoist"]["rail"]["incline_deg"] == 90 and briefs["hoist"]["rig"]["load_kg"]
    assert briefs["stone-saw"]["rig"]["axes"] == {} and briefs["stone-saw"]["keyframes"] == []
    assert {brief["place"]["latitude_deg"] > 0 for brief in briefs.values()} == {True, False}
    assert briefs["slipway"]["place"]["tides"] and briefs["slipway"]["place"]["landmarks"]


def test_two_rigs_work_on_one_night(briefs: dict[str, dict[str, Any]]) -> None:
    first, second = briefs["slipway"], briefs["pole-circle"]
    assert first["night"] == second["night"] and first["place"] == second["place"]
    assert first["rig"]["letter"] != second["rig"]["letter"]
    assert first["camera"]["id"] != second["camera"]["id"]
    crews = [{row["who"] for row in brief["words"]["crew"]} for brief in (first, second)]
    assert not crews[0] & crews[1]


@pytest.mark.parametrize("shot", SHOTS)
def test_no_limit_is_broken(demo: Catalog, sky: Sky, shot: str) -> None:
    whole = plan(demo.brief(shot), sky, {})
    assert [warning["id"] for warning in whole["warnings"] if warning["level"] == "no-go"] == []


def test_no_one_rig_gathers_what_would_draw_an_existing_one(demo: Catalog) -> None:
    """The rigs are mixtures: what could tell one rig from another is spread over all of them."""
    seen: dict[str, set[str]] = {}
    for shot in demo.shots:
        _, _, rig, _ = demo.files(shot)
        seen[rig.letter] = {
            feature
            for feature, has in (
                ("wireless", rig.remote is not None and rig.remote.kind == "wireless"),
                ("tilting", rig.remote is not None and rig.remote.steers_by_tilt),
                ("last-to-first", rig.orders[0] == "last-to-first"),
                ("halfway", rig.keyframes is not None and rig.keyframes.middle == "halfway"),
                ("gap", rig.interval_means == "gap"),
                ("continuous", rig.motion == "continuous"),
                ("isolating lead", rig.power is not None and rig.power.isolating_lead),
            )
            if has
        }
    assert len(set.union(*seen.values())) == 7
    assert all(len(features) <= 3 for features in seen.values())
