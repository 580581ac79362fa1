// twin: fieldsheet/plan/needs.py
// What a shot needs of its night, measured: asked, found, met or not, or not known. Judged as it will be shown.

import { occurrences, wholeSecond } from "./anchors.js";
import { DAY_S, clockOf } from "./civil.js";
import { HALF_DISC_DEG, clearanceDeg, eventNamed, usableMarginDeg } from "./events.js";
import { NOT_KNOWN, daysAround, daysBetween, momentOf, unknown } from "./known.js";
import { moonLight } from "./moon.js";
import { USABLE } from "./nightsky.js";
import { overDeg, seenDeg } from "./seen.js";
import { apparentAltitudeDeg } from "./sky.js";
import { toMinute } from "./timing.js";

/** @typedef {import("./events.js").Crossing} Crossing */

/** @typedef {{name: string, args: Args}} Asked @typedef {Args} Lack why nobody can tell, or that there is none */

const DARK = ["astronomical dusk", "astronomical dawn"];
const DAYS = ["Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"];
/** All that is possible. @type {Record<string, number[]>} */
const WHOLE = { "moon-lit": [0, 100], altitude: [-90, 90], azimuth: [] };
const TOLD = ["target", "event", "at", "days"];
const SKYLINE_DEG = 0.05;

/**
 * A row {id, args, met} for each need of the brief, in its order; args hold what is asked, `actual`, and see the twin.
 * @param {Brief} brief @param {Night} night @param {Timing} timing @param {FoundEvent[]} found @returns {Plan["needs"]}
 */
export function measured(brief, night, timing, found) {
  return brief.needs.map((need) => judged(need, momentOf(need.at ?? null, night, timing), night, found));
}

/** How long [ms] of the night the sun is more than 18 degrees down. @param {Night} night @param {FoundEvent[]} found */
function darkMs(night, found) {
  const dark = () =>
    clearanceDeg(night.sky, night.site, /** @type {Crossing} */ (eventNamed(DARK[0])), middleS(night)) < 0;
  return heldMs(night, found, DARK, dark);
}

/** How long [ms] of the night the core can be used. @param {Night} night @param {FoundEvent[]} found */
function usableMs(night, found) {
  return heldMs(night, found, USABLE, () => usableMarginDeg(night.sky, night.site, middleS(night)) >= 0);
}

/** @param {Night} night */
function middleS(night) {
  return (night.from_s + night.until_s) / 2;
}

/**
 * Time of the night between each first and second of two kinds of edges; all or nothing without any.
 * @param {Night} night @param {FoundEvent[]} found @param {string[]} edges @param {() => boolean} always
 */
