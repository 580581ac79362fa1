// The plan as a page carries it, made whole again: fieldsheet/site/compose.py (carried_plan) leaves out what follows.

import { moments } from "../core/acts.js";
import { clickActs } from "../core/exposing.js";
import { bandRows } from "../core/exposure.js";
import { FORMAT, VERSION } from "../core/format.js";
import { pathOf } from "../core/frames.js";
import { suppliesOf } from "../core/power.js";
import { storageOf } from "../core/storage.js";
import { thinned } from "../core/supplies.js";
import { breath } from "../touch/breath.js";

const MOST_BYTES = 4_000_000; // the largest plan is a thirtieth of it

/** Throws where the page holds a plan of another version. @param {string} packed JSON, deflated, in base64 */
export async function carriedPlan(packed) {
  const bytes = Uint8Array.from(atob(packed), (letter) => letter.charCodeAt(0));
  const plan = JSON.parse(await inflated(bytes));
  if (plan.format !== FORMAT || plan.version !== VERSION) throw new Error("this page holds a plan of another version");
  const timing = { ...plan.timing, start_ms: plan.window.start.utc_ms };
  /** @type {Pick<Night, "spans">} */
  const night = { spans: plan.brief.place.zone.spans };
  await breath();
  plan.power.supplies = suppliesOf(plan.brief, night, timing, pathOf(plan)).map(thinned);
  const { exposure } = plan;
  if (exposure) exposure.bands = bandRows(plan.brief, timing, exposure.bands, exposure.first_rung);
  plan.storage = storageOf(plan.brief, night, timing);
  const { sky, keyframes, power, place } = plan;
  return {
    ...plan,
    moments: moments(night, timing, sky.events, keyframes, power.changes, place.limits, clickActs(exposure)),
  };
}

/** @param {Uint8Array<ArrayBuffer>} bytes */
async function inflated(bytes) {
  if ("DecompressionStream" in globalThis) {
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"))).text();
  }
  const { inflate } = await import("../keep/inflate.js");
  return new TextDecoder().decode(inflate(bytes, MOST_BYTES));
}
