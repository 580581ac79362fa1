// twin: fieldsheet/plan/needs.py
// What a shot needs of its night, measured: asked, found, met or not. Judged as it will be shown.

import { occurrences, opening, wholeSecond } from "./anchors.js";
import { DAY_S, clockOf } from "./civil.js";
import { clearanceDeg, eventNamed, usableMarginDeg } from "./events.js";
import { moonLight } from "./moon.js";
import { USABLE } from "./nightsky.js";
import { PlanProblem } from "./problem.js";
import { seenDeg } from "./seen.js";
import { MINUTE_MS, frameOf, msOf } from "./timing.js";

const DARK = ["astronomical dusk", "astronomical dawn"];
const DAYS = ["Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"];

/** A row {id, args, met} for each need of the brief, in its order; args hold what is asked, and `actual`. */
export function measured(brief, night, timing, found) {
  return brief.needs.map((need) => judged(need, momentMs(need.at ?? null, night, timing), night, found));
}

/** A position in the shot, or an anchor of the night as `start` is one; null where it does not come. */
function momentMs(at, night, timing) {
  if (at === null) return null;
  if ("frame" in at || "fraction" in at) {
    const frame = frameOf(at, night, timing, "needs");
    return frame <= timing.frames ? msOf(timing, frame) : null;
  }
  if ("event" in at) {
    const events = occurrences(night, at.event, night.from_s, night.until_s);
    return events.length > 0 ? (wholeSecond(events[0]) + at.offset_s) * 1000 : null;
  }
  try {
    return opening(night, at, "needs") * 1000;
  } catch (error) {
    if (!(error instanceof PlanProblem)) throw error;
    return null;
  }
}

/** How long [ms] of the night the sun is more than 18 degrees down. */
function darkMs(night, found) {
  const dark = () => clearanceDeg(night.sky, night.site, eventNamed(DARK[0]), middleS(night)) < 0;
  return heldMs(night, found, DARK, dark);
}

/** How long [ms] of the night the core can be used. */
function usableMs(night, found) {
  return heldMs(night, found, USABLE, () => usableMarginDeg(night.sky, night.site, middleS(night)) >= 0);
}

function middleS(night) {
  return (night.from_s + night.until_s) / 2;
}

/** Time of the night between each first and second of two kinds of edges; all or nothing without any. */
function heldMs(night, found, [opens, closes], always) {
  const inside = ([ms, name]) => [opens, closes].includes(name) && night.from_s * 1000 <= ms && ms < night.until_s * 1000;
  const cuts = found.filter(inside);
  const last_ms = night.until_s * 1000;
  if (cuts.length === 0) return always() ? last_ms - night.from_s * 1000 : 0;
  let total = 0;
  let since_ms = cuts[0][1] === closes ? night.from_s * 1000 : null;
  for (const [ms, name] of cuts) {
    if (name === opens) {
      since_ms = ms;
    } else if (since_ms !== null) {
      total += ms - since_ms;
      since_ms = null;
    }
  }
  return since_ms === null ? total : total + last_ms - since_ms;
}

function judged(need, at_ms, night, found) {
  const { kind } = need;
  if (kind === "weekday") {
    const day = DAYS[((night.day % 7) + 7) % 7];
    return row(kind, { days: need.days.join(", ") }, day, need.days.includes(day));
  }
  if (kind === "darkness" || kind === "core-usable") {
    const held = minutesMs(kind === "darkness" ? darkMs(night, found) : usableMs(night, found));
    return row(kind, { least: need.least_ms }, held, held >= need.least_ms);
  }
  if (kind === "event-between") return between(need, night);
  if (kind === "event-within") return within(need, at_ms, night);
  return ofTheSky(need, at_ms, night);
}

/** A need of how the sky stands at a moment. */
function ofTheSky(need, at_ms, night) {
  const { kind } = need;
  const target = need.target ?? "moon";
  const args = { at: need.at, target };
  if (kind === "moon-lit") {
    const lit = at_ms === null ? null : shown(moonLight(night.sky, at_ms / 1000)[0] * 100, 0);
    return ranged(kind, args, need.lit_pct, [0, 100], lit);
  }
  const [azimuth, altitude] = at_ms === null ? [null, null] : seenDeg(night, target, at_ms / 1000);
  const high_deg = altitude === null ? null : shown(altitude, 1);
  if (kind === "altitude") return ranged(kind, args, need.altitude_deg, [-90, 90], high_deg);
  if (kind !== "azimuth") return row(kind, args, high_deg, at_ms !== null && isUp(night, at_ms) === (kind === "moon-up"));
  const [low, high] = need.azimuth_deg;
  const bearing = azimuth === null ? null : shown(azimuth, 0) % 360;
  return row(kind, { ...args, low, high }, bearing, bearing !== null && round(bearing - low, 360) <= round(high - low, 360));
}

/** Whether the moon's limb is over the horizon of her rise and set. */
function isUp(night, at_ms) {
  return clearanceDeg(night.sky, night.site, eventNamed("moonrise"), at_ms / 1000) >= 0;
}

/** A measure between two bounds; one that is open to a side is told as least or most. */
function ranged(kind, args, [low, high], whole, actual) {
  const open = high === whole[1] ? "-least" : low === whole[0] ? "-most" : "";
  return row(kind + open, { ...args, low, high }, actual, actual !== null && low <= actual && actual <= high);
}

/** An event of the night by the place's clock, read as it is shown; the range may run through midnight. */
function between(need, night) {
  const [first, last] = need.between;
  const events = occurrences(night, need.event, night.from_s, night.until_s).map(wholeSecond);
  const clock_s = (at_s) => clockOf(night.spans, Math.floor((at_s + 30) / 60) * 60);
  const inside = events.filter((at_s) => round(clock_s(at_s) - first, DAY_S) <= round(last - first, DAY_S));
  const actual = [...inside, ...events].map((at_s) => at_s * 1000)[0] ?? null;
  return row("event-between", { event: need.event, first, last }, actual, inside.length > 0);
}

/** An event near a moment, looked for a day on either side. */
function within(need, at_ms, night) {
  const args = { event: need.event, within: need.within_ms, at: need.at };
  if (at_ms === null) return row("event-within", args, null, false);
  const away = (ms) => Math.abs(ms - at_ms);
  const near = occurrences(night, need.event, at_ms / 1000 - DAY_S, at_ms / 1000 + DAY_S).map((t_s) => wholeSecond(t_s) * 1000);
  const actual = near.length > 0 ? near.reduce((best, ms) => (away(ms) < away(best) ? ms : best)) : null;
  return row("event-within", args, actual, actual !== null && minutesMs(away(actual)) <= need.within_ms);
}

function row(name, args, actual, met) {
  return { id: `need.${name}`, args: { ...args, actual }, met };
}

function round(value, whole) {
  return ((value % whole) + whole) % whole;
}

function minutesMs(ms) {
  return Math.floor((ms + MINUTE_MS / 2) / MINUTE_MS) * MINUTE_MS;
}

/** A measure rounded as it will be written: half up on its magnitude. */
function shown(value, decimals) {
  const size = Math.floor(Math.abs(value) * 10 ** decimals + 0.5 + 1e-7) / 10 ** decimals;
  return value < 0 ? -size : size;
}
