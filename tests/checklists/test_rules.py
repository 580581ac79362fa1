"""Each rig, camera, place and shot gets what fits it, and nothing that does not."""

from __future__ import annotations

from typing import Any

import pytest

from fieldsheet.checklists.words import WORDS
from tests.checklists.shots import (
    CABLES,
    DUSK,
    LATCH,
    LOOSE,
    MAINS,
    POWER,
    REMOTE,
    SIGHTED,
    SWAP,
    TILTED,
    TWO_PACKS,
    TWO_PLAIN,
    UPRIGHT,
    item_of,
    items,
    rules,
    shot,
)

UNPAIRED = {**REMOTE, "pair": None}
SLOPE: dict[str, Any] = {"rail": {"incline_deg": 20.0}}
STEEP: dict[str, Any] = {"rail": {"incline_deg": -45.0}}
PAN_TILT: dict[str, Any] = {"axes": ("pan", "tilt")}
STILL: dict[str, Any] = {"axes": (), "keyframes": 0, "rig": {"motion": "none"}}
DAY: dict[str, Any] = {"night": {"rule": "day", "date": "2027-06-05"}}


def _words(**changes: Any) -> dict[str, Any]:
    return {"words": changes}


def _turned(by: str) -> dict[str, Any]:
    return {"exposure": {"turned_by": by}}


def _rig(**changes: Any) -> dict[str, Any]:
    return {"rig": changes}


