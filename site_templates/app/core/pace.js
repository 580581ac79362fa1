// twin: fieldsheet/plan/pace.py
// When each frame of a shot starts, in whole milliseconds, by the segments of its timing: [first_frame, start_ms,
// interval_ms, phase], ascending, the first of them at frame 1.

/** The segment of a real frame position. @param {Paced} timing @param {number} frame */
function segmentOf({ segments }, frame) {
  return segments.findLast(({ first_frame }) => first_frame <= frame) ?? segments[0];
}

/** From the start of a frame to the start of the next [ms]. @param {Paced} timing @param {number} frame */
export function intervalAt(timing, frame) {
  return segmentOf(timing, frame).interval_ms;
}

/**
 * The interval that the rig is told for a segment [ms]; a plan as it is printed runs as it is told.
 * @param {Paced} timing @param {Segment} segment
 */
export function toldMs({ phases }, { phase, interval_ms }) {
  return phases ? phases[phase].interval_ms : interval_ms;
}

/**
 * The shortest interval that begins in the frames from first to last [ms].
 * @param {Paced} timing @param {number} first @param {number} last
 */
export function shortestMs(timing, first, last) {
  const here = timing.segments.filter(({ first_frame }) => first < first_frame && first_frame <= last);
  return Math.min(intervalAt(timing, first), ...here.map(({ interval_ms }) => interval_ms));
}

/**
 * Instant [ms UTC] of a real frame position, with its part of a millisecond.
 * @param {Paced} timing @param {number} frame
 */
export function utcMs(timing, frame) {
  const { first_frame, start_ms, interval_ms } = segmentOf(timing, frame);
  return start_ms + (frame - first_frame) * interval_ms;
}

/** Instant [ms UTC] of a real frame position. @param {Paced} timing @param {number} frame */
export function msOf(timing, frame) {
  const { first_frame, start_ms, interval_ms } = segmentOf(timing, frame);
  return start_ms + Math.trunc((frame - first_frame) * interval_ms + 0.5);
}

/** Real frame position at an instant [ms UTC]: 1 at the start. @param {Paced} timing @param {number} utc_ms */
export function frameAt({ segments }, utc_ms) {
  const { first_frame, start_ms, interval_ms } = segments.findLast((one) => one.start_ms <= utc_ms) ?? segments[0];
  return first_frame + (utc_ms - start_ms) / interval_ms;
}

/** How long so many frames take, from the start on [ms]. @param {Paced} timing @param {number} frames */
export function elapsedMs(timing, frames) {
  return msOf(timing, frames + 1) - timing.segments[0].start_ms;
}

/**
 * {segments, frames} of a shot of phases {interval_ms, at_ms, frame}: so many frames, or as many as end by end_ms.
 * @param {number} start_ms @param {Phase[]} phases @param {number | null} frames @param {number} end_ms
 */
export function paced(start_ms, phases, frames, end_ms) {
  let segments = [{ first_frame: 1, start_ms, interval_ms: phases[0].interval_ms, phase: 0 }];
  phases.forEach((phase, number) => {
    const with_it = number > 0 ? joined(segments, phase, number) : null;
    if (with_it !== null && holds(with_it[with_it.length - 1], frames, end_ms)) segments = with_it;
  });
  const last = segments[segments.length - 1];
  return { segments, frames: frames ?? last.first_frame - 1 + Math.floor((end_ms - last.start_ms) / last.interval_ms) };
}

/**
 * The segments with another phase, which takes the place of those that would begin no earlier; null if it never comes.
 * @param {Segment[]} segments @param {Phase} phase @param {number} phase @returns {Segment[] | null}
 */
function joined(segments, { interval_ms, at_ms, frame }, phase) {
  const first = at_ms === null ? frame : Math.max(1, Math.ceil(frameAt({ segments }, at_ms)));
  if (first === null) return null;
  if (first > segments[segments.length - 1].first_frame) {
    return [...segments, { first_frame: first, start_ms: msOf({ segments }, first), interval_ms, phase }];
  }
  if (segments.length > 1) return joined(segments.slice(0, -1), { interval_ms, at_ms, frame }, phase);
  return [{ first_frame: 1, start_ms: segments[0].start_ms, interval_ms, phase }];
}

/**
 * Whether a segment has a whole frame in the shot.
 * @param {Segment} segment @param {number | null} frames @param {number} end_ms
 */
function holds({ first_frame, start_ms, interval_ms }, frames, end_ms) {
  return frames === null ? start_ms + interval_ms <= end_ms : first_frame <= frames;
}
