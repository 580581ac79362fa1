// twin: fieldsheet/sky/sky.py and fieldsheet/sky/observe.py
// Where sun, moon, planets, stars and the core of the galaxy stand. Same operations in the same order as the
// twin.

import { POLES, STAR_EPOCH_TAI_S, STAR_PLACES } from "./bodies.js";

/**
 * @typedef {import("./pack.js").Pack} Pack
 * @typedef {import("./pack.js").Channel} Channel
 * @typedef {Omit<Pack, "channels"> & {series: Map<string, Channel>}} Reader
 */

/**
 * @typedef {object} Sky the sky of consecutive years; moments are POSIX UTC seconds
 * @property {[number, number]} span_s from and to (excluded)
 * @property {(t0_s: number, t1_s: number) => boolean} covers whether all of [t0_s, t1_s] can be answered
 * @property {(t0_s: number, t1_s: number) => void} mustCover throws unless covers
 * @property {(body: string) => boolean} isFar whether the body's vector is a mere direction
 * @property {(body: string, t_s: number) => number[]} vectorKm Earth-fixed, geocentric; km, or of length one
 * @property {(icrs: number[], t_s: number) => number[]} direction Earth-fixed apparent direction of a fixed
 *   unit vector along the ICRS axes
 */

/**
 * @typedef {object} Air what bends the light
 * @property {number} pressure_hpa at the place, not reduced to the sea
 * @property {number} temperature_c
 */

/**
 * @typedef {object} Site a place on the WGS84 ellipsoid; vectors are Earth-fixed
 * @property {number} latitude_deg
 * @property {number} longitude_deg
 * @property {number} elevation_m
 * @property {number[][]} ridge the skyline as measured: pairs of azimuth, ascending, and apparent altitude
 * @property {Air} air
 * @property {number} dip_deg how far the horizon of the sea lies below the level one
 * @property {number[]} position_km
 * @property {number[]} motion_c the place's speed with the turning Earth, as a part of the speed of light
 * @property {number[]} up
 * @property {number[]} east
 * @property {number[]} north
 * @property {number[]} meridian where the celestial equator meets the place's meridian
 */

const DUT1_CHANNEL = "ut1-tai";
const FRAME_CHANNEL = "star frame";
const DAY_S = 86400;
const J2000_S = 946728000; // 2000-01-01T12:00:00 as a count of 86400 s days since 1970
const TURN_RAD = 2 * Math.PI;
const DEG = 180 / Math.PI;

const EQUATOR_KM = 6378.137; // WGS84
const FLATTENING = 1 / 298.257223563; // WGS84
const ROTATION_RAD_PER_S = 7.292115e-5; // of the Earth, as in WGS84
const LIGHT_KM_PER_S = 299792.458;

const FORMULA_FROM_DEG = -1;
const NOTHING_FROM_DEG = -5;
const NOMINAL = { pressure_hpa: 1010, temperature_c: 10 };
const ZERO_C = 273;
const DIP_ARCMIN = 1.76; // times the root of the metres of the eye above the sea

/**
 * The sky of one or more packs.
 * @param {Pack[]} packs of consecutive years, in any order
 * @returns {Sky}
 * @throws {Error} if the years are not consecutive
 */
export function makeSky(packs) {
  const ordered = [...packs].sort((a, b) => a.year - b.year);
  const years = ordered.map((pack) => pack.year);
  if (years.length === 0 || years.some((year, index) => year !== years[0] + index)) {
    throw new Error(`sky packs must be of consecutive years, one each; here: [${years.join(", ")}]`);
  }
  const last = ordered.length - 1;
  const span_s = /** @type {[number, number]} */ ([ordered[0].span_s[0], ordered[last].span_s[1]]);
  const namedYears = [...new Set([years[0], years[last]])].join(" to ");
  const readers = ordered.map((pack) => ({
    ...pack,
    series: new Map(pack.channels.map((channel) => [channel.name, channel])),
  }));
  // Packs overlap by their margins; each answers for its own calendar year.
  const joins_s = ordered.slice(1).map((pack, index) => (ordered[index].span_s[1] + pack.span_s[0]) / 2);

  const covers = (/** @type {number} */ t0_s, /** @type {number} */ t1_s) => span_s[0] <= t0_s && t1_s < span_s[1];
  const mustCover = (/** @type {number} */ t0_s, /** @type {number} */ t1_s) => {
    if (!covers(t0_s, t1_s)) {
      throw new Error(`the sky carried here is that of ${namedYears}: no moment outside it`);
    }
  };
  /** @param {number} t_s @param {(reader: Reader, tai_s: number) => number[]} vectorInFrame */
  const at = (t_s, vectorInFrame) => {
    mustCover(t_s, t_s);
    return earthFixed(readers[countUpTo(joins_s, t_s)], vectorInFrame, t_s);
  };
  return {
    span_s,
    covers,
    mustCover,
    isFar: (body) => isPole(body) || STAR_PLACES.has(body) || seriesOf(readers[0], body).far,
    vectorKm: (body, t_s) => at(t_s, (reader, tai_s) => inFrame(reader, body, tai_s)),
    direction: (icrs, t_s) => at(t_s, (reader, tai_s) => starInFrame(reader, icrs, [0, 0, 0], tai_s)),
  };
}

