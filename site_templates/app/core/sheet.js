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
  const keyframes = plan.keyframes.map((keyframe) => keyframeOf(keyframe, axes, spans));
  const numbers = numbersOf(plan, axes, spans);
  return {
    letter: brief.rig.letter,
    title: plan.shot.title,
    place: plan.place.title,
    rig: brief.rig.title,
    camera: brief.camera.title,
    when: dayText(dayNumber(plan.window.night)),
    span: spanLine(plan, spans),
    zone: spanAt(spans, plan.window.start.utc_ms / 1000)[2],
    revision: plan.revision,
    changed: Object.keys(plan.changes).length > 0,
    pan_zero: bearing(brief.zero_bearing_deg),
    rail: railOf(brief, spans),
    numbers,
    labels: Object.fromEntries(NUMBERS.map((name) => [name, word(`number.${name}`)])),
    program: brief.rig.program_order,
    axes: axes.map(({ name, letter, unit }) => ({ name, letter, unit })),
    keyframes,
    set_order: plan.move.set_order.map((number) => number - 1),
    set_note: setNote(plan, spans),
    sky: plan.sky.events.map((event) => eventOf(event, spans)),
    strip: stripOf(plan, spans),
    warnings: plan.warnings.map((warning) => warningOf(warning, spans)),
    checklist: plan.checklist.map((section) => sectionOf(section, numbers, keyframes, spans)),
    abort: brief.place.abort,
    notes: brief.shot.notes,
  };
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

function keyframeOf(keyframe, axes, spans) {
  const figures = Object.fromEntries(axes.map((axis) => [axis.name, figure(keyframe.axes[axis.name], axis)]));
  return {
    key: say("moment.keyframe", { number: keyframe.number }, spans),
    name: word(keyframe.name),
    on_rig: String(keyframe.rig_number),
    frame: String(keyframe.nearest_frame),
    clock: clock(keyframe.time.utc_ms, spans),
    axes: figures,
    line: axes.map((axis) => withUnit(figures[axis.name], axis)).join(" · "),
    aim: aimOf(keyframe, spans),
    sighting: keyframe.sighting ?? "",
  };
}

function aimOf(keyframe, spans) {
  const aim = keyframe.aim;
  if (aim === null) return "";
  const args = { azimuth: keyframe.azimuth_deg, altitude: keyframe.altitude_deg };
  if ("target" in aim) return say("line.aim-body", { ...args, body: `body.${aim.target}` }, spans);
  return say("line.aim-bearing", args, spans);
}

function numbersOf(plan, axes, spans) {
  const { brief, timing, interval_budget: budget } = plan;
  const steps = plan.move.largest_step;
  const [rate, scale] = timing.fps;
  const figures = axes.map((axis) =>
    withUnit(figure(Math.abs(steps[axis.name].step), { ...axis, angle: false }, 1), axis),
  );
  return {
    interval: spanText(timing.interval_ms),
    dwell: spanText(budget.dwell_ms),
    frames: String(timing.frames),
    hold: both(brief.hold),
    ease: both(brief.ease),
    first_frame: clock(plan.window.start.utc_ms, spans),
    last_closes: clock(plan.window.last_shutter_closes.utc_ms, spans),
    duration: spanText(timing.duration_ms),
    clip: say("value.clip", { clip: Math.floor(timing.clip_ms / 100) * 100, fps: rate / scale }, spans),
    largest_step: figures.join(" · "),
    slack: slackOf(budget.slack_ms),
  };
}

/** To a tenth of a second, never rounded in the rig's favour. @param {number} ms */
function slackOf(ms) {
  const tenths = Math.floor(ms / 100) * 100;
  return tenths < 0 ? MINUS + spanText(-tenths) : spanText(tenths);
}

/** One number where start and end agree, else both. */
function both(pair) {
  return pair[0] === pair[1] ? String(pair[0]) : `${pair[0]} / ${pair[1]}`;
}

function railOf(brief, spans) {
  const rail = brief.rail;
  if (rail === null) return "";
  const incline = rail.incline_deg;
  const slope = incline ? say("line.incline", { incline }, spans) : word("line.level");
  return say("line.rail", { bearing: rail.bearing_deg, home: `home.${rail.home_end}`, slope }, spans);
}

/** The window by the clock; with dates where it crosses midnight, with both zones where clocks change. */
function spanLine(plan, spans) {
  const args = { start: plan.window.start.utc_ms, end: plan.window.end.utc_ms };
  if (spanAt(spans, args.start / 1000) !== spanAt(spans, args.end / 1000)) return say("line.window-zones", args, spans);
  const same_day = localDay(spans, args.start / 1000) === localDay(spans, args.end / 1000);
  return say(same_day ? "line.window" : "line.window-dates", args, spans);
}

function setNote(plan, spans) {
  const move = plan.move;
  const args = { last: plan.keyframes.length, back: Math.floor(move.travel_back_s + 0.999) * 1000 };
  return say(`set.${move.order}`, args, spans);
}

function eventOf(event, spans) {
  return {
    name: word(`event.${event.event}`),
    clock: clock(event.time.utc_ms, spans),
    frame: String(Math.floor(event.frame)),
  };
}

function stripOf(plan, spans) {
  const frames = plan.timing.frames;
  return {
    frames,
    ruler: ruler(frames),
    tones: plan.sky.tones,
    moments: plan.moments.map((moment) => momentOf(moment, plan, spans)),
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

function momentOf(moment, plan, spans) {
  const is_keyframe = moment.kind === "keyframe";
  const label = is_keyframe ? say(moment.id, moment.args, spans) : word(`label.${moment.id.split(".")[1]}`);
  return {
    side: moment.side,
    kind: moment.kind,
    frame: moment.frame,
    label,
    clock: clock(moment.time.utc_ms, spans),
    detail: is_keyframe ? word(plan.keyframes[moment.args.number - 1].name) : "",
  };
}

function warningOf(warning, spans) {
  const part = (name) => say(`${warning.id}.${name}`, warning.args, spans);
  return { level: warning.level, head: part("head"), sum: part("sum"), fix: part("fix") };
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
