// twin: fieldsheet/sheet/phases.py
// What is said of a shot whose interval changes.

import { gapMs } from "./keyed.js";
import { say, spanText, word } from "./say.js";

/**
 * A length of time that hangs on the interval, with what it changes to and when.
 * @param {Plan} plan @param {ClockText} at @param {(interval_ms: number) => number | null} keyedMs
 */
export function phased(plan, at, keyedMs) {
  const told_ms = toldMs(plan);
  const parts = plan.timing.segments.map(({ first_frame: frame, start_ms }, index) => {
    const span = keyedMs(told_ms[index]) ?? 0;
    return index === 0 ? spanText(span) : say("value.from-frame", { frame, clock: at(start_ms), span }, []);
  });
  return parts.join(", ");
}

/** The interval of each segment as the rig is told it, however it runs. @param {Plan} plan @returns {number[]} */
function toldMs({ timing: { run, segments } }) {
  return run ? run.told_ms : segments.map(({ interval_ms }) => interval_ms);
}

/** How the rig runs, beside what it was told; "" where it was not seen to run otherwise. @param {Plan} plan */
export function runsText(plan) {
  if (!plan.timing.run) return "";
  const told_ms = toldMs(plan);
  const texts = plan.timing.segments.flatMap(({ interval_ms: runs }, index) =>
    runs === told_ms[index] ? [] : [say("value.runs", { runs, told: told_ms[index] }, [])],
  );
  return texts.join(", ") || word("value.runs-told");
}

/**
 * The message of a kind for an interval as this rig is told it: by its gap, or as it is.
 * @param {string} kind @param {Brief} brief @param {number} interval_ms @param {number} [frame] @param {string} [clock]
 */
export function phaseText(kind, brief, interval_ms, frame = 0, clock = "") {
  const gap = gapMs(brief, interval_ms);
  const [id, span] = gap === null ? [`${kind}.interval`, interval_ms] : [`${kind}.gap`, gap];
  return say(id, { span, interval: interval_ms, frame, clock }, []);
}

/**
 * What each phase of the shot changes the interval to, and when; said so where it has no frame.
 * @param {Plan} plan @param {ClockText} at
 */
export function phaseLines(plan, at) {
  const { segments } = plan.timing;
  const told_ms = toldMs(plan);
  return plan.brief.phases.map((_, index) => {
    const place = segments.findIndex(({ phase }) => phase === index + 1);
    if (place < 0) return word("phase.none");
    const segment = segments[place];
    return phaseText("phase", plan.brief, told_ms[place], segment.first_frame, at(segment.start_ms));
  });
}