@pytest.mark.parametrize(
    ("rule", "with_it", "without_it"),
    [
        pytest.param("way", {}, DAY, id="edges are walked in daylight where the shot is at night"),
        pytest.param("rail-level", {}, SLOPE, id="a level rail"),
        pytest.param("rail-incline", SLOPE, {}, id="a sloping rail"),
        pytest.param("rail-upright", {"rail": UPRIGHT}, STEEP, id="an upright rail"),
        pytest.param("rail-level", {}, PAN_TILT, id="no rail for a head"),
        pytest.param("end-stop", SLOPE, {}, id="an end stop where the carriage can run"),
        pytest.param("pack-stop", SLOPE, {}, id="and it is packed"),
        pytest.param("carriage", SLOPE, {}, id="a hand under it"),
        pytest.param("holds", SLOPE, {}, id="held between moves"),
        pytest.param("down", SLOPE, {}, id="driven down at the end"),
        pytest.param("hand-under", SLOPE | SWAP, SWAP, id="and held while packs are changed"),
        pytest.param("tether", STEEP, SLOPE, id="a tether where it is steep"),
        pytest.param("pack-tether", STEEP, SLOPE, id="and it is packed"),
        pytest.param("feet", {}, {"rail": UPRIGHT}, id="feet"),
        pytest.param("fixed", {"rail": UPRIGHT}, STEEP, id="an upright rail is held at the top"),
        pytest.param("stand-still", STILL, {}, id="a stand"),
        pytest.param("stand-head", PAN_TILT, {}, id="a head on its post"),
        pytest.param("payload-rail", {}, SLOPE, id="loaded in the middle of the rail"),
        pytest.param("payload-incline", SLOPE, {}, id="or at the end stop"),
        pytest.param("pack-held", {}, _words(power=MAINS), id="a pack is held, a socket is not"),
        pytest.param("pack-supply", _words(power=MAINS), {}, id="a supply without packs is packed"),
        pytest.param("never-join", _words(power=TWO_PLAIN), {}, id="a second pack and no isolating lead"),
        pytest.param(
            "never-join", _words(power=TWO_PLAIN), _words(power=TWO_PLAIN) | SWAP, id="said in the swap"
        ),
        pytest.param("join", _words(power=TWO_PACKS), _words(power=TWO_PLAIN), id="an isolating lead"),
        pytest.param(
            "join", _words(power=TWO_PACKS), _words(power=TWO_PACKS) | SWAP, id="said in the swap, too"
        ),
        pytest.param("pack-packs", _words(power=TWO_PLAIN), {}, id="packs"),
        pytest.param("pack-pack", {}, _words(power=MAINS), id="a pack"),
        pytest.param("pack-isolating", _words(power=TWO_PACKS), {}, id="and it is packed"),
        pytest.param("plug-pack", {}, _words(power=MAINS), id="a pack is plugged in"),
        pytest.param("plug", _words(power=MAINS), _words(power=None), id="a supply without packs too"),
        pytest.param("power-on-remote", {}, _words(power=None), id="no power, nothing to switch on"),
        pytest.param("power-on", _words(remote=UNPAIRED), {}, id="nothing to pair"),
        pytest.param("stays-on", _words(power={**POWER, "sleeps": True}), {}, id="a pack that sleeps"),
        pytest.param("strain-rail", {}, _words(cables=[]), id="nothing to relieve without leads"),
        pytest.param("clear-rail", {}, PAN_TILT, id="a belt pinches"),
        pytest.param("clear-head", PAN_TILT, STILL, id="a stand does not"),
        pytest.param("holds-level-turned", {}, {"axes": ("slide", "tilt")}, id="two pans need a pan"),
        pytest.param("holds-level", {"axes": ("slide", "tilt")}, PAN_TILT, id="both ends of a rail"),
        pytest.param("holds-level-head", PAN_TILT, {"axes": ("tilt",)}, id="a head without a rail"),
        pytest.param("level-rail", {}, SLOPE, id="a rail lies level, or does not"),
        pytest.param("level-upright", {"rail": UPRIGHT}, STEEP, id="or stands plumb"),
        pytest.param("level-still", STILL, PAN_TILT, id="a camera on a stand"),
        pytest.param("tilt-by-hand", {"axes": ("slide", "pan"), "tilt_deg": 4.0}, {}, id="tilted by hand"),
        pytest.param("zero", {}, {"axes": ("slide", "tilt")}, id="pan 0"),
        pytest.param("look", {"axes": ("slide", "tilt")}, {}, id="no pan, no pan zero"),
        pytest.param(
            "look-locked",
            {"axes": ("slide",), "tilt_deg": 8.0},
            {"axes": ("slide", "tilt")},
            id="no pan, no tilt",
        ),
        pytest.param(
            "look-tilted",
            STILL | {"tilt_deg": 8.0},
            {"axes": ("slide",), "tilt_deg": 8.0},
            id="locked when framed",
        ),
        pytest.param(
            "tilt-by-hand",
            {"axes": ("pan",), "tilt_deg": 8.0},
            {"axes": ("slide",), "tilt_deg": 8.0},
            id="once",
        ),
        pytest.param("look", STILL, PAN_TILT, id="a lens that does not pan"),
        pytest.param("zero-slide", {}, PAN_TILT, id="slide 0"),
        pytest.param("power-on-remote", {}, _words(remote=None), id="no remote to pair"),
        pytest.param("power-on-alone", _words(other_letters=["B"]), {}, id="paired with the other rig off"),
        pytest.param(
            "power-on-alone",
            _words(other_letters=["B"]),
            _words(other_letters=["B"], remote=UNPAIRED),
            id="corded",
        ),
        pytest.param("joined-remote", _words(power=None), {}, id="a remote without power"),
        pytest.param(
            "joined-alone", _words(power=None, other_letters=["B"]), _words(power=None), id="other rigs off"
        ),
        pytest.param("remote-hangs", _words(remote=TILTED), {}, id="steers by tilting: hangs"),
        pytest.param("jog-right", {}, {"axes": ("slide", "tilt"), "rail": UPRIGHT}, id="jogs right"),
        pytest.param("jog-up", {"axes": ("tilt",)}, STILL, id="jogs up"),
        pytest.param("travel-rail", {}, STILL, id="full travel where there is any"),
        pytest.param("exposure-rig", _words(shutter_by="rig"), {}, id="bulb"),
        pytest.param("exposure-camera", {}, _words(shutter_by="rig"), id="M"),
        pytest.param("exposure-automatic", _turned("automatic"), _turned("hand"), id="automatic"),
        pytest.param("frame-1-set", _turned("hand"), {}, id="an exposure planned"),
        pytest.param("frame-1", {}, _turned("tether"), id="or none"),
        pytest.param("drive-camera", _rig(trigger="camera"), {}, id="the camera's own timer on"),
        pytest.param("drive-rig", {}, _rig(trigger="camera"), id="the camera's own timer off"),
        pytest.param("off", _words(switch_off=["focus stacking"]), {}, id="peculiar to the camera"),
        pytest.param("covered-optical", {}, _words(viewfinder="electronic"), id="an optical viewfinder"),
        pytest.param("sun", {}, DUSK, id="the sun is up while it is set up"),
        pytest.param("pack-permit", _words(permit="slip"), {}, id="a permit"),
        pytest.param("both-started", _rig(trigger="camera"), {}, id="two to be started"),
        pytest.param(
            "first-frame",
            _rig(trigger="camera") | {"keyframes": 1},
            _rig(trigger="camera"),
            id="or one alone",
        ),
        pytest.param("camera-off", _words(joints=[LATCH]), {}, id="the camera off what drops"),
        pytest.param("cap-power-off", {}, SLOPE, id="nothing drops"),
        pytest.param("approach", {}, {"keyframes": 1}, id="marks to come to"),
        pytest.param("stored", {"keyframes": 2}, {"keyframes": 1}, id="keyframes are stored"),
        pytest.param("stood", {"keyframes": 1}, {}, id="one keyframe is stood at"),
        pytest.param("framed", STILL, {}, id="a stand is framed"),
        pytest.param("gap", _rig(interval_means="gap"), {}, id="a rig that keys a gap"),
        pytest.param("interval", {}, _rig(interval_means="gap"), id="and no interval then"),
        pytest.param("interval-camera", _rig(trigger="camera"), {}, id="the interval on the camera"),
        pytest.param("dwell", {}, _rig(motion="continuous"), id="always moving: no dwell"),
        pytest.param("dwell", {"keyframes": 1}, STILL, id="never moving: no dwell"),
        pytest.param("ease", {}, {"keyframes": 1}, id="nothing moves: no ease"),
        pytest.param("hold", {}, STILL, id="nothing moves: no hold"),
        pytest.param("test-continuous", _rig(motion="continuous"), {}, id="fired on the move"),
        pytest.param("test-none", {"keyframes": 1}, {}, id="nothing moves in the test"),
        pytest.param("back", {}, _words(back_to_start=None), id="this rig's way back"),
        pytest.param("driven-back", _words(back_to_start=None), {}, id="any rig's way back"),
        pytest.param("back", {}, {"keyframes": 1}, id="what stands still never left frame 1"),
        pytest.param(
            "driven-back",
            _words(back_to_start=None),
            _words(back_to_start=None) | {"keyframes": 1},
            id="nor is driven",
        ),
        pytest.param("remote-off", {}, _words(remote=None), id="no remote to stow"),
        pytest.param("count-rig", STILL, _rig(trigger="camera"), id="a rig that fires counts"),
        pytest.param("count-camera", _rig(trigger="camera"), STILL, id="the camera alone counts"),
        pytest.param("swap-within", SWAP, {}, id="a swap"),
        pytest.param("swap-to", _words(power=TWO_PLAIN) | SWAP, SWAP, id="a swap to a pack by name"),
        pytest.param("swap-apart", SWAP, _words(power=TWO_PACKS) | SWAP, id="a swap without the lead"),
        pytest.param("swap-joined", _words(power=TWO_PACKS) | SWAP, SWAP, id="a swap with the lead"),
        pytest.param("position-lost", SWAP, SWAP | STILL, id="a position to lose"),
        pytest.param("release", _words(joints=[LATCH]), {}, id="how a joint comes off"),
        pytest.param("out-with", {}, {"place": {"check_in": {"with": "M."}}}, id="whom to tell"),
    ],
)
def test_a_rule_is_there_where_it_fits_and_only_there(
    rule: str, with_it: dict[str, Any], without_it: dict[str, Any]
) -> None:
    assert rule in rules(*shot(**with_it))
    assert rule not in rules(*shot(**without_it))