/** @param {Reader} reader @param {string} body @returns {Channel} */
function seriesOf(reader, body) {
  const series = body === DUT1_CHANNEL || body === FRAME_CHANNEL ? undefined : reader.series.get(body);
  if (series === undefined) throw new Error(`no body of the sky is called ${body}`);
  return series;
}

/** What every pack has of the Earth itself. @param {Reader} reader @param {string} name */
function ofEarth(reader, name) {
  return /** @type {Channel} */ (reader.series.get(name));
}

/** How many of some ascending moments have come by t_s. @param {number[]} moments_s @param {number} t_s */
function countUpTo(moments_s, t_s) {
  return moments_s.filter((moment_s) => moment_s <= t_s).length;
}

/** A body's vector on the true equator of date. @param {Reader} reader @param {string} body @param {number} tai_s */
function inFrame(reader, body, tai_s) {
  if (isPole(body)) return POLES[body];
  const star = STAR_PLACES.get(body);
  if (star !== undefined) return starInFrame(reader, star.place, star.motion_per_s, tai_s);
  return evaluate(reader, seriesOf(reader, body), tai_s);
}

/** @param {string} body */
function isPole(body) {
  return Object.hasOwn(POLES, body);
}

/**
 * The apparent direction of a star, from where it stands along the ICRS axes: see the twin's star_frame.
 * @param {Reader} reader @param {number[]} place @param {number[]} motion_per_s @param {number} tai_s
 * @returns {number[]}
 */
function starInFrame(reader, place, motion_per_s, tai_s) {
  const since_s = tai_s - STAR_EPOCH_TAI_S;
  const frame = evaluate(reader, ofEarth(reader, FRAME_CHANNEL), tai_s);
  const [x, y, z] = [0, 1, 2].map((component) =>
    place.reduce(
      (sum, value, axis) => sum + (value + motion_per_s[axis] * since_s) * frame[3 * axis + component],
      frame[9 + component],
    ),
  );
  const length = Math.sqrt(x * x + y * y + z * z);
  return [x / length, y / length, z / length];
}

/**
 * What a function has in a reader's frame, turned by the Earth rotation angle.
 * @param {Reader} reader @param {(reader: Reader, tai_s: number) => number[]} vectorInFrame @param {number} t_s
 */
function earthFixed(reader, vectorInFrame, t_s) {
  const leap = Math.max(
    0,
    countUpTo(
      reader.leaps.map(([from_s]) => from_s),
      t_s,
    ) - 1,
  );
  const tai_s = t_s + reader.leaps[leap][1];
  const ut1_s = tai_s + evaluate(reader, ofEarth(reader, DUT1_CHANNEL), tai_s)[0];
  const angle_rad = earthRotationRad(ut1_s);
  const cosine = Math.cos(angle_rad);
  const sine = Math.sin(angle_rad);
  const [x, y, z] = vectorInFrame(reader, tai_s);
  return [cosine * x + sine * y, cosine * y - sine * x, z];
}

/** The Earth rotation angle (IAU 2000, Resolution B1.8) at UT1 seconds. @param {number} ut1_s */
function earthRotationRad(ut1_s) {
  const days = (ut1_s - J2000_S) / DAY_S;
  const turns = 0.779057273264 + 0.00273781191135448 * days + (days - Math.floor(days));
  return TURN_RAD * (turns - Math.floor(turns));
}

/**
 * Clenshaw's sum of a Chebyshev series at TAI seconds: one value per component.
 * @param {Reader} reader @param {Channel} series @param {number} tai_s
 */
function evaluate(reader, series, tai_s) {
  const place = (tai_s - reader.start_tai_s) / series.segment_s;
  const index = Math.min(Math.max(Math.floor(place), 0), series.segments - 1);
  const x = 2 * (place - index) - 1;
  const values = [];
  for (let component = 0; component < series.components; component += 1) {
    values.push(clenshaw(series, (index * series.components + component) * series.orders, x));
  }
  return values;
}

/** @param {Channel} series @param {number} at @param {number} x */
function clenshaw(series, at, x) {
  const twiceX = 2 * x;
  let oneOn = 0;
  let twoOn = 0;
  for (let order = series.orders - 1; order > 0; order -= 1) {
    const next = twiceX * oneOn - twoOn + series.coefficients[at + order];
    twoOn = oneOn;
    oneOn = next;
  }
  return x * oneOn - twoOn + series.coefficients[at];
}

/**
 * A place, with everything about it that does not change with time.
 * @param {number} latitude_deg
 * @param {number} longitude_deg
 * @param {number} elevation_m
 * @param {{sea_horizon_m?: number | null, ridge?: number[][], air?: Air | null}} seen see the twin
 * @returns {Site}
 */
