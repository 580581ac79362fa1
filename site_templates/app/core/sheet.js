// twin: fieldsheet/sheet/sheet.py
// Plan -> Sheet: everything a person reads, as text.

import { dayNumber, localDay, spanAt } from "./civil.js";
import { MINUS, bearing, clock, dayText, decimalsOf, fixed, say, signed, spanText, word } from "./say.js";

const LETTERS = { slide: "S", pan: "P", tilt: "T" };
const NUMBERS = [
  "interval",
  "dwell",
  "frames",
  "hold",
  "ease",
  "first_frame",
  "last_closes",
  "duration",
  "clip",
  "largest_step",
  "slack",
];
const RULER_PARTS = 8;

/** Every text of a plan (with its revision and checklist); pure. */
export function makeSheet(plan) {
  const brief = plan.brief;
  const spans = brief.place.zone.spans;
  const axes = axesOf(brief);
  const at = clocks(plan, spans);
  const keyframes = plan.keyframes.map((keyframe) => keyframeOf(keyframe, brief, axes, at));
  const numbers = numbersOf(plan, axes, at);
  return {
    letter: brief.rig.letter,
    title: plan.shot.title,
    place: plan.place.title,
    rig: brief.rig.title,
    camera: brief.camera.title,
    night: dayText(dayNumber(plan.window.night)),
    when: whenOf(plan, spans),
    span: spanLine(plan, spans),
    zone: zoneOf(plan, spans),
    revision: plan.revision,
    changed: Object.keys(plan.changes).length > 0,
    pan_zero: bearing(brief.zero_bearing_deg),
    rail: railOf(brief, spans),
    numbers,
    labels: labelsOf(plan, spans),
    program: brief.rig.program_order.filter((name) => numbers[name] !== ""),
    axes: axes.map(({ name, letter, unit }) => ({ name, letter, unit })),
    keyframes,
    set_order: plan.move.set_order.map((number) => number - 1),
    set_note: setNote(plan, spans),
    sky: plan.sky.events.map((event) => eventOf(event, plan.timing.frames, at)),
    strip: stripOf(plan, at),
    warnings: plan.warnings.map((warning) => warningOf(warning, spans)),
    checklist: plan.checklist.map((section) => sectionOf(section, numbers, keyframes, spans)),
    abort: brief.place.abort,
    notes: brief.shot.notes,
  };
}

/** The date of the shot: of its night, said so where the first frame is on another date. */
function whenOf(plan, spans) {
  const night = dayNumber(plan.window.night);
  const starts = localDay(spans, plan.window.start.utc_ms / 1000);
  return starts === night ? dayText(night) : say("line.night-of", { date: dayText(night) }, []);
}

/** Whether the place's clocks change between the first frame and the end. */
function changesZone(plan, spans) {
  const { start, end } = plan.window;
  return spanAt(spans, start.utc_ms / 1000) !== spanAt(spans, end.utc_ms / 1000);
}

/** How this sheet writes clock times: bare, or each with its zone where the clocks change on the way. */
function clocks(plan, spans) {
  if (!changesZone(plan, spans)) return (utc_ms) => clock(utc_ms, spans);
  return (utc_ms) => `${clock(utc_ms, spans)} ${spanAt(spans, utc_ms / 1000)[2]}`;
}

/** The short name of the zone, or both and when the clocks show the second one first. */
function zoneOf(plan, spans) {
  const start = plan.window.start.utc_ms;
  const end = plan.window.end.utc_ms;
  if (!changesZone(plan, spans)) return spanAt(spans, start / 1000)[2];
  return say("line.zones", { start, change: spanAt(spans, end / 1000)[0] * 1000, end }, spans);
}

/** Name, letter, unit sign and decimals of each axis, in the rig's order. */
function axesOf(brief) {
  return Object.entries(brief.rig.axes).map(([name, axis]) => ({
    name,
    letter: LETTERS[name] ?? name[0].toUpperCase(),
    unit: word(`unit.${axis.unit}`),
    angle: axis.unit === "deg",
    decimals: decimalsOf(axis.step),
  }));
}

/** An axis value as it is set; angles carry their sign. */
function figure(value, axis, more = 0) {
  return (axis.angle ? signed : fixed)(value, axis.decimals + more);
}

function withUnit(text, axis) {
  return `${axis.letter} ${text}${axis.angle ? "" : " "}${axis.unit}`;
}

function keyframeOf(keyframe, brief, axes, at) {
  const spans = brief.place.zone.spans;
  const figures = Object.fromEntries(axes.map((axis) => [axis.name, figure(keyframe.axes[axis.name], axis)]));
  return {
    key: say("moment.keyframe", { number: keyframe.number }, spans),
    name: word(keyframe.name),
    on_rig: String(keyframe.rig_number),
    frame: String(keyframe.nearest_frame),
    clock: at(keyframe.time.utc_ms),
    axes: figures,
    line: axes.map((axis) => withUnit(figures[axis.name], axis)).join(" · "),
    aim: aimOf(keyframe, brief, spans),
    sighting: keyframe.sighting ?? "",
  };
}

/** What the keyframe aims at and where in the delivered frame it then stands; else where the lens looks. */
function aimOf(keyframe, brief, spans) {
  const aim = keyframe.aim;
  if (aim === null) return looks(keyframe.axes, brief, spans);
  const { azimuth_deg: azimuth, altitude_deg: altitude, x, y } = keyframe;
  if (x === null) {
    const what = "target" in aim ? word(`body.${aim.target}`) : bearing(azimuth);
    return say("line.aim-lost", { what }, spans);
  }
  const args = { azimuth, altitude, x, y };
  if ("target" in aim) return say("line.aim-body", { ...args, body: `body.${aim.target}` }, spans);
  return say("line.aim-bearing", args, spans);
}

