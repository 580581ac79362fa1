// twin: fieldsheet/plan/power.py
// Watt-hours to the last frame: supplies, their packs, and the swap.

import { cameraSupply, heaterSupply, rigSupply } from "./supplies.js";
import { advisedSwap } from "./swaps.js";

/** {swap, advised, temperature_c, supplies}: a person's own swap goes before the one that is advised. */
export function powerOf(brief, night, timing, path, found, own) {
  const supplies = suppliesOf(brief, night, timing, path);
  const keyframes = path.settings.map(({ frame }) => frame);
  const is_to_swap = brief.rig.power !== null && brief.rig.power.can_swap;
  const advised = is_to_swap ? advisedSwap(night, timing, found, keyframes, supplies[0]) : null;
  return { swap: own ?? advised, advised, temperature_c: brief.temperature_c, supplies };
}

/** The supplies that the files say something of, the rig's first; no sky is asked. */
export function suppliesOf(brief, night, timing, path) {
  const supplies = [rigSupply(brief, night, timing, path), cameraSupply(brief, night, timing), heaterSupply(brief, night, timing)];
  return supplies.filter((supply) => supply !== null);
}
