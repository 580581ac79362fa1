// twin: fieldsheet/sheet/figures.py
// The numbers of a sheet, and what they are called.

import { lensOf, viewDeg } from "./aim.js";
import { dayNumber, localDay } from "./civil.js";
import { gapMs } from "./keyed.js";
import { msOf } from "./pace.js";
import { MINUS, decimalsOf, fixed, say, signed, spanText, word } from "./say.js";
import { phased, runsText } from "./sheet-phases.js";
import { lastsText, storedText, swapsAhead } from "./sheet-power.js";

const NUMBERS = [
  "interval",
  "gap",
  "dwell",
  "frames",
  "hold",
  "ease",
  "first_frame",
  "latest_start",
  "lost",
  "last_closes",
  "swap",
  "shutter",
  "duration",
  "clip",
  "largest_step",
  "top_speed",
  "joins",
  "slack",
  "blur",
  "pace",
  "change",
  "view",
  "aim_error",
  "pack_lasts",
  "storage",
];
const JERK = 0.5;
const NARROW_DEG = 10;
const HAND_RAD = (0.5 * Math.PI) / 180;

/** Name, letter, unit sign and decimals of each axis, in the rig's order. @param {Brief} brief */
export function axesOf(brief) {
  return Object.entries(brief.rig.axes).map(([name, axis]) => ({
    name,
    letter: axis.letter,
    unit: word(`unit.${axis.unit}`),
    angle: axis.unit === "deg",
    decimals: decimalsOf(axis.step),
  }));
}

/**
 * An axis value as it is set; angles carry their sign.
 * @param {number} value @param {AxisShown} axis @param {number} [more]
 */
export function figure(value, axis, more = 0) {
  return (axis.angle ? signed : fixed)(value, axis.decimals + more);
}

/** A figure between its axis's letter and unit. @param {string} text @param {AxisShown} axis */
export function withUnit(text, axis) {
  return `${axis.letter} ${text}${axis.angle ? "" : " "}${axis.unit}`;
}

/**
 * The keys of the numbers that go into the rig's menu, in its order; some rigs key the gap.
 * @param {Brief} brief @param {Record<string, string>} numbers
 */
export function programOf(brief, numbers) {
  return brief.rig.program_order
    .map((name) => (name === "interval" && numbers.gap !== "" ? "gap" : name))
    .filter((name) => numbers[name] !== "");
}

/**
 * The names of the numbers; a clock time of another date than the night's own carries its date.
 * @param {Plan} plan @param {Span[]} spans
 */
export function labelsOf(plan, spans) {
  const { window: window_ } = plan;
  const labels = Object.fromEntries(NUMBERS.map((name) => [name, word(`number.${name}`)]));
  const { late } = window_;
  if (late !== null && late.interval_ms < plan.timing.interval_ms) {
    const id = late.gap_ms === null ? "number.latest-at" : "number.latest-gap";
    labels.latest_start = say(id, { interval: late.interval_ms, gap: late.gap_ms }, spans);
  }
  const edges = { first_frame: window_.start, last_closes: window_.last_shutter_closes };
  for (const [name, { utc_ms: instant }] of Object.entries(edges)) {
    if (localDay(spans, instant / 1000) !== dayNumber(window_.night)) {
      labels[name] = say("number.on-day", { label: labels[name], instant }, spans);
    }
  }
  return labels;
}

/**
 * Every number by its key in NUMBERS; "" for one that this shot does not have.
 * @param {Plan} plan @param {AxisShown[]} axes @param {ClockText} at
 */
export function numbersOf(plan, axes, at) {
  const { brief, timing, interval_budget: budget, window: window_ } = plan;
  const { way } = plan.move;
  const [rate, scale] = timing.fps;
  const { late } = window_;
  const still = plan.keyframes.length < 2;
  const steps = axes.map((axis) => withUnit(unsigned(way[axis.name].step, axis, 1), axis));
  const speeds = axes.map((axis) => withUnit(unsigned(way[axis.name].top_speed, axis, axis.angle ? 2 : 1), axis));
  return {
    interval: phased(plan, at, (interval_ms) => interval_ms),
    gap: budget.gap_ms === null ? "" : phased(plan, at, (interval_ms) => gapMs(brief, interval_ms)),
    dwell: budget.dwell_ms === null ? "" : spanText(budget.dwell_ms),
    frames: String(timing.frames),
    hold: still ? "" : both(brief.hold),
    ease: still ? "" : both(brief.ease),
    first_frame: toSecond(window_.start.utc_ms, at),
    latest_start: late === null ? "" : at(late.start.utc_ms),
    lost: late === null ? "" : say("value.lost", { interval: late.interval_ms }, []),
    last_closes: at(window_.last_shutter_closes.utc_ms),
    swap: swapsAhead(plan, at).slice(0, Math.max(plan.power.changes.length, 1)).join("; "),
    shutter: spanText(brief.longest_shutter_ms),
    duration: spanText(timing.duration_ms),
    clip: say("value.clip", { clip: Math.floor(timing.clip_ms / 100) * 100, fps: rate / scale }, []),
    largest_step: still ? "" : steps.join(" · "),
    top_speed: still ? "" : say("value.top-speed", { speeds: speeds.join(" · ") }, []),
    joins: plan.keyframes.length > 2 ? word(`value.joins-${plan.move.joins}`) : "",
    slack: leastSlack(plan, at),
    blur: blurText(budget),
    ...lookText(plan.move.look),
    view: viewText(brief),
    aim_error: aimError(brief),
    pack_lasts: lastsText(plan, at),
    storage: storedText(plan),
  };
}

