// twin: fieldsheet/sheet/options.py
// What is said of a late start and of a shot that stopped: what to do, and each way to go on.

import { rungsOf } from "./opened.js";
import { bodyWord, say, spanText, word } from "./say.js";
import { both, figure, programOf, slackOf, unsigned, withUnit } from "./sheet-figures.js";

/**
 * @typedef {Late | Recovery} Told
 * @typedef {Tried["keyframes"][number]} Rekeyed
 * @typedef {{name: string, text: string}} NamedText
 */

const HAND_DEG = 0.5;
const EXACT = 1e-6;
const SHOWN_DEG = 0.05;
const MINUTE_MS = 60000;

/**
 * {head, lines, steps, options} of a start that came late; null of any other.
 * @param {Plan} plan @param {AxisShown[]} axes @param {ClockText} at
 */
export function lateText(plan, axes, at) {
  const { late } = plan;
  if (late === null) return null;
  const head = say("late.head", { late: late.late_ms, start: at(late.start.utc_ms) }, []);
  return { head, lines: [], steps: [], options: optionsText(late, plan, axes, at) };
}

/**
 * The same of a shot that stopped, with what to do first; null of one that did not.
 * @param {Plan} plan @param {AxisShown[]} axes @param {ClockText} at
 */
export function recoveryText(plan, axes, at) {
  const { recovery } = plan;
  if (recovery === null) return null;
  const stands = positions(recovery.stands, axes);
  const {
    frame,
    frames,
    missed,
    gap_ms,
    keying: [least, most],
  } = recovery;
  const gap = Math.floor(gap_ms / 1000) * 1000; // nobody stopped it to the millisecond
  const shot = tenths(recovery.shot_ms);
  const args = { frame, frames, missed, gap, least, most, shot, rolls: at(recovery.rolls.utc_ms) };
  const lines = [line("so-far", say("recovery.so-far", args, []))];
  return {
    head: say("recovery.head", args, []),
    lines: [...lines, ...(stands ? [line("stands", stands)] : []), ...exposed(plan)],
    steps: recovery.steps.map((step) => say(step, args, [])),
    options: optionsText(recovery, plan, axes, at),
  };
}

/**
 * What the camera is set to as it rolls again, by the frame that is due then; none without a plan.
 * @param {Plan} plan @returns {NamedText[]}
 */
function exposed({ brief, exposure, recovery }) {
  if (exposure === null || brief.exposure === null || recovery === null) return [];
  const { frame, frames, missed } = recovery;
  const due = frame + missed + 1;
  const [, rung] = rungsOf(exposure).findLast(([first]) => first <= due) ?? [1, exposure.first_rung];
  const [f, shutter, iso] = brief.exposure.ladder[rung];
  const id = due <= frames ? "recovery.exposure" : "recovery.exposure-over";
  return [line("exposure", say(id, { f, shutter, iso }, []))];
}

/** @param {Told} told @param {Plan} plan @param {AxisShown[]} axes @param {ClockText} at */
function optionsText(told, plan, axes, at) {
  return told.options.map((option, index) => optionText(option, index + 1, told, plan, axes, at));
}

/**
 * A way to go on; why: what it fails by, "" of one that can be.
 * @param {Option} option @param {number} number @param {Told} told @param {Plan} plan @param {AxisShown[]} axes
 * @param {ClockText} at
 * @returns {{head: string, why: string, lines: NamedText[], keyframes: ReturnType<typeof keyframeText>[]}}
 */
function optionText(option, number, told, plan, axes, at) {
  const { spans } = plan.brief.place.zone;
  const said = option.why && say(option.why.id, option.why.args, spans);
  const head = say("option.head", { number, what: `option.${option.id}` }, []);
  const why = said === null ? "" : say("option.cannot", { why: said }, []);
  if (!("frames" in option)) return { head, why, lines: [], keyframes: [] };
  const mind = option.troubles.map(({ id, args }) => say(`${id}.head`, args, spans)).join("; ");
  const lines = [...keyedLines(option, plan), ...comesOfIt(option, told, at)];
  if ("before" in option) lines.push(...strays(option, axes));
  return {
    head,
    why,
    lines: mind ? [...lines, line("mind", mind)] : lines,
    keyframes: option.keyframes.map((keyframe) => keyframeText(keyframe, axes, at)),
  };
}

/** @param {string} name @param {string} text @returns {NamedText} */
function line(name, text) {
  return { name: word(`option.name.${name}`), text };
}

/**
 * The figures in the order of the rig's menu, how long that takes, and what an interval then spares.
 * @param {Tried | TriedOn} option @param {Plan} plan @returns {NamedText[]}
 */
