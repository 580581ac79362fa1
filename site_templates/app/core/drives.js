// twin: fieldsheet/plan/drives.py
// How each keyframe is driven to when it is set: in the direction in which it runs, past it and back where need be.

import { reach } from "./keyframes.js";
import { slowestS } from "./move.js";

/** @type {Record<string, number>} */
const PAST = { mm: 5, deg: 2, turns: 0.1, percent: 2 };

/**
 * [{number, via}] in the order of driving: the keyframe, and the positions to go to before it.
 * @param {RigAxes} axes @param {Setting[]} settings @param {number[]} set_order
 */
export function drives(axes, settings, set_order) {
  if (settings.length < 2) return [];
  const numbers = set_order[set_order.length - 1] === 1 ? set_order : [...set_order, 1];
  /** @type {Axes | null} */
  let before = null;
  return numbers.map((number) => {
    /** @type {Axes} */
    const via = {};
    for (const [name, axis] of Object.entries(axes)) {
      const values = settings.map((setting) => setting.axes[name]);
      const here = values[number - 1];
      const way = wayOf(values, number - 1);
      const against = before === null || (here - before[name]) * way < 0;
      const [low, high] = reach(axis);
      const past = Math.min(Math.max(here - way * PAST[axis.unit], low), high);
      if (against && (here - past) * way > 0) via[name] = past;
    }
    before = settings[number - 1].axes;
    return { number, via };
  });
}

/**
 * Positions from the last of several keyframes back to the first, by way of what is gone past.
 * @param {RigAxes} axes @param {Setting[]} settings
 */
export function wayBack(axes, settings) {
  const first = settings[0].axes;
  const last = settings[settings.length - 1].axes;
  const rows = drives(
    axes,
    settings,
    settings.map((_, index) => index + 1),
  );
  const { via } = rows[rows.length - 1];
  return Object.keys(via).length ? [last, { ...first, ...via }, first] : [last, first];
}

/** Seconds from stop to stop, each waited for by all axes. @param {RigAxes} axes @param {Axes[]} stops */
export function driveS(axes, stops) {
  let seconds = 0;
  for (let index = 1; index < stops.length; index += 1) {
    const ways = Object.entries(stops[index - 1]).map(([name, value]) => [name, stops[index][name] - value]);
    seconds += slowestS(Object.fromEntries(ways), axes);
  }
  return seconds;
}

/**
 * The direction in which an axis comes to a keyframe, or leaves the first ones: 1, -1, or 0 at rest.
 * @param {number[]} values @param {number} index
 */
function wayOf(values, index) {
  const steps = values.slice(1).map((after, at) => after - values[at]);
  return Math.sign([...steps.slice(0, index).reverse(), ...steps.slice(index)].find((step) => step !== 0) ?? 0);
}
