// twin: fieldsheet/sheet/keyframes.py
// What is said of each keyframe: what to set, what to sight on, what shows.

import { byCompass, looksOf } from "./aim.js";
import { toMinute } from "./timing.js";
import { bearing, bodyWord, fixed, say, word } from "./say.js";
import { figure, withUnit } from "./sheet-figures.js";

const FIST_DEG = 10;

/**
 * The texts of one keyframe; those that a keyframe does not have are "".
 * @param {PlanKeyframe} keyframe @param {Plan} plan @param {AxisShown[]} axes @param {ClockText} at
 */
export function keyframeText(keyframe, plan, axes, at) {
  const { brief } = plan;
  const spans = brief.place.zone.spans;
  const figures = Object.fromEntries(axes.map((axis) => [axis.name, figure(keyframe.axes[axis.name], axis)]));
  return {
    key: say("moment.keyframe", { number: keyframe.number }, spans),
    name: word(keyframe.name),
    on_rig: String(keyframe.rig_number),
    frame: String(keyframe.nearest_frame),
    clock: at(keyframe.time.utc_ms),
    axes: figures,
    line: axes.map((axis) => withUnit(figures[axis.name], axis)).join(" · "),
    aim: aimText(keyframe, brief, spans),
    sighting: sightingText(keyframe, plan),
    waits: waitsText(keyframe, spans),
    ...meantTexts(keyframe.meant, spans),
    approach: approachText(plan, keyframe.number - 1, axes),
    also: alsoText(keyframe),
  };
}

/**
 * By way of which positions a keyframe is driven to; last: on the way back to the first one, after all are set.
 * @param {Plan} plan @param {number} index @param {AxisShown[]} axes @param {boolean} [last]
 */
export function approachText(plan, index, axes, last = false) {
  const rows = plan.move.drives.filter(({ number }) => number === index + 1);
  const { via } = rows.at(last ? -1 : 0) ?? { via: /** @type {Axes} */ ({}) };
  const past = axes.filter(({ name }) => name in via).map((axis) => withUnit(figure(via[axis.name], axis), axis));
  return past.length > 0 ? say("line.approach", { past: past.join(" · ") }, []) : "";
}

/**
 * What the keyframe aims at and where in the delivered frame it stands; else where the lens looks.
 * @param {PlanKeyframe} keyframe @param {Brief} brief @param {Span[]} spans
 */
function aimText(keyframe, brief, spans) {
  const { aim, azimuth_deg: azimuth, altitude_deg: altitude, x, y } = keyframe;
  if (aim === null) {
    const looks = looksOf(brief, keyframe.axes);
    return looks === null
      ? ""
      : say("line.looks", { azimuth: byCompass(brief.place, looks[0]), altitude: looks[1] }, spans);
  }
  if (x === null || azimuth === null) {
    const what = aim.target === undefined ? bearing(azimuth ?? 0) : bodyWord(aim.target);
    return say("line.aim-lost", { what }, spans);
  }
  const args = { azimuth: byCompass(brief.place, azimuth), altitude, placed: placed(x, y ?? 0) };
  if (aim.target !== undefined) return say("line.aim-body", { ...args, body: aim.target }, spans);
  return say("line.aim-bearing", args, spans);
}

/** How much of the way from the middle of the frame to an edge. @param {number} x @param {number} y */
function placed(x, y) {
  const parts = /** @type {[string, string, number][]} */ ([
    ["left", "right", x],
    ["lower", "upper", y],
  ])
    .filter(([, , value]) => fixed(value * 100, 0) !== "0")
    .map(([less, more, value]) => say(`placed.${value < 0 ? less : more}`, { share: Math.abs(value) * 100 }, []));
  return parts.length > 0 ? say("placed.off", { parts: parts.join(", ") }, []) : word("placed.middle");
}

/**
 * The sighting that was written, or one by a landmark: on another night a moving target's is given by that.
 * @param {PlanKeyframe} keyframe @param {Plan} plan
 */
function sightingText({ aim, landmark, sighting: written }, plan) {
  const moves = aim?.target !== undefined;
  const changed = Object.keys(plan.changes).length > 0;
  if (written && !(landmark !== null && moves && changed)) return written;
  return landmark === null ? "" : besideText(aim, landmark);
}