function heldMs(night, found, [opens, closes], always) {
  const inside = (/** @type {FoundEvent} */ [ms, name]) =>
    [opens, closes].includes(name) && night.from_s * 1000 <= ms && ms < night.until_s * 1000;
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

/**
 * What a need asks for, {name, args}: the id of its words without "need.", and what they take.
 * @param {Need} need @returns {Asked}
 */
function askedOf(need) {
  const { kind } = need;
  /** @type {Args} */
  const args = {};
  for (const [key, value] of Object.entries(need)) if (TOLD.includes(key)) args[key] = value;
  if (kind === "darkness" || kind === "core-usable") {
    args.least = need.least_ms;
  } else if (kind === "event-between") {
    [args.first, args.last] = need.between;
  } else if (kind === "event-within") {
    args.within = need.within_ms;
  } else if (kind === "moon-lit" || kind === "altitude" || kind === "azimuth") {
    [args.low, args.high] = rangeOf(need);
    const [low, high] = WHOLE[kind];
    const open = args.high === high ? "-least" : args.low === low ? "-most" : "";
    return { name: kind + open, args };
  }
  return { name: kind, args };
}

/** What a need of a range allows. @param {NeedOf<"moon-lit" | "altitude" | "azimuth">} need */
function rangeOf(need) {
  if (need.kind === "moon-lit") return need.lit_pct;
  return need.kind === "altitude" ? need.altitude_deg : need.azimuth_deg;
}

/**
 * What was found, and whether that meets what is asked; more: `found`, and what its words take.
 * @param {Asked} asked @param {unknown} actual @param {boolean | null} met @param {Args} [more]
 */
function row({ name, args }, actual, met, more = {}) {
  return { id: `need.${name}`, args: { ...args, actual, ...more }, met };
}

/** Nothing was found, or nobody can tell. @param {Asked} asked @param {Lack} lack */
function nothing(asked, lack) {
  return row(asked, null, NOT_KNOWN.includes(lack.found) ? null : false, lack);
}

/**
 * @param {Need} need @param {{ms: number | null, lack: Lack}} moment @param {Night} night @param {FoundEvent[]} found
 */
function judged(need, moment, night, found) {
  const { kind } = need;
  const asked = askedOf(need);
  if (kind === "weekday") {
    const day = DAYS[round(night.day, 7)];
    return row(asked, day, need.days.includes(day));
  }
  if (kind === "darkness" || kind === "core-usable") {
    const held = toMinute(kind === "darkness" ? darkMs(night, found) : usableMs(night, found));
    return row(asked, held, held >= need.least_ms);
  }
  if (kind === "event-between") return between(asked, need, night);
  if (moment.ms === null) return nothing(asked, moment.lack);
  return kind === "event-within" ? within(asked, need, moment.ms, night) : ofTheSky(asked, need, moment.ms, night);
}

/**
 * A need of how the sky stands at a moment.
 * @param {Asked} asked @param {NeedOf<"moon-lit" | "altitude" | "azimuth" | "moon-up" | "moon-down">} need
 * @param {number} at_ms @param {Night} night
 */
function ofTheSky(asked, need, at_ms, night) {
  const { kind } = need;
  if (kind === "moon-lit") {
    const lit = shown(moonLight(night.sky, at_ms / 1000)[0] * 100, 0);
    return row(asked, lit, need.lit_pct[0] <= lit && lit <= need.lit_pct[1]);
  }
  if (kind === "altitude") return altitude(asked, need, seenDeg(night, need.target, at_ms / 1000), night.site);
  if (kind !== "azimuth") return moon(asked, kind === "moon-up", at_ms, night);
  const [low, high] = need.azimuth_deg;
  const bearing = shown(seenDeg(night, need.target, at_ms / 1000)[0], 0) % 360;
  return row(asked, bearing, round(bearing - low, 360) <= round(high - low, 360));
}

/**
 * How high a target stands; who asks for no less than the horizon wants to see it over the skyline.
 * @param {Asked} asked @param {NeedOf<"altitude">} need @param {Pair} place @param {Site} site
 */
function altitude(asked, { target, altitude_deg: [low, high] }, place, site) {
  const high_deg = shown(place[1], 1);
  const hidden = high_deg >= 0 && isHidden(site, target, place);
  const met = low <= high_deg && high_deg <= high && !(hidden && low >= 0);
  return row(asked, high_deg, met, hidden ? { found: "found.hidden" } : {});
}

/**
 * Whether the moon is up: her upper edge over the horizon, and over the skyline where she is to be seen.
 * @param {Asked} asked @param {boolean} wanted @param {number} at_ms @param {Night} night
 */
function moon(asked, wanted, at_ms, night) {
  const { sky, site } = night;
  const rise = /** @type {Crossing} */ (eventNamed("moonrise"));
  const over_deg = clearanceDeg(sky, site, rise, at_ms / 1000);
  const horizon_deg = rise.rule.altitude_deg - site.dip_deg;
  const [edge_deg, level_deg] = [horizon_deg + over_deg, horizon_deg].map((deg) => apparentAltitudeDeg(deg, site.air));
  const actual = shown(Math.abs(edge_deg - level_deg), 1);
  if (over_deg < 0) return row(asked, actual, !wanted, { found: "found.down" });
  if (isHidden(site, "moon", seenDeg(night, "moon", at_ms / 1000))) {
    return row(asked, actual, false, { found: wanted ? "found.up-behind" : "found.up-lights" });
  }
  return row(asked, actual, wanted, { found: "found.up" });
}

/**
 * Whether a body at an azimuth and apparent altitude is behind the skyline, if one was measured.
 * @param {Site} site @param {string} body @param {Pair} row
 */
function isHidden(site, body, [azimuth, altitude_deg]) {
  return site.ridge.length > 0 && overDeg(site, azimuth, altitude_deg + (HALF_DISC_DEG[body] ?? 0)) < -SKYLINE_DEG;
}

/**
 * An event of the night by the place's clock, read as it is shown; the range may run through midnight.
 * @param {Asked} asked @param {NeedOf<"event-between">} need @param {Night} night
 */
function between(asked, { event, between: [first, last] }, night) {
  const events = occurrences(night, event, night.from_s, night.until_s).map(wholeSecond);
  const clock_s = (/** @type {number} */ at_s) => clockOf(night.spans, Math.floor((at_s + 30) / 60) * 60);
  const inside = events.filter((at_s) => round(clock_s(at_s) - first, DAY_S) <= round(last - first, DAY_S));
  if (inside.length > 0) return row(asked, inside[0] * 1000, true);
  const lack = unknown(night, event, daysBetween(night, first, last));
  if (lack === null && events.length > 0) return row(asked, events[0] * 1000, false);
  return nothing(asked, lack ?? { found: "found.no-event" });
}

/**
 * An event near a moment, looked for a day on either side; how far off it is is judged and told.
 * @param {Asked} asked @param {NeedOf<"event-within">} need @param {number} at_ms @param {Night} night
 */
function within(asked, { event, within_ms }, at_ms, night) {
  const away = (/** @type {number} */ ms) => Math.abs(ms - at_ms);
  const near = occurrences(night, event, at_ms / 1000 - DAY_S, at_ms / 1000 + DAY_S).map(
    (t_s) => wholeSecond(t_s) * 1000,
  );
  const actual = near.length > 0 ? near.reduce((best, ms) => (away(ms) < away(best) ? ms : best)) : null;
  const away_ms = actual === null ? Infinity : toMinute(away(actual));
  const lack = away_ms <= within_ms ? null : unknown(night, event, daysAround(night, at_ms, within_ms));
  if (lack !== null || actual === null) return nothing(asked, lack ?? { found: "found.none-near" });
  return row(asked, actual, away_ms <= within_ms, away_ms > 0 ? { found: "found.near", away: away_ms } : {});
}

/** @param {number} value @param {number} whole */
function round(value, whole) {
  return ((value % whole) + whole) % whole;
}

/** A measure rounded as it will be written: half up on its magnitude. @param {number} value @param {number} decimals */
function shown(value, decimals) {
  const size = Math.floor(Math.abs(value) * 10 ** decimals + 0.5 + 1e-7) / 10 ** decimals;
  return value < 0 ? -size : size;
}
