// twin: fieldsheet/sheet/sheet.py (changing)
// Plan -> Sheet: every text that another night or another start may change.

import { byCompass, looksOf } from "./aim.js";
import { dayNumber } from "./civil.js";
import { bearing, compass, compassShort, dayText, say, word } from "./say.js";
import { dewLines } from "./sheet-dew.js";
import { exposureText } from "./sheet-exposure.js";
import { axesOf, intervalLines, labelsOf, numbersOf, programOf, usualLines } from "./sheet-figures.js";
import { approachText, keyframeText } from "./sheet-keyframes.js";
import { needText } from "./sheet-needs.js";
import { lateText, recoveryText } from "./sheet-options.js";
import { captionsOf, keepOut, pictureLines } from "./sheet-picture.js";
import { powerLines, swapTexts } from "./sheet-power.js";
import { phaseLines } from "./sheet-phases.js";
import { archLines, eventRow, lightLine, rollingRows, skyLines, stripText } from "./sheet-sky.js";
import { clocks, dated, spanLine, whenText, zoneText } from "./sheet-times.js";
import { totalOf } from "./supplies.js";

/** The texts of a plan (with its revision); pure. @param {Plan} plan */
export function makeSheet(plan) {
  const brief = plan.brief;
  const spans = brief.place.zone.spans;
  const axes = axesOf(brief);
  const at = clocks(plan, spans);
  const onDay = dated(plan, spans, at);
  const numbers = numbersOf(plan, axes, at);
  const keyframes = plan.keyframes.map((keyframe) => keyframeText(keyframe, plan, axes, at));
  const needs = plan.needs.map((need) => needText(need, spans));
  const told = (/** @type {boolean | null} */ verdict) =>
    needs.flatMap(({ met, text }) => (met === verdict ? [text] : [])).join("; ");
  const lacking = { "warning.need-unmet": told(false), "warning.need-unknown": told(null) };
  const warnings = plan.warnings.map((warning) => warningText(warning, lacking, spans));
  const { window: window_ } = plan;
  return {
    letter: brief.rig.letter,
    title: plan.shot.title,
    place: plan.place.title,
    rig: brief.rig.title,
    camera: brief.camera.title,
    night: dayText(dayNumber(window_.night)),
    night_date: window_.night,
    when: whenText(plan, spans),
    span: spanLine(plan, spans),
    zone: zoneText(plan, spans),
    revision: plan.revision,
    changed: Object.keys(plan.changes).length > 0,
    pan_zero: bearing(brief.zero_bearing_deg),
    ...zeroText(brief, spans),
    zero_label: word("pan" in brief.rig.axes ? "zero.pan" : "zero.lens"),
    zero_sighting: brief.zero_sighting ?? "",
    zero_looks: zeroLooks(brief, spans),
    rail: railText(brief, spans, compass),
    rail_runs: railRuns(brief),
    rail_short: railText(brief, spans, compassShort),
    numbers,
    labels: labelsOf(plan, spans),
    program: programOf(brief, numbers),
    axes: axes.map(({ name, letter, unit }) => ({ name, letter, unit })),
    exposure: exposureText(plan, at),
    keyframes,
    ends_at: keyframes.at(-1)?.line ?? "",
    set_order: plan.move.set_order.map((number) => number - 1),
    set_note: setNote(plan, axes, spans),
    late: lateText(plan, axes, onDay),
    recovery: recoveryText(plan, axes, onDay),
    interval_lines: [...intervalLines(plan, at), ...usualLines(plan)],
    phases: phaseLines(plan, at),
    deadlines: deadlinesText(plan, onDay),
    limits: plan.place.limits.map((row) => ({
      label: say(`limit.${row.id}`, row, spans),
      clock: onDay(row.time.utc_ms),
    })),
    sky: plan.sky.events.map((event) => eventRow(event, plan.timing.frames, at)),
    sky_lines: skyLines(plan.sky, at),
    arch_lines: [...archLines(plan.sky.arch), lightLine(plan.light)],
    strip: stripText(plan, at),
    picture: pictureLines(plan, at),
    keep_out: keepOut(plan),
    captions: captionsOf(plan, keyframes, at),
    rolling: rollingRows(plan, spans, at),
    needs,
    power: powerLines(plan, numbers.swap, at),
    swaps: swapTexts(plan, at),
    dew: dewLines(plan, at),
    warnings,
    minds: mindsText(warnings),
  };
}

/**
 * By when each thing is done before frame 1; a shot that stands still is framed once, not stored.
 * @param {Plan} plan @param {ClockText} at
 */