function looks(axes, brief, spans) {
  if (!("pan" in axes) || !("tilt" in axes)) return "";
  return say("line.looks", { azimuth: brief.zero_bearing_deg + axes.pan, altitude: axes.tilt }, spans);
}

/** The names of the numbers; a clock time of another date than the night's own carries its date. */
function labelsOf(plan, spans) {
  const { window: window_ } = plan;
  const labels = Object.fromEntries(NUMBERS.map((name) => [name, word(`number.${name}`)]));
  for (const [name, key] of [["first_frame", "start"], ["last_closes", "last_shutter_closes"]]) {
    const instant = window_[key].utc_ms;
    if (localDay(spans, instant / 1000) !== dayNumber(window_.night)) {
      labels[name] = say("number.on-day", { label: labels[name], instant }, spans);
    }
  }
  return labels;
}

function numbersOf(plan, axes, at) {
  const { brief, timing, interval_budget: budget } = plan;
  const steps = plan.move.largest_step;
  const [rate, scale] = timing.fps;
  const figures = axes.map((axis) =>
    withUnit(figure(Math.abs(steps[axis.name].step), { ...axis, angle: false }, 1), axis),
  );
  return {
    interval: spanText(timing.interval_ms),
    dwell: budget.dwell_ms === null ? "" : spanText(budget.dwell_ms),
    frames: String(timing.frames),
    hold: both(brief.hold),
    ease: both(brief.ease),
    first_frame: at(plan.window.start.utc_ms),
    last_closes: at(plan.window.last_shutter_closes.utc_ms),
    duration: spanText(timing.duration_ms),
    clip: say("value.clip", { clip: Math.floor(timing.clip_ms / 100) * 100, fps: rate / scale }, []),
    largest_step: figures.join(" · "),
    slack: slackOf(budget.slack_ms),
  };
}

/** To a tenth of a second, from a minute on to a second, never rounded in the rig's favour. @param {number} ms */
function slackOf(ms) {
  const step_ms = Math.abs(ms) < 60000 ? 100 : 1000;
  const whole_ms = Math.floor(ms / step_ms) * step_ms;
  return whole_ms < 0 ? MINUS + spanText(-whole_ms) : spanText(whole_ms);
}

/** Frames; one number where start and end agree, else both. */
function both(pair) {
  if (pair[0] === pair[1]) return say("value.frames", { frames: pair[0] }, []);
  return say("value.frames-both", { first: pair[0], last: pair[1] }, []);
}

function railOf(brief, spans) {
  const rail = brief.rail;
  if (rail === null) return "";
  const incline = rail.incline_deg;
  let slope = word("line.level");
  if (incline) slope = say(incline > 0 ? "line.home-low" : "line.home-high", { incline: Math.abs(incline) }, spans);
  return say("line.rail", { bearing: rail.bearing_deg, home: `home.${rail.home_end}`, slope }, spans);
}

/** The window by the clock; with each date that is not the night's own, and both zones if they change. */
function spanLine(plan, spans) {
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

function setNote(plan, spans) {
  const move = plan.move;
  const args = { last: plan.keyframes.length, back: Math.floor(move.travel_back_s + 0.999) * 1000 };
  return say(`set.${move.order}`, args, spans);
}

function eventOf(event, frames, at) {
  let where = say("line.frame", { frame: Math.floor(event.frame) }, []);
  if (event.frame < 1) where = word("line.before");
  else if (event.frame > frames) where = word("line.after");
  return {
    name: word(`event.${event.event}`),
    clock: at(event.time.utc_ms),
    frame: where,
  };
}

function stripOf(plan, at) {
  const frames = plan.timing.frames;
  return {
    frames,
    ruler: ruler(frames),
    tones: plan.sky.tones,
    moments: plan.moments.map((moment) => momentOf(moment, plan, at)),
  };
}

/** Round frame numbers at an even 1, 2 or 5 step, at most RULER_PARTS of them, not crowding the end. */
function ruler(frames) {
  let step = 1;
  for (let power = 0; step * RULER_PARTS < frames; power += 1) step = [1, 2, 5][power % 3] * 10 ** Math.floor(power / 3);
  const numbers = [];
  for (let number = step; number <= frames; number += step) if (number <= frames - step / 4) numbers.push(number);
  return numbers;
}

function momentOf(moment, plan, at) {
  const is_keyframe = moment.kind === "keyframe";
  const label = is_keyframe ? say(moment.id, moment.args, []) : word(`label.${moment.id.split(".")[1]}`);
  return {
    side: moment.side,
    kind: moment.kind,
    frame: moment.frame,
    label,
    clock: at(moment.time.utc_ms),
    detail: is_keyframe ? word(plan.keyframes[moment.args.number - 1].name) : "",
  };
}

function warningOf(warning, spans) {
  const part = (name) => say(`${warning.id}.${name}`, warning.args, spans);
  return { level: warning.level, word: word(`level.${warning.level}`), head: part("head"), sum: part("sum"), fix: part("fix") };
}

function sectionOf(section, numbers, keyframes, spans) {
  let title = word(section.title);
  if (section.parts > 1) title = say("section.part", { title, part: section.part, parts: section.parts }, spans);
  return {
    title,
    manner: word(section.manner),
    items: section.items.map((item) => ({
      id: item.id,
      must: item.must,
      text: say(item.message, item.args, spans),
      note: item.note ? say(item.note, item.args, spans) : "",
      value: valueOf(item.value, numbers, keyframes),
    })),
  };
}

/** What an item's slot names: one of the numbers, or the settings of a keyframe. */
function valueOf(slot, numbers, keyframes) {
  if (slot === null) return "";
  return "number" in slot ? numbers[slot.number] : keyframes[slot.keyframe - 1].line;
}
