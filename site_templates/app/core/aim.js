// twin: fieldsheet/plan/aim.py
// Exact framing: pan and tilt for a place in the frame, and back; a head that leans has directions of its own.

const RADIANS = Math.PI / 180;

/**
 * @typedef {{bearing_deg: number, rise_deg: number}} Base the plate that a leaning head stands on
 * @typedef {{half_width: number, half_height: number, projection: string, base: Base | null}} Lens half the delivered
 * frame over the focal length, how the lens projects (rectilinear, equidistant or equisolid), what the head leans with
 */

/**
 * A direction of the world as azimuth and altitude [deg] over a plate; levelled, it stays.
 * @param {Base | null} base @param {number} azimuth_deg @param {number} altitude_deg @returns {Pair}
 */
export function ofHead(base, azimuth_deg, altitude_deg) {
  if (base === null) return [azimuth_deg, altitude_deg];
  return leant(azimuth_deg, altitude_deg, base.bearing_deg, base.rise_deg);
}

/**
 * A direction over a plate as azimuth and altitude [deg] in the world.
 * @param {Base | null} base @param {number} azimuth_deg @param {number} altitude_deg @returns {Pair}
 */
export function ofWorld(base, azimuth_deg, altitude_deg) {
  if (base === null) return [azimuth_deg, altitude_deg];
  return leant(azimuth_deg, altitude_deg, base.bearing_deg, -base.rise_deg);
}

/**
 * East, north and up over a plate, in the world: [east, north, up] each.
 * @param {Base | null} base @returns {Vector[]}
 */
export function plateAxes(base) {
  if (base === null)
    return [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ];
  const [bearing, rise] = [base.bearing_deg * RADIANS, base.rise_deg * RADIANS];
  const [east, north, less, up] = [Math.sin(bearing), Math.cos(bearing), Math.cos(rise) - 1, Math.sin(rise)];
  return [
    [1 + less * east * east, less * east * north, up * east],
    [less * east * north, 1 + less * north * north, up * north],
    [-up * east, -up * north, Math.cos(rise)],
  ];
}

/**
 * A direction, as seen from what rises towards a bearing; the azimuth in the same turn as before.
 * @param {number} azimuth_deg @param {number} altitude_deg @param {number} bearing_deg @param {number} rise_deg
 * @returns {Pair}
 */
function leant(azimuth_deg, altitude_deg, bearing_deg, rise_deg) {
  const aside = (azimuth_deg - bearing_deg) * RADIANS;
  const altitude = altitude_deg * RADIANS;
  const rise = rise_deg * RADIANS;
  const ahead = Math.cos(altitude) * Math.cos(aside);
  const across = Math.cos(altitude) * Math.sin(aside);
  const along = ahead * Math.cos(rise) + Math.sin(altitude) * Math.sin(rise);
  const over = Math.sin(altitude) * Math.cos(rise) - ahead * Math.sin(rise);
  const turned = bearing_deg + Math.atan2(across, along) / RADIANS;
  return [azimuth_deg + wrapDeg(turned - azimuth_deg), Math.atan2(over, Math.hypot(along, across)) / RADIANS];
}

/** The lens of a brief, over its delivered frame. @param {Brief} brief @returns {Lens} */
export function lensOf(brief) {
  const [width_mm, height_mm] = brief.frame_mm;
  const { focal_mm, projection } = brief.camera;
  const base = baseOf(brief);
  return { half_width: width_mm / (2 * focal_mm), half_height: height_mm / (2 * focal_mm), projection, base };
}

/**
 * What the head of a brief leans with: its rail, and what its base is off; null where it stands level.
 * @param {Brief} brief @returns {Base | null}
 */
export function baseOf({ rail, head_base, zero_bearing_deg, base_pitch_deg, base_roll_deg }) {
  const follows = head_base !== "levelled" && rail !== null && rail.incline_deg !== 0;
  const plate = follows ? /** @type {Base} */ ({ bearing_deg: rail.bearing_deg, rise_deg: rail.incline_deg }) : null;
  return base_pitch_deg || base_roll_deg ? tipped(plate, zero_bearing_deg, base_pitch_deg, base_roll_deg) : plate;
}

/**
 * A plate that rises by a pitch towards pan zero, then by a roll to the left of it: by its upright.
 * @param {Base | null} plate @param {number} zero_deg @param {number} pitch_deg @param {number} roll_deg
 */
