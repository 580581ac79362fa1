// twin: fieldsheet/plan/aim.py
// Exact rectilinear framing with a levelled head: pan and tilt for a place in the frame, and back.

const RADIANS = Math.PI / 180;

/** Tangents of half the angle of view across and up the delivered frame. */
export function halfTangents(brief) {
  const [width_mm, height_mm] = brief.frame_mm;
  const focal_mm = brief.camera.focal_mm;
  return [width_mm / (2 * focal_mm), height_mm / (2 * focal_mm)];
}

/** The equivalent angle in [-180, 180). @param {number} angle_deg */
export function wrapDeg(angle_deg) {
  return angle_deg - 360 * Math.floor((angle_deg + 180) / 360);
}

/** Azimuth and tilt [deg] of the optical axis that put a direction at (x, y); null where no tilt does. */
export function aimAt(azimuth_deg, altitude_deg, x, y, tangents) {
  const right = x * tangents[0];
  const up = y * tangents[1];
  const length = Math.hypot(Math.hypot(right, up), 1);
  const lift = (Math.sin(altitude_deg * RADIANS) * length) / Math.hypot(up, 1);
  if (Math.abs(lift) > 1) return null;
  const tilt = Math.asin(lift) - Math.atan2(up, 1);
  const ahead = Math.cos(tilt) - up * Math.sin(tilt);
  if (ahead < 0) return null;
  return [azimuth_deg - Math.atan2(right, ahead) / RADIANS, tilt / RADIANS];
}

/** Frame coordinates [x, y] of a direction, the axis at azimuth axis_deg; null behind the camera. */
export function placeInFrame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, tangents) {
  const across = (azimuth_deg - axis_deg) * RADIANS;
  const altitude = altitude_deg * RADIANS;
  const tilt = tilt_deg * RADIANS;
  const level = Math.cos(altitude) * Math.cos(across);
  const forward = level * Math.cos(tilt) + Math.sin(altitude) * Math.sin(tilt);
  if (forward <= 0) return null;
  const right = Math.cos(altitude) * Math.sin(across);
  const up = Math.sin(altitude) * Math.cos(tilt) - level * Math.sin(tilt);
  return [right / forward / tangents[0], up / forward / tangents[1]];
}
