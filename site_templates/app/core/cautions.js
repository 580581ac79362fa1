// twin: fieldsheet/plan/cautions.py
// What breaks, when and by how much, as message ids with arguments, worst first.

import { halfTangents, placeInFrame } from "./aim.js";
import { spanAt } from "./civil.js";
import { positionAt } from "./move.js";
import { apparentAltitudeDeg, horizontal } from "./sky.js";
import { msOf } from "./timing.js";

const SUN_SAMPLES = 48;
const LONG_SHOT_MS = 12 * 3600000;
const ZONE_GAP_H = 3.5;
const DISC_DEG = { sun: 0.5, moon: 0.5, "galactic core": 0 };

/** Every limit that this plan breaks ("no-go") or that should be minded ("mind"). */
export function warnings(planned) {
  const checks = [
    axisLimits,
    shortInterval,
    tooFast,
    belowHorizon,
    sunInFrame,
    noSighting,
    longShot,
    zoneFar,
    doubledClocks,
  ];
  const found = checks.flatMap((check) => check(planned));
  return [...found.filter(({ level }) => level === "no-go"), ...found.filter(({ level }) => level !== "no-go")];
}

function warning(level, id, args) {
  return { level, id: `warning.${id}`, args };
}

/** For each keyframe whether it aims at a target below the level horizon. */
function targetsDown({ brief, settings }) {
  return settings.map((setting, index) => {
    const aim = brief.keyframes[index].aim;
    return aim !== null && "target" in aim && setting.altitude_deg < -DISC_DEG[aim.target];
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
        warning("no-go", "axis-limit", {
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
  return [warning("no-go", id, { interval: timing.interval_ms, short: -budget.slack_ms, ...budget })];
}

/** A rig that moves all the time has the whole interval for each step. */
function tooFast({ brief, timing, steps }) {
  if (brief.rig.motion !== "continuous") return [];
  return Object.entries(steps).flatMap(([name, step]) => {
    const axis = brief.rig.axes[name];
    const needed = (Math.abs(step.step) * 1000) / timing.interval_ms;
    if (needed <= axis.speed_max) return [];
    const args = { axis: name, frame: step.frame, unit: `after.${axis.unit}`, needed, given: axis.speed_max };
    return [warning("no-go", "too-fast", args)];
  });
}

function belowHorizon(planned) {
  const down = targetsDown(planned);
  return planned.settings.flatMap((setting, index) => {
    if (!down[index]) return [];
    return [
      warning("no-go", "below-horizon", {
        number: index + 1,
        target: `body.${planned.brief.keyframes[index].aim.target}`,
        clock: msOf(planned.timing, setting.frame),
        below: -setting.altitude_deg,
      }),
    ];
  });
}

/** The sun in the delivered frame of a shot that is not aimed at it: the first of SUN_SAMPLES moments. */
function sunInFrame({ brief, night, timing, path }) {
  const { axes } = brief.rig;
  if (!("pan" in axes) || !("tilt" in axes)) return [];
  if (brief.keyframes.some(({ aim }) => aim?.target === "sun")) return [];
  const tangents = halfTangents(brief);
  for (let sample = 0; sample <= SUN_SAMPLES; sample += 1) {
    const frame = 1 + ((timing.frames - 1) * sample) / SUN_SAMPLES;
    const instant_ms = msOf(timing, frame);
    const seen = horizontal(night.sky, night.site, "sun", instant_ms / 1000);
    const altitude = apparentAltitudeDeg(seen.altitude_deg);
    const at = positionAt(path, frame);
    const place = placeInFrame(seen.azimuth_deg, altitude, brief.zero_bearing_deg + at.pan, at.tilt, tangents);
    if (altitude > 0 && place !== null && Math.max(Math.abs(place[0]), Math.abs(place[1])) <= 1) {
      return [warning("mind", "sun-in-frame", { frame: Math.floor(frame), clock: instant_ms, altitude })];
    }
  }
  return [];
}

/** Keyframes are set long before their target stands there. */
function noSighting({ brief }) {
  return brief.keyframes.flatMap(({ aim, sighting }, index) => {
    if (!aim || !("target" in aim) || sighting) return [];
    return [warning("mind", "no-sighting", { number: index + 1, target: `body.${aim.target}` })];
  });
}

function longShot({ timing: { start_ms, end_ms } }) {
  if (end_ms - start_ms <= LONG_SHOT_MS) return [];
  return [warning("mind", "long-shot", { duration: end_ms - start_ms, start: start_ms, end: end_ms })];
}

/** The zone's offset against the sun's own time at this longitude, 15 degrees an hour. */
function zoneFar({ brief, night, timing }) {
  const longitude = brief.place.longitude_deg;
  const zone_h = spanAt(night.spans, timing.start_ms / 1000)[1] / 3600;
  let gap = zone_h - longitude / 15;
  gap -= 24 * Math.floor((gap + 12) / 24);
  if (Math.abs(gap) <= ZONE_GAP_H) return [];
  const args = { hours: Math.abs(gap), zone_offset: zone_h, longitude, sun_offset: longitude / 15 };
  return [warning("mind", "zone-far", args)];
}

function doubledClocks({ timing }) {
  const clocks = { start: timing.start_ms, end: timing.end_ms };
  return timing.doubled.map((key) => warning("mind", "clock-doubled", { which: `edge.${key}`, clock: clocks[key] }));
}
