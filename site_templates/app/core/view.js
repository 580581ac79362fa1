// twin: fieldsheet/sheet/view.py
// What is drawn of a keyframe's frame, in the frame's own coordinates; from the plan alone, no sky is asked.

import { axisOf, directionAt, lensOf, placeInFrame } from "./aim.js";
import { siteOf } from "./anchors.js";
import { HALF_DISC_DEG } from "./events.js";
import { vectorOf } from "./gaze.js";
import { around, skylineDeg } from "./ridge.js";
import { bodyWord } from "./say.js";
import { isSeen, overDeg } from "./seen.js";

const RADIANS = Math.PI / 180;
const STEP_DEG = 3;
const BAND_DEG = 8;
const EM = 1 / 24;
const LETTER = 0.55 / 24;
const APART = 0.7 / 24;
const AIMED_APART = 1.2 / 24;
const FIRST = ["sun", "moon", "galactic core", "mercury", "venus", "mars", "jupiter", "saturn"];
const STILL = { axes: {}, aim: null, x: null, y: null, azimuth_deg: null, altitude_deg: null };
const STEPS = Array.from({ length: 360 / STEP_DEG + 1 }, (_, step) => STEP_DEG * step);

/**
 * The marks of a keyframe's frame, or of an end of a shot without any, x and y in -1 to 1, y up; see the twin.
 * @param {Plan} plan @param {number} index
 */
export function viewOf(plan, index) {
  const { brief, picture } = plan;
  const { axes, aim } = settingOf(plan, index);
  const lens = lensOf(brief);
  const axis = /** @type {Pair} */ (axisOf(brief, axes));
  const spot = (/** @type {number} */ azimuth, /** @type {number} */ altitude) =>
    placeInFrame(azimuth, altitude, axis[0], axis[1], lens);
  const site = siteOf(brief.place);
  const { pole, moon } = picture.views[index];
  const bodies = bodiesOf(plan, index, site);
  return {
    aspect: lens.half_width / lens.half_height,
    horizon: clipped(roundFrom(axis[0], []).map((azimuth) => spot(azimuth, 0))),
    skyline: clipped(skylineOf(axis[0], site.ridge).map(([azimuth, altitude]) => spot(azimuth, altitude))),
    plane: galactic(site, pole, 0, spot),
    band: [-1, 1].flatMap((side) => galactic(site, pole, side * BAND_DEG, spot)),
    bodies: named(bodies, aim?.target, lens),
    moon: moonOf(moon, bodies, axis, lens),
    path: picture.tracked.filter(({ number }) => number === index + 1).flatMap(({ path }) => clipped(path)),
    meant: aim && [aim.x, aim.y],
  };
}

/**
 * A keyframe; of a shot without any, what stands in for it.
 * @param {Plan} plan @param {number} index
 * @returns {Pick<PlanKeyframe, "axes" | "aim" | "x" | "y" | "azimuth_deg" | "altitude_deg" | "in_frame">}
 */
function settingOf({ keyframes, picture }, index) {
  return keyframes[index] ?? { ...STILL, in_frame: [], ...picture.views[index] };
}

/**
 * Azimuths all round, those behind the lens first and last, and some more between them.
 * @param {number} axis_deg @param {number[]} more
 */
function roundFrom(axis_deg, more) {
  const aside = more.map((azimuth) => around(azimuth - axis_deg + 180) - 180);
  return [...STEPS.map((step) => step - 180), ...aside].sort((a, b) => a - b).map((each) => axis_deg + each);
}

/**
 * The measured skyline all round, with every sight of it; nothing where none was measured.
 * @param {number} axis_deg @param {number[][]} ridge
 */
function skylineOf(axis_deg, ridge) {
  if (ridge.length === 0) return [];
  const azimuths = roundFrom(
    axis_deg,
    ridge.map(([azimuth]) => azimuth),
  );
  return azimuths.map((azimuth) => [azimuth, skylineDeg(ridge, around(azimuth))]);
}

/**
 * A parallel of the galaxy as far as it is over what hides the sky; refraction is left out.
 * @param {Site} site @param {number[] | null} pole @param {number} latitude_deg
 * @param {(azimuth: number, altitude: number) => Pair | null} spot
 */
function galactic(site, pole, latitude_deg, spot) {
  if (pole === null) return [];
  const up = vectorOf(pole[0], pole[1]);
  const aside = vectorOf(pole[0] + 90, 0);
  const ahead = cross(up, aside);
  const [level, high] = [Math.cos(latitude_deg * RADIANS), Math.sin(latitude_deg * RADIANS)];
  const spots = STEPS.map((step) => {
    const [along, beside] = [Math.cos(step * RADIANS), Math.sin(step * RADIANS)];
    const flat = [0, 1, 2].map((n) => along * aside[n] + beside * ahead[n]);
    const [azimuth, altitude] = direction([0, 1, 2].map((n) => level * flat[n] + high * up[n]));
    return overDeg(site, azimuth, altitude) > 0 ? spot(azimuth, altitude) : null;
  });
  return clipped(spots);
}

/**
 * What shows in the frame, the keyframe's own target too where it is to be seen there.
 * @param {Plan} plan @param {number} index @param {Site} site @returns {Filed.in_frame[]}
 */
