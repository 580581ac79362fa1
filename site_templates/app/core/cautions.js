// twin: fieldsheet/plan/cautions.py
// What breaks, when and by how much, as message ids with arguments, worst first (D3).

import { msOf } from "./timing.js";

/** Every limit that this plan breaks ("stop") or should be minded ("mind"). */
export function warnings(brief, timing, settings, budget) {
  const found = [
    ...axisLimits(brief, settings),
    ...shortInterval(timing, budget),
    ...belowHorizon(brief, timing, settings),
    ...doubledClocks(timing),
  ];
  return [...found.filter(({ level }) => level === "stop"), ...found.filter(({ level }) => level !== "stop")];
}

function warning(level, id, args) {
  return { level, id: `warning.${id}`, args };
}

function axisLimits(brief, settings) {
  return settings.flatMap((setting, index) =>
    Object.entries(brief.rig.axes)
      .filter(([name, axis]) => !(axis.min - 1e-9 <= setting.axes[name] && setting.axes[name] <= axis.max + 1e-9))
      .map(([name, axis]) =>
        warning("stop", "axis-limit", {
          number: index + 1,
          axis: name,
          unit: `unit.${axis.unit}`,
          value: setting.axes[name],
          min: axis.min,
          max: axis.max,
        }),
      ),
  );
}

function shortInterval(timing, budget) {
  if (budget.slack_ms >= 0) return [];
  const args = { interval: timing.interval_ms, short: -budget.slack_ms, ...budget };
  return [warning("stop", "interval-short", args)];
}

function belowHorizon(brief, timing, settings) {
  return settings.flatMap((setting, index) => {
    const aim = brief.keyframes[index].aim;
    if (!aim || !("target" in aim) || setting.altitude_deg === null || setting.altitude_deg >= 0) return [];
    return [
      warning("stop", "below-horizon", {
        number: index + 1,
        target: `body.${aim.target}`,
        clock: msOf(timing, setting.frame),
        below: -setting.altitude_deg,
      }),
    ];
  });
}

function doubledClocks(timing) {
  const clocks = { start: timing.start_ms, end: timing.end_ms };
  return timing.doubled.map((key) => warning("mind", "clock-doubled", { which: `edge.${key}`, clock: clocks[key] }));
}
