// twin: fieldsheet/plan/light.py
// Illuminance of the ground by the sun alone, and the tone drawn from it.
// Janiczek & DeYoung, US Naval Observatory Circular 171 (1987); see the twin for the full source.

const LOWEST_DEG = -18;
/** @type {[number, number[]][]} */
const PIECES = [
  [20, [3.74, 3.97, -4.07, 1.47]],
  [5, [3.05, 13.28, -45.98, 64.33]],
  [-0.8, [2.88, 22.26, -207.64, 1034.3]],
  [-5, [2.88, 21.81, -258.11, -858.36]],
  [-12, [2.7, 12.17, -431.69, -1899.83]],
  [LOWEST_DEG, [13.84, 262.72, 1447.42, 2797.93]],
];
const FULL_DAY_LOG_LX = 4;
const FULL_NIGHT_LOG_LX = -3.19;

/** log10 of the sun's illuminance [lx] of level ground under a clear sky; constant below -18 deg. @param {number} altitude_deg */
function logIlluminance(altitude_deg) {
  const altitude = Math.max(altitude_deg, LOWEST_DEG);
  const [, c] = PIECES.find(([lowest]) => altitude >= lowest) ?? PIECES[PIECES.length - 1];
  const x = altitude / 90;
  return c[0] + x * (c[1] + x * (c[2] + x * c[3]));
}

/** 0 in full day to 1 in astronomical night, even in the log of the light, to a thousandth. @param {number} altitude_deg */
export function tone(altitude_deg) {
  const share = (FULL_DAY_LOG_LX - logIlluminance(altitude_deg)) / (FULL_DAY_LOG_LX - FULL_NIGHT_LOG_LX);
  return Math.floor(Math.min(Math.max(share, 0), 1) * 1000 + 0.5) / 1000;
}
