// twin: fieldsheet/plan/drives.py
// How each keyframe is driven to when it is set: in the direction in which it runs, past it and back where need be.

import { reach } from "./keyframes.js";

const PAST = { mm: 5, deg: 2, turns: 0.1, percent: 2 };

/** [{number, via}] in the order of driving: the keyframe, and the positions to go to before it. */
export function drives(axes, settings, set_order) {
  if (settings.length < 2) return [];
  const numbers = set_order[set_order.length - 1] === 1 ? set_order : [...set_order, 1];
  let before = null;
  return numbers.map((number) => {
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

/** The direction in which an axis comes to a keyframe, or leaves the first ones: 1, -1, or 0 at rest. */
function wayOf(values, index) {
  const steps = values.slice(1).map((after, at) => after - values[at]);
  return Math.sign([...steps.slice(0, index).reverse(), ...steps.slice(index)].find((step) => step !== 0) ?? 0);
}
