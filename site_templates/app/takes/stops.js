// What a take was before: the stops that a way to go on comes after, each of which begins another programme of the rig,
// whose frames count from 1 again; and what was asked for before the last change.

/** The way that goes on after a stop; null where none is in force. @param {*} changes */
export function stopOf({ way = null }) {
  return way?.frame === undefined ? null : way;
}

/** The way by which the rig was told anew; null where it has what it was told at first: a late start with everything as it
 *  is set keys in nothing. @param {*} changes */
export function keyedBy({ way = null }) {
  return way?.id === "as-set" ? null : way;
}

/** The last frame that was fired before each stop, the newest first. @param {*} way of the changes @returns {number[]} */
function stopsOf(way) {
  return way?.frame === undefined ? [] : [way.frame, ...stopsOf(way.after?.way)];
}

/**
 * Which programme of the rig something is of, where that is not the one that runs; "" where it is.
 * @param {*} way that was in force then @param {*} now the one in force
 */
export function leftAfter(way, now) {
  if (isSame(way, now)) return "";
  for (let later = now; later?.frame !== undefined; later = later.after?.way)
    if (isSame(way, later.after?.way)) return `before the stop after frame ${later.frame}`;
  return "in what was left for another way to go on";
}

/** @param {*} a @param {*} b */
function isSame(a, b) {
  return JSON.stringify(a ?? null) === JSON.stringify(b ?? null);
}

/**
 * What was asked for before the last change of a take, where that changed its way or its interval; else null.
 * @param {import("./added.js").LogEvent[]} events of the take, in their order @returns {object | null}
 */
export function changesBefore(events) {
  const asked = events
    .filter(({ kind }) => kind === "take" || kind === "changes")
    .map(({ payload }) => payload.changes ?? {});
  const [before, last] = asked.slice(-2);
  const paceOf = (/** @type {*} */ { way, interval_ms }) => JSON.stringify([way, interval_ms]);
  return last && paceOf(before) !== paceOf(last) ? before : null;
}

/**
 * How many frames were fired before frame 1 since an item was last written in, such as the first file's number.
 * @param {import("./added.js").LogEvent[]} events of the take, in their order @param {string} item
 */
export function firedSince(events, item) {
  let [stops, known] = [/** @type {number[]} */ ([]), 0];
  for (const { kind, payload } of events) {
    if (kind === "take" || kind === "changes") stops = stopsOf(payload.changes?.way);
    if (kind === "field" && payload.item === item) known = stops.length;
  }
  return stops.slice(0, Math.max(stops.length - known, 0)).reduce((sum, frame) => sum + frame, 0);
}