@pytest.mark.parametrize(
    ("kept", "rule"),
    [("kept", "position-kept"), ("lost", "position-lost"), (None, "position-unknown")],
)
def test_after_a_loss_of_power_recovery_begins_with_where_the_rig_stands(kept: str | None, rule: str) -> None:
    found = rules(*shot(rig={"position_after_power_loss": kept}, **SWAP), "swap")
    assert [name for name in found if name.startswith("position")] == [rule]


@pytest.mark.parametrize("changes", [{}, PAN_TILT, STILL, _words(joints=[], cables=[]), DAY])
@pytest.mark.parametrize(
    "rule",
    [
        *("sun", "card", "clock", "frame-1", "stabiliser", "noise", "strap", "focus", "pack-lamp"),
        *("look-again", "battery", "file", "first-frame", "thunder", "last-frame", "cards-out", "pieces"),
    ],
)
def test_some_things_are_done_on_every_shot(rule: str, changes: dict[str, Any]) -> None:
    """The sun too, as long as it may be up: another night may bring it into any frame."""
    assert rule in rules(*shot(**changes))


@pytest.mark.parametrize(
    ("event", "offset_min", "setup_min", "up"),
    [
        # At 15 degrees an hour the sun takes 68.6 minutes from its setting (0.85 down) to 18 degrees down.
        ("astronomical dusk", 0, 114, False),
        ("astronomical dusk", 0, 115, True),
        ("astronomical dusk", 30, 150, False),
        ("astronomical dusk", -30, 90, True),
        ("core usable", 0, 90, False),
        ("nautical dusk", 0, 60, False),
        ("nautical dusk", 0, 90, True),
        ("sunset", 30, 60, True),
        ("moonrise", 0, 60, True),
    ],
)
def test_the_sun_is_warned_of_unless_it_is_down_on_any_night_once_the_rig_is_driven(
    event: str, offset_min: int, setup_min: int, up: bool
) -> None:
    """The rig is level, and driven from then on, when 60 % of the set-up are left."""
    start, end = ({"event": event, "offset_s": offset_min * 60 + long_s} for long_s in (0, 7200))
    for window in ({"start": start}, {"start": None, "end": end}):
        assert ("sun" in rules(*shot(**window, setup_ms=setup_min * 60_000))) == up
    assert "sun" in rules(*shot(start={"clock_s": 82800}))


