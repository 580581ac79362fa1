// twin: fieldsheet/plan/dew.py
// Dew or frost on the front glass, by how near the air is to its dew point. Source of the constants: see the twin.

const FACTOR = 17.62;
const OFFSET_C = 243.12;
const ICE_FACTOR = 22.46;
const ICE_OFFSET_C = 272.62;
export const SPREAD_C = 5;
const HUMID_PCT = 80;
const HAIR = 1e-9;

/**
 * {air_c, dew_point_c, humidity_pct, settles_c, spread_c, likely} of an air and one of the two; null without.
 * @param {Brief["dew"]} given
 */
export function dewOf(given) {
  if (given === null) return null;
  const { air_c } = given;
  const typed_c = given.dew_point_c ?? air_c; // of the two one is given
  const humidity_pct = given.humidity_pct ?? 100 * Math.exp(power(typed_c) - power(air_c));
  const dew_point_c = given.humidity_pct === null ? typed_c : dewPointC(air_c, humidity_pct);
  const settles_c = dew_point_c >= 0 ? dew_point_c : frostPointC(dew_point_c);
  const spread_c = air_c - settles_c;
  const likely = spread_c < SPREAD_C - HAIR || humidity_pct > HUMID_PCT + HAIR;
  return { air_c, dew_point_c, humidity_pct, settles_c, spread_c, likely };
}

/**
 * The temperature at which air of this humidity [%] is saturated.
 * @param {number} air_c @param {number} humidity_pct
 */
function dewPointC(air_c, humidity_pct) {
  const grown = Math.log(humidity_pct / 100) + power(air_c);
  return (OFFSET_C * grown) / (FACTOR - grown);
}

/** The temperature at which ice grows from air of a dew point below 0. @param {number} dew_c */
const frostPointC = (dew_c) => (ICE_OFFSET_C * power(dew_c)) / (ICE_FACTOR - power(dew_c));

/** The exponent of the saturation pressure. @param {number} degrees_c */
const power = (degrees_c) => (FACTOR * degrees_c) / (OFFSET_C + degrees_c);
