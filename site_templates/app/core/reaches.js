// twin: fieldsheet/plan/reaches.py
// Axes out of reach at a keyframe, and the least change that brings them back.

import { aimAt, baseOf, lensOf } from "./aim.js";
import { reach, toStep } from "./keyframes.js";
import { targetsDown } from "./pictured.js";
import { caution } from "./planned.js";

const HALVINGS = 20;
const NUDGE = 1e-9;

/**
 * Axis values out of reach; not of the pan and tilt to a target that is down, which is said on its own.
 * @param {Restricted} planned
 */
export function beyondLimits(planned) {
  const down = targetsDown(planned);
  return planned.settings.flatMap((setting, index) =>
    Object.entries(planned.brief.rig.axes).flatMap(([axis, { min, max, unit: of }]) => {
      const value = setting.axes[axis];
      const over = Math.max(min - value, value - max);
      if (over <= NUDGE || (down[index] && ["pan", "tilt"].includes(axis))) return [];
      const unit = `after.${of}`;
      /** @type {Record<string, () => Message | null>} */
      const nearer = { pan: () => zeroFor(planned), tilt: () => placeFor(planned, index) };
      const mend = nearer[axis]?.() ?? { id: "mend.over", args: { over, unit } };
      return [caution("no-go", "axis-limit", { number: index + 1, axis, unit, value, min, max, mend })];
    }),
  );
}

/**
 * Pan beyond what its cables allow; between keyframes it goes no further than at them, however joined.
 * @param {Restricted} planned
 */
export function beyondCables(planned) {
  const axis = planned.brief.rig.axes.pan;
  const wrap_deg = axis?.wrap_deg ?? null;
  if (wrap_deg === null) return [];
  const down = targetsDown(planned);
  return planned.settings.flatMap(({ axes: { pan } }, index) => {
    const over = Math.abs(pan) - wrap_deg;
    const within_limits = axis.min - NUDGE <= pan && pan <= axis.max + NUDGE;
    if (over <= NUDGE || !within_limits || down[index]) return [];
    const mend = zeroFor(planned) ?? { id: "mend.cables", args: {} };
    return [caution("no-go", "cable-wrap", { number: index + 1, pan, wrap: wrap_deg, over, mend })];
  });
}

/**
 * The nearest pan zero that brings every keyframe within reach; null without one.
 * @param {Restricted} planned @returns {Message | null}
 */
function zeroFor({ brief, settings }) {
  if (baseOf(brief) !== null || brief.keyframes.some(({ aim }) => aim === null)) return null;
  const [low, high] = reach(brief.rig.axes.pan);
  const pans = settings.map(({ axes }) => axes.pan);
  const least = Math.max(...pans) - high;
  const most = Math.min(...pans) - low;
  const zero_deg = brief.zero_bearing_deg;
  const to_deg =
    least > 0 ? Math.ceil((zero_deg + least) * 10 - NUDGE) / 10 : Math.floor((zero_deg + most) * 10 + NUDGE) / 10;
  if (!(least - NUDGE <= to_deg - zero_deg && to_deg - zero_deg <= most + NUDGE)) return null;
  const args = { zero: to_deg - 360 * Math.floor(to_deg / 360), by: Math.abs(to_deg - zero_deg) };
  return { id: "mend.zero", args };
}

/**
 * The nearest height in the frame that a keyframe's tilt can aim at; null where no height does.
 * @param {Restricted} planned @param {number} index @returns {Message | null}
 */
function placeFor({ brief, settings }, index) {
  const { aim } = brief.keyframes[index];
  if (aim === null) return null;
  const { min, max, step } = brief.rig.axes.tilt;
  const { azimuth_deg, altitude_deg, axes } = /** @type {Aimed} */ (settings[index]);
  const reaches = (/** @type {number} */ y) => {
    const aimed = aimAt(azimuth_deg, altitude_deg, aim.x, y, lensOf(brief));
    if (aimed === null) return false;
    const tilt = toStep(aimed[1], step);
    return min - NUDGE <= tilt && tilt <= max + NUDGE;
  };
  const upwards = axes.tilt > max;
  let good = upwards ? 1 : -1;
  let bad = aim.y;
  if (!reaches(good)) return null;
  for (let round = 0; round < HALVINGS; round += 1) {
    const middle = (bad + good) / 2;
    if (reaches(middle)) good = middle;
    else bad = middle;
  }
  const y = upwards ? Math.ceil(good * 100 - NUDGE) / 100 : Math.floor(good * 100 + NUDGE) / 100;
  return { id: "mend.tilt", args: { number: index + 1, y } };
}