function bodiesOf(plan, index, site) {
  const { in_frame, aim, x, y, azimuth_deg, altitude_deg } = settingOf(plan, index);
  const target = aim?.target;
  if (target === undefined || x === null || y === null || Math.max(Math.abs(x), Math.abs(y)) > 1) return in_frame;
  const over = overDeg(site, azimuth_deg ?? 0, altitude_deg ?? 0) + (HALF_DISC_DEG[target] ?? 0);
  const dark = plan.picture.views[index].pole !== null;
  return isSeen(target, over, dark) ? [{ body: target, x, y }, ...in_frame] : in_frame;
}

/**
 * With their sizes, and with names as far as there is room for them, on one side or the other.
 * @param {Filed.in_frame[]} bodies @param {string | undefined} target @param {Lens} lens
 */
function named(bodies, target, lens) {
  const aspect = lens.half_width / lens.half_height;
  const spots = bodies.map(({ x, y }) => [x / 2, y / 2 / aspect]);
  /** @type {number[][]} */
  const taken = [];
  const later = (/** @type {Filed.in_frame} */ { body }) => Number(!FIRST.includes(body));
  return [...bodies]
    .sort((a, b) => later(a) - later(b))
    .map((row) => {
      const word = bodyWord(row.body);
      const aimed = row.body === target;
      const apart = aimed ? AIMED_APART : APART;
      const wide = word.length * LETTER + apart;
      const x = row.x / 2;
      const y = row.y / 2 / aspect;
      const boxOn = (/** @type {number} */ side) => [x - (side > 0 ? apart : wide), x + (side > 0 ? wide : apart), y];
      const isFree = (/** @type {number} */ side) => {
        const [left, right] = boxOn(side);
        const hides = (/** @type {number[]} */ [at, high]) =>
          0 < (at - x) * side && (at - x) * side < wide && Math.abs(high - y) < APART;
        const meets = (/** @type {number[]} */ [from, to, high]) =>
          left < to && from < right && Math.abs(high - y) < EM;
        return Math.abs(x + side * wide) <= 0.5 && !spots.some(hides) && !taken.some(meets);
      };
      const side = Math.abs(y) + EM / 2 > 0.5 / aspect ? 0 : ([1, -1].find(isFree) ?? 0);
      if (side !== 0) taken.push(boxOn(side));
      const radius = ((HALF_DISC_DEG[row.body] ?? 0) * RADIANS) / lens.half_width / 2;
      return { ...row, radius, name: side === 0 ? "" : word, side, aimed };
    });
}

/**
 * How the moon is lit, and where in the frame her bright limb points: a hair along the way to the sun.
 * @param {View["moon"]} moon @param {Filed.in_frame[]} bodies @param {Pair} axis
 * @param {Lens} lens
 */
function moonOf(moon, bodies, [axis_deg, tilt_deg], lens) {
  const row = bodies.find(({ body }) => body === "moon");
  if (row === undefined || moon === null) return null;
  const [azimuth, altitude] = /** @type {Pair} */ (directionAt(row.x, row.y, axis_deg, tilt_deg, lens));
  const here = vectorOf(azimuth, altitude);
  const sun = vectorOf(moon.sun[0], moon.sun[1]);
  const dot = here[0] * sun[0] + here[1] * sun[1] + here[2] * sun[2];
  const there = direction(here.map((part, n) => part + 0.001 * (sun[n] - dot * part)));
  const spot = placeInFrame(there[0], there[1], axis_deg, tilt_deg, lens) ?? [row.x, row.y];
  const limb = Math.atan2((spot[1] - row.y) * lens.half_height, (spot[0] - row.x) * lens.half_width);
  return { lit: moon.lit, limb_deg: limb / RADIANS };
}

/** Azimuth, [0, 360), and altitude [deg] of a vector. @param {number[]} vector */
function direction([east, north, up]) {
  return [around(Math.atan2(east, north) / RADIANS), Math.atan2(up, Math.sqrt(east * east + north * north)) / RADIANS];
}

/** @param {number[]} a @param {number[]} b */
function cross(a, b) {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/**
 * A line through places, as the lines of it that lie in the frame; it breaks where the lens is blind.
 * @param {(number[] | null)[]} spots @returns {number[][][]}
 */
function clipped(spots) {
  /** @type {number[][][]} */
  const lines = [];
  spots.slice(1).forEach((b, index) => {
    const part = spots[index] && b && partOf(spots[index], b);
    if (!part) return;
    const last = lines[lines.length - 1]?.at(-1);
    if (last && last[0] === part[0][0] && last[1] === part[0][1]) lines[lines.length - 1].push(part[1]);
    else lines.push(part);
  });
  return lines;
}

/**
 * The part of a way from a to b that lies in the frame (Liang and Barsky, from memory).
 * @param {number[]} a @param {number[]} b @returns {[number[], number[]] | null}
 */
function partOf(a, b) {
  let [enters, leaves] = [0, 1];
  for (const n of [0, 1]) {
    const way = b[n] - a[n];
    if (way === 0) {
      if (Math.abs(a[n]) > 1) return null;
    } else {
      const [one, other] = [(-1 - a[n]) / way, (1 - a[n]) / way];
      enters = Math.max(enters, Math.min(one, other));
      leaves = Math.min(leaves, Math.max(one, other));
    }
  }
  if (enters >= leaves) return null;
  const at = (/** @type {number} */ share) => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
  return [enters === 0 ? a : at(enters), leaves === 1 ? b : at(leaves)];
}
