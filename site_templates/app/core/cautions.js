// twin: fieldsheet/plan/cautions.py
// What breaks in rig and timing, as message ids with arguments, worst first.

import { swapEdges } from "./acts.js";
import { wrapDeg } from "./aim.js";
import { spanAt } from "./civil.js";
import { CHECKS as EXPOSING } from "./exposing.js";
import { CHECKS as OUTDOORS } from "./outdoors.js";
import { CHECKS as PICTURED, targetsDown } from "./pictured.js";
import { caution } from "./planned.js";
import { CHECKS as SHORTAGES } from "./shortages.js";
import { MINUTE_MS, msOf } from "./timing.js";

const HALF_TURN_DEG = 180;
const PAN_S = 7;
const CLEARLY = 5 / 7;
const LONG_SHOT_MS = 12 * 3600000;
const ZONE_GAP_H = 3.5;

/** Every limit that this plan breaks ("no-go") or that should be minded ("mind"). */
export function warnings(planned) {
  const checks = [
    axisLimits,
    cableWrap,
    shortInterval,
    tooFast,
    fastPicture,
    loadOver,
    ...PICTURED,
    longWay,
    ...OUTDOORS,
    swapLost,
    ...SHORTAGES,
    ...EXPOSING,
    endsLate,
    longShot,
    zoneFar,
    doubledClocks,
  ];
  const found = checks.flatMap((check) => check(planned));
  return [...found.filter(({ level }) => level === "no-go"), ...found.filter(({ level }) => level !== "no-go")];
}

/** Axis values out of reach; not of the pan and tilt to a target that is down, which is said on its own. */
function axisLimits(planned) {
  const down = targetsDown(planned);
  return planned.settings.flatMap((setting, index) =>
    Object.entries(planned.brief.rig.axes)
      .filter(([name, axis]) => {
        const within = axis.min - 1e-9 <= setting.axes[name] && setting.axes[name] <= axis.max + 1e-9;
        return !within && !(down[index] && ["pan", "tilt"].includes(name));
      })
      .map(([name, axis]) =>
        caution("no-go", "axis-limit", {
          number: index + 1,
          axis: name,
          unit: `after.${axis.unit}`,
          value: setting.axes[name],
          min: axis.min,
          max: axis.max,
        }),
      ),
  );
}

/** Pan beyond what its cables allow; between keyframes it goes no further than at them, however joined. */
function cableWrap(planned) {
  const axis = planned.brief.rig.axes.pan;
  if (!axis || axis.wrap_deg === null) return [];
  const down = targetsDown(planned);
  return planned.settings.flatMap(({ axes: { pan } }, index) => {
    const over = Math.abs(pan) - axis.wrap_deg;
    const within_limits = axis.min - 1e-9 <= pan && pan <= axis.max + 1e-9;
    if (over <= 1e-9 || !within_limits || down[index]) return [];
    return [caution("no-go", "cable-wrap", { number: index + 1, pan, wrap: axis.wrap_deg, over })];
  });
}

function shortInterval({ timing, budget }) {
  if (budget.slack_ms >= 0) return [];
  let id = budget.dwell_ms === null ? "interval-short-moving" : "interval-short";
  if (budget.longest_shutter_ms === 0) id = "interval-short-of-all";
  if (budget.shortest_interval_ms === null) id = "move-too-long";
  return [caution("no-go", id, { interval: timing.interval_ms, short: -budget.slack_ms, ...budget })];
}

function tooFast({ brief, timing, steps }) {
  return tooFastAxes(brief, steps, timing.interval_ms).map(([name, needed]) => {
    const axis = brief.rig.axes[name];
    const args = { axis: name, frame: steps[name].frame, unit: `after.${axis.unit}`, needed, given: axis.speed_max };
    return caution("no-go", "too-fast", args);
  });
}

function fastPicture({ brief, look }) {
  if (look === null || look.seconds_per_frame_width >= PAN_S * CLEARLY) return [];
  const { seconds_per_frame_width: seconds, fastest_frame: frame } = look;
  const [rate, scale] = brief.fps;
  return [caution("mind", "fast-picture", { seconds, frame, fps: rate / scale, least: PAN_S })];
}

