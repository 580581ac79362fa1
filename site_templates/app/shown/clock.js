// What on the page of a shot goes by the clock: what is due, how far the sky still has to turn, and the frame that the
// plan expects while the shot runs.

import { frameAt } from "../core/pace.js";
import { waitsNow } from "../core/sheet-keyframes.js";
import { waitsAt } from "../core/waits.js";
import { part } from "../touch/dom.js";

const HOUR_MS = 3600 * 1000;
const DAY_MS = 24 * HOUR_MS;
const LIVE_MS = 4 * HOUR_MS; // before frame 1 keyframes are being set

/**
 * The frame that the plan expects at an instant, or null where it does not run.
 * @param {Pick<Plan, "window" | "timing">} plan @param {number} now_ms
 */
export function frameNow({ window: window_, timing }, now_ms) {
  const runs = window_.start.utc_ms <= now_ms && now_ms < window_.end.utc_ms;
  return runs ? Math.floor(frameAt(timing, now_ms)) : null;
}

/** Whether an instant lies in the hours before frame 1 in which keyframes are set. @param {Plan} plan @param {number} now_ms */
function isSetting({ window: window_ }, now_ms) {
  return window_.start.utc_ms - LIVE_MS <= now_ms && now_ms < window_.start.utc_ms;
}

/** Deadlines gone by are dimmed, on the day of the shot. @param {Plan} plan @param {number} now_ms */
export function dimDeadlines(plan, now_ms) {
  const today = now_ms > plan.window.start.utc_ms - DAY_MS && now_ms < plan.window.end.utc_ms;
  part("deadlines")
    .querySelectorAll("tr")
    .forEach((row, index) => {
      row.classList.toggle("past", today && plan.window.deadlines[index].time.utc_ms <= now_ms);
    });
}

/**
 * How far each keyframe's target stands from its place now, while keyframes are being set.
 * @param {Plan} plan @param {import("../core/sky.js").Sky | null} sky @param {{index: number, live: HTMLElement}[]} places
 * @param {number} now_ms
 */
export function showLive(plan, sky, places, now_ms) {
  const reaches = sky?.covers(now_ms / 1000, plan.window.end.utc_ms / 1000);
  const by = reaches && isSetting(plan, now_ms) ? sky : null;
  for (const { index, live } of places) {
    const wait = by && waitsAt(plan, by, index, now_ms / 1000);
    live.textContent = wait ? waitsNow(plan.keyframes[index], wait) : "";
    live.hidden = !wait;
  }
}
