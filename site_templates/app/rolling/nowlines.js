// Where everything stands now, in a line each: the axes, the exposure, the light. No page, no clock.

import { siteOf } from "../core/anchors.js";
import { pathOf } from "../core/frames.js";
import { positionAt } from "../core/move.js";
import { rungClicks, rungsOf } from "../core/opened.js";
import { fixed, say } from "../core/say.js";
import { overDeg, seenDeg } from "../core/seen.js";
import { axesOf, figure, withUnit } from "../core/sheet-figures.js";
import { horizontal } from "../core/sky.js";
import { swapsDone } from "../takes/swapped.js";
import { closesMs } from "./due.js";

const PHASES = [
  [-0.833, "day"],
  [-6, "civil twilight"],
  [-12, "nautical twilight"],
  [-18, "astronomical twilight"],
];
const CORE_SHOWS_DEG = -12; // by day nobody asks where the core is

/** Where each axis should be, in the rig's units; "" for a shot without axes. @param {Plan} plan @param {number} frame */
export function axesNow(plan, frame) {
  const here = positionAt(pathOf(plan), frame);
  return axesOf(plan.brief)
    .filter(({ name }) => name in here)
    .map((axis) => withUnit(figure(here[axis.name], axis), axis))
    .join(" · ");
}

/**
 * The rig's pack that is in, how many were put in since frame 1, and of how many; "" where it has no name. After a stop
 * it is the one that was put in before, by the log, or where that has none the one that the plan takes to be in.
 * by: what it is known by then, "" where it was put in since; at: the frame before the stop at which it was put in.
 * @param {Plan} plan @param {TakeState["acts"]} acts
 */
export function packIn({ power, timing, changes }, acts) {
  const packs = power.supplies.find(({ id }) => id === "rig")?.packs ?? [];
  const swaps = swapsDone(power, acts).length;
  const at = changes.way?.after?.swapped?.at(-1) ?? null;
  const by = timing.frames_before === 0 || swaps > 0 ? "" : at === null ? " by the plan" : " by the log";
  return { name: packs[swaps]?.name ?? "", swaps, of: packs.length, by, at };
}

/**
 * What the camera should stand at, and which click of the band comes next: {setting, clicks, due_ms}; clicks is "" and
 * due_ms null where none is left in it. Null without a planned exposure.
 * @param {Plan} plan @param {number} frame
 */
export function exposureNow(plan, frame) {
  const { exposure, brief } = plan;
  if (exposure === null || brief.exposure === null) return null;
  const [, rung] = rungsOf(exposure).findLast(([first]) => first <= frame) ?? [1, exposure.first_rung];
  const [f, shutter, iso] = brief.exposure.ladder[rung];
  const band = exposure.bands.findLast(({ first_frame }) => first_frame <= frame) ?? exposure.bands[0];
  const of_band = rungClicks({ bands: [band], first_rung: exposure.first_rung });
  const done = of_band.filter(([first]) => first <= frame).length;
  const next = of_band[done];
  const setting = say("exposed.setting", { f, shutter, iso }, []);
  if (!next) return { setting, clicks: "", due_ms: null };
  const clicks = `click ${done + 1} of ${of_band.length} after frame ${next[0] - 1}`;
  return { setting, clicks, due_ms: closesMs(plan, next[0] - 1) };
}

/**
 * Sun, twilight, moon and, in the dark, the core. "" where the sky does not reach.
 * @param {import("../core/sky.js").Sky | null} sky @param {Brief} brief @param {number} now_ms
 */
export function lightNow(sky, { place }, now_ms) {
  const now_s = now_ms / 1000;
  if (!sky?.covers(now_s, now_s)) return "";
  const night = { sky, site: siteOf(place) };
  const sun_deg = horizontal(sky, night.site, "sun", now_s).altitude_deg;
  const phase = PHASES.find(([least]) => sun_deg > Number(least))?.[1] ?? "night";
  const bodies = ["moon", ...(sun_deg < CORE_SHOWS_DEG ? ["galactic core"] : [])];
  return [`sun ${fixed(sun_deg, 1)}°, ${phase}`, ...bodies.map((body) => standsText(night, body, now_s))].join(" · ");
}

/** @param {*} night @param {string} body @param {number} now_s */
function standsText(night, body, now_s) {
  const [azimuth, altitude] = seenDeg(night, body, now_s);
  const name = body === "moon" ? "moon" : "core";
  return overDeg(night.site, azimuth, altitude) > 0
    ? `${name}\u00a0${fixed(altitude, 0)}°\u00a0up`
    : `${name}\u00a0down`;
}
