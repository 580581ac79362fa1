// twin: fieldsheet/plan/cautions.py
// What breaks in rig, timing and picture, as message ids with arguments, worst first.

import { axisOf, lensOf, placeInFrame } from "./aim.js";
import { spanAt } from "./civil.js";
import { positionAt } from "./move.js";
import { CHECKS } from "./outdoors.js";
import { caution } from "./planned.js";
import { seenDeg } from "./seen.js";
import { msOf } from "./timing.js";

const SUN_SAMPLES = 48;
const LONG_SHOT_MS = 12 * 3600000;
const ZONE_GAP_H = 3.5;
const DISC_DEG = { sun: 0.5, moon: 0.5 };

/** Every limit that this plan breaks ("no-go") or that should be minded ("mind"). */
export function warnings(planned) {
  const checks = [
    axisLimits,
    shortInterval,
    tooFast,
    loadOver,
    belowHorizon,
    sunInFrame,
    noSighting,
    ...CHECKS,
    swapOutside,
    longShot,
    zoneFar,
    doubledClocks,
  ];
  const found = checks.flatMap((check) => check(planned));
  return [...found.filter(({ level }) => level === "no-go"), ...found.filter(({ level }) => level !== "no-go")];
}

/** For each keyframe whether it aims at a target below the level horizon. */
function targetsDown({ brief, settings }) {
  return settings.map((setting, index) => {
    const aim = brief.keyframes[index].aim;
    return aim !== null && "target" in aim && setting.altitude_deg < -(DISC_DEG[aim.target] ?? 0);
  });
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

function shortInterval({ timing, budget }) {
  if (budget.slack_ms >= 0) return [];
  let id = budget.dwell_ms === null ? "interval-short-moving" : "interval-short";
  if (budget.shortest_interval_ms === null) id = "move-too-long";
  return [caution("no-go", id, { interval: timing.interval_ms, short: -budget.slack_ms, ...budget })];
}

/** A rig that moves all the time has the whole interval for each step. */
function tooFast({ brief, timing, steps }) {
  if (brief.rig.motion !== "continuous") return [];
  return Object.entries(steps).flatMap(([name, step]) => {
    const axis = brief.rig.axes[name];
    const needed = (Math.abs(step.step) * 1000) / timing.interval_ms;
    if (needed <= axis.speed_max) return [];
    const args = { axis: name, frame: step.frame, unit: `after.${axis.unit}`, needed, given: axis.speed_max };
    return [caution("no-go", "too-fast", args)];
  });
}

function belowHorizon(planned) {
  const down = targetsDown(planned);
  return planned.settings.flatMap((setting, index) => {
    if (!down[index]) return [];
    return [
      caution("no-go", "below-horizon", {
        number: index + 1,
        target: planned.brief.keyframes[index].aim.target,
        clock: msOf(planned.timing, setting.frame),
        below: -setting.altitude_deg,
      }),
    ];
  });
}

/** The sun in the delivered frame of a shot that is not aimed at it: the first of SUN_SAMPLES moments. */
function sunInFrame({ brief, night, timing, path }) {
  if (brief.keyframes.some(({ aim }) => aim?.target === "sun")) return [];
  const lens = lensOf(brief);
  for (let sample = 0; sample <= SUN_SAMPLES; sample += 1) {
    const frame = 1 + ((timing.frames - 1) * sample) / SUN_SAMPLES;
    const instant_ms = msOf(timing, frame);
    const looks = axisOf(brief, positionAt(path, frame));
    if (looks === null) return [];
    const [azimuth, altitude] = seenDeg(night, "sun", instant_ms / 1000);
    const place = placeInFrame(azimuth, altitude, looks[0], looks[1], lens);
    if (altitude > 0 && place !== null && Math.max(Math.abs(place[0]), Math.abs(place[1])) <= 1) {
      return [caution("mind", "sun-in-frame", { frame: Math.floor(frame), clock: instant_ms, altitude })];
    }
  }
  return [];
}

/** Keyframes are set long before their target stands there; landmarks of the place give a sighting too. */
function noSighting({ brief }) {
  if (brief.place.landmarks.length > 0) return [];
  return brief.keyframes.flatMap(({ aim, sighting }, index) => {
    if (!aim || !("target" in aim) || sighting) return [];
    return [caution("mind", "no-sighting", { number: index + 1, target: aim.target })];
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

function swapOutside({ brief, timing, swap }) {
  return brief.swap !== null && swap === null ? [caution("mind", "swap-outside", { frames: timing.frames })] : [];
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