function tipped(plate, zero_deg, pitch_deg, roll_deg) {
  const [pitch, roll] = [pitch_deg * RADIANS, roll_deg * RADIANS];
  const [right, ahead, up] = [Math.sin(roll), -Math.cos(roll) * Math.sin(pitch), Math.cos(roll) * Math.cos(pitch)];
  const azimuth_deg = zeroOver(plate, zero_deg) + Math.atan2(right, ahead) / RADIANS;
  const leant = ofWorld(plate, azimuth_deg, Math.atan2(up, Math.hypot(right, ahead)) / RADIANS);
  const turned = leant[0] + 180;
  return { bearing_deg: turned - 360 * Math.floor(turned / 360), rise_deg: 90 - leant[1] };
}

/**
 * Azimuth over the head's plate at which pan is 0: level tilt then looks along the zero bearing.
 * @param {Brief} brief
 */
export function panZeroDeg(brief) {
  return zeroOver(baseOf(brief), brief.zero_bearing_deg);
}

/**
 * Azimuth over a plate of what stands, level over it, at a true bearing.
 * @param {Base | null} base @param {number} zero_deg
 */
function zeroOver(base, zero_deg) {
  if (base === null) return zero_deg;
  const aside = (zero_deg - base.bearing_deg) * RADIANS;
  const turned = Math.atan2(Math.sin(aside) * Math.cos(base.rise_deg * RADIANS), Math.cos(aside)) / RADIANS;
  return zero_deg + wrapDeg(base.bearing_deg + turned - zero_deg);
}

/**
 * Azimuth and tilt [deg] of the optical axis over the head's plate; null where nobody gave a tilt.
 * @param {Brief} brief @param {Axes} axes @returns {Pair | null}
 */
export function axisOf(brief, axes) {
  const tilt_deg = axes.tilt ?? brief.tilt_deg;
  return tilt_deg === null ? null : [panZeroDeg(brief) + (axes.pan ?? 0), tilt_deg];
}

/**
 * True azimuth and altitude [deg] that the lens looks at at some axis values; null where nobody gave a tilt.
 * @param {Brief} brief @param {Axes} axes @returns {Pair | null}
 */
export function looksOf(brief, axes) {
  const axis = axisOf(brief, axes);
  const base = baseOf(brief);
  if (axis === null) return null;
  return base === null ? faced(...axis) : ofWorld(base, ...axis);
}

/**
 * The same direction by an altitude of 90 at most: tilted past the zenith, a lens looks back.
 * @param {number} azimuth_deg @param {number} tilt_deg @returns {Pair}
 */
function faced(azimuth_deg, tilt_deg) {
  const tilt = wrapDeg(tilt_deg);
  return Math.abs(tilt) <= 90 ? [azimuth_deg, tilt] : [azimuth_deg + 180, Math.sign(tilt) * 180 - tilt];
}

/**
 * [true azimuth, declination or null] in degrees, east positive, at the place of a brief.
 * @param {Pick<Place, "declination">} place @param {number} azimuth_deg @returns {[number, number | null]}
 */
export function byCompass(place, azimuth_deg) {
  return [azimuth_deg, place.declination?.deg ?? null];
}

/** The equivalent angle in [-180, 180). @param {number} angle_deg */
export function wrapDeg(angle_deg) {
  return angle_deg - 360 * Math.floor((angle_deg + 180) / 360);
}

/** Angles of view [deg] across and up the middle of the delivered frame. @param {Lens} lens @returns {Pair} */
export function viewDeg(lens) {
  return [angleDeg(lens, lens.half_width), angleDeg(lens, lens.half_height)];
}

/** @param {Lens} lens @param {number} half */
function angleDeg(lens, half) {
  if (lens.projection === "rectilinear") return (2 * Math.atan(half)) / RADIANS;
  const seen = Math.min(half, outermost(lens));
  return (lens.projection === "equidistant" ? 2 * seen : 4 * Math.asin(seen / 2)) / RADIANS;
}

/** The r at which a fisheye has turned right round. @param {Lens} lens */
function outermost(lens) {
  return lens.projection === "equidistant" ? Math.PI : 2;
}

/**
 * The ray [right, up, forward] through a place in the frame; null where this lens shows nothing there.
 * @param {Lens} lens @param {number} x @param {number} y @returns {Vector | null}
 */
