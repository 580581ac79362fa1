// twin: fieldsheet/plan/storage.py
// Whether the cards hold the frames.

import { stamp } from "./civil.js";
import { elapsedMs, msOf } from "./pace.js";

const MB_A_GB = 1000;

/**
 * What the frames take of the cards, beside so many that are on them already; null if not known.
 * @param {Brief} brief @param {Pick<Night, "spans">} night @param {Timing} timing @param {number} [before]
 */
export function storageOf({ camera: { cards } }, night, timing, before = 0) {
  if (cards === null) return null;
  const { frame_mb, card_gb } = cards;
  const holds = card_gb.reduce((sum, gb) => sum + Math.floor((gb * MB_A_GB) / frame_mb + 1e-9), 0);
  const fit = Math.max(holds - before, 0);
  const frame = fit + 1;
  return {
    frame_mb,
    card_gb,
    needed_gb: ((before + timing.frames) * frame_mb) / MB_A_GB,
    spare_gb: ((fit - timing.frames) * frame_mb) / MB_A_GB,
    fit,
    fill_ms: elapsedMs(timing, fit),
    full: frame <= timing.frames ? { frame, time: stamp(night.spans, msOf(timing, frame)) } : null,
  };
}
