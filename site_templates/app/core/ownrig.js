// twin: fieldsheet/plan/ownrig.py
// Whether the rig shows in its own picture: ends of its rail, legs, its shadow. Vectors in mm from the lens.

import { plateAxes } from "./aim.js";
import { shows, vectorOf } from "./gaze.js";
import { moonLight } from "./moon.js";
import { positionAt } from "./move.js";
import { alongOf } from "./onrail.js";
import { msOf } from "./pace.js";
import { gazeAt, moment } from "./scene.js";
import { overDeg, seenDeg, starsOut } from "./seen.js";

const RADIANS = Math.PI / 180;
const BEYOND_MM = 85;
const PARTS = [1, 0.85, 0.7, 0.55, 0.45, 0.35, 0.25];
const UPRIGHT_DEG = 60;
const DOWN = [0, 0.2, 0.4, 0.6, 0.8];
const LONGEST_SHADOW_M = 21;
const SHADOW_LIT = 0.25;

/** The first frame that shows each: {looked_for, ends, legs, shadow}; see the twin. @param {Scene} scene */
export function ownRig(scene) {
  const { brief, looked } = scene;
  const lights = ["sun", "moon"].filter(
    (body) => isBright(scene, body) && looked.some(({ frame }) => lightAt(scene, body, frame)),
  );
  const on_rail = isKnown(brief);
  const { legs } = brief.rig;
  const shadow = first(scene, (frame, gaze) => lights.find((body) => shadowShows(scene, body, frame, gaze)), "body");
  /** @type {Record<string, boolean>} */
  const named = { ends: on_rail, legs: on_rail && legs.length > 0, shadow: lights.length > 0 };
  return {
    looked_for: Object.keys(named).filter((name) => named[name]),
    ends: on_rail ? first(scene, endTest(scene), "end") : null,
    legs: on_rail ? first(scene, legTest(scene), "leg") : null,
    shadow: shadow && { ...shadow, length_m: lengthOf(scene, shadow.body, shadow.frame) },
  };
}

/** @param {Brief} brief */
function isKnown({ rail, rig }) {
  return rig.lens_over_rail_mm !== null && rail !== null && Math.abs(rail.incline_deg) <= UPRIGHT_DEG;
}

/**
 * The first frame at which something shows, and what: of the frames looked at, then of those before it.
 * @template T @template {string} K
 * @param {Scene} scene @param {(frame: number, gaze: Gaze) => T | undefined} test @param {K} called
 * @returns {(FrameTime & Record<K, T>) | null}
 */
function first(scene, test, called) {
  const { looked } = scene;
  const place = looked.findIndex(({ frame, gaze }) => test(frame, gaze) !== undefined);
  if (place < 0) return null;
  let frame = place === 0 ? looked[0].frame : looked[place - 1].frame + 1;
  while (test(frame, gazeAt(scene, frame)) === undefined) frame += 1;
  const shown = /** @type {Record<K, T>} */ ({ [called]: test(frame, gazeAt(scene, frame)) });
  return { ...moment(scene, frame), ...shown };
}

/** Which end of the rail ("home" or "far") has a part in the frame. @param {Scene} scene */
function endTest(scene) {
  const { min, max } = scene.brief.rig.axes.slide;
  const onRail = railOf(scene);
  const stops = [
    { end: "home", at_mm: min - BEYOND_MM },
    { end: "far", at_mm: max + BEYOND_MM },
  ];
  return (/** @type {number} */ frame, /** @type {Gaze} */ gaze) => {
    const travel = positionAt(scene.path, frame).slide;
    const isIn = (/** @type {{at_mm: number}} */ { at_mm }) =>
      PARTS.some((part) => shows(gaze, scene.lens, onRail((at_mm - travel) * part)));
    return stops.find(isIn)?.end;
  };
}

/**
 * The number of which leg of the rail is in the frame: they stand plumb, their feet to either side.
 * @param {Scene} scene
 */
function legTest(scene) {
  const bearing = (scene.brief.rail?.bearing_deg ?? 0) * RADIANS;
  const onRail = railOf(scene);
  const legs = scene.brief.rig.legs.map(({ at_mm, height_mm, spread_mm }) => {
    const feet = [-spread_mm, spread_mm].map((aside) => [
      aside * Math.cos(bearing),
      -aside * Math.sin(bearing),
      -height_mm,
    ]);
    return { at_mm, ways: PARTS.flatMap((part) => feet.map((foot) => foot.map((way) => part * way))) };
  });
  return (/** @type {number} */ frame, /** @type {Gaze} */ gaze) => {
    const travel = positionAt(scene.path, frame).slide;
    const index = legs.findIndex(({ at_mm, ways }) => {
      const [east, north, up] = onRail(at_mm - travel);
      return ways.some((way) => shows(gaze, scene.lens, [east + way[0], north + way[1], up + way[2]]));
    });
    return index < 0 ? undefined : index + 1;
  };
}

/**
 * Whether the shadow is in the frame: from right opposite the light, where the lens's own lies, to the feet.
 * @param {Scene} scene @param {string} body @param {number} frame @param {Gaze} gaze
 */
function shadowShows(scene, body, frame, gaze) {
  const at = lightAt(scene, body, frame);
  if (at === null) return false;
  const [azimuth, altitude] = at;
  return DOWN.some((part) => shows(gaze, scene.lens, vectorOf(azimuth + 180, -altitude - (90 - altitude) * part)));
}

/**
 * Azimuth and altitude [deg] of a body that throws a shadow that shows, else null.
 * @param {Scene} scene @param {string} body @param {number} frame
 */
function lightAt({ brief, night, timing }, body, frame) {
  const t_s = msOf(timing, frame) / 1000;
  const [azimuth, altitude] = seenDeg(night, body, t_s);
  const least_deg = Math.atan(brief.lens_height_m / LONGEST_SHADOW_M) / RADIANS;
  if (altitude < least_deg || overDeg(night.site, azimuth, altitude) <= 0) return null;
  return body === "sun" || starsOut(night, t_s) ? [azimuth, altitude] : null;
}

/**
 * A moon that is hardly lit throws no shadow that shows.
 * @param {Pick<Scene, "night" | "timing">} scene @param {string} body
 */
function isBright({ night, timing }, body) {
  return body === "sun" || moonLight(night.sky, (timing.start_ms + timing.end_ms) / 2000)[0] > SHADOW_LIT;
}

/** How far from the feet the lens's shadow lies. @param {Scene} scene @param {string} body @param {number} frame */
function lengthOf({ brief, night, timing }, body, frame) {
  const [, altitude] = seenDeg(night, body, msOf(timing, frame) / 1000);
  return brief.lens_height_m / Math.tan(altitude * RADIANS);
}

/**
 * The ways from the lens to points of the rail, so far from under it.
 * @param {Shown} scene @returns {(along_mm: number) => Vector}
 */
function railOf({ brief, lens }) {
  const [along, up] = [alongOf(/** @type {Rail} */ (brief.rail)), plateAxes(lens.base)[2]];
  const under = up.map((part) => part * /** @type {number} */ (brief.rig.lens_over_rail_mm));
  return (along_mm) => [along[0] * along_mm - under[0], along[1] * along_mm - under[1], along[2] * along_mm - under[2]];
}
