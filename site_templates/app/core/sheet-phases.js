// twin: fieldsheet/sheet/phases.py
// What is said of a shot whose interval changes.

import { gapMs } from "./keyed.js";
import { say, spanText, word } from "./say.js";

/** A length of time that hangs on the interval, with what it changes to and when. */
export function phased({ timing: { segments } }, at, keyedMs) {
  const parts = segments.map(({ first_frame: frame, start_ms, interval_ms }, index) => {
    const span = keyedMs(interval_ms);
    return index === 0 ? spanText(span) : say("value.from-frame", { frame, clock: at(start_ms), span }, []);
  });
  return parts.join(", ");
}

/** The message of a kind for an interval as this rig is told it: by its gap, or as it is. */
export function phaseText(kind, brief, interval_ms, frame = 0, clock = "") {
  const gap = gapMs(brief, interval_ms);
  const [id, span] = gap === null ? [`${kind}.interval`, interval_ms] : [`${kind}.gap`, gap];
  return say(id, { span, interval: interval_ms, frame, clock }, []);
}

/** What each phase of the shot changes the interval to, and when; said so where it has no frame. */
export function phaseLines({ timing, brief }, at) {
  return brief.phases.map((_, index) => {
    const segment = timing.segments.find(({ phase }) => phase === index + 1);
    if (segment === undefined) return word("phase.none");
    return phaseText("phase", brief, segment.interval_ms, segment.first_frame, at(segment.start_ms));
  });
}
