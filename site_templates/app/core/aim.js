// twin: fieldsheet/plan/aim.py
// Exact framing with a levelled head: pan and tilt for a place in the frame, and back.

const RADIANS = Math.PI / 180;

/**
 * @typedef {{half_width: number, half_height: number, projection: string}} Lens half the delivered frame over the
 * focal length, and how the lens projects: rectilinear, equidistant or equisolid
 */

/** The lens of a brief, over its delivered frame. @returns {Lens} */
export function lensOf(brief) {
  const [width_mm, height_mm] = brief.frame_mm;
  const { focal_mm, projection } = brief.camera;
  return { half_width: width_mm / (2 * focal_mm), half_height: height_mm / (2 * focal_mm), projection };
}

/** True azimuth and tilt [deg] of the optical axis at some axis values; null where nobody gave a tilt. */
export function axisOf(brief, axes) {
  const tilt_deg = axes.tilt ?? brief.tilt_deg;
  return tilt_deg === null ? null : [brief.zero_bearing_deg + (axes.pan ?? 0), tilt_deg];
}

/** [true azimuth, declination or null] in degrees, east positive, at the place of a brief. */
export function byCompass(place, azimuth_deg) {
  return [azimuth_deg, place.declination?.deg ?? null];
}

/** The equivalent angle in [-180, 180). @param {number} angle_deg */
export function wrapDeg(angle_deg) {
  return angle_deg - 360 * Math.floor((angle_deg + 180) / 360);
}

/** Angles of view [deg] across and up the middle of the delivered frame. @param {Lens} lens */
export function viewDeg(lens) {
  return [angleDeg(lens, lens.half_width), angleDeg(lens, lens.half_height)];
}

function angleDeg(lens, half) {
  if (lens.projection === "rectilinear") return (2 * Math.atan(half)) / RADIANS;
  const seen = Math.min(half, outermost(lens));
  return (lens.projection === "equidistant" ? 2 * seen : 4 * Math.asin(seen / 2)) / RADIANS;
}

/** The r at which a fisheye has turned right round. */
function outermost(lens) {
  return lens.projection === "equidistant" ? Math.PI : 2;
}

/** The ray [right, up, forward] through a place in the frame; null where this lens shows nothing there. */
function rayOf(lens, x, y) {
  const right = x * lens.half_width;
  const up = y * lens.half_height;
  const r = Math.hypot(right, up);
  if (lens.projection === "rectilinear") {
    const length = Math.hypot(r, 1);
    return [right / length, up / length, 1 / length];
  }
  if (r === 0) return [0, 0, 1];
  if (r > outermost(lens)) return null;
  const theta = lens.projection === "equidistant" ? r : 2 * Math.asin(r / 2);
  return [(Math.sin(theta) * right) / r, (Math.sin(theta) * up) / r, Math.cos(theta)];
}

/** The place [x, y] in the frame of a ray; null where this lens cannot show it at all. */
function spotOf(lens, [right, up, forward]) {
  if (lens.projection === "rectilinear") {
    if (forward <= 0) return null;
    return [right / forward / lens.half_width, up / forward / lens.half_height];
  }
  const theta = Math.acos(Math.min(Math.max(forward, -1), 1));
  const across = Math.hypot(right, up);
  if (across === 0) return forward > 0 ? [0, 0] : null;
  const r = lens.projection === "equidistant" ? theta : 2 * Math.sin(theta / 2);
  return [((right / across) * r) / lens.half_width, ((up / across) * r) / lens.half_height];
}

/** Azimuth and tilt [deg] of the optical axis that put a direction at (x, y); null where no tilt does. */
export function aimAt(azimuth_deg, altitude_deg, x, y, lens) {
  const ray = rayOf(lens, x, y);
  if (ray === null) return null;
  const [right, up, forward] = ray;
  const lift = Math.sin(altitude_deg * RADIANS) / Math.hypot(up, forward);
  if (Math.abs(lift) > 1) return null;
  const tilt = Math.asin(lift) - Math.atan2(up, forward);
  const ahead = forward * Math.cos(tilt) - up * Math.sin(tilt);
  if (ahead < 0) return null;
  return [azimuth_deg - Math.atan2(right, ahead) / RADIANS, tilt / RADIANS];
}

/** Azimuth and altitude [deg] of what stands at a place in the frame; null where the lens shows nothing. */
export function directionAt(x, y, axis_deg, tilt_deg, lens) {
  const ray = rayOf(lens, x, y);
  if (ray === null) return null;
  const [right, up, forward] = ray;
  const tilt = tilt_deg * RADIANS;
  const level = forward * Math.cos(tilt) - up * Math.sin(tilt);
  const height = forward * Math.sin(tilt) + up * Math.cos(tilt);
  return [axis_deg + Math.atan2(right, level) / RADIANS, Math.atan2(height, Math.hypot(right, level)) / RADIANS];
}

/** As placeInFrame, but null also for what lies outside the delivered frame. */
export function insideFrame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, lens) {
  const spot = placeInFrame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, lens);
  return spot !== null && Math.max(Math.abs(spot[0]), Math.abs(spot[1])) <= 1 ? spot : null;
}

/** Frame coordinates [x, y] of a direction, the axis at azimuth axis_deg; null where the lens is blind. */
export function placeInFrame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, lens) {
  const across = (azimuth_deg - axis_deg) * RADIANS;
  const altitude = altitude_deg * RADIANS;
  const tilt = tilt_deg * RADIANS;
  const level = Math.cos(altitude) * Math.cos(across);
  const forward = level * Math.cos(tilt) + Math.sin(altitude) * Math.sin(tilt);
  const right = Math.cos(altitude) * Math.sin(across);
  const up = Math.sin(altitude) * Math.cos(tilt) - level * Math.sin(tilt);
  return spotOf(lens, [right, up, forward]);
}