function deadlinesText(plan, at) {
  const still = plan.keyframes.length < 2;
  return plan.window.deadlines.map(({ id, time }) => ({
    label: word(`deadline.${still && id === "stored" ? "framed" : id}`),
    clock: at(time.utc_ms),
  }));
}

/**
 * The zero's bearing on a compass, "" where none is known, and beside the true one.
 * @param {Brief} brief @param {Span[]} spans
 */
function zeroText(brief, spans) {
  const [degrees, declination] = byCompass(brief.place, brief.zero_bearing_deg);
  if (declination === null) return { zero_magnetic: "", zero_both: bearing(degrees) };
  const args = { true: degrees, magnetic: degrees - declination };
  return { zero_magnetic: say("zero.magnetic", args, spans), zero_both: say("zero.both", args, spans) };
}

/** Where pan 0 (or the lens) looks, by compass and by its sighting. @param {Brief} brief @param {Span[]} spans */
function zeroLooks(brief, spans) {
  const looks = compass(byCompass(brief.place, brief.zero_bearing_deg));
  return brief.zero_sighting ? say("zero.sighted", { looks, sighting: brief.zero_sighting }, spans) : looks;
}

/** @param {Brief} brief */
function railRuns({ place, rail }) {
  const bearing_deg = rail?.bearing_deg ?? null;
  return bearing_deg === null ? "" : compass(byCompass(place, bearing_deg));
}

/**
 * How the rail lies, as seen from behind it, its bearing written long or short.
 * @param {Brief} brief @param {Span[]} spans @param {typeof compass} written
 */
function railText(brief, spans, written) {
  const rail = brief.rail;
  if (rail === null) return "";
  const { bearing_deg, incline_deg: incline, home_end, motor_end } = rail;
  let slope = word("line.level");
  if (incline) slope = say(incline > 0 ? "line.home-low" : "line.home-high", { incline: Math.abs(incline) }, spans);
  const id = Math.abs(incline) < 90 ? "line.rail" : "line.rail-upright";
  /** @type {Args} */
  const args = { home: `home.${home_end}`, slope };
  if (bearing_deg !== null) args.bearing = written(byCompass(brief.place, bearing_deg));
  return motor_end === null ? say(id, args, spans) : say(`${id}-motor`, { ...args, motor: `home.${motor_end}` }, spans);
}

/**
 * In which order the keyframes are set, and what follows from it.
 * @param {Plan} plan @param {AxisShown[]} axes @param {Span[]} spans
 */
function setNote(plan, axes, spans) {
  const looks = looksOf(plan.brief, {});
  if (plan.keyframes.length === 0 && looks !== null) {
    return say("set.looks", { azimuth: byCompass(plan.brief.place, looks[0]), altitude: looks[1] }, spans);
  }
  if (plan.keyframes.length < 2) return word("set.still");
  const args = { last: plan.keyframes.length, back: Math.floor(plan.move.travel_back_s + 0.999) * 1000 };
  const { order } = plan.move;
  const rig = plan.power.supplies.find(({ id }) => id === "rig");
  const taken = rig ? say("set.taken", { taken: totalOf(rig.phases.back ?? {}) }, []) : "";
  const back = order === "first-to-last" ? approachText(plan, 0, axes, true) : "";
  const told = [
    say(`set.${order}`, { ...args, taken }, spans),
    back && say("set.back", { past: back }, []),
    plan.brief.reverse ? word("set.reversed") : "",
  ];
  return told.filter((text) => text !== "").join(" ");
}

/** What is to be minded, gathered in a line; "" where it is one thing or none. @param {WarningText[]} warnings */
function mindsText(warnings) {
  const about = warnings.filter(({ level }) => level === "mind").map((warning) => warning.about);
  return about.length > 1 ? say("level.minds", { count: about.length, about: [...new Set(about)].join(", ") }, []) : "";
}

/**
 * A warning in its parts; lacking: the texts of needs for the two that tell them, by id.
 * @param {Warning} warning @param {Record<string, string>} lacking @param {Span[]} spans @returns {WarningText}
 */
function warningText(warning, lacking, spans) {
  const part = (/** @type {string} */ name) =>
    say(`${warning.id}.${name}`, { ...warning.args, needs: lacking[warning.id] }, spans);
  const texts = { about: part("about"), head: part("head"), sum: part("sum"), fix: part("fix") };
  return { level: warning.level, word: word(`level.${warning.level}`), ...texts };
}
