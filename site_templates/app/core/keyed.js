// twin: fieldsheet/plan/keyed.py
// What this rig is told of the interval: dwell, gap, and steps that can be keyed in.

const SECOND_MS = 1000;

/** How long the rig stands after firing [ms]; null for a rig that does not stop between frames. @param {Brief} brief */
export function dwellMs(brief) {
  if (brief.rig.motion !== "shoot-move-shoot") return null;
  const waits_ms = brief.rig.waits_for_camera ? readyMs(brief, brief.longest_shutter_ms) : 0;
  return upTo(brief.camera.release_lag_ms + brief.longest_shutter_ms + waits_ms, SECOND_MS);
}

/**
 * From a closed shutter to the next trigger [ms]; noise reduction exposes once more, for as long.
 * @param {Brief} brief @param {number} open_ms
 */
export function readyMs({ camera }, open_ms) {
  return camera.ready_ms + (camera.noise_reduction ? open_ms : 0);
}

/**
 * The gap to key in for an interval, 0 where it leaves none; null for a rig that keys the interval.
 * @param {Brief} brief @param {number} interval_ms
 */
export function gapMs(brief, interval_ms) {
  const dwell = dwellMs(brief);
  if (brief.rig.interval_means !== "gap" || dwell === null) return null;
  return Math.max(interval_ms - dwell, 0);
}

/**
 * The shortest interval, at least interval_ms, that can be keyed into the rig, as interval or as gap.
 * @param {Brief} brief @param {number} interval_ms
 */
export function settableMs(brief, interval_ms) {
  const { interval_step_ms: step_ms, interval_means } = brief.rig;
  const dwell = dwellMs(brief);
  const before = interval_means === "gap" && dwell !== null ? dwell : 0;
  return before + upTo(Math.max(interval_ms - before, step_ms), step_ms);
}

/** The least multiple of a step that is not below a value. @param {number} value @param {number} step */
function upTo(value, step) {
  return Math.ceil(value / step) * step;
}
