// twin: fieldsheet/plan/civil.py
// Dates and clock times of a place, from the zone spans that the brief carries: [from_utc_s, offset_s, name].
// Date is used for the arithmetic of the calendar in UTC only; the machine's zone is never asked.

export const DAY_S = 86400;

/** @typedef {[number, number, string]} Span */

/** Days since 1970-01-01 of a date written YYYY-MM-DD. @param {string} iso */
export function dayNumber(iso) {
  return Date.parse(`${iso}T00:00:00Z`) / (DAY_S * 1000);
}

/** The date YYYY-MM-DD of a day number. @param {number} day */
export function isoDate(day) {
  return new Date(day * DAY_S * 1000).toISOString().slice(0, 10);
}

/** The zone span in force at an instant [s UTC]; before the first one, the first. @param {Span[]} spans @param {number} utc_s */
export function spanAt(spans, utc_s) {
  let index = 0;
  while (index + 1 < spans.length && spans[index + 1][0] <= utc_s) index += 1;
  return spans[index];
}

/** Day number of the local date at an instant [s UTC]. @param {Span[]} spans @param {number} utc_s */
export function localDay(spans, utc_s) {
  return Math.floor((utc_s + spanAt(spans, utc_s)[1]) / DAY_S);
}

/** What the place's clock shows at an instant, in whole seconds after midnight. @param {Span[]} spans @param {number} utc_s */
export function clockOf(spans, utc_s) {
  const local = Math.floor(utc_s + spanAt(spans, utc_s)[1]);
  return local - Math.floor(local / DAY_S) * DAY_S;
}

/**
 * Instants [s UTC] at which the place's clock shows clock_s on that day: none, one or two.
 * @param {Span[]} spans @param {number} day @param {number} clock_s
 */
export function clockInstants(spans, day, clock_s) {
  const local = day * DAY_S + clock_s;
  const offsets = [...new Set(spans.map((span) => span[1]))].sort((a, b) => b - a);
  return offsets.filter((offset) => spanAt(spans, local - offset)[1] === offset).map((offset) => local - offset);
}

/** Instant [s UTC] of local noon of a day. @param {Span[]} spans @param {number} day */
export function noon(spans, day) {
  return firstInstant(spans, day, DAY_S / 2);
}

/** Instant [s UTC] at which a local day begins. @param {Span[]} spans @param {number} day */
export function midnight(spans, day) {
  return firstInstant(spans, day, 0);
}

/** As clockInstants, but a skipped clock time gives the instant of the skip itself. @param {Span[]} spans @param {number} day @param {number} clock_s */
function firstInstant(spans, day, clock_s) {
  const instants = clockInstants(spans, day, clock_s);
  if (instants.length > 0) return instants[0];
  const after = day * DAY_S + clock_s - Math.min(...spans.map((span) => span[1]));
  return spanAt(spans, after)[0];
}

/** An instant as the plan holds it: UTC milliseconds and ISO 8601 local time with offset. @param {Span[]} spans @param {number} utc_ms */
export function stamp(spans, utc_ms) {
  const offset_s = spanAt(spans, utc_ms / 1000)[1];
  const sign = offset_s < 0 ? "-" : "+";
  const minutes = Math.floor(Math.abs(offset_s) / 60);
  const two = (/** @type {number} */ value) => String(value).padStart(2, "0");
  const local = new Date(utc_ms + offset_s * 1000).toISOString().slice(0, -1);
  return { utc_ms, local: `${local}${sign}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}` };
}