export function makeSite(latitude_deg, longitude_deg, elevation_m, { sea_horizon_m, ridge, air } = {}) {
  const radian = Math.PI / 180;
  const sinLat = Math.sin(latitude_deg * radian);
  const cosLat = Math.cos(latitude_deg * radian);
  const sinLon = Math.sin(longitude_deg * radian);
  const cosLon = Math.cos(longitude_deg * radian);
  const squash = (1 - FLATTENING) * (1 - FLATTENING);
  const curvatureKm = EQUATOR_KM / Math.sqrt(cosLat * cosLat + squash * sinLat * sinLat);
  const axisKm = (curvatureKm + elevation_m / 1000) * cosLat;
  const x = axisKm * cosLon;
  const y = axisKm * sinLon;
  const speed = ROTATION_RAD_PER_S / LIGHT_KM_PER_S;
  return {
    latitude_deg,
    longitude_deg,
    elevation_m,
    ridge: ridge ?? [],
    air: air ?? NOMINAL,
    dip_deg: (DIP_ARCMIN / 60) * Math.sqrt(sea_horizon_m ?? 0),
    position_km: [x, y, (squash * curvatureKm + elevation_m / 1000) * sinLat],
    motion_c: [-speed * y, speed * x, 0],
    up: [cosLat * cosLon, cosLat * sinLon, sinLat],
    east: [-sinLon, cosLon, 0],
    north: [-sinLat * cosLon, -sinLat * sinLon, cosLat],
    meridian: [cosLon, sinLon, 0],
  };
}

/**
 * Where a body stands: topocentric, with parallax and diurnal aberration; geometric, so without refraction.
 * @param {Sky} sky
 * @param {Site} site
 * @param {string} body one of BODIES
 * @param {number} t_s POSIX UTC seconds
 * @returns {{altitude_deg: number, azimuth_deg: number, distance_km: number}} azimuth from true north, east
 *   90, [0, 360); the distance of core, stars and poles is infinite
 */
export function horizontal(sky, site, body, t_s) {
  const { seen, distance } = seenFrom(sky, site, body, t_s);
  const up = along(site.up, seen);
  const east = along(site.east, seen);
  const north = along(site.north, seen);
  return {
    altitude_deg: Math.atan2(up, Math.sqrt(east * east + north * north)) * DEG,
    azimuth_deg: compassDeg(Math.atan2(east, north) * DEG),
    distance_km: sky.isFar(body) ? Infinity : distance,
  };
}

/**
 * How far a body has turned past the meridian; 0 is its upper transit, below 0 it is still to the east.
 * @param {Sky} sky
 * @param {Site} site
 * @param {string} body one of BODIES
 * @param {number} t_s POSIX UTC seconds
 * @returns {number} degrees, [-180, 180], topocentric
 */
export function hourAngleDeg(sky, site, body, t_s) {
  const { seen } = seenFrom(sky, site, body, t_s);
  return Math.atan2(-along(site.east, seen), along(site.meridian, seen)) * DEG;
}

/**
 * The direction from the site, Earth-fixed, nearly of length one; and the length of the line of sight.
 * @param {Sky} sky @param {Site} site @param {string} body @param {number} t_s
 */
function seenFrom(sky, site, body, t_s) {
  const origin = sky.isFar(body) ? [0, 0, 0] : site.position_km;
  const [x, y, z] = sky.vectorKm(body, t_s).map((value, axis) => value - origin[axis]);
  const distance = Math.sqrt(x * x + y * y + z * z);
  return { seen: [x, y, z].map((value, axis) => value / distance + site.motion_c[axis]), distance };
}

/** @param {number[]} axis @param {number[]} vector */
function along(axis, vector) {
  return axis[0] * vector[0] + axis[1] * vector[1] + axis[2] * vector[2];
}

/** [0, 360) from (-180, 180]; a hair below zero would round up to 360 itself. @param {number} angleDeg */
function compassDeg(angleDeg) {
  const positive = angleDeg < 0 ? angleDeg + 360 : angleDeg;
  return positive >= 360 ? 0 : positive;
}

/**
 * How much higher the air shows something than it stands: Saemundsson (1986) for 1010 hPa and 10 C, scaled as
 * by Meeus, fading evenly below -1 degree to nothing at -5.
 * @param {number} altitude_deg geometric
 * @param {Air} air
 * @returns {number} degrees
 */
export function refractionDeg(altitude_deg, air = NOMINAL) {
  const within = Math.max(altitude_deg, FORMULA_FROM_DEG);
  const arcminutes = 1.02 / Math.tan((within + 10.3 / (within + 5.11)) / DEG);
  const fade = (altitude_deg - NOTHING_FROM_DEG) / (FORMULA_FROM_DEG - NOTHING_FROM_DEG);
  const factor =
    ((air.pressure_hpa / NOMINAL.pressure_hpa) * (ZERO_C + NOMINAL.temperature_c)) / (ZERO_C + air.temperature_c);
  return ((factor * arcminutes) / 60) * Math.min(Math.max(fade, 0), 1);
}

/**
 * The altitude at which something is seen.
 * @param {number} altitude_deg geometric
 * @param {Air} air
 * @returns {number} degrees
 */
export function apparentAltitudeDeg(altitude_deg, air = NOMINAL) {
  return altitude_deg + refractionDeg(altitude_deg, air);
}
