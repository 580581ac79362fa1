// The shapes that the scripts share, by the names that their comments use. Nothing of this goes to the phone.
// What a plan holds is taken from its published schema (Filed.PlanFile, made by plan_types.py); here stands only what
// a schema of plain JSON cannot say: which keys come together, and how many there are in a row.

type Replaced<T, U> = Omit<T, keyof U> & U;

// ---- the sky, from the modules that make it

type Sky = import("../../site_templates/app/core/sky.js").Sky;
type Site = import("../../site_templates/app/core/sky.js").Site;
type Air = import("../../site_templates/app/core/sky.js").Air;
type SkyEvent = import("../../site_templates/app/core/events.js").Event;
type Lens = import("../../site_templates/app/core/aim.js").Lens;
type Base = import("../../site_templates/app/core/aim.js").Base;

/** From when on [s UTC], seconds east of UTC, short name. */
type Span = [number, number, string];
/** Azimuth and altitude, or across and up [deg]; across and up of the frame, -1 to 1. */
type Pair = [number, number];
/** East, north, up, or right, up, forward. */
type Vector = [number, number, number];
type Spot = { latitude_deg: number; longitude_deg: number; elevation_m: number };
type Instant = Filed.instant;
type FrameTime = { frame: number; time: Instant };
/** A message of the table of words and what stands in it. */
type Message = { id: string; args: Args };
// biome-ignore lint/suspicious/noExplicitAny: as many sorts as there are formatters; say.js names them
type Args = Record<string, any>;

// ---- a brief: one shot resolved

type Axes = Record<string, number>;
type Clock = { clock_s: number };
type EventAt = { event: string; offset_s: number };
type Anchor = Clock | EventAt;
type OnShot = { frame: number } | { fraction: number };
type At = Anchor | OnShot;
type Tracked = { x: number; y: number; target: string };
type Aim = Tracked | { x: number; y: number; bearing_deg: number; altitude_deg: number; target?: undefined };
/** f-number, shutter, ISO as they are written; milliseconds that it is open. */
type Rung = [string, string, string, number];
type Axis = {
  letter: string;
  unit: string;
  min: number;
  max: number;
  step: number;
  speed_max: number;
  acceleration_max: number;
  wrap_deg?: number | null;
};

type FiledBrief = Filed.PlanFile["brief"];
type Place = Replaced<
  FiledBrief["place"],
  {
    zone: { name: string; spans: Span[]; until_s: number };
    horizon: number[][];
    check_in: { at: Anchor; with: string } | null;
    gate_closes: Clock | null;
    turn_back: Anchor | null;
  }
>;
type BriefKeyframe = Replaced<FiledBrief["keyframes"][number], { at: At; aim: Aim | null }> & {
  /** What it stands at by the hand, in a programme that goes on from another. */
  kept?: Axes;
};
type BriefExposure = Replaced<
  NonNullable<FiledBrief["exposure"]>,
  {
    bright: { at: At | null; ev: number };
    dark: { at: At | null; ev: number };
    ladder: Rung[];
  }
>;
type Need = { at?: At } & (
  | { kind: "weekday"; days: string[] }
  | { kind: "darkness"; least_ms: number }
  | { kind: "core-usable"; least_ms: number }
  | { kind: "event-between"; event: string; between: Pair }
  | { kind: "event-within"; event: string; within_ms: number }
  | { kind: "moon-lit"; lit_pct: Pair }
  | { kind: "altitude"; target: string; altitude_deg: Pair }
  | { kind: "azimuth"; target: string; azimuth_deg: Pair }
  | { kind: "moon-up" }
  | { kind: "moon-down" }
);
type NeedOf<K extends Need["kind"]> = Extract<Need, { kind: K }>;
type Rig = FiledBrief["rig"];
type RigAxes = Rig["axes"];
type Rail = NonNullable<FiledBrief["rail"]>;
type Brief = Replaced<
  FiledBrief,
  {
    needs: Need[];
    place: Place;
    start: Anchor | null;
    end: Anchor | null;
    swap: { from: At; until: At } | null;
    phases: { from: Anchor | { frame: number }; interval_ms: number }[];
    keyframes: BriefKeyframe[];
    exposure: BriefExposure | null;
  }
>;

// ---- what the planning works with

