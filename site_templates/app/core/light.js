// twin: fieldsheet/plan/light.py
// The tone drawn for how light the sun makes it.

import { sunLogLx } from "./illuminance.js";

const FULL_DAY_LOG_LX = 4;
const FULL_NIGHT_LOG_LX = -3.19;

/** 0 in full day to 1 in astronomical night, even in the log of the light, to a thousandth. @param {number} altitude_deg */
export function tone(altitude_deg) {
  const share = (FULL_DAY_LOG_LX - sunLogLx(altitude_deg)) / (FULL_DAY_LOG_LX - FULL_NIGHT_LOG_LX);
  return Math.floor(Math.min(Math.max(share, 0), 1) * 1000 + 0.5) / 1000;
}