/** A clock time with its seconds where it has some. @param {number} utc_ms @param {ClockText} at */
function toSecond(utc_ms, at) {
  const over = Math.floor((utc_ms % 60000) / 1000) * 1000;
  return over === 0 ? at(utc_ms) : say("value.to-second", { clock: at(utc_ms - (utc_ms % 60000)), over }, []);
}

/** @param {number} value @param {AxisShown} axis @param {number} more */
export function unsigned(value, axis, more) {
  const texts = [0, 1, 2].map((extra) => figure(Math.abs(value), { ...axis, angle: false }, more + extra));
  return texts.find((text) => /[1-9]/.test(text)) ?? texts[0];
}

/** Of a rig that moves while it exposes, else "". @param {Budget} budget */
function blurText({ blur_px: pixels, blur_frame: frame, shutter_angle_deg: angle }) {
  return pixels === null ? "" : say("value.blur", { pixels, angle, frame }, []);
}

/**
 * How fast the picture passes and where its speed jumps; "" for one that stands still or passes evenly.
 * @param {Plan["move"]["look"]} look
 */
function lookText(look) {
  if (look === null) return { pace: "", change: "" };
  const { seconds_per_frame_width: seconds, frame_widths_per_s: widths, fastest_frame } = look;
  const { share, frame } = look.largest_change;
  const id = share > JERK ? "value.change-jerk" : "value.change";
  return {
    pace: say("value.pace", { seconds, widths, frame: fastest_frame }, []),
    change: frame === null ? "" : say(id, { share: share * 100, frame }, []),
  };
}

/**
 * What of an interval camera and rig take, each in one line, the camera's first.
 * @param {Plan} plan @param {ClockText} at
 */
export function intervalLines(plan, at) {
  const { brief, timing, interval_budget: budget } = plan;
  const camera = { name: word("interval.name.camera"), text: say("interval.camera", budget, []) };
  const id = budget.dwell_ms === null ? "interval.rig-moving" : "interval.rig";
  const rig = { name: word("interval.name.rig"), text: say(id, budget, []) };
  const lines = Object.keys(brief.rig.axes).length === 0 ? [camera] : [camera, rig];
  const { frame, interval_ms: interval } = budget;
  if (frame !== null) {
    const text = say("interval.worst", { frame, interval, clock: at(msOf(timing, frame)) }, []);
    lines.push({ name: word("interval.name.worst"), text });
  }
  const runs = runsText(plan);
  return runs === "" ? lines : [...lines, { name: word("interval.name.runs"), text: runs }];
}

/** What interval is usual for what the shot is of, beside its own; none where nobody says. @param {Plan} plan */
export function usualLines({ brief: { subject }, timing: { interval_ms: interval } }) {
  if (subject === null) return [];
  const args = { least: subject.least_ms, most: subject.most_ms, subject: subject.name, interval };
  return [{ name: word("interval.name.usual"), text: say("interval.usual", args, []) }];
}

/** The angles of view of the delivered frame, and what it takes of the sensor. @param {Brief} brief */
function viewText(brief) {
  const angles = viewDeg(lensOf(brief));
  const decimals = Math.min(...angles) >= NARROW_DEG ? 0 : 1;
  const [across, up] = angles.map((angle) => fixed(angle, decimals));
  const [width, height] = brief.frame_mm;
  const [sensor_width, sensor_height] = brief.camera.sensor_mm;
  const held = sensor_width >= sensor_height ? "held.landscape" : "held.portrait";
  const projection = `projection.${brief.camera.projection}`;
  return say("value.view", { across, up, width, height, sensor_width, sensor_height, held, projection }, []);
}

/** By what part of the frame's width a slip of the hand moves its middle. @param {Brief} brief */
function aimError(brief) {
  const lens = lensOf(brief);
  const moved = lens.projection === "rectilinear" ? Math.tan(HAND_RAD) : HAND_RAD;
  return say("value.aim-error", { share: (moved / (2 * lens.half_width)) * 100 }, []);
}

/**
 * What an interval has to spare at the worst frame, and which that is.
 * @param {Plan} plan @param {ClockText} at
 */
function leastSlack({ timing, interval_budget: { slack_ms, frame } }, at) {
  const slack = slackOf(slack_ms);
  return frame === null ? slack : say("value.slack-at", { slack, frame, clock: at(msOf(timing, frame)) }, []);
}

/** To a tenth of a second, from a minute on to a second, never rounded in the rig's favour. @param {number} ms */
export function slackOf(ms) {
  const step_ms = Math.abs(ms) < 60000 ? 100 : 1000;
  const whole_ms = Math.floor(ms / step_ms) * step_ms;
  return whole_ms < 0 ? MINUS + spanText(-whole_ms) : spanText(whole_ms);
}

/** Frames; one number where start and end agree, else both. @param {Pair} pair */
export function both(pair) {
  if (pair[0] === pair[1]) return say("value.frames", { frames: pair[0] }, []);
  return say("value.frames-both", { first: pair[0], last: pair[1] }, []);
}