/** [axis, speed needed in units a second] where it is too much for a rig that moves all the time. */
export function tooFastAxes(brief, steps, interval_ms) {
  if (brief.rig.motion !== "continuous") return [];
  return Object.entries(steps)
    .map(([name, { step }]) => [name, (Math.abs(step) * 1000) / interval_ms])
    .filter(([name, needed]) => needed > brief.rig.axes[name].speed_max);
}

/** A pan given as a number goes where the number says, also the long way round. */
function longWay({ brief, settings }) {
  if (!("pan" in brief.rig.axes)) return [];
  return settings.slice(1).flatMap((after, index) => {
    const before = settings[index].axes.pan;
    const turn = after.axes.pan - before;
    if (Math.abs(turn) <= HALF_TURN_DEG || brief.keyframes[index + 1].aim !== null) return [];
    const short = wrapDeg(turn);
    const args = { number: index + 2, turn: Math.abs(turn), short: Math.abs(short), instead: before + short };
    return [caution("mind", "long-way", args)];
  });
}

/** A rail's rating falls with its angle; between measured angles it is taken as straight. */
function loadOver({ brief: { rail, rig } }) {
  if (rail === null || rail.payload_kg === null || rig.load_kg === null) return [];
  const incline = Math.abs(rail.incline_deg);
  const allowed = between(rig.load_kg, incline);
  if (rail.payload_kg <= allowed) return [];
  return [caution("no-go", "load", { payload: rail.payload_kg, allowed, incline })];
}

/** The value at x on the straight lines through ascending pairs; at their ends the end's value. */
function between(pairs, x) {
  for (let index = 1; index < pairs.length; index += 1) {
    const [[x0, y0], [x1, y1]] = [pairs[index - 1], pairs[index]];
    if (x <= x1) return y0 + ((y1 - y0) * Math.max(x - x0, 0)) / (x1 - x0);
  }
  return pairs[pairs.length - 1][1];
}

/** A swap that cannot be, on this night or on any. */
function swapLost({ brief, night, timing, swap }) {
  if (brief.swap === null || swap !== null) return [];
  const edges = swapEdges(brief, night, timing);
  if (edges === null || edges[1] > edges[0]) return [caution("mind", "swap-outside", { frames: timing.frames })];
  return [caution("no-go", "swap-reversed", { from: msOf(timing, edges[0]), until: msOf(timing, edges[1]) })];
}

/** The rig's steps made the interval longer than the window that was asked for allows. */
function endsLate({ timing: { start_ms, end_ms, asked_ms, interval_ms } }) {
  const late = end_ms - start_ms - asked_ms;
  if (late < MINUTE_MS) return [];
  const args = { late, end: end_ms, interval: interval_ms, frames: Math.floor(asked_ms / interval_ms) };
  return [caution("mind", "ends-late", args)];
}

function longShot({ timing: { start_ms, end_ms } }) {
  if (end_ms - start_ms <= LONG_SHOT_MS) return [];
  return [caution("mind", "long-shot", { duration: end_ms - start_ms, start: start_ms, end: end_ms })];
}

/** The zone's offset against the sun's own time at this longitude, 15 degrees an hour. */
function zoneFar({ brief, night, timing }) {
  const longitude = brief.place.longitude_deg;
  const zone_h = spanAt(night.spans, timing.start_ms / 1000)[1] / 3600;
  let gap = zone_h - longitude / 15;
  gap -= 24 * Math.floor((gap + 12) / 24);
  if (Math.abs(gap) <= ZONE_GAP_H) return [];
  const args = { hours: Math.abs(gap), zone_offset: zone_h, longitude, sun_offset: longitude / 15 };
  return [caution("mind", "zone-far", args)];
}

function doubledClocks({ timing }) {
  const clocks = { start: timing.start_ms, end: timing.end_ms };
  return timing.doubled.map((key) => caution("mind", "clock-doubled", { which: `edge.${key}`, clock: clocks[key] }));
}
