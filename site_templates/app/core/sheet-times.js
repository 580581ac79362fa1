// twin: fieldsheet/sheet/times.py
// The clock times and dates of a sheet, and its zone.

import { dayNumber, localDay, spanAt } from "./civil.js";
import { clock, dayText, say } from "./say.js";

/**
 * The date of the shot: of its night, said so where the first frame is on another date.
 * @param {Plan} plan @param {Span[]} spans
 */
export function whenText(plan, spans) {
  const night = dayNumber(plan.window.night);
  const starts = localDay(spans, plan.window.start.utc_ms / 1000);
  return starts === night ? dayText(night) : say("line.night-of", { date: dayText(night) }, []);
}

/** Whether the place's clocks change between the first frame and the end. @param {Plan} plan @param {Span[]} spans */
function changesZone(plan, spans) {
  const { start, end } = plan.window;
  return spanAt(spans, start.utc_ms / 1000) !== spanAt(spans, end.utc_ms / 1000);
}

/**
 * How this sheet writes clock times: bare, or each with its zone where the clocks change on the way, which begins with
 * leaving for the shot and ends with the last thing that the place sets.
 * @param {Plan} plan @param {Span[]} spans
 */
export function clocks(plan, spans) {
  const { start, end, deadlines } = plan.window;
  const instants = [start, end, ...[...deadlines, ...plan.place.limits].map(({ time }) => time)];
  const names = new Set(instants.map(({ utc_ms }) => spanAt(spans, utc_ms / 1000)));
  if (names.size === 1) return (/** @type {number} */ utc_ms) => clock(utc_ms, spans);
  return (/** @type {number} */ utc_ms) => `${clock(utc_ms, spans)} ${spanAt(spans, utc_ms / 1000)[2]}`;
}

/**
 * Clock times that carry their weekday where they are not on the date of the night.
 * @param {Plan} plan @param {Span[]} spans @param {ClockText} at
 */
export function dated(plan, spans, at) {
  const night = dayNumber(plan.window.night);
  return (/** @type {number} */ utc_ms) => {
    const day = localDay(spans, utc_ms / 1000);
    return day === night ? at(utc_ms) : `${dayText(day).slice(0, 3)} ${at(utc_ms)}`;
  };
}

/**
 * The short name of the zone, or both and when the clocks show the second one first.
 * @param {Plan} plan @param {Span[]} spans
 */
export function zoneText(plan, spans) {
  const start = plan.window.start.utc_ms;
  const end = plan.window.end.utc_ms;
  if (!changesZone(plan, spans)) return spanAt(spans, start / 1000)[2];
  return say("line.zones", { start, change: spanAt(spans, end / 1000)[0] * 1000, end }, spans);
}

/**
 * The window by the clock; with each date that is not the night's own, and both zones if they change.
 * @param {Plan} plan @param {Span[]} spans
 */
export function spanLine(plan, spans) {
  const { window: window_ } = plan;
  const args = { start: window_.start.utc_ms, end: window_.end.utc_ms };
  if (changesZone(plan, spans)) return say("line.window-zones", args, spans);
  const first = localDay(spans, args.start / 1000);
  const last = localDay(spans, args.end / 1000);
  if (first === dayNumber(window_.night)) {
    return say(last === first ? "line.window" : "line.window-next", args, spans);
  }
  return say(last === first ? "line.window-day" : "line.window-dates", args, spans);
}
