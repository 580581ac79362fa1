// twin: fieldsheet/plan/inside.py
// When sun, moon and core are in the picture, over the whole shot.

import { viewDeg } from "./aim.js";
import { EVENTS, HALF_DISC_DEG, partDeg } from "./events.js";
import { shows, vectorOf } from "./gaze.js";
import { moonLight } from "./moon.js";
import { MOON_BY_DAY } from "./nightsky.js";
import { msOf } from "./pace.js";
import { gazeAt, moment } from "./scene.js";
import { seenDeg, starsOut } from "./seen.js";

/** @typedef {Picture["inside"][number]["spans"][number]} InsideSpan */

/**
 * @typedef {{body: string, faint: boolean, part: import("./events.js").Part, half_deg: number}} Sought
 * @typedef {{frame: number, out: string, clear_deg: number}} Look why it is not in the picture, "" where it is
 */

/** @type {Record<string, string>} */
const RISES = { sun: "sunrise", moon: "moonrise", "galactic core": "core rise" };
const LOOKS = [240, 4000];
const PARTS_OF_FRAME = 16;
const HALVINGS = 15;
const SKY_DEG_PER_MS = 15 / 3600000;

/**
 * For each body the spans in which it is in the delivered frame and in sight: {body, spans}; see the twin.
 * @param {Scene} scene
 */
export function inside(scene) {
  const count = looksOf(scene);
  const looks = Array.from({ length: count + 1 }, (_, look) => {
    const frame = 1 + ((scene.timing.frames - 1) * look) / count;
    return { frame, gaze: gazeAt(scene, frame) };
  });
  const faint = faintOf(scene);
  return Object.keys(RISES).map((body) => {
    const part = /** @type {Sought["part"]} */ (
      scene.night.site.ridge.length > 0 ? { body, direction: 1 } : EVENTS[RISES[body]]
    );
    const sought = { body, faint: faint.includes(body), part, half_deg: HALF_DISC_DEG[body] ?? 0 };
    return {
      body,
      spans: spansOf(
        scene,
        sought,
        looks.map(({ frame, gaze }) => lookAt(scene, sought, frame, gaze)),
      ),
    };
  });
}

/** What is not seen by day: the core, and the moon where it is thin. @param {Pick<Scene, "night" | "timing">} scene */
function faintOf({ night, timing }) {
  const [lit] = moonLight(night.sky, (timing.start_ms + timing.end_ms) / 2000);
  return lit < MOON_BY_DAY ? ["galactic core", "moon"] : ["galactic core"];
}

/** @param {Scene} scene */
function looksOf({ timing, path, lens }) {
  let turned = SKY_DEG_PER_MS * (timing.end_ms - timing.start_ms);
  path.settings.slice(1).forEach(({ axes }, index) => {
    for (const name of ["pan", "tilt"]) turned += Math.abs((axes[name] ?? 0) - (path.settings[index].axes[name] ?? 0));
  });
  const part_deg = Math.min(...viewDeg(lens)) / PARTS_OF_FRAME;
  return Math.min(Math.max(Math.ceil(turned / part_deg), LOOKS[0]), LOOKS[1], timing.frames - 1);
}

/**
 * A body at a frame: why it is not in the picture ("" if it is), how far [deg] its lower edge is clear.
 * @param {Scene} scene @param {Sought} sought @param {number} frame @param {Gaze} [gaze]
 */
function lookAt(scene, { body, faint, part, half_deg }, frame, gaze = gazeAt(scene, frame)) {
  const { night, timing, lens } = scene;
  const t_s = msOf(timing, frame) / 1000;
  if (!shows(gaze, lens, vectorOf(...seenDeg(night, body, t_s)))) return { frame, out: "edge", clear_deg: 0 };
  const over = partDeg(night.sky, night.site, part, t_s);
  let out = "";
  if (over <= 0) out = night.site.ridge.length > 0 ? "ridge" : "horizon";
  else if (faint && !starsOut(night, t_s)) out = "light";
  return { frame, out, clear_deg: over - 2 * half_deg };
}

/**
 * The runs of looks inside the picture, each with what ends it on either side.
 * @param {Scene} scene @param {Sought} sought @param {Look[]} stands @returns {InsideSpan[]}
 */
function spansOf(scene, sought, stands) {
  const fine = withEdges(scene, sought, stands);
  /** @type {InsideSpan[]} */
  const spans = [];
  fine.forEach((stand, index) => {
    if (stand.out) return;
    const before = fine[index - 1];
    const after = fine[index + 1];
    if (before === undefined || before.out) {
      const from = edge(scene, stand, before?.out ?? "start");
      spans.push({ from, touches: [], until: from });
    } else {
      spans[spans.length - 1].touches.push(...touches(scene, sought, before, stand));
    }
    if (after === undefined || after.out) spans[spans.length - 1].until = edge(scene, stand, after?.out ?? "end");
  });
  return spans;
}

/**
 * The looks, with the two a hair apart between which a body comes into the picture or goes out.
 * @param {Scene} scene @param {Sought} sought @param {Look[]} stands
 */
function withEdges(scene, sought, stands) {
  return stands.flatMap((stand, index) => {
    const before = stands[index - 1];
    if (before === undefined || (before.out === "") === (stand.out === "")) return [stand];
    return [...between(scene, sought, before, stand, ({ out }) => out === ""), stand];
  });
}

/**
 * The two looks, a hair apart, between which the answer to what is asked changes.
 * @param {Scene} scene @param {Sought} sought @param {Look} before @param {Look} after
 * @param {(look: Look) => boolean} asked
 */
function between(scene, sought, before, after, asked) {
  const was = asked(before);
  let [first, last] = [before, after];
  for (let cut = 0; cut < HALVINGS; cut += 1) {
    const middle = lookAt(scene, sought, (first.frame + last.frame) / 2);
    if (asked(middle) === was) first = middle;
    else last = middle;
  }
  return [first, last];
}

/**
 * Where between two looks a disc's lower edge meets what hides it: one moment or none.
 * @param {Scene} scene @param {Sought} sought @param {Look} before @param {Look} after
 */
function touches(scene, sought, before, after) {
  const up = after.clear_deg > 0;
  if (sought.half_deg === 0 || before.clear_deg > 0 === up) return [];
  const [, at] = between(scene, sought, before, after, ({ clear_deg }) => clear_deg > 0);
  return [{ ...moment(scene, at.frame), way: up ? "up" : "down" }];
}

/** @param {Scene} scene @param {{frame: number}} look @param {string} by */
function edge(scene, { frame }, by) {
  return { ...moment(scene, frame), by };
}