type Night = {
  sky: Sky;
  site: Site;
  spans: Span[];
  tides: [number, string][];
  day: number;
  rule: "night" | "day";
  from_s: number;
  until_s: number;
};
/** An instant [ms UTC] and the event of the sky that it is. */
type FoundEvent = [number, string];
type Segment = { first_frame: number; start_ms: number; interval_ms: number; phase: number };
type Phase = { interval_ms: number; at_ms: number | null; frame: number | null };
/** When frames start. */
type Paced = { segments: Segment[]; phases?: Phase[] };
/** What a timing follows from: see timing.js. */
type Counted = {
  segments: Segment[];
  frames: number;
  phases: Phase[];
  anchor_start_ms: number;
  anchored: FoundEvent[];
  doubled: string[];
  asked_ms: number;
  ready_ms?: number;
};
type Timing = Counted & {
  start_ms: number;
  interval_ms: number;
  end_ms: number;
  last_ms: number;
  keyed_ms: number;
  prepared_ms: number;
};
type Setting = {
  frame: number;
  axes: Axes;
  azimuth_deg: number | null;
  altitude_deg: number | null;
  x: number | null;
  y: number | null;
};
/** A setting of a keyframe that aims. */
type Aimed = Setting & { azimuth_deg: number; altitude_deg: number };
type Warp = { first: number; last: number; ease_in: number; ease_out: number };
type Path = { warp: Warp | null; knots: number[]; settings: Setting[]; slopes: Record<string, number[]> | null };
type Step = { step: number; frame: number };
type Steps = Record<string, Step>;
type Stage = { segment: Segment; last: number; steps: Steps };
/** From which frame on, and for how many milliseconds the shutter is open. */
type Opens = [number, number][];
/** What was shot before frame 1, where a shot goes on after a stop. */
type Before = { frames: number; stands_ms: number; used_wh: Record<string, number>; packs: number };
type Gaze = { axis_deg: number; tilt_deg: number; right: number[]; up: number[]; forward: number[] };
type Shown = { brief: Brief; night: Night; timing: Timing; path: Path; lens: Lens };
type Scene = Shown & { looked: { frame: number; gaze: Gaze }[] };
/** A shot as it was planned. */
type Shot = { brief: Brief; night: Night; timing: Timing; opens: Opens };
/** A way to go on as it would be keyed in, see options.py: kept, the values that a keyframe stays at. */
type Keying = { brief: Brief; timing: Timing; frames: number[]; kept: (Axes | null)[]; keyed: string[] };
/** What the rig is told after any changes: see programme.js. */
type Programme = { brief: Brief; timing: Timing; frames: number[]; told: Timing; before: Before };
/** What forbids a shot, before all else is worked out. */
type Restricted = Pick<Planned, "brief" | "night" | "timing" | "settings" | "limited">;
/** All that the warnings look at. */
type Planned = Omit<Shown, "lens"> & {
  settings: Setting[];
  stages: Stage[];
  budget: Budget;
  found: FoundEvent[];
  swap: SwapRange | null;
  limited: Limit[];
  needs: Plan["needs"];
  grazes: Plan["sky"]["grazes"];
  look: Plan["move"]["look"];
  power: Omit<Power, "rest">;
  storage: Plan["storage"];
  exposure: Exposure | null;
  meant: PlanKeyframe["meant"][];
  picture: Picture;
};
/** The same where the exposure is planned. */
type Exposing = Planned & { exposure: Exposure; brief: { exposure: BriefExposure } };
/** A run of a shot with the light along it: see lit.js. */
type Lit = {
  brief: Brief;
  night: Night;
  timing: Timing;
  warp: Warp | null;
  knots: number[];
  readonly samples: Samples;
};
type Samples = { frames: number[]; times_s: number[]; clear_lx: number[] };

/** {}: as printed; run is never kept: it follows from the log. */
type Changes = {
  night?: string;
  start_ms?: number;
  spot?: Spot;
  exposure_shift_ev?: number;
  interval_ms?: number;
  way?: Way;
  run?: Run;
  /** Frames at which packs were changed, of what was in force before a stop. */
  swapped?: number[];
  stopped?: Stopped;
};
/** A way to go on: a late start's has start_ms, one after a stop the frame and when it rolls again. */
type Way = { id: string; start_ms?: number; frame?: number; rolling_ms?: number; after?: Changes };
/** When frame 1 fired, and how many times as long its intervals are. */
type Run = { start_ms: number; ratio: number };
type Stopped = { frame: number; rolling_ms: number };

