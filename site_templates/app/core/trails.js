// twin: fieldsheet/plan/trails.py
// How far stars trail in one exposure, and how long the published rules allow. Sources: see the twin.

import { directionAt, lensOf, ofHead, ofWorld, placeInFrame, rayOf } from "./aim.js";

const RADIANS = Math.PI / 180;
export const SIDEREAL_DAY_S = 86164.0905;
const SIDEREAL_ARCSEC_PER_S = 1296000 / SIDEREAL_DAY_S;
const ARCSEC = 206264.8;
const FULL_FRAME_MM = Math.hypot(36, 24);
export const CLIP_PX = 3840;
const LEAST_COS = 0.05;
export const CORE_DEG = -29.008;
const SIDE = [-1, -0.75, -0.5, -0.25, 0, 0.25, 0.5, 0.75, 1];
const BLIND_FORWARD = -0.342;

/**
 * The declination that stands at an azimuth and altitude [deg].
 * @param {number} latitude_deg @param {number} azimuth_deg @param {number} altitude_deg
 */
export function declinationDeg(latitude_deg, azimuth_deg, altitude_deg) {
  const [latitude, altitude] = [latitude_deg * RADIANS, altitude_deg * RADIANS];
  const across = Math.cos(latitude) * Math.cos(altitude) * Math.cos(azimuth_deg * RADIANS);
  const up = Math.sin(latitude) * Math.sin(altitude) + across;
  return Math.asin(Math.min(Math.max(up, -1), 1)) / RADIANS;
}

/**
 * The longest trail [mm on the sensor] along the edge of the frame.
 * @param {Brief} brief @param {Pair} axis as axisOf gives it @param {number} open_s
 */
function edgeTrailMm(brief, axis, open_s) {
  const lens = lensOf(brief);
  const dial = { bearing_deg: 180, rise_deg: 90 - brief.place.latitude_deg };
  const half_deg = (SIDEREAL_ARCSEC_PER_S * open_s) / 7200;
  /** @param {number} x @param {number} y */
  const length = (x, y) => {
    const [ray, seen] = [rayOf(lens, x, y), directionAt(x, y, ...axis, lens)];
    if (ray === null || seen === null || ray[2] < BLIND_FORWARD) return 0;
    const [around, above] = ofHead(dial, ...seen);
    const [first, last] = [-half_deg, half_deg].map((turn) =>
      placeInFrame(...ofWorld(dial, around + turn, above), ...axis, lens),
    );
    if (!first || !last) return 0;
    return Math.hypot((last[0] - first[0]) * lens.half_width, (last[1] - first[1]) * lens.half_height);
  };
  const lengths = SIDE.flatMap((x) => SIDE.map((y) => (x * x === 1 || y * y === 1 ? length(x, y) : 0)));
  return Math.max(...lengths) * brief.camera.focal_mm;
}

/**
 * The trails of a brief in an exposure of open_ms; null what the camera's pixels or its lens do not give.
 * @param {Brief} brief @param {number} declination_deg @param {boolean} is_core @param {number} open_ms
 * @param {Pair | null} axis
 */
export function trailsOf(brief, declination_deg, is_core, open_ms, axis) {
  const { focal_mm, pixels, sensor_mm } = brief.camera;
  const long_mm = Math.max(...brief.frame_mm);
  const cosine = Math.cos(declination_deg * RADIANS);
  const trail_mm = (SIDEREAL_ARCSEC_PER_S * cosine * (open_ms / 1000) * focal_mm) / ARCSEC;
  const pixel_mm = pixels && sensor_mm[0] / pixels[0];
  const clip_px = (trail_mm / long_mm) * CLIP_PX;
  const spread =
    16.9 * /** @type {BriefExposure} */ (brief.exposure).f + 0.1 * focal_mm + 13.7 * (pixel_mm ?? 0) * 1000;
  return {
    declination_deg,
    is_core,
    open_ms,
    sensor_px: pixel_mm && trail_mm / pixel_mm,
    clip_px,
    clip_edge_px: axis && (edgeTrailMm(brief, axis, open_ms / 1000) / long_mm) * CLIP_PX,
    rule_crop_s: 500 / ((FULL_FRAME_MM / Math.hypot(...sensor_mm)) * focal_mm),
    rule_pixel_s: pixel_mm && spread / (focal_mm * Math.max(cosine, LEAST_COS)),
  };
}
