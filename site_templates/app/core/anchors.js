// twin: fieldsheet/plan/anchors.py
// Anchors become instants: events of sky and sea, and clock times on one night. Tides were typed in, never computed.

import { DAY_S, clockInstants, clockOf, dayNumber, isoDate, localDay, midnight, noon, spanAt } from "./civil.js";
import { RIDGE_EVENTS } from "./events.js";
import { findEvents } from "./find.js";
import { PlanProblem } from "./problem.js";
import { makeSite } from "./sky.js";

export const TIDES = ["high tide", "low tide", "wet line", "exit closes"];
const SEARCH_DAYS = 30;
const SEARCH_STEPS = 7;
const AROUND_S = 3 * DAY_S;

/**
 * The night or day of a brief; throws PlanProblem where the sky pack or the zone's spans do not reach.
 * @param {Brief} brief @param {Sky} sky @param {Brief["night"]} night @returns {Night}
 */
export function nightOf(brief, sky, night) {
  const place = brief.place;
  const spans = place.zone.spans;
  const day = dayNumber(night.date);
  const opens = night.rule === "night" ? noon : midnight;
  const from_s = opens(spans, day);
  const until_s = opens(spans, day + 1);
  const reaches = { sky: sky.span_s, zone: [spans[0][0], place.zone.until_s] };
  for (const [what, reach] of Object.entries(reaches)) {
    const days = nightsWithin(reach);
    if (!(days[0] <= day && day <= days[1])) {
      const [first, last] = days.map(isoDate);
      throw new PlanProblem(`problem.no-${what}`, { date: night.date, first, last }, "night");
    }
  }
  return {
    sky,
    site: siteOf(place),
    spans,
    tides: tidesOf(place.tides, spans),
    day,
    rule: night.rule,
    from_s,
    until_s,
  };
}

/** The site of a brief's place, with its skyline, the sea that it looks over, and its air. @param {Place} place */
export function siteOf({ latitude_deg, longitude_deg, elevation_m, sea_horizon_m, horizon, air }) {
  return makeSite(latitude_deg, longitude_deg, elevation_m, { sea_horizon_m, ridge: horizon, air });
}

/** Day numbers of the first and the last night that can be planned within a reach [s UTC]. @param {number[]} reach */
export function nightsWithin(reach) {
  return [Math.floor(reach[0] / DAY_S) + 4, Math.floor(reach[1] / DAY_S) - 6];
}

/**
 * Throws PlanProblem where the sky carried does not reach around a window [s UTC].
 * @param {Night} night @param {number} start_s @param {number} end_s
 */
export function mustReach(night, start_s, end_s) {
  if (night.sky.covers(start_s - AROUND_S, end_s + AROUND_S)) return;
  const [first, last] = nightsWithin(night.sky.span_s).map(isoDate);
  const date = isoDate(localDay(night.spans, start_s));
  throw new PlanProblem("problem.no-sky", { date, first, last }, "start");
}

/**
 * The typed table as [instant, kind]; a clock time that is skipped that day gives none, a doubled one its first.
 * @param {Place["tides"]} rows @param {Span[]} spans @returns {[number, string][]}
 */
function tidesOf(rows, spans) {
  return rows
    .flatMap(({ date, clock_s, kind }) =>
      clockInstants(spans, dayNumber(date), clock_s)
        .slice(0, 1)
        .map((instant) => /** @type {[number, string]} */ ([instant, kind])),
    )
    .sort(([a, kind], [b, other]) => a - b || (kind < other ? -1 : 1));
}

/**
 * The moments [s UTC] in [from_s, until_s) of an event of the sky, or of a kind of tide.
 * @param {Night} night @param {string} name @param {number} from_s @param {number} until_s
 */
export function occurrences(night, name, from_s, until_s) {
  if (!TIDES.includes(name)) return findEvents(night.sky, night.site, name, from_s, until_s);
  return night.tides.filter(([at_s, kind]) => kind === name && from_s <= at_s && at_s < until_s).map(([at_s]) => at_s);
}

/**
 * Instant [s UTC] of an anchor searched in the night itself: the event lies there, its offset may leave it.
 * @param {Night} night @param {Anchor} anchor @param {string} key
 */
