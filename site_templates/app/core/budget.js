// twin: fieldsheet/plan/budget.py
// What has to fit into one interval, at the worst frame (T9, T10).

import { slowestS } from "./move.js";

/** Milliseconds of each part, their need, and the slack that the interval leaves. */
export function intervalBudget(brief, steps, interval_ms) {
  const { camera, rig } = brief;
  const open_ms = camera.release_lag_ms + brief.longest_shutter_ms;
  const dwell_ms = Math.ceil(open_ms / 1000) * 1000;
  let move_ms = 0;
  let settle_ms = 0;
  let needed_ms = open_ms + camera.ready_ms;
  if (rig.motion === "shoot-move-shoot") {
    const distances = Object.fromEntries(Object.entries(steps).map(([name, step]) => [name, step.step]));
    move_ms = Math.ceil(slowestS(distances, rig.axes) * 1000 - 1e-6);
    settle_ms = rig.settle_ms;
    needed_ms = Math.max(open_ms + camera.ready_ms, dwell_ms + move_ms + settle_ms);
  }
  return {
    shutter_ms: brief.longest_shutter_ms,
    release_lag_ms: camera.release_lag_ms,
    camera_ready_ms: camera.ready_ms,
    dwell_ms,
    move_ms,
    settle_ms,
    needed_ms,
    slack_ms: interval_ms - needed_ms,
    shortest_interval_ms: Math.ceil(needed_ms / rig.interval_step_ms) * rig.interval_step_ms,
  };
}