def test_every_lead_is_named_with_its_ports_and_how_its_plug_is_turned() -> None:
    found = [item for item in items(*shot()) if item["message"] == "item.cable"]
    said = [(item["args"]["start"], item["args"]["end"], item["args"]["key"]) for item in found]
    assert said == [(cable["from"], cable["to"], cable["key"]) for cable in CABLES]
    assert [item["args"].get("plug") for item in found] == [None, "three pins, left flap"]


def test_a_remote_is_paired_with_every_other_rig_off() -> None:
    item = item_of(*shot(words={"other_letters": ["B", "D"]}), "power-on-alone")
    assert item["args"] == {"letter": "A", "pair": REMOTE["pair"]}


@pytest.mark.parametrize(
    ("home_end", "incline_deg", "home"),
    [
        ("left", 0.0, "LEFT"),
        ("right", 12.0, "RIGHT, LOW"),
        ("left", -12.0, "LEFT, HIGH"),
        ("low", 75.0, "LOW"),
        ("high", -90.0, "HIGH"),
    ],
)
def test_the_home_end_is_named_by_side_and_by_height(home_end: str, incline_deg: float, home: str) -> None:
    """The rail rises from the home end to the far end where the incline is positive."""
    item = item_of(*shot(rail={"home_end": home_end, "incline_deg": incline_deg}), "zero-slide")
    assert item["args"]["home"] == home


@pytest.mark.parametrize(
    ("rule", "changes", "value"),
    [
        ("first-frame", {}, "numbers.first_frame"),
        ("last-frame", {}, "numbers.last_closes"),
        ("swap-within", SWAP, "swaps.0"),
        ("gap", _rig(interval_means="gap"), "numbers.gap"),
        ("frame-1-set", {"exposure": {"turned_by": "tether"}}, "exposure.start"),
        ("back", {}, "keyframes.0.line"),
        ("driven-back", _words(back_to_start=None), "keyframes.0.line"),
        ("framed", {**STILL, "keyframes": SIGHTED[:1]}, "keyframes.0.aim"),
        ("framed", {**STILL, "keyframes": [{**SIGHTED[0], "aim": None}]}, "keyframes.0.sighting"),
        ("framed", STILL, None),
    ],
)
def test_values_come_from_the_sheet(rule: str, changes: dict[str, Any], value: str | None) -> None:
    assert item_of(*shot(**changes), rule)["value"] == value


@pytest.mark.parametrize(
    ("rule", "blank"),
    [
        *[("clock", "seconds"), ("frame-1", "exposure"), ("file", "file"), ("first-frame", "time")],
        *[("swapped", "frame"), ("out-with", "who"), ("sun", None)],
    ],
)
def test_what_only_the_night_knows_is_written_in(rule: str, blank: str | None) -> None:
    assert item_of(*shot(**SWAP), rule)["blank"] == (blank and "blank." + blank)


def test_all_that_was_packed_is_counted_home_house_things_too() -> None:
    stool = {"section": "pack", "text": "Stool", "note": None, "must": False, "role": None}
    for brief in (shot(), shot(words={"house": [stool, stool], "pack": ["towel", "towel"]})):
        assert item_of(*brief, "pieces")["args"]["count"] == len(items(*brief, "pack"))


KEPT = ["kept", "lost", None]


