// twin: fieldsheet/sky/ridge.py
// A skyline as somebody measured it: its height all round, and when a body stands over its sights.

export const RIDGE_SCAN_S = 300;
export const RIDGE_NEAR_DEG = 0.2; // why: see the twin

/** The altitude of the skyline at an azimuth [0, 360): straight between its sights, through north too. */
export function skylineDeg(ridge, azimuth_deg) {
  const next = sightsUpTo(ridge, azimuth_deg);
  const [from, low_deg] = ridge[(next + ridge.length - 1) % ridge.length];
  const [to, high_deg] = ridge[next % ridge.length];
  const before = next === 0 ? from - 360 : from;
  const after = next === ridge.length ? to + 360 : to;
  if (after === before) return low_deg;
  return low_deg + ((high_deg - low_deg) * (azimuth_deg - before)) / (after - before);
}

/** A scan, and the moments at which an azimuth in degrees passes a sight of the ridge, ascending. */
export function withSights(azimuthDeg, ridge, times_s) {
  const found = new Set(times_s);
  const sights = ridge.map(([azimuth]) => azimuth);
  const passed = (azimuth) => {
    const rounds = Math.floor(azimuth / 360);
    return sightsUpTo(ridge, azimuth - 360 * rounds) + sights.length * rounds;
  };
  let from = azimuthDeg(times_s[0]);
  for (let index = 1; index < times_s.length; index += 1) {
    const [from_s, to_s] = [times_s[index - 1], times_s[index]];
    const to = from + nearestDeg(azimuthDeg(to_s) - from);
    const rate = (to - from) / (to_s - from_s);
    const last = Math.max(passed(from), passed(to));
    for (let sight = Math.min(passed(from), passed(to)); sight < last; sight += 1) {
      const rounds = Math.floor(sight / sights.length);
      const wanted = sights[sight - rounds * sights.length] + 360 * rounds;
      const near_s = from_s + (wanted - from) / rate;
      const moment_s = near_s - nearestDeg(azimuthDeg(near_s) - wanted) / rate;
      found.add(Math.min(Math.max(moment_s, from_s), to_s));
    }
    from = to;
  }
  return [...found].sort((a, b) => a - b);
}

/** How many sights have come by an azimuth. */
function sightsUpTo(ridge, azimuth_deg) {
  const after = ridge.findIndex(([azimuth]) => azimuth > azimuth_deg);
  return after < 0 ? ridge.length : after;
}

/** The same angle between -180 and 180. */
function nearestDeg(angle_deg) {
  return angle_deg - 360 * Math.floor(angle_deg / 360 + 0.5);
}