/** @param {Aim | null} aim @param {NonNullable<PlanKeyframe["landmark"]>} landmark */
function besideText(aim, { name, right_deg, up_deg, x, y }) {
  if (x !== null) return say("sighting.inside", { name, x, y }, []);
  let what = word(aim === null ? "sighting.middle" : "sighting.aim");
  if (aim?.target !== undefined) what = bodyWord(aim.target);
  const across = Math.abs(right_deg);
  const args = { what, across, side: sideOf(right_deg), name };
  const place = say(across < 0.5 ? "sighting.over" : "sighting.beside", args, []);
  return up_deg === null ? place : say("sighting.high", { place, height: heightText(up_deg) }, []);
}

/** Fists, to the half. @param {number} up_deg */
function heightText(up_deg) {
  const fists = Math.floor((Math.abs(up_deg) / FIST_DEG) * 2 + 0.5) / 2;
  const way = up_deg > 0 ? "up" : "down";
  if (fists === 0) return word("height.level");
  const few = fists === 0.5 ? "half" : "one";
  return fists <= 1 ? word(`height.${few}-${way}`) : say(`height.${way}`, { fists }, []);
}

/**
 * Where the target stands, beside its place, when the keyframe is stored.
 * @param {PlanKeyframe} keyframe @param {Span[]} spans
 */
function waitsText(keyframe, spans) {
  const wait = keyframe.waits;
  if (wait === null) return "";
  return say("waits.at", { clock: wait.time.utc_ms, place: waitsPlace(keyframe, wait) }, spans);
}

/**
 * The same now.
 * @param {PlanKeyframe} keyframe @param {NonNullable<ReturnType<typeof import("./waits.js").waitsAt>>} wait
 */
export function waitsNow(keyframe, wait) {
  return say("waits.now", { place: waitsPlace(keyframe, wait) }, []);
}

/**
 * Where a target stands beside its place at the keyframe; or that it is not to be seen.
 * @param {PlanKeyframe} keyframe @param {NonNullable<ReturnType<typeof import("./waits.js").waitsAt>>} wait
 */
function waitsPlace(keyframe, wait) {
  const body = keyframe.aim?.target;
  if (!wait.seen) return say("waits.hidden", { body }, []);
  const { right_deg, up_deg } = wait;
  const where = up_deg >= 0 ? "where.above" : "where.below";
  return say(
    "waits.seen",
    { body, across: Math.abs(right_deg), side: sideOf(right_deg), up: Math.abs(up_deg), where },
    [],
  );
}

/**
 * How far a keyframe falls off what it is meant for; and, as there, what would put it there, each tried.
 * @param {PlanKeyframe["meant"]} meant @param {Span[]} spans
 */
function meantTexts(meant, spans) {
  if (meant === null) return { meant: "", there: "" };
  if (meant.time === null || meant.off_ms === null) {
    const never = say("meant.never", { meant }, spans);
    return { meant: never, there: never };
  }
  const off = toMinute(Math.abs(meant.off_ms));
  const args = { meant, clock: meant.time.utc_ms, off, side: meant.off_ms > 0 ? "when.after" : "when.before" };
  const told = say(off ? "meant.off" : "meant.on", args, spans);
  const offers = off ? offersOf(meant, spans) : [];
  return {
    meant: told,
    there: offers.length > 0 ? say("meant.there", { off: told, offers: oneOf(offers) }, []) : told,
  };
}

/** @param {NonNullable<PlanKeyframe["meant"]>} meant @param {Span[]} spans */
function offersOf({ start, end, split }, spans) {
  return [
    ...(start ? [say(`meant.start-${start.keeps}`, { to: start.time.utc_ms }, spans)] : []),
    ...(end ? [say("meant.end", { to: end.time.utc_ms }, spans)] : []),
    ...(split
      ? [say(split.free ? "meant.split" : "meant.parted", { frame: split.frame, share: split.share * 100 }, spans)]
      : []),
  ];
}

/** @param {string[]} texts */
function oneOf(texts) {
  const last = texts[texts.length - 1];
  return texts.length > 1 ? say("meant.or", { others: texts.slice(0, -1).join(", "), last }, []) : last;
}

/** @param {number} right_deg */
function sideOf(right_deg) {
  return right_deg >= 0 ? "side.right" : "side.left";
}

/** @param {PlanKeyframe} keyframe */
function alsoText({ in_frame }) {
  if (in_frame.length === 0) return "";
  return say("line.also", { bodies: in_frame.map(({ body }) => bodyWord(body)).join(", ") }, []);
}