// ---- the plan, and what says it

type FiledPlan = Filed.PlanFile;
type Budget = FiledPlan["interval_budget"];
/** The same without what turning does to a frame. */
type Fit = Omit<Budget, "blur_px" | "blur_frame" | "shutter_angle_deg">;
type Limit = FiledPlan["place"]["limits"][number];
type Power = FiledPlan["power"];
type Look = NonNullable<FiledPlan["move"]["look"]>;
type SwapRange = { from: FrameTime; until: FrameTime };
type Band = Exposure["bands"][number];
type Warning = Plan["warnings"][number];
type FiledPack = Filed.pack;
type Pack = Power["supplies"][number]["packs"][number];
type RigPack = NonNullable<Rig["power"]>["packs"][number];
type Exposure = NonNullable<FiledPlan["exposure"]>;
/** What a shot that stopped leaves of its move, in so many new frames: see recovery.js. */
type Rest = { brief: Brief; frames: number; first: number; per_frame: number };
type Supply = Power["supplies"][number];
/** A way to go on, with all its figures. */
type Tried = Required<NonNullable<FiledPlan["late"]>["options"][number]>;
/** The same after a stop. */
type TriedOn = Required<NonNullable<FiledPlan["recovery"]>["options"][number]>;
/** One that there is no sense in. */
type Untried = { id: string; why: Message };
type Option = Tried | TriedOn | Untried;
type Late = Replaced<NonNullable<FiledPlan["late"]>, { options: (Tried | Untried)[] }>;
type Recovery = Replaced<NonNullable<FiledPlan["recovery"]>, { options: (TriedOn | Untried)[] }>;
type Followed = {
  number: number;
  target: string;
  path: (number[] | null)[];
  worst: FrameTime & { right: number; up: number; share: number | null; px: number | null };
};
type View = {
  pole: number[] | null;
  moon: { lit: number; sun: number[] } | null;
  frame?: number;
  time?: Instant;
  in_frame?: Filed.in_frame[];
};
type Picture = Replaced<FiledPlan["picture"], { tracked: Followed[]; views: View[] }>;
type PlanKeyframe = Replaced<FiledPlan["keyframes"][number], { aim: Aim | null }>;
type Plan = Replaced<
  FiledPlan,
  {
    brief: Brief;
    changes: Changes;
    keyframes: PlanKeyframe[];
    late: Late | null;
    recovery: Recovery | null;
    picture: Picture;
    warnings: { id: string; level: "mind" | "no-go"; args: Args }[];
    needs: { id: string; met: boolean | null; args: Args }[];
    timing: Replaced<FiledPlan["timing"], { run: (Run & { told_ms: number[] }) | null }>;
  }
>;
/** As it is worked out, before it has the revision of its files. */
type Unnumbered = Omit<Plan, "revision">;
/** How a sheet writes an instant [ms UTC]. */
type ClockText = (utc_ms: number) => string;
type AxisShown = ReturnType<typeof import("../../site_templates/app/core/sheet-figures.js").axesOf>[number];
type Numbers = ReturnType<typeof import("../../site_templates/app/core/sheet-figures.js").numbersOf>;
/** A warning in its parts. */
type WarningText = { level: string; word: string; about: string; head: string; sum: string; fix: string };
/** The texts of a plan, as sheet.js makes them. */
type Sheet = ReturnType<typeof import("../../site_templates/app/core/sheet.js").makeSheet>;
/** What a take holds of the plan that it was begun on: with the words of its items, by their names. */
type TakenPlan = Plan & { items?: Record<string, string> };
/** A plan with the texts that say it. */
type Said = { plan: Plan; sheet: Sheet };
type LogEvent = import("../../site_templates/app/takes/added.js").LogEvent;
type TakeState = import("../../site_templates/app/takes/added.js").TakeState;

// What is said here of a plan is what its schema says, and more: else these lines fail.
type Fits<Special extends General, General> = [Special, General];
type PlanFits = Fits<Plan, Filed.PlanFile>;
