"""The defaults that are shown are those that the files leave open, and no others."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from fieldsheet.catalog import defaults
from fieldsheet.catalog.read import read_catalog
from fieldsheet.catalog.taken import defaults_taken
from fieldsheet.sky.observe import Air

HARBOUR = Path(__file__).with_name("harbour")
DEMO = Path(__file__).resolve().parents[2] / "fieldsheet" / "demo"


def taken(folder: Path, shot: str = "slipway") -> dict[str, str]:
    return dict(defaults_taken(read_catalog(folder), shot))


@pytest.mark.parametrize(
    ("file", "line", "key", "value"),
    [
        ("shots/slipway.toml", "fps = 25", "shot.fps", str(defaults.FPS)),
        ("shots/slipway.toml", "ease_frames = 40", "shot.ease_frames", "in 0, out 0"),
        ("shots/slipway.toml", 'order = "last-to-first"', "shot.order", "last-to-first"),
        ("shots/slipway.toml", "setup = ", "shot.setup", defaults.SETUP),
        ("places/gull-point.toml", "altitude_deg = 1.5", "place.landmark.1.altitude_deg", "0"),
        ("rigs/rail-and-head.toml", "shutter_by = ", "rig.shutter_by", defaults.SHUTTER_BY),
        ("rigs/rail-and-head.toml", "interval_means = ", "rig.interval_means", defaults.INTERVAL_MEANS),
        ("rigs/rail-and-head.toml", "isolating_lead = ", "rig.power.isolating_lead", "false"),
        ("rigs/rail-and-head.toml", "sleeps = ", "rig.power.sleeps", "false"),
        ("cameras/full-frame-14.toml", "projection = ", "camera.projection", defaults.PROJECTION),
        ("cameras/full-frame-14.toml", "viewfinder = ", "camera.viewfinder", defaults.VIEWFINDER),
        ("cameras/full-frame-14.toml", "file_roll = ", "camera.file_roll", str(defaults.FILE_ROLL)),
        ("rigs/rail-and-head.toml", "settle_s = ", "rig.settle_s", str(defaults.SETTLE_S)),
        ("cameras/full-frame-14.toml", "ready_s = ", "camera.ready_s", str(defaults.READY_S)),
        ("cameras/full-frame-14.toml", "iso = ", "camera.iso", ", ".join(map(str, defaults.ISO_RANGE))),
        ("cameras/full-frame-14.toml", "shutters = ", "camera.shutters", ", ".join(defaults.SHUTTER_RANGE)),
    ],
)
def test_a_key_that_is_taken_out_of_its_file_comes_up_with_its_default(
    tmp_path: Path, file: str, line: str, key: str, value: str
) -> None:
    folder = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    assert key not in taken(folder)
    lines = (folder / file).read_text("utf-8").splitlines()
    left = [text for text in lines if not text.startswith(line)]
    assert len(left) == len(lines) - 1
    (folder / file).write_text("\n".join(left) + "\n", "utf-8")
    assert taken(folder)[key] == value


def test_open_keys_inside_tables_and_lists_are_found_by_their_place() -> None:
    found = taken(DEMO)
    assert found["shot.keyframe.2.aim.x"] == "0"
    assert "shot.keyframe.1.aim.x" not in found
    assert not [key for key in found if key.endswith(("duration", "frames", "clip_s", ".turn"))]


def test_a_lens_that_nobody_tilted_is_said_to_be_taken_as_level() -> None:
    assert taken(HARBOUR, "yard")["shot.tilt_deg"] == "0"
    assert "shot.tilt_deg" not in taken(HARBOUR, "wall") | taken(HARBOUR, "circle")


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("15", "15 is 16 s on many cameras"),
        ("30.0", "30.0 is 32 s on many cameras"),
        ("13", None),
        ("16", None),
        ("0.5", None),
    ],
)
def test_a_shutter_that_stays_open_for_longer_is_told(tmp_path: Path, written: str, told: str | None) -> None:
    folder = Path(shutil.copytree(HARBOUR, tmp_path / "catalog"))
    shot = folder / "shots/yard.toml"
    text = shot.read_text("utf-8").replace("interval_s = 6", "interval_s = 40")
    shot.write_text(text.replace("longest_shutter_s = 0.5", f"longest_shutter_s = {written}"), "utf-8")
    assert taken(folder, "yard").get("shot.longest_shutter_s") == told


def test_minutes_of_set_up_leave_no_default_of_it() -> None:
    assert "shot.setup" in taken(HARBOUR, "yard")
    assert "shot.setup" not in taken(HARBOUR, "wall")


def test_house_items_that_do_not_concern_the_shot_are_not_told() -> None:
    told = {key for key in taken(HARBOUR, "yard") if key.startswith("catalog.house")}
    assert told == {"catalog.house.1.must"}


def test_what_the_catalog_leaves_open_of_print_is_told() -> None:
    told = {key: value for key, value in taken(HARBOUR, "yard").items() if key.startswith("catalog.print.")}
    keys = ("card", "sheet", "sides", "clock_h", "seal_mm", "hole", "read_at_cm")
    assert told == {f"catalog.print.{key}": str(getattr(defaults, f"PRINT_{key.upper()}")) for key in keys}


def test_nothing_is_told_of_moving_where_nothing_moves() -> None:
    moving = {"shot.hold_frames", "shot.ease_frames", "shot.order", "rig.orders", "rig.settle_s"}
    assert moving <= taken(HARBOUR, "wall").keys()
    for still in ("circle", "yard"):
        assert not moving & taken(HARBOUR, still).keys()


def test_what_limits_the_exposure_is_told_with_the_figure_that_is_taken(tmp_path: Path) -> None:
    found = taken(DEMO)
    assert found["shot.exposure.iso_max"] == "12800, the camera's"
    assert found["shot.exposure.shutter_max"] == "30, the camera's, within longest_shutter_s"
    assert found["shot.exposure.dark.at"] == "the darkest moment of the window"
    assert found["shot.keyframe.3.scene_ev"] == str(defaults.SCENE_EV)
    assert "shot.exposure.apertures" not in found
    folder = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    shot = folder / "shots/slipway.toml"
    moved = shot.read_text("utf-8").replace('turned_by = "tether"', 'aperture = "moves"\niso_max = 6400')
    shot.write_text(moved, "utf-8")
    assert "f/2.8 and f/2.8" in taken(folder)["shot.exposure.apertures"]
    assert "shot.exposure.iso_max" not in taken(folder)


def test_a_landmark_on_the_map_is_told_to_be_sighted_at_its_foot(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DEMO, tmp_path / "catalog"))
    place = folder / "places/lime-quarry.toml"
    place.write_text(place.read_text("utf-8").replace("\nheight_m = 30", "\n"), "utf-8")
    found = taken(folder, "hoist")
    assert [found[key] for key in found if "landmark" in key and key.endswith("height_m")] == ["0"]


def test_the_air_that_is_taken_is_that_of_the_sky() -> None:
    air = Air()
    said = f"{air.pressure_hpa:.0f} hPa and {air.temperature_c:.0f} °C, for the bending of light"
    assert taken(HARBOUR, "yard")["place.air"] == said


# Keys that may be absent without another value standing in: nothing of the kind is planned, told or asked,
# or it is worked out from others that are given.
NONE_WITHOUT = {
    "Shot": """night day start end duration interval_s frames clip_s phase clip_aspect zero_sighting rail
        foreground_m setup_min exposure swap dew_point_c humidity_pct mains_hz subject heater crew stays pack
        needs keyframe notes""",
    "Place": """horizon sea_horizon_m landmark tide hazards abort access permit turn_back gate_closes check_in
        approach_min""",
    "Rig": """keyframes position_after_power_loss back_to_start load_kg lens_over_rail_mm leg axis joint cable
        remote power pack""",
    "Camera": "pixels apertures file_mb card_gb battery remote_plug switch_off pack",
    "Landmark": "bearing_deg latitude_deg longitude_deg elevation_m",
    "Tide": "high low wet_line exit_closes",
    "Keyframe": "slide_mm pan_deg tilt_deg axes aim turn meant_for sighting",
    "Aim": "target bearing_deg altitude_deg",
    "Rail": "bearing_deg motor_end payload_kg",
    "Exposure": "glow_ev trail_max_px",
    "Axes": "slide pan tilt",
    "PanAxis": "wrap_deg",
    "Joint": "release",
    "Cable": "fits",
    "Remote": "pair",
    "Power": """electronics_w holding_w moving_wh_per_m moving_wh_per_deg moving_wh_per_turn
        moving_wh_per_percent incline_factor incline_factor_down holding_factor peak_w
        measured_payload_kg pack""",
    "Pack": "capacity_mah output_w",
    "Battery": "capacity_wh capacity_mah nominal_v",
    "Needs": "weekdays darkness_h_min core_usable_h_min moon target event",
    "MoonNeed": "is lit_pct",
    "TargetNeed": "altitude_deg azimuth_deg",
    "EventNeed": "between within of",
}
# Told only where they are read: of a shot that moves, that has an exposure, a pack.
WHERE_READ = {
    "Shot": "hold_frames ease_frames order reverse tilt_deg temperature_c setup",
    "Rig": "orders joins settle_s waits_for_camera",
    "Landmark": "altitude_deg height_m",
    "Pack": "cell_v efficiency reserve cold",
    "Camera": "shutters iso preview_mb",
    "Exposure": "apertures",
    "Keyframe": "scene_ev",
}
TOLD_ABOVE = {("Camera", "shutters"), ("Camera", "iso"), ("Exposure", "apertures"), ("Landmark", "height_m")}


def open_keys(path: str, table: BaseModel) -> Iterator[tuple[str, str, str]]:
    """(model, key, path) of everything optional that a table, and those in it, leave out."""
    for name, field in type(table).model_fields.items():
        key = field.alias or name
        if name not in table.model_fields_set:
            yield type(table).__name__, key, f"{path}.{key}"
            continue
        value = getattr(table, name)
        for number, item in enumerate(value if isinstance(value, list) else [value], start=1):
            if isinstance(item, BaseModel):
                place = f"{path}.{key}.{number}" if isinstance(value, list) else f"{path}.{key}"
                yield from open_keys(place, item)


def test_every_optional_key_that_is_not_given_is_told_or_stands_for_nothing() -> None:
    """A new key of a model has its default told, wherever it is read, or is said to have none above."""
    silent, somewhere, asked = set(), set(), set()
    for catalog in map(read_catalog, (DEMO, HARBOUR)):
        for shot_id in catalog.shots:
            told = {key for key, _ in defaults_taken(catalog, shot_id)}
            for kind, table in zip(("shot", "place", "rig", "camera"), catalog.files(shot_id), strict=True):
                found = [row for row in open_keys(kind, table) if row[1] not in keys(NONE_WITHOUT, row[0])]
                silent |= {row[:2] for row in found if row[2] not in told}
                somewhere |= {row[:2] for row in found if row[2] in told}
                asked |= {row[:2] for row in found}
    assert {row for row in silent if row[1] not in keys(WHERE_READ, row[0])} == set()
    assert asked - somewhere == TOLD_ABOVE


def keys(named: dict[str, str], model: str) -> list[str]:
    return named.get(model, "").split()