@pytest.mark.parametrize("kept", KEPT)
@pytest.mark.parametrize(("power", "joined"), [(TWO_PACKS, True), (TWO_PLAIN, False)])
def test_a_swap_says_one_thing_of_lead_letter_pack_and_position(
    power: dict[str, Any], joined: bool, kept: str | None
) -> None:
    brief = shot(**_words(power=power), rig={"position_after_power_loss": kept}, **SWAP)
    within, how, position, _ = items(*brief, "swap")
    assert within["args"] == {"name": power["packs"][1]["name"], "letter": "A"}
    assert how["message"] == "item.swap-" + ("joined" if joined else "apart")
    assert position["args"] == {"when": "If the power slipped" if joined else "Power on again"}
    assert ("pack-isolating" in rules(*brief, "pack")) == joined


def test_only_the_pack_that_the_run_begins_with_is_held_on_the_rig() -> None:
    brief = shot(words={"power": TWO_PLAIN})
    assert item_of(*brief, "pack-held")["args"] == {"name": "A1", "seat": "strapped to the back leg"}
    assert item_of(*brief, "pack-packs")["args"]["spare"] == "A2: in the bag, warm"


@pytest.mark.parametrize("trigger", ["rig", "camera"])
def test_a_camera_lead_is_spoken_of_only_where_the_rig_has_one(trigger: str) -> None:
    with_it, without = (shot(rig={"trigger": trigger}, words={"cables": leads}) for leads in (CABLES, LOOSE))
    assert "three pins, left flap" in [item["args"].get("plug") for item in items(*with_it, "cables")]
    assert all("plug" not in item["args"] for item in items(*without))


def test_a_corded_remote_with_nothing_to_pair_is_not_paired() -> None:
    for power in (POWER, None):
        brief = shot(words={"remote": UNPAIRED, "other_letters": ["B"], "power": power})
        assert all("pair" not in item["args"] for item in items(*brief))
    assert item_of(*brief, "pack-remote")["args"]["kind"] == "corded"


def test_several_rigs_are_told_apart_by_their_letters_on_everything() -> None:
    notes = [item_of(*shot(words={"other_letters": others}), "pack-rig")["note"] for others in (["B"], [])]
    assert notes == ["item.pack-rig.letter", None]


@pytest.mark.parametrize("axes", [("slide", "pan", "tilt"), ("pan", "tilt"), ()])
def test_a_sighting_is_left_to_its_keyframe_which_another_night_renews(axes: tuple[str, ...]) -> None:
    for count in (1, 2)[: 1 + bool(axes)]:
        brief = shot(axes=axes, keyframes=SIGHTED[:count], zero_sighting=None)
        assert SIGHTED[0]["sighting"] not in repr(items(*brief))


def test_what_stands_still_fires_five_real_frames_and_is_driven_nowhere() -> None:
    stills: list[dict[str, Any]] = [{**PAN_TILT, "keyframes": 1}, STILL]
    for still in stills:
        found = rules(*shot(**still), "ready")
        assert "test-none" in found
        assert not {"back", "driven-back"} & set(found)


@pytest.mark.parametrize(
    ("axes", "joints", "names"),
    [
        (("slide", "pan"), ["head", "slide motor"], "rail, carriage, feet, head, slide motor"),
        (("slide",), ["lower foot", "carriage"], "rail, lower foot, carriage"),
        (("pan",), ["post", "arm"], "feet, post, arm"),
        ((), ["clamp"], "clamp"),
        ((), [], "stand"),
    ],
)
def test_the_parts_of_a_rig_are_packed_each_once(
    axes: tuple[str, ...], joints: list[str], names: str
) -> None:
    named = [{**LATCH, "name": name} for name in joints]
    brief = shot(axes=axes, keyframes=1 if axes else 0, words={"joints": named})
    assert item_of(*brief, "pack-rig")["args"]["names"] == names


def test_a_pack_is_plugged_in_with_its_polarity_told_and_its_lead_packed() -> None:
    power = {**POWER, "supply": "two screw terminals, red to plus"}
    plugged = item_of(*shot(words={"power": power}), "plug-pack")
    assert plugged["must"]
    assert plugged["args"] == {"name": "A1", "supply": power["supply"]}
    assert all("lead" in WORDS["item." + rule] for rule in ("pack-pack", "pack-packs"))


def test_a_remote_that_tilts_is_hung_again_before_the_rig_is_driven_after_the_run() -> None:
    swap, rail = {**SLOPE, **SWAP}, _words(remote=TILTED)
    for rule in ("position-lost", "down"):
        assert item_of(*shot(**swap, **rail), rule)["note"] == f"item.{rule}.hung"
        assert item_of(*shot(**swap), rule)["note"] != f"item.{rule}.hung"


def test_packs_are_changed_while_the_shutter_is_closed() -> None:
    assert all(WORDS["item.swap-" + how].startswith("Shutter closed") for how in ("joined", "apart"))