function keyedLines(option, plan) {
  const {
    gap_ms,
    dwell_ms,
    frames,
    hold,
    ease,
    minutes: [least, most],
    slack_ms,
  } = option;
  const still = option.keyframes.length < 2;
  /** @type {Record<string, string>} */
  const numbers = {
    interval: intervals(option, "interval_ms"),
    gap: gap_ms === null ? "" : intervals(option, "gap_ms"),
    dwell: dwell_ms === null ? "" : spanText(dwell_ms),
    frames: String(frames),
    hold: still ? "" : both(hold),
    ease: still ? "" : both(ease),
  };
  const names = programOf(plan.brief, numbers);
  const shown = names.includes("interval") || names.includes("gap") ? names : ["interval", ...names];
  const keys = shown.map((name) => say("option.key", { name: `number.${name}`, value: numbers[name] }, []));
  const takes = most > 0 ? say("option.takes", { least, most }, []) : word("option.takes-none");
  return [line("key", keys.join(" · ")), line("takes", takes), line("spare", slackOf(slack_ms))];
}

/**
 * The interval, or the gap of it, and from which frames on it is another.
 * @param {Tried | TriedOn} option @param {"interval_ms" | "gap_ms"} key
 */
function intervals({ segments: [first, ...later] }, key) {
  const texts = later.map((segment) => say("option.from", { span: segment[key] ?? 0, frame: segment.first_frame }, []));
  return [spanText(first[key] ?? 0), ...texts].join(", ");
}

/**
 * By the clock, the clip, and where the sun then stands.
 * @param {Tried | TriedOn} option @param {Told} told @param {ClockText} at
 */
function comesOfIt(option, told, at) {
  const {
    later_ms,
    start,
    end,
    sun_deg: [first, last],
  } = option;
  const by = Math.floor(Math.abs(later_ms) / MINUTE_MS) * MINUTE_MS;
  const args = { start: at(start.utc_ms), end: at(end.utc_ms), by };
  const way = by === 0 ? "" : later_ms > 0 ? "-later" : "-earlier";
  return [
    line("runs", say(`option.runs${way}`, args, [])),
    line("clip", clipText(option, told)),
    line("sun", say("option.sun", { first, last }, [])),
  ];
}

/** @param {Tried | TriedOn} option @param {Told} told */
function clipText(option, told) {
  const clip = tenths(option.clip_ms);
  if ("before" in option && "shot_ms" in told) {
    const args = { clip, so_far: tenths(told.shot_ms), whole: tenths(option.whole_ms) };
    return say(option.id === "second" ? "option.clip-second" : "option.clip-on", args, []);
  }
  const fewer = told.frames - option.frames;
  const times = "interval_ms" in told ? told.interval_ms / option.interval_ms : 1;
  const id = fewer ? "option.clip-fewer" : times > 1 ? "option.clip-faster" : "option.clip";
  return say(id, { clip, fewer, times }, []);
}

/**
 * Of what goes on after a stop: the jumps in it, and how far the new move is from the planned one.
 * @param {TriedOn} option @param {AxisShown[]} axes
 */
function strays(option, axes) {
  const lines = [line("sky", say("option.sky-jump", { turned: option.sky_deg }, []))];
  if (option.keyframes.length === 0) return lines;
  if (option.skipped > 0) {
    const jump = positions(option.jump, axes);
    lines.push(line("move", say("option.jump", { frames: option.skipped, jump }, [])));
  }
  const off = axes.flatMap((axis) => {
    const worst = option.differs[axis.name];
    if (Math.abs(worst.off) <= EXACT) return [];
    return [say("option.off-by", { ...worst, off: withUnit(unsigned(worst.off, axis, 1), axis) }, [])];
  });
  return [...lines, line("differs", off.length > 0 ? off.join(", ") : word("option.as-planned"))];
}

/** @param {Rekeyed} keyframe @param {AxisShown[]} axes @param {ClockText} at */
function keyframeText(keyframe, axes, at) {
  return {
    key: say("moment.keyframe", { number: keyframe.number }, []),
    name: word(keyframe.name),
    on_rig: String(keyframe.rig_number),
    frame: String(keyframe.nearest_frame),
    clock: at(keyframe.time.utc_ms),
    line: positions(keyframe.axes, axes),
    keyed: word(`option.keyed-${keyframe.keyed || "not"}`),
    off: offText(keyframe),
    aimed: aimedText(keyframe, axes),
  };
}

/** How far a target then is from its place. @param {Rekeyed} keyframe */
function offText({ target, off }) {
  if (off === null) return "";
  if (off.deg === null || off.share === null) return say("line.aim-lost", { what: bodyWord(target ?? "") }, []);
  const args = { body: target, off: off.deg, share: off.share * 100 };
  return say(off.deg >= SHOWN_DEG ? "option.off" : "option.on", args, []);
}

/**
 * Beside what is kept, what would aim at the target then; "" where no hand would set it better.
 * @param {Rekeyed} keyframe @param {AxisShown[]} axes
 */
function aimedText({ aimed, off }, axes) {
  if (aimed === null || (off?.deg != null && off.deg < HAND_DEG)) return "";
  const turning = axes.filter(({ name }) => name === "pan" || name === "tilt");
  return say("option.aimed", { axes: positions(aimed, turning) }, []);
}

/** @param {Axes} values @param {AxisShown[]} axes */
function positions(values, axes) {
  return axes.map((axis) => withUnit(figure(values[axis.name], axis), axis)).join(" · ");
}

/** @param {number} ms */
function tenths(ms) {
  return Math.floor(ms / 100) * 100;
}