export function opening(night, anchor, key) {
  if ("event" in anchor) return firstEvent(night, anchor, night.from_s, night.until_s, key) + anchor.offset_s;
  const next_morning = night.rule === "night" && anchor.clock_s < DAY_S / 2;
  return clock(night, next_morning ? night.day + 1 : night.day, anchor.clock_s, key);
}

/**
 * Instant [s UTC] of an anchor, offset included, that comes first within 24 h after the start.
 * @param {Night} night @param {Anchor} anchor @param {number} start_s @param {string} key
 */
export function following(night, anchor, start_s, key) {
  if ("event" in anchor) {
    const earliest = start_s - anchor.offset_s;
    return firstEvent(night, anchor, earliest, earliest + DAY_S, key) + anchor.offset_s;
  }
  const day = localDay(night.spans, start_s);
  const later = clockInstants(night.spans, day, anchor.clock_s).filter((instant) => instant >= start_s);
  if (later.length > 0) return later[0];
  const passed = clockOf(night.spans, start_s) >= anchor.clock_s;
  return clock(night, passed ? day + 1 : day, anchor.clock_s, key);
}

/**
 * Whether the place's clock shows the same time again at another instant (clocks set back).
 * @param {Night} night @param {number} instant_s
 */
export function isDoubled(night, instant_s) {
  const local = Math.floor(instant_s + spanAt(night.spans, instant_s)[1]);
  const day = Math.floor(local / DAY_S);
  return clockInstants(night.spans, day, local - day * DAY_S).length > 1;
}

/**
 * First occurrence of the anchor's event in [from_s, until_s), to the whole second.
 * @param {Night} night @param {EventAt} anchor @param {number} from_s @param {number} until_s @param {string} key
 */
function firstEvent(night, anchor, from_s, until_s, key) {
  if (anchor.event in RIDGE_EVENTS && night.site.ridge.length === 0) {
    throw new PlanProblem("problem.no-ridge", { event: anchor.event }, key);
  }
  const found = occurrences(night, anchor.event, from_s, until_s);
  if (found.length > 0) return wholeSecond(found[0]);
  const before = nearestEvent(night, anchor.event, from_s, -1);
  const after = nearestEvent(night, anchor.event, until_s, 1);
  const args = { event: anchor.event, from: Math.trunc(from_s) * 1000, until: Math.trunc(until_s) * 1000 };
  if (before === null && after === null) throw new PlanProblem("problem.never-event", args, key);
  throw new PlanProblem("problem.no-event", { ...args, before, after }, key);
}

/**
 * The event nearest to an edge, before (-1) or after (+1) it [ms UTC]; null within the sky's reach.
 * @param {Night} night @param {string} event @param {number} edge_s @param {-1 | 1} direction
 */
export function nearestEvent(night, event, edge_s, direction) {
  const [first_s, last_s] = night.sky.span_s;
  const reach = SEARCH_DAYS * DAY_S;
  for (let step = 0; step < SEARCH_STEPS; step += 1) {
    const a = edge_s + direction * step * reach;
    const low = Math.max(Math.min(a, a + direction * reach), first_s + DAY_S);
    const high = Math.min(Math.max(a, a + direction * reach), last_s - DAY_S);
    if (low >= high) return null;
    const found = occurrences(night, event, low, high);
    if (found.length > 0) return wholeSecond(found[direction < 0 ? found.length - 1 : 0]) * 1000;
  }
  return null;
}

/** @param {Night} night @param {number} day @param {number} clock_s @param {string} key */
function clock(night, day, clock_s, key) {
  const instants = clockInstants(night.spans, day, clock_s);
  if (instants.length > 0) return instants[0];
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  const text = `${two(Math.floor(clock_s / 3600))}:${two(Math.floor((clock_s % 3600) / 60))}`;
  throw new PlanProblem("problem.clock-skipped", { date: isoDate(day), clock: text }, key);
}

/**
 * Events are used to the whole second: finer than any almanac, coarser than any difference of the twins.
 * @param {number} t_s
 */
export function wholeSecond(t_s) {
  return Math.trunc(t_s + 0.5);
}