export function rayOf(lens, x, y) {
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

/**
 * The place [x, y] in the frame of a ray; null where this lens cannot show it at all.
 * @param {Lens} lens @param {number[]} ray @returns {Pair | null}
 */
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

/**
 * Azimuth and tilt [deg] over the plate that put a direction of the world at (x, y); null where no tilt does.
 * @param {number} azimuth @param {number} altitude @param {number} x @param {number} y @param {Lens} lens
 * @returns {Pair | null}
 */
export function aimAt(azimuth, altitude, x, y, lens) {
  const ray = rayOf(lens, x, y);
  if (ray === null) return null;
  const [azimuth_deg, altitude_deg] = ofHead(lens.base, azimuth, altitude);
  const [right, up, forward] = ray;
  const lift = Math.sin(altitude_deg * RADIANS) / Math.hypot(up, forward);
  if (Math.abs(lift) > 1) return null;
  const tilt = Math.asin(lift) - Math.atan2(up, forward);
  const ahead = forward * Math.cos(tilt) - up * Math.sin(tilt);
  if (ahead < 0) return null;
  return [azimuth_deg - Math.atan2(right, ahead) / RADIANS, tilt / RADIANS];
}

/**
 * Azimuth and altitude [deg] of what stands at a place in the frame; null where the lens shows nothing.
 * @param {number} x @param {number} y @param {number} axis_deg @param {number} tilt_deg @param {Lens} lens
 * @returns {Pair | null}
 */
export function directionAt(x, y, axis_deg, tilt_deg, lens) {
  const ray = rayOf(lens, x, y);
  if (ray === null) return null;
  const [right, up, forward] = ray;
  const tilt = tilt_deg * RADIANS;
  const level = forward * Math.cos(tilt) - up * Math.sin(tilt);
  const height = forward * Math.sin(tilt) + up * Math.cos(tilt);
  const azimuth_deg = axis_deg + Math.atan2(right, level) / RADIANS;
  return ofWorld(lens.base, azimuth_deg, Math.atan2(height, Math.hypot(right, level)) / RADIANS);
}

/**
 * How far [deg] the horizon rolls in the middle of the frame, clockwise positive, on a leaning head.
 * @param {number} axis_deg @param {number} tilt_deg @param {Base} base
 */
export function rollDeg(axis_deg, tilt_deg, base) {
  const aside = (base.bearing_deg - axis_deg) * RADIANS;
  const rise = base.rise_deg * RADIANS;
  const tilt = tilt_deg * RADIANS;
  const right = Math.sin(rise) * Math.sin(aside);
  const level = Math.sin(rise) * Math.cos(aside);
  return Math.atan2(right, Math.cos(rise) * Math.cos(tilt) - level * Math.sin(tilt)) / RADIANS;
}

/**
 * As placeInFrame, but null also for what lies outside the delivered frame.
 * @param {number} azimuth_deg @param {number} altitude_deg @param {number} axis_deg @param {number} tilt_deg
 * @param {Lens} lens @returns {Pair | null}
 */
export function insideFrame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, lens) {
  const spot = placeInFrame(azimuth_deg, altitude_deg, axis_deg, tilt_deg, lens);
  return spot !== null && Math.max(Math.abs(spot[0]), Math.abs(spot[1])) <= 1 ? spot : null;
}

/**
 * Frame coordinates [x, y] of a direction of the world, the axis over the plate; null where the lens is blind.
 * @param {number} world_azimuth_deg @param {number} world_altitude_deg @param {number} axis_deg
 * @param {number} tilt_deg @param {Lens} lens @returns {Pair | null}
 */
export function placeInFrame(world_azimuth_deg, world_altitude_deg, axis_deg, tilt_deg, lens) {
  const [azimuth_deg, altitude_deg] = ofHead(lens.base, world_azimuth_deg, world_altitude_deg);
  const across = (azimuth_deg - axis_deg) * RADIANS;
  const altitude = altitude_deg * RADIANS;
  const tilt = tilt_deg * RADIANS;
  const level = Math.cos(altitude) * Math.cos(across);
  const forward = level * Math.cos(tilt) + Math.sin(altitude) * Math.sin(tilt);
  const right = Math.cos(altitude) * Math.sin(across);
  const up = Math.sin(altitude) * Math.cos(tilt) - level * Math.sin(tilt);
  return spotOf(lens, [right, up, forward]);
}
