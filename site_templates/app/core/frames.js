// twin: fieldsheet/exchange/frames.py
// Every frame of a shot, for a machine: CSV by RFC 4180; its columns are told in the twin.

import { stamp } from "./civil.js";
import { pathThrough, positionAt } from "./move.js";
import { msOf } from "./pace.js";
import { MINUS, fixed } from "./say.js";

const DECIMALS = 4;
const LINE_END = "\r\n";

/** The move of a plan, from its keyframes as they are set. @param {Plan} plan */
export function pathOf(plan) {
  return pathThrough(plan.brief, plan.keyframes, plan.timing.frames);
}

/** The first line of the table. @param {Plan} plan */
export function csvHead({ brief }) {
  const axes = Object.entries(brief.rig.axes).map(([name, { unit }]) => `${name}_${unit}`);
  return ["frame", "time", ...axes, ...axes.map((key) => `step_${key}`)].join(",") + LINE_END;
}

/**
 * The lines of the frames from first to last.
 * @param {Plan} plan @param {Path} path @param {number} first @param {number} last
 */
export function csvLines(plan, path, first, last) {
  const names = Object.keys(plan.brief.rig.axes);
  let lines = "";
  let before = positionAt(path, Math.max(first - 1, 1));
  for (let frame = first; frame <= last; frame += 1) {
    const here = positionAt(path, frame);
    const values = [...names.map((name) => here[name]), ...names.map((name) => here[name] - before[name])];
    const { local } = stamp(plan.brief.place.zone.spans, msOf(plan.timing, frame));
    lines += [frame, local, ...values.map(numberText)].join(",") + LINE_END;
    before = here;
  }
  return lines;
}

/** @param {number} value */
function numberText(value) {
  return fixed(value, DECIMALS).replace(MINUS, "-");
}
