// The plan as a page carries it, made whole again: fieldsheet/site/compose.py (carried_plan) leaves out what follows.

import { moments } from "./core/acts.js";
import { FORMAT, VERSION } from "./core/plan.js";

/** Throws where the page holds a plan of another version. @param {string} text JSON */
export function carriedPlan(text) {
  const plan = JSON.parse(text);
  if (plan.format !== FORMAT || plan.version !== VERSION) throw new Error("this page holds a plan of another version");
  const timing = { ...plan.timing, start_ms: plan.window.start.utc_ms };
  return { ...plan, moments: moments(timing, plan.sky.events, plan.keyframes, plan.power.swap, plan.place.limits) };
}
