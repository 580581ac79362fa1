// twin: fieldsheet/sky/illuminance.py
// Illuminance of level ground by sun, moon and stars (US Naval Observatory Circular 171), and its exposure value.

/** @type {[number, number[]][]} */
const SUN = [
  [20, [3.74, 3.97, -4.07, 1.47]],
  [5, [3.05, 13.28, -45.98, 64.33]],
  [-0.8, [2.88, 22.26, -207.64, 1034.3]],
  [-5, [2.88, 21.81, -258.11, -858.36]],
  [-12, [2.7, 12.17, -431.69, -1899.83]],
  [-18, [13.84, 262.72, 1447.42, 2797.93]],
];
/** @type {[number, number[]][]} */
const MOON = [
  [20, [-1.95, 4.06, -4.24, 1.56]],
  [5, [-2.58, 12.58, -42.58, 59.06]],
  [-0.8, [-2.79, 24.27, -252.95, 1321.29]],
];
const MEAN_PARALLAX_DEG = 0.951;
const EQUATOR_KM = 6378.137;
const STARLIGHT_LX = 0.002;
const LX_AT_EV_0 = 2.5;

/** log10 of the sun's illuminance [lx] under a clear sky. @param {number} altitude_deg */
export function sunLogLx(altitude_deg) {
  return logLx(SUN, altitude_deg);
}

/**
 * log10 of the moon's illuminance [lx] under a clear sky; distance from the Earth's centre.
 * @param {number} altitude_deg @param {number} elongation_deg @param {number} distance_km
 */
function moonLogLx(altitude_deg, elongation_deg, distance_km) {
  const f = 180 - elongation_deg;
  const phase = -8.68e-3 * f - 2.2e-9 * f * f * f * f;
  const parallax_deg = (Math.asin(EQUATOR_KM / distance_km) * 180) / Math.PI;
  return logLx(MOON, altitude_deg) + phase + 2 * Math.log10(parallax_deg / MEAN_PARALLAX_DEG);
}

/** @param {[number, number[]][]} pieces @param {number} altitude_deg */
function logLx(pieces, altitude_deg) {
  const [, c] = pieces.find(([lowest]) => altitude_deg >= lowest) ?? pieces[pieces.length - 1];
  const x = altitude_deg / 90;
  return c[0] + x * (c[1] + x * (c[2] + x * c[3]));
}

/**
 * Illuminance [lx] of sun, moon (altitude, elongation, distance) and stars under a clear sky.
 * @param {number} sun_deg @param {Vector} moon
 */
export function openSkyLx(sun_deg, moon) {
  return 10 ** sunLogLx(sun_deg) + 10 ** moonLogLx(...moon) + STARLIGHT_LX;
}

/** The exposure value at ISO 100 of an illuminance. @param {number} lx */
export function ev100(lx) {
  return Math.log2(lx / LX_AT_EV_0);
}

/** The illuminance [lx] of an exposure value at ISO 100. @param {number} ev */
export function lxOf(ev) {
  return LX_AT_EV_0 * 2 ** ev;
}
